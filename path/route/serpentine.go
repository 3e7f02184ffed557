package route

// walk is a sequence of all the units of a work: it visits them in turn, with the side
// at which each is entered and the point at which a closed line starts.
type walk func(visit func(u unit, side, start int32))

// along returns the sequence of a plan.
func (w *work) along(p plan) walk {
	return func(visit func(u unit, side, start int32)) {
		for _, e := range p.seq {
			c, v := w.cells[e>>1], p.variant[e>>1]
			if c.len() == 1 {
				visit(w.units[c.lo], e&1, v)
				continue
			}
			for i := range c.len() {
				s := w.step(c, v, i)
				if e&1 == 1 {
					s = w.step(c, v, c.len()-1-i) ^ 1
				}
				visit(w.units[s>>1], s&1, 0)
			}
		}
	}
}

// total returns what the ways of a sequence cost, from where it begins to where it ends.
func (w *work) total(all walk, at ends) float64 {
	t := trail{cost: w.cost}
	if at.from != nil {
		t.begun, t.last = true, *at.from
	}
	all(func(u unit, side, start int32) { t.add(w, u, side, start) })
	switch {
	case !t.begun:
	case at.cyclic:
		t.travel += w.cost.Travel(t.last, t.first)
	case at.to != nil:
		t.travel += w.cost.Travel(t.last, *at.to)
	}
	return t.travel
}

// serpentineIsCheaper reports that to mark the units of a phase as they come costs less
// than a plan.
func (w *work) serpentineIsCheaper(p plan, at ends, phase int) bool {
	return w.total(w.given(phase), at) < w.total(w.along(p), at)
}

// serpentine returns the plan to mark the units of a phase as they come. Every cell of w
// is a unit.
func (w *work) serpentine(phase int) plan {
	cellOf := w.cellFinder()
	p := plan{seq: make([]int32, 0, len(w.cells)), variant: make([]int32, len(w.cells))}
	w.given(phase)(func(u unit, side, _ int32) { p.seq = append(p.seq, 2*cellOf(u)+side) })
	return p
}

// cellFinder returns what finds the cell of a unit. Every cell of w is a unit.
func (w *work) cellFinder() func(u unit) int32 {
	first := make([]int32, len(w.marks.Rows)) // where the spans of a set begin among all of this phase
	n := int32(0)
	for i, c := range w.cells {
		if u := w.units[c.lo]; !u.isLine() && (i == 0 || w.units[w.cells[i-1].lo].set != u.set) {
			first[u.set] = n
			n += int32(len(w.marks.Rows[u.set].Spans))
		}
	}
	place := func(u unit) int32 {
		if u.isLine() {
			return n + u.row
		}
		return first[u.set] + u.first
	}
	at := make([]int32, int(n)+len(w.marks.Lines))
	for i, c := range w.cells {
		at[place(w.units[c.lo])] = int32(i)
	}
	return func(u unit) int32 { return at[place(u)] }
}
