package path

import "math"

// Verb is a kind of path segment.
type Verb uint8

// The verbs, with the points each takes from Path.Points.
const (
	MoveTo Verb = iota // 1: the start of a subpath
	LineTo             // 1: end
	QuadTo             // 2: control, end
	CubeTo             // 3: two controls, end
	ArcTo              // 5: centre, two half-axes u and v, (start, sweep) in radians, end
	Close              // 0
)

var verbPoints = [...]int{MoveTo: 1, LineTo: 1, QuadTo: 2, CubeTo: 3, ArcTo: 5, Close: 0}

// NumPoints returns how many of Path.Points the verb takes.
func (v Verb) NumPoints() int { return verbPoints[v] }

// Path is a sequence of subpaths. Its end points and controls are in
// millimetres, except the fourth point of an ArcTo, which holds two angles:
// the arc is centre + u·cos t + v·sin t for t from start to start+sweep, so
// that an affine map of an arc is again an arc, exactly.
type Path struct {
	Verbs  []Verb
	Points []Point
}

// Empty reports that p draws nothing.
func (p Path) Empty() bool { return len(p.Verbs) == 0 }

// MoveTo starts a subpath.
func (p *Path) MoveTo(q Point) { p.add(MoveTo, q) }

// LineTo draws a straight segment.
func (p *Path) LineTo(q Point) { p.add(LineTo, q) }

// QuadTo draws a quadratic Bézier segment.
func (p *Path) QuadTo(c, q Point) { p.add(QuadTo, c, q) }

// CubeTo draws a cubic Bézier segment.
func (p *Path) CubeTo(c, d, q Point) { p.add(CubeTo, c, d, q) }

// ArcTo draws a piece of an ellipse given by its centre and two conjugate
// half-axes, from angle start over sweep radians, to q.
func (p *Path) ArcTo(centre, u, v Point, start, sweep float64, q Point) {
	p.add(ArcTo, centre, u, v, Point{start, sweep}, q)
}

// Close closes the current subpath.
func (p *Path) Close() { p.add(Close) }

func (p *Path) add(v Verb, pts ...Point) {
	p.Verbs = append(p.Verbs, v)
	p.Points = append(p.Points, pts...)
}

// Transform returns p mapped by m.
func (p Path) Transform(m Matrix) Path {
	q := Path{Verbs: p.Verbs, Points: make([]Point, len(p.Points))}
	i := 0
	for _, v := range p.Verbs {
		for j := range v.NumPoints() {
			switch {
			case v != ArcTo || j == 0 || j == 4:
				q.Points[i] = m.Apply(p.Points[i])
			case j == 3: // angles, not a place
				q.Points[i] = p.Points[i]
			default:
				q.Points[i] = m.ApplyVector(p.Points[i])
			}
			i++
		}
	}
	return q
}

// Bounds returns a rectangle round p: exact for lines and arcs, the controls'
// for Bézier segments. An empty path has EmptyRect.
func (p Path) Bounds() Rect {
	r := EmptyRect()
	i := 0
	for _, v := range p.Verbs {
		pts := p.Points[i : i+v.NumPoints()]
		i += v.NumPoints()
		if v == ArcTo {
			r = r.Union(arcBounds(pts))
			continue
		}
		for _, q := range pts {
			r = r.Include(q)
		}
	}
	return r
}

func arcBounds(pts []Point) Rect {
	c, u, v := pts[0], pts[1], pts[2]
	start, sweep := pts[3].X, pts[3].Y
	r := EmptyRect().Include(arcAt(c, u, v, start)).Include(pts[4])
	for _, t := range [...]float64{math.Atan2(v.X, u.X), math.Atan2(v.Y, u.Y)} {
		for _, extreme := range [...]float64{t, t + math.Pi} {
			if angleWithin(extreme, start, sweep) {
				r = r.Include(arcAt(c, u, v, extreme))
			}
		}
	}
	return r
}

func angleWithin(t, start, sweep float64) bool {
	if sweep < 0 {
		start, sweep = start+sweep, -sweep
	}
	d := math.Mod(t-start, 2*math.Pi)
	if d < 0 {
		d += 2 * math.Pi
	}
	return d <= sweep
}

func arcAt(c, u, v Point, t float64) Point {
	s, k := math.Sincos(t)
	return Point{
		c.X + float64(u.X*k) + float64(v.X*s),
		c.Y + float64(u.Y*k) + float64(v.Y*s),
	}
}
