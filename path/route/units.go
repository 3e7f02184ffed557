package route

import "furrow/path"

// unit is what is marked without leaving it: a sweep (or lone span) of a row,
// or a line. Side 0 of a unit is its first point, side 1 its last.
type unit struct {
	set   int32 // index in Marks.Rows, or -1 for a line
	row   int32 // row of the set, or index in Marks.Lines
	first int32 // first of its spans, index in RowSet.Spans
	n     int32 // number of its spans
}

func (u unit) isLine() bool { return u.set < 0 }

// cell is a run of units that follow each other in adjacent rows and are
// marked one after the other, there and back; or a single unit.
type cell struct{ lo, hi int32 } // in work.units

func (c cell) len() int32 { return c.hi - c.lo }

// work is all that is marked in one phase.
type work struct {
	marks *path.Marks
	cost  Cost
	units []unit
	cells []cell
}

// newWork collects what marks has of a phase.
func newWork(marks *path.Marks, cost Cost, phase int) *work {
	w := &work{marks: marks, cost: cost}
	for i := range marks.Rows {
		if marks.Rows[i].Phase == phase {
			w.addRows(int32(i))
		}
	}
	for i := range marks.Lines {
		if l := &marks.Lines[i]; l.Phase == phase && len(l.Points) > 0 {
			n := int32(len(w.units))
			w.units = append(w.units, unit{set: -1, row: int32(i)})
			w.cells = append(w.cells, cell{n, n + 1})
		}
	}
	return w
}

// sweeps appends to units the sweeps of row k.
func (w *work) sweeps(units []unit, set, k int32) []unit {
	r := &w.marks.Rows[set]
	for s := r.Start[k]; s < r.Start[k+1]; {
		u := unit{set: set, row: k, first: s, n: 1}
		for s++; s < r.Start[k+1] && w.sweptGap(r, r.Spans[s].X0-r.Spans[s-1].X1); s++ {
			u.n++
		}
		units = append(units, u)
	}
	return units
}

func (w *work) sweptGap(r *path.RowSet, gap float64) bool {
	if c, ok := w.cost.(RowCost); ok {
		return c.SweepAlong(r.Dir, gap, r.Setting)
	}
	return w.cost.Sweep(gap, r.Setting)
}

// extent returns where a sweep begins and ends along its row.
func (w *work) extent(u unit) path.Span {
	s := w.marks.Rows[u.set].Spans
	return path.Span{X0: s[u.first].X0, X1: s[u.first+u.n-1].X1}
}

// oneWay reports that a unit may only be marked from side 0 to side 1.
func (w *work) oneWay(u unit) bool { return !u.isLine() && w.marks.Rows[u.set].OneWay }

// closed reports that a unit may be started at any of its points.
func (w *work) closed(u unit) bool { return u.isLine() && w.marks.Lines[u.row].Closed }

// end returns a side of a unit, directed outwards. start is the point at which
// a closed line starts and ends.
func (w *work) end(u unit, side, start int32) End {
	if u.isLine() {
		return w.lineEnd(&w.marks.Lines[u.row], side, start)
	}
	r, x := &w.marks.Rows[u.set], w.extent(u)
	if side == 0 {
		dir := path.Point{X: -r.Dir.X, Y: -r.Dir.Y}
		return End{At: r.At(int(u.row), x.X0), Dir: dir, Setting: uint16(r.Setting)}
	}
	return End{At: r.At(int(u.row), x.X1), Dir: r.Dir, Setting: uint16(r.Setting)}
}

// roomPieces is how many pieces of a line are looked at for how fast it may be
// entered.
const roomPieces = 4

func (w *work) lineEnd(l *path.Line, side, start int32) End {
	n := int32(len(l.Points))
	at, step := start, int32(-1) // side 1 is reached from the point before
	if side == 0 {
		step = 1
	}
	if !l.Closed {
		at = (n - 1) * side
	}
	e := End{At: l.Points[at], Setting: uint16(l.Setting), Kind: path.LineStroke}
	last, pieces := e.At, 0
	for k := int32(1); k < n && pieces < roomPieces; k++ {
		next := l.Points[(at+k*step+n)%n]
		d := last.Sub(next)
		length := d.Len()
		if length == 0 {
			continue
		}
		if pieces == 0 {
			e.Dir = d.Mul(1 / length)
		}
		e.Room += length
		last = next
		pieces++
	}
	return e
}

// free reports that nothing has to be marked in one direction, or before
// something else.
func (w *work) free() bool {
	for _, c := range w.cells {
		if w.directed(c) {
			return false
		}
	}
	return newWaits(w).next == nil
}
