package route

// oddSets are sets of groups whose needs add up to an odd number, nested in
// each other or apart. Since every link inside such a set takes up two of the
// ends in it, a sequence links one of them to an end outside, or begins or ends
// there (Edmonds 1965, on matchings). Trees know nothing of that: the ends of
// three rows at the right of a bar hang together by two links, and a tree need
// never go there from anywhere else.
//
// Every set has a width, never negative: travel that leaves the set costs so
// much less, as does beginning or ending in it, and the bound is so much more.
// A sequence then costs no more than before, less the penalties as ever, since
// it leaves each set at least once, or begins or ends there.
type oddSets struct {
	of    []int32   // the smallest set that each group is in, or -1
	up    []int32   // the smallest set round each set, which has a higher number, or -1
	width []float64 // of each set
	upTo  []float64 // widths of each set and of all round it
	left  []float64 // how often each is left
}

func newOddSets(groups int) oddSets {
	o := oddSets{of: make([]int32, groups)}
	for g := range o.of {
		o.of[g] = -1
	}
	return o
}

// prepare sums up the widths and forgets what has been left.
func (o *oddSets) prepare() {
	clear(o.left)
	for s := len(o.up) - 1; s >= 0; s-- {
		o.upTo[s] = o.width[s] + o.around(o.up[s])
	}
}

// around returns the widths of a set, if it is one, and of all round it.
func (o *oddSets) around(set int32) float64 {
	if set < 0 {
		return 0
	}
	return o.upTo[set]
}

// shared returns the smallest set that holds two groups, or -1.
func (o *oddSets) shared(g, h int32) int32 {
	s, t := o.of[g], o.of[h]
	for s != t {
		if t < 0 || s >= 0 && s < t {
			s = o.up[s]
		} else {
			t = o.up[t]
		}
	}
	return s
}

// leave counts travel between sets s and t, or -1 for outside of any, as leaving
// all sets that hold only one of them.
func (o *oddSets) leave(s, t int32) {
	for s != t {
		if t < 0 || s >= 0 && s < t {
			o.left[s]++
			s = o.up[s]
		} else {
			o.left[t]++
			t = o.up[t]
		}
	}
}

// outermost returns the largest set that holds a group, or -1.
func (o *oddSets) outermost(g int32) int32 {
	s := o.of[g]
	for s >= 0 && o.up[s] >= 0 {
		s = o.up[s]
	}
	return s
}

// add makes a set of groups, round the sets that any of them are in.
func (o *oddSets) add(groups []int32) {
	set := int32(len(o.up))
	o.up = append(o.up, -1)
	o.width = append(o.width, 0)
	o.upTo = append(o.upTo, 0)
	o.left = append(o.left, 0)
	for _, g := range groups {
		switch s := o.outermost(g); s {
		case set:
		case -1:
			o.of[g] = set
		default:
			o.up[s] = set
		}
	}
}
