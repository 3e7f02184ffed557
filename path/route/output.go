package route

import (
	"slices"

	"furrow/path"
)

// trail adds up what the travel between units costs that are marked in turn.
type trail struct {
	cost        Cost
	begun       bool
	first, last End // of the units so far: first directed inwards, last outwards
	travel      float64
}

// add goes on to a unit that is entered at side. start is where a closed line starts.
func (t *trail) add(w *work, u unit, side, start int32) {
	in := w.end(u, side, start).reversed()
	if t.begun {
		t.travel += t.cost.Travel(t.last, in)
	} else {
		t.begun, t.first = true, in
	}
	t.last = w.end(u, side^1, start)
}

// output makes the program and adds up what its travel costs.
type output struct {
	trail
	program path.Program
	sweep   int32
}

// newOutput begins a program of marks.
func newOutput(marks *path.Marks, cost Cost) *output {
	o := &output{trail: trail{cost: cost}}
	o.program.Settings, o.program.ToleranceMM = marks.Settings, marks.ToleranceMM
	return o
}

// room makes room for everything in marks, in the memory of a used program where that
// does: not before a sequence is found, which takes memory of its own.
func (o *output) room(marks *path.Marks, used path.Program) {
	if o.program.Strokes != nil {
		return
	}
	strokes, points := len(marks.Lines), 0
	for i := range marks.Rows {
		strokes += len(marks.Rows[i].Spans)
		points += 2 * len(marks.Rows[i].Spans)
	}
	for i := range marks.Lines {
		points += len(marks.Lines[i].Points) + 1
	}
	o.program.Points = slices.Grow(used.Points[:0], points)
	o.program.Strokes = slices.Grow(used.Strokes[:0], strokes)
}

// add appends a unit entered at side. start is where a closed line starts.
func (o *output) add(w *work, u unit, side, start int32) {
	o.trail.add(w, u, side, start)
	if u.isLine() {
		o.line(&w.marks.Lines[u.row], side, start)
		return
	}
	o.spans(&w.marks.Rows[u.set], u, side)
}

func (o *output) spans(r *path.RowSet, u unit, side int32) {
	s := path.Stroke{Setting: uint16(r.Setting), Kind: path.SpanStroke}
	if u.n > 1 {
		o.sweep++
		s.Sweep = o.sweep
	}
	for i := range u.n {
		if side == 0 {
			x := r.Spans[u.first+i]
			o.program.Append(s, r.At(int(u.row), x.X0), r.At(int(u.row), x.X1))
		} else {
			x := r.Spans[u.first+u.n-1-i]
			o.program.Append(s, r.At(int(u.row), x.X1), r.At(int(u.row), x.X0))
		}
	}
}

func (o *output) line(l *path.Line, side, start int32) {
	n := int32(len(l.Points))
	first, step, count := start, int32(1), n+1
	if !l.Closed {
		first, count = side*(n-1), n
	}
	if side == 1 {
		step = -1
	}
	s := path.Stroke{Setting: uint16(l.Setting), Kind: path.LineStroke, First: int32(len(o.program.Points)), Len: count}
	for i, at := int32(0), first; i < count; i++ {
		o.program.Points = append(o.program.Points, l.Points[at])
		at = (at + step + n) % n
	}
	o.program.Strokes = append(o.program.Strokes, s)
}
