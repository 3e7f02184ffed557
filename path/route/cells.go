package route

import (
	"math"
	"slices"

	"furrow/path"
)

// addRows adds the sweeps of a row set, cut into cells: a cell goes on from a
// row to the next as long as one sweep of it meets one sweep of the next, and
// ends where they split, merge or stop.
func (w *work) addRows(set int32) {
	r := &w.marks.Rows[set]
	b := cellBuilder{w: w, cell: make([]int32, 0, len(r.Spans))}
	for k := range r.NumRows() {
		b.below, b.row = b.row, w.sweeps(b.below[:0], set, int32(k))
		b.next()
	}
	b.finish(set)
}

// cellBuilder walks up the rows of a set, of which it holds two at a time.
type cellBuilder struct {
	w          *work
	below, row []unit  // the row before, and this one
	cell       []int32 // of each unit so far
	sizes      []int32 // of each cell
	met        []met   // by the units of the row before, then of this one
}

// met says how many units of the neighbouring row a unit meets, and one of them.
type met struct{ n, mate int32 }

// next gives the units of a row their cells.
func (b *cellBuilder) next() {
	b.match(b.below, b.row)
	above, before := b.met[len(b.below):], b.cell[len(b.cell)-len(b.below):]
	for i, u := range b.row {
		if m := above[i]; m.n == 1 && b.met[m.mate].n == 1 && b.close(u, b.below[m.mate]) {
			c := before[m.mate]
			b.cell = append(b.cell, c)
			b.sizes[c]++
			continue
		}
		b.cell = append(b.cell, int32(len(b.sizes)))
		b.sizes = append(b.sizes, 1)
	}
}

// detour is how many rows' spacing the ends of two rows may lie apart inside a
// cell. Where a wide part of a shape meets a narrow one, it pays to be free to
// go on at one side only: on letters travel falls by 3 %.
const detour = 20

// close reports whether both ends of two sweeps in neighbouring rows lie so
// close that going on at either is no detour to speak of.
func (b *cellBuilder) close(u, v unit) bool {
	p, q := b.w.extent(u), b.w.extent(v)
	far := detour * b.w.marks.Rows[u.set].Spacing
	return math.Abs(p.X0-q.X0) <= far && math.Abs(p.X1-q.X1) <= far
}

// match fills b.met for two neighbouring rows, both sorted along the row.
func (b *cellBuilder) match(below, above []unit) {
	b.met = append(b.met[:0], make([]met, len(below)+len(above))...)
	for i, j := 0, 0; i < len(below) && j < len(above); {
		p, q := b.w.extent(below[i]), b.w.extent(above[j])
		if p.X0 < q.X1 && q.X0 < p.X1 {
			m := &b.met[i]
			m.n, m.mate = m.n+1, int32(j)
			m = &b.met[len(below)+j]
			m.n, m.mate = m.n+1, int32(i)
		}
		if p.X1 < q.X1 {
			i++
		} else {
			j++
		}
	}
}

// finish hands the units to the work, sorted by cell. They are made once more, which takes
// less than to keep them twice.
func (b *cellBuilder) finish(set int32) {
	w, at := b.w, int32(len(b.w.units))
	w.cells = slices.Grow(w.cells, len(b.sizes))
	next := b.sizes // of each cell: where its next unit goes
	for c, n := range b.sizes {
		next[c] = at
		w.cells = append(w.cells, cell{at, at + n})
		at += n
	}
	w.units = slices.Grow(w.units, len(b.cell))[:at]
	for k := range w.marks.Rows[set].NumRows() {
		b.row = w.sweeps(b.row[:0], set, int32(k))
		for i, u := range b.row {
			c := b.cell[i]
			w.units[next[c]] = u
			next[c]++
		}
		b.cell = b.cell[len(b.row):]
	}
}

// variants returns in how many ways a cell can be marked, not counting that
// each may be reversed where the cell is not directed. A serpentine may start
// at either side of its first row, a closed line at any point; one-way rows
// run up or down.
func (w *work) variants(c cell) int32 {
	u := w.units[c.lo]
	switch {
	case c.len() > 1:
		return 2
	case w.closed(u):
		return int32(len(w.marks.Lines[u.row].Points))
	}
	return 1
}

// directed reports that a cell must be left at side 1.
func (w *work) directed(c cell) bool { return w.oneWay(w.units[c.lo]) }

// cellEnd returns side 0 or 1 of a cell marked in a variant, directed outwards.
func (w *work) cellEnd(c cell, variant, side int32) End {
	if c.len() == 1 {
		return w.end(w.units[c.lo], side, variant)
	}
	e := w.step(c, variant, side*(c.len()-1))
	if side == 1 {
		e ^= 1
	}
	return w.end(w.units[e>>1], e&1, 0)
}

// step returns the i-th unit of a cell marked in a variant, as twice its index
// plus the side it is entered at.
func (w *work) step(c cell, variant, i int32) int32 {
	if !w.directed(c) {
		return 2*(c.lo+i) + (variant^i)&1
	}
	if variant == 0 {
		return 2 * (c.lo + i)
	}
	return 2 * (c.hi - 1 - i)
}

// inner returns the travel inside a cell marked in a variant.
func (w *work) inner(c cell, variant int32) float64 {
	sum := 0.0
	for i := int32(1); i < c.len(); i++ {
		out, in := w.step(c, variant, i-1)^1, w.step(c, variant, i)
		from, to := w.end(w.units[out>>1], out&1, 0), w.end(w.units[in>>1], in&1, 0)
		sum += w.cost.Travel(from, to.reversed())
	}
	return sum
}

// rest returns where the machine stands after leaving e.
func rest(c Cost, e End) path.Point {
	if r, ok := c.(Resting); ok {
		return r.Rest(e)
	}
	return e.At
}
