package route

// maxCuts is how many edges one exchange replaces at most.
const maxCuts = 6

// exchange replaces edges of a tour. Cut i removes the edge between ends
// t[2i] and t[2i+1]; t[2i+1] is joined to t[2i+2], the last to t[0]. The cuts
// split the tour into as many segments, which the new edges put together in
// another sequence, some of them reversed.
type exchange struct {
	t [2 * maxCuts]int32

	at   [maxCuts]int32     // positions of the cuts, rising: at[i] is the last of segment i
	rank [maxCuts]int8      // of each cut, among at
	left [2 * maxCuts]bool  // the item of t[i] is left at it (and is the last of a segment)
	run  [maxCuts]segmentAt // the segments as they follow each other after the exchange
}

// segmentAt is a segment from the cut before it to its own, and whether it is
// passed in reverse.
type segmentAt struct {
	index    int8
	reversed bool
}

// sort fills at, rank and left for k cuts.
func (x *exchange) sort(t *tour, k int) {
	var order [maxCuts]int8
	for c := range k {
		e := x.t[2*c]
		p := t.pos[e>>1]
		isLeft := t.seq[p] != e
		x.left[2*c], x.left[2*c+1] = isLeft, !isLeft
		if !isLeft {
			p = t.pos[x.t[2*c+1]>>1]
		}
		i := c
		for ; i > 0 && x.at[i-1] > p; i-- {
			x.at[i], order[i] = x.at[i-1], order[i-1]
		}
		x.at[i], order[i] = p, int8(c)
	}
	for i := range k {
		x.rank[order[i]] = int8(i)
	}
}

// valid reports whether exchanging k edges leaves a single tour, and fills run.
func (x *exchange) valid(t *tour, k int) bool {
	x.sort(t, k)
	var endAt [2 * maxCuts]int8 // index in x.t of the last end of segment i, then of the first of segment i+1
	for i := range 2 * k {
		r := 2 * x.rank[i/2]
		if !x.left[i] {
			r++
		}
		endAt[r] = int8(i)
	}
	x.run[0] = segmentAt{}
	out := endAt[0] // the end where the segment just passed is left
	for n := 1; ; n++ {
		in := out + 1 // odd ends are joined to the next
		if out&1 == 0 {
			in = out - 1
			if out == 0 {
				in = int8(2*k - 1)
			}
		} else if int(in) == 2*k {
			in = 0
		}
		cut := x.rank[in/2]
		if !x.left[in] { // the first end of the segment behind the cut
			seg := cut + 1
			if int(seg) == k {
				return n == k
			}
			x.run[n] = segmentAt{index: seg}
			out = endAt[2*seg]
			continue
		}
		x.run[n] = segmentAt{index: cut, reversed: true}
		out = endAt[2*cut-1] // of segment 0 the last end was left first, so that cut is not 0
	}
}

// bounds returns the first position and the length of segment i of k.
func (x *exchange) bounds(i, k, n int) (first, length int) {
	before := x.at[(i+k-1)%k]
	first = int(before) + 1
	if first == n {
		first = 0
	}
	length = int(x.at[i] - before)
	if length <= 0 {
		length += n
	}
	return first, length
}
