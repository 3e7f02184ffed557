package route

// serpentine returns the plan to mark the units of a phase as they come: row after row,
// there and back, each direction of a cross-hatch after the other, then the lines. Every
// cell of w is a unit.
func (w *work) serpentine(phase int) plan {
	cellOf := make([]int32, len(w.units))
	for i, c := range w.cells {
		cellOf[c.lo] = int32(i)
	}
	p := plan{seq: make([]int32, 0, len(w.cells)), variant: make([]int32, len(w.cells))}
	side := int32(0)
	for at := 0; at < len(w.inRow); {
		row := w.rowAt(at)
		if first := &w.units[row[0]]; at == 0 || w.units[w.inRow[at-1]].set != first.set || w.oneWay(*first) {
			side = 0
		}
		for k := range row {
			if side == 1 {
				k = len(row) - 1 - k
			}
			p.seq = append(p.seq, 2*cellOf[row[k]]+side)
		}
		side ^= 1
		at += len(row)
	}
	return w.thenLines(p, cellOf, phase)
}

// rowAt returns the units of the row that begins at place at of inRow.
func (w *work) rowAt(at int) []int32 {
	n, first := at+1, &w.units[w.inRow[at]]
	for n < len(w.inRow) && w.units[w.inRow[n]].row == first.row && w.units[w.inRow[n]].set == first.set {
		n++
	}
	return w.inRow[at:n]
}

// thenLines adds the lines of a phase, each ahead of its Before.
func (w *work) thenLines(p plan, cellOf []int32, phase int) plan {
	at := map[int32]int32{}
	for u := len(w.inRow); u < len(w.units); u++ {
		at[w.units[u].row] = cellOf[u]
	}
	for _, l := range lineSequence(w.marks.Lines, phase) {
		p.seq = append(p.seq, 2*at[l])
	}
	return p
}

// total returns what the ways of a plan cost, from where it begins to where it ends.
// Every cell of w is a unit.
func (w *work) total(p plan, at ends) float64 {
	sum, last := 0.0, at.from
	for _, e := range p.seq {
		c, v := w.cells[e>>1], p.variant[e>>1]
		if last != nil {
			sum += w.cost.Travel(*last, w.cellEnd(c, v, e&1).reversed())
		}
		out := w.cellEnd(c, v, e&1^1)
		last = &out
	}
	switch {
	case last == nil:
	case at.cyclic && len(p.seq) > 0:
		first := p.seq[0]
		sum += w.cost.Travel(*last, w.cellEnd(w.cells[first>>1], p.variant[first>>1], first&1).reversed())
	case at.to != nil:
		sum += w.cost.Travel(*last, *at.to)
	}
	return sum
}

// cheaper returns a plan, or the serpentine where that costs less.
func (w *work) cheaper(p plan, at ends, phase int) plan {
	if q := w.serpentine(phase); w.total(q, at) < w.total(p, at) {
		return q
	}
	return p
}
