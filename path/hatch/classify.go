package hatch

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// marker knows, while it crosses the edges of regions, whether there is marking
// where it is. A tag is a region<<1, +1 where its winding number goes down.
type marker interface {
	cross(tag int32) bool
	marked() bool
}

// classify finds the marking on both sides of every fragment by walking the
// marker over all of them: once round each spot, and from there to the spots
// around it, in a tree of spots for each piece of the drawing that hangs
// together. A piece is entered at its lowest spot, which the marker reaches
// along a row from outside everything.
func (a *arrangement) classify(frags []fragment, m marker) {
	w := newWalker(a, frags, m)
	lowest := w.lowest()
	r := newReach(w.stand(lowest))
	for _, s := range lowest {
		west := r.west(w.high[s])
		w.eastwards(west, 1)
		w.walk(s)
		w.eastwards(west, -1)
	}
}

// level is a direction that no side of a drawing has by design: in the plane
// turned to it no fragment lies level.
var level = path.Point{X: math.Cos(0.7391), Y: math.Sin(0.7391)}

// walker is the state of classify.
type walker struct {
	a      *arrangement
	frags  []fragment
	m      marker
	high   []path.Point // the spots in the turned plane
	spokes spokes
	seen   []bool // by spot
	stack  []visit
}

func newWalker(a *arrangement, frags []fragment, m marker) *walker {
	w := &walker{a: a, frags: frags, m: m, high: make([]path.Point, len(a.spots)), seen: make([]bool, len(a.spots))}
	g := grid{dir: level}
	for i, s := range a.spots {
		w.high[i] = g.turn(s.point())
	}
	w.spokes = newSpokes(len(a.spots), frags)
	for s := range a.spots {
		w.sortSpokes(int32(s))
	}
	return w
}

// lowest returns the lowest spot of each piece of the drawing, from the lowest up.
func (w *walker) lowest() []int32 {
	in := make([]int32, len(w.high)) // by spot: another of its piece, the lowest its own
	for i := range in {
		in[i] = int32(i)
	}
	bottom := func(s int32) int32 {
		for in[s] != s {
			in[s] = in[in[s]]
			s = in[s]
		}
		return s
	}
	for i := range w.frags {
		u, v := bottom(w.frags[i].u), bottom(w.frags[i].v)
		if w.compare(u, v) > 0 {
			u, v = v, u
		}
		in[v] = u
	}
	var all []int32
	for i := range in {
		if in[i] == int32(i) && len(w.spokes.of(int32(i))) > 0 {
			all = append(all, int32(i))
		}
	}
	slices.SortFunc(all, func(s, t int32) int { return w.compare(s, t) })
	return all
}

// compare orders spots by height in the turned plane, then from west to east.
func (w *walker) compare(s, t int32) int {
	p, q := w.high[s], w.high[t]
	if p.Y != q.Y {
		return cmp.Compare(p.Y, q.Y)
	}
	return cmp.Or(cmp.Compare(p.X, q.X), cmp.Compare(s, t))
}

// sortSpokes sorts the fragments at a spot counter-clockwise, from those that
// lead upwards, east first, to those that lead downwards.
func (w *walker) sortSpokes(at int32) {
	s := w.a.spots[at]
	slices.SortFunc(w.spokes.of(at), func(f, g int32) int {
		p, q := w.frags[f].other(at), w.frags[g].other(at)
		pd, qd := w.compare(p, at) < 0, w.compare(q, at) < 0
		if pd != qd {
			if qd {
				return -1
			}
			return 1
		}
		return -orient(s.to(w.a.spots[p]), s.to(w.a.spots[q]))
	})
}

// visit is a walk round a spot: the spoke to be crossed next, in its list, and
// how many are left.
type visit struct{ spot, next, left int32 }

// walk goes from below the lowest spot of a piece over all of the piece, and
// back.
func (w *walker) walk(root int32) {
	w.enter(root, 0)
	for len(w.stack) > 0 {
		v := &w.stack[len(w.stack)-1]
		if v.left == 0 {
			w.stack = w.stack[:len(w.stack)-1]
			continue
		}
		list := w.spokes.of(v.spot)
		f := list[v.next]
		if far := w.frags[f].other(v.spot); !w.seen[far] {
			// On the right of the spoke as one leaves, on its left as one
			// arrives: the next one round the far spot comes after it.
			w.enter(far, w.spokes.index(far, f)+1)
			continue
		}
		w.crossSpoke(&w.frags[f], v.spot)
		v.next = (v.next + 1) % int32(len(list))
		v.left--
	}
}

func (w *walker) enter(spot, first int32) {
	n := int32(len(w.spokes.of(spot)))
	w.seen[spot] = true
	w.stack = append(w.stack, visit{spot, first % n, n})
}

// crossSpoke crosses a fragment from its right to its left, as seen from the
// spot at which it begins.
func (w *walker) crossSpoke(f *fragment, from int32) {
	if f.u != from {
		w.cross(f, -1)
		return // it is crossed from its other end as well
	}
	f.right = w.m.marked()
	w.cross(f, 1)
	f.left = w.m.marked()
}

// cross crosses a fragment from its right to its left as seen from u to v, or
// with way -1 from its left to its right.
func (w *walker) cross(f *fragment, way int32) {
	m := w.m
	for _, c := range w.a.changesAt(f) {
		by := c.by * way
		for ; by > 0; by-- {
			m.cross(c.region << 1)
		}
		for ; by < 0; by++ {
			m.cross(c.region<<1 | 1)
		}
	}
}

// stand returns the fragments, in the plane turned to level, that are as high as one
// of some spots, which are sorted by their heights.
func (w *walker) stand(spots []int32) []standing {
	var out []standing
	for i := range w.frags {
		f := &w.frags[i]
		s := newStanding(w.high[f.u], w.high[f.v], int32(i))
		k, _ := slices.BinarySearchFunc(spots, s.y0, func(p int32, y float64) int {
			return cmp.Compare(w.high[p].Y, y)
		})
		if k < len(spots) && w.high[spots[k]].Y < s.y1 {
			out = append(out, s)
		}
	}
	return out
}

// eastwards crosses fragments from west to east, or back with way -1.
func (w *walker) eastwards(frags []int32, way int32) {
	for _, i := range frags {
		f := &w.frags[i]
		if w.high[f.u].Y > w.high[f.v].Y { // it falls: its right is west
			w.cross(f, way)
		} else {
			w.cross(f, -way)
		}
	}
}
