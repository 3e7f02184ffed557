package path

import "math"

// maxPieces bounds the pieces of one curve, against absurd tolerances.
const maxPieces = 1 << 16

// Flatten calls line for each subpath of p as a polyline whose distance from
// the curve is at most tolerance (mm, above 0). closed reports that the
// subpath ended in Close; the first point is then not repeated. The slice is
// only valid during the call.
func (p Path) Flatten(tolerance float64, line func(pts []Point, closed bool)) {
	f := flattener{tolerance: tolerance, line: line}
	i := 0
	for _, v := range p.Verbs {
		f.segment(v, p.Points[i:i+v.NumPoints()])
		i += v.NumPoints()
	}
	f.flush(false)
}

type flattener struct {
	tolerance float64
	line      func([]Point, bool)
	pts       []Point
	start     Point // of the current subpath, where a segment after Close begins
	started   bool
}

func (f *flattener) segment(v Verb, pts []Point) {
	if v != MoveTo && v != Close && len(f.pts) == 0 && f.started {
		f.pts = append(f.pts, f.start)
	}
	switch v {
	case MoveTo:
		f.flush(false)
		f.start, f.started = pts[0], true
		f.pts = append(f.pts, pts[0])
	case LineTo:
		f.pts = append(f.pts, pts[0])
	case QuadTo:
		f.quad(pts)
	case CubeTo:
		f.cube(pts)
	case ArcTo:
		f.arc(pts)
	case Close:
		f.flush(true)
	}
}

func (f *flattener) flush(closed bool) {
	if len(f.pts) > 0 {
		f.line(f.pts, closed)
	}
	f.pts = f.pts[:0]
}

func (f *flattener) last() Point { return f.pts[len(f.pts)-1] }

// quad cuts evenly in the parameter: the chord error of a piece of length h is
// at most h²/8 times the second derivative, which is constant.
func (f *flattener) quad(pts []Point) {
	a, b, c := f.last(), pts[0], pts[1]
	second := a.Sub(b.Mul(2)).Add(c).Mul(2).Len()
	n := pieces(math.Sqrt(second / (8 * f.tolerance)))
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		f.pts = append(f.pts, a.Lerp(b, t).Lerp(b.Lerp(c, t), t))
	}
	f.pts = append(f.pts, c)
}

// cube bounds the second derivative by that at the two ends, between which it
// is linear.
func (f *flattener) cube(pts []Point) {
	a, b, c, d := f.last(), pts[0], pts[1], pts[2]
	s0 := a.Sub(b.Mul(2)).Add(c).Len()
	s1 := b.Sub(c.Mul(2)).Add(d).Len()
	n := pieces(math.Sqrt(6 * max(s0, s1) / (8 * f.tolerance)))
	for i := 1; i < n; i++ {
		t := float64(i) / float64(n)
		ab, bc, cd := a.Lerp(b, t), b.Lerp(c, t), c.Lerp(d, t)
		f.pts = append(f.pts, ab.Lerp(bc, t).Lerp(bc.Lerp(cd, t), t))
	}
	f.pts = append(f.pts, d)
}

// arc cuts evenly in the angle; the chord error is at most r(1 − cos(h/2)) for
// r no less than the longer half-axis, which √(|u|²+|v|²) is.
func (f *flattener) arc(pts []Point) {
	c, u, v := pts[0], pts[1], pts[2]
	start, sweep := pts[3].X, pts[3].Y
	r := longAxis(u, v)
	step := 2 * math.Acos(max(-1, 1-f.tolerance/r))
	n := pieces(math.Abs(sweep) / step)
	for i := 1; i < n; i++ {
		f.pts = append(f.pts, arcAt(c, u, v, start+sweep*float64(i)/float64(n)))
	}
	f.pts = append(f.pts, pts[4])
}

// longAxis returns the longer half-axis of the ellipse with conjugate
// half-axes u and v: the larger singular value of the matrix [u v].
func longAxis(u, v Point) float64 {
	sum, diff := u.Dot(u)+v.Dot(v), u.Dot(u)-v.Dot(v)
	return math.Sqrt((sum + math.Hypot(diff, 2*u.Dot(v))) / 2)
}

// pieces rounds a wanted number of pieces up to 1..maxPieces; NaN becomes 1. A
// whole number that rounding has raised a little stays what it was, so that a
// turned curve is cut like the original.
func pieces(n float64) int {
	if !(n > 1) {
		return 1
	}
	n = min(n, maxPieces)
	return int(math.Ceil(n - float64(n*1e-12)))
}
