package route

import (
	"furrow/path"
)

// plan is a sequence of the cells of a work: twice the index of each, plus the
// side it is entered at; and the variant each cell is marked in.
type plan struct {
	seq     []int32
	variant []int32
}

// sides returns at how many sides a cell may be entered in each variant.
func (w *work) sides(c cell) int32 {
	if w.directed(c) || w.closed(w.units[c.lo]) {
		return 1
	}
	return 2
}

// places are the ways to enter cells, variant by variant and side by side.
type places struct {
	at    []path.Point // where the machine stands before each
	cell  []int32      // of each
	first []int32      // those of cell c are first[c] to first[c+1]
}

func (w *work) places() places {
	n := 0
	for _, c := range w.cells {
		n += int(w.variants(c) * w.sides(c))
	}
	p := places{at: make([]path.Point, 0, n), cell: make([]int32, 0, n), first: make([]int32, 0, len(w.cells)+1)}
	for i, c := range w.cells {
		p.first = append(p.first, int32(len(p.at)))
		for v := range w.variants(c) {
			for s := range w.sides(c) {
				p.at = append(p.at, rest(w.cost, w.cellEnd(c, v, s)))
				p.cell = append(p.cell, int32(i))
			}
		}
	}
	p.first = append(p.first, int32(len(p.at)))
	return p
}

// greedy sequences the cells by always going on to the nearest way into one
// that is left, of those that nothing has to come before. It begins at from,
// or where the first cell begins.
func (w *work) greedy(from *End) plan {
	p := plan{seq: make([]int32, 0, len(w.cells)), variant: make([]int32, len(w.cells))}
	if len(w.cells) == 0 {
		return p
	}
	all := w.places()
	here := all.at[0]
	tree := newKDTree(all.at, nil)
	set := func(c int32, live bool) {
		for i := all.first[c]; i < all.first[c+1]; i++ {
			tree.set(i, live)
		}
	}
	waits := newWaits(w)
	for c, n := range waits.missing {
		if n > 0 {
			set(int32(c), false)
		}
	}
	if from != nil {
		here = rest(w.cost, *from)
	}
	for range w.cells {
		i := tree.nearest(here)
		c := all.cell[i]
		sides := w.sides(w.cells[c])
		variant, side := (i-all.first[c])/sides, (i-all.first[c])%sides
		p.seq = append(p.seq, 2*c+side)
		p.variant[c] = variant
		set(c, false)
		if next, ok := waits.done(c); ok {
			set(next, true)
		}
		here = rest(w.cost, w.cellEnd(w.cells[c], variant, side^1))
	}
	return p
}

// waits knows which cells of a work have to come before which.
type waits struct {
	next    []int32 // the cell that each comes before, or -1; nil when none has to
	missing []int32 // how many cells each still waits for; nil when none has to
}

func newWaits(w *work) waits {
	cellOf := map[int32]int32{} // of a line
	constrained := false
	for i, c := range w.cells {
		if u := w.units[c.lo]; u.isLine() {
			cellOf[u.row] = int32(i)
			constrained = constrained || w.marks.Lines[u.row].Before >= 0
		}
	}
	if !constrained {
		return waits{}
	}
	s := waits{next: make([]int32, len(w.cells)), missing: make([]int32, len(w.cells))}
	for i, c := range w.cells {
		s.next[i] = -1
		if u := w.units[c.lo]; u.isLine() && w.marks.Lines[u.row].Before >= 0 {
			if n, ok := cellOf[int32(w.marks.Lines[u.row].Before)]; ok {
				s.next[i] = n
				s.missing[n]++
			}
		}
	}
	return s
}

// done takes note that cell c has been sequenced and returns a cell that waited
// for nothing else.
func (s *waits) done(c int32) (next int32, ok bool) {
	if s.next == nil || s.next[c] < 0 {
		return 0, false
	}
	next = s.next[c]
	s.missing[next]--
	return next, s.missing[next] == 0
}

// split returns the same work in cells of rows rows at most, and p for it.
func (w *work) split(p plan, rows int32) (*work, plan) {
	s := *w
	s.cells = make([]cell, 0, len(w.cells))
	q := plan{}
	first := make([]int32, len(w.cells)) // piece of each cell
	for i, c := range w.cells {
		first[i] = int32(len(s.cells))
		for at := int32(0); at < c.len(); at += rows {
			piece, v := w.piece(c, p.variant[i], at, min(at+rows, c.len()))
			s.cells = append(s.cells, piece)
			q.variant = append(q.variant, v)
		}
	}
	q.seq = make([]int32, 0, len(s.cells))
	for _, e := range p.seq {
		c, v := w.cells[e>>1], p.variant[e>>1]
		n := (c.len() + rows - 1) / rows
		for k := range n {
			if e&1 == 1 {
				k = n - 1 - k
			}
			in := 2*(first[e>>1]+k) + e&1
			if c.len() > 1 && s.cells[in>>1].len() == 1 {
				in = in&^1 | (w.step(c, v, k*rows)^e)&1
			}
			q.seq = append(q.seq, in)
		}
	}
	return &s, q
}

// piece returns the steps from to up to to of a cell marked in a variant as a
// cell of their own, and the variant of that. A single unit has but one, and
// is entered as step says.
func (w *work) piece(c cell, variant, from, to int32) (cell, int32) {
	switch {
	case c.len() == 1:
		return c, variant
	case w.directed(c) && variant == 1:
		c.lo, c.hi = c.hi-to, c.hi-from
	default:
		c.lo, c.hi = c.lo+from, c.lo+to
		if !w.directed(c) {
			variant = (variant ^ from) & 1
		}
	}
	if c.len() == 1 {
		variant = 0
	}
	return c, variant
}

// owners returns the cell of every unit, or nil where every unit is a cell.
func (w *work) owners() []int32 {
	if len(w.cells) == len(w.units) {
		return nil
	}
	owner := make([]int32, len(w.units))
	for i, c := range w.cells {
		for u := c.lo; u < c.hi; u++ {
			owner[u] = int32(i)
		}
	}
	return owner
}

// groups returns the owner of every cell, or nil if every unit is its own.
func (w *work) groups(owner []int32) []int32 {
	if owner == nil {
		return nil
	}
	g := make([]int32, len(w.cells))
	for i, c := range w.cells {
		g[i] = owner[c.lo]
	}
	return g
}
