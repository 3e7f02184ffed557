package route

// tour is a cyclic sequence of the cells of a work, held as an array. Cell c
// has the ends 2c and 2c+1, its sides; passing an open sequence, one more item,
// the depot, stands for the machine before the first cell and after the last.
//
// An edge is the travel between two cells that follow each other; link gives
// the other end of the edge at an end.
type tour struct {
	work    *work
	cost    Cost
	plain   bool      // the cost is Length
	ends    []End     // directed outwards
	variant []int32   // of each cell
	inner   []float64 // travel inside each cell in variants 0 and 1
	seq     []int32   // the end that the item at each position is entered at
	pos     []int32   // position of each item
	depot   int32     // first of its two ends, or len(ends) without one
	looks   int       // how often a travel has been asked for: the work done
	prices  prices
	free    [2]bool // depot ends that any travel to costs nothing
}

// newTour returns p as a tour. It takes p over.
func newTour(w *work, p plan, at ends) *tour {
	n := int32(len(p.seq))
	t := &tour{work: w, cost: w.cost, variant: p.variant, seq: p.seq, depot: 2 * n}
	_, t.plain = w.cost.(Length)
	t.ends = make([]End, 0, 2*n+2)
	t.inner = make([]float64, 2*n)
	for i, c := range w.cells {
		v := p.variant[i]
		t.ends = append(t.ends, w.cellEnd(c, v, 0), w.cellEnd(c, v, 1))
		if c.len() > 1 {
			t.inner[2*i], t.inner[2*i+1] = w.inner(c, 0), w.inner(c, 1)
		}
	}
	if !at.cyclic {
		t.addDepot(at.from, at.to)
	}
	if !t.plain {
		t.prices = newPrices(len(p.seq))
	}
	t.pos = make([]int32, len(t.seq))
	for i, e := range t.seq {
		t.pos[e>>1] = int32(i)
	}
	return t
}

// addDepot puts the depot ahead of the first cell: left at its side 1 towards
// the first cell, entered at its side 0 after the last.
func (t *tour) addDepot(from, to *End) {
	ends := [2]End{}
	t.free = [2]bool{to == nil, from == nil}
	if to != nil {
		ends[0] = to.reversed()
	}
	if from != nil {
		ends[1] = *from
	}
	t.ends = append(t.ends, ends[0], ends[1])
	t.seq = append([]int32{t.depot}, t.seq...)
}

// plan returns the cells in sequence, from the depot on.
func (t *tour) plan() plan {
	if int(t.depot) == len(t.ends) {
		return plan{seq: t.seq, variant: t.variant}
	}
	n := int32(len(t.seq))
	at := t.pos[t.depot>>1]
	forward := t.seq[at] == t.depot
	p := plan{seq: make([]int32, 0, n-1), variant: t.variant}
	for i := int32(1); i < n; i++ {
		if forward {
			p.seq = append(p.seq, t.seq[(at+i)%n])
		} else {
			p.seq = append(p.seq, t.seq[(at-i+n)%n]^1)
		}
	}
	return p
}

// link returns the end at the other side of the edge at e.
func (t *tour) link(e int32) int32 {
	p := t.pos[e>>1]
	if t.seq[p] != e { // it is left at e
		if p++; int(p) == len(t.seq) {
			p = 0
		}
		return t.seq[p]
	}
	if p == 0 {
		p = int32(len(t.seq))
	}
	return t.seq[p-1] ^ 1
}

// edge returns the travel between two ends.
func (t *tour) edge(e, f int32) float64 {
	if max(e, f) >= t.depot && (e >= t.depot && t.free[e&1] || f >= t.depot && t.free[f&1]) {
		return 0
	}
	if t.plain {
		t.looks++
		return t.ends[e].At.Dist(t.ends[f].At)
	}
	return t.priced(e, f)
}

// unremembered is edge for goroutines that look at once: it remembers and counts
// nothing.
func (t *tour) unremembered(e, f int32) float64 {
	if max(e, f) >= t.depot && (e >= t.depot && t.free[e&1] || f >= t.depot && t.free[f&1]) {
		return 0
	}
	if t.plain {
		return t.ends[e].At.Dist(t.ends[f].At)
	}
	if e > f {
		e, f = f, e
	}
	return t.cost.Travel(t.ends[e], t.ends[f].reversed())
}

// travel returns the travel between two ends, both directed outwards.
func (t *tour) travel(a, b *End) float64 {
	t.looks++
	if t.plain {
		return a.At.Dist(b.At)
	}
	return t.cost.Travel(*a, b.reversed())
}

// total returns the travel of the whole tour.
func (t *tour) total() float64 {
	sum := 0.0
	for c, v := range t.variant {
		if t.work.cells[c].len() > 1 {
			sum += t.inner[2*c+int(v)]
		}
	}
	for _, e := range t.seq {
		sum += t.edge(e, t.link(e))
	}
	return sum
}
