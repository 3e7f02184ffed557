package density

import (
	"furrow/path"
	"furrow/raster/grid"
)

// tracer lays strokes as a round spot leaves them: a polyline covers a place
// once, however its pieces meet, and its corners are filled.
type tracer struct {
	brushOf   brushes
	roundEnds bool        // each mark reaches half its width past its ends
	curved    bool        // polylines stand for curves: every bend is filled, however slight
	brush     *grid.Brush // of the stroke at work
	whole     *Layer      // of the polyline at work; zero between two
	touched   []run
}

// run is n pixels of row y, from x on.
type run struct{ y, x, n int }

func newTracer(g grid.Grid, brushOf brushes) *tracer {
	return &tracer{brushOf: brushOf, whole: &Layer{Grid: g}}
}

// all lays all strokes of a program.
func (t *tracer) all(prog path.Program, to grid.Cover) {
	for i, s := range prog.Strokes {
		pts := prog.PointsOf(i)
		t.take(s, pts)
		t.line(pts, to)
	}
}

// take takes up the brush of a stroke.
func (t *tracer) take(s path.Stroke, pts []path.Point) { t.brush = t.brushOf(s, pts) }

// line lays a polyline, or a dot where it has no length.
func (t *tracer) line(pts []path.Point, to grid.Cover) {
	switch {
	case len(pts) == 0:
	case lengthOf(pts) == 0:
		t.brush.Dot(pts[0], to)
	case len(pts) == 2 && !t.roundEnds:
		t.brush.Mark(pts[0], pts[1], to)
	default:
		t.pieces(pts)
		t.flush(to)
	}
}

// pieces gathers the pieces of a polyline and its corners.
func (t *tracer) pieces(pts []path.Point) {
	if t.whole.Value == nil {
		t.whole = newLayer(t.whole.Grid)
	}
	last := len(pts) - 1
	if t.roundEnds && pts[0] != pts[last] {
		t.brush.Dot(pts[0], t.gather)
		t.brush.Dot(pts[last], t.gather)
	}
	for j := 1; j <= last; j++ {
		t.brush.Mark(pts[j-1], pts[j], t.gather)
		next := pts[min(j+1, last)]
		if j == last && pts[0] == pts[last] {
			next = pts[1]
		}
		if t.curved && j < last || isCorner(pts[j-1], pts[j], next) {
			t.brush.Dot(pts[j], t.gather)
		}
	}
}

// isCorner reports that the way turns by 20 degrees or more at b.
func isCorner(a, b, c path.Point) bool {
	const cos20 = 0.94
	u, v := b.Sub(a), c.Sub(b)
	return u.Dot(v) < cos20*u.Len()*v.Len()
}

func (t *tracer) gather(y, x int, cover []float32) {
	row := t.whole.Value[y*t.whole.W+x:][:len(cover)]
	for i, c := range cover {
		row[i] = min(1, row[i]+c)
	}
	t.touched = append(t.touched, run{y, x, len(cover)})
}

// flush hands on what was gathered, each pixel once.
func (t *tracer) flush(to grid.Cover) {
	for _, r := range t.touched {
		row := t.whole.Value[r.y*t.whole.W+r.x:][:r.n]
		to(r.y, r.x, row)
		clear(row)
	}
	t.touched = t.touched[:0]
}
