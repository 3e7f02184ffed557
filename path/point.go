package path

import "math"

// Point is a place, or a vector, in millimetres.
type Point struct{ X, Y float64 }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by f.
func (p Point) Mul(f float64) Point { return Point{float64(p.X * f), float64(p.Y * f)} }

// Dot returns the scalar product of p and q.
func (p Point) Dot(q Point) float64 { return float64(p.X*q.X) + float64(p.Y*q.Y) }

// Cross returns the signed area of the parallelogram of p and q, positive
// where q lies counter-clockwise of p.
func (p Point) Cross(q Point) float64 { return float64(p.X*q.Y) - float64(p.Y*q.X) }

// Len returns the length of the vector p. Unlike math.Hypot it does not guard
// against overflow, which coordinates below 1e150 cannot reach.
func (p Point) Len() float64 { return math.Sqrt(float64(p.X*p.X) + float64(p.Y*p.Y)) }

// Dist returns the distance between p and q.
func (p Point) Dist(q Point) float64 { return p.Sub(q).Len() }

// Lerp returns the point at t of the way from p to q; below 0 and above 1 it lies
// beyond them.
func (p Point) Lerp(q Point, t float64) Point {
	return Point{p.X + float64((q.X-p.X)*t), p.Y + float64((q.Y-p.Y)*t)}
}

// Finite reports that neither coordinate is NaN or infinite.
func (p Point) Finite() bool {
	return !math.IsNaN(p.X-p.X) && !math.IsNaN(p.Y-p.Y)
}

// Rect is an axis-parallel rectangle, Min below and left of Max. The zero
// value is a single point at the origin; an empty set of points has EmptyRect.
type Rect struct{ Min, Max Point }

// EmptyRect returns the bounds of nothing: the identity of Union.
func EmptyRect() Rect {
	inf := math.Inf(1)
	return Rect{Point{inf, inf}, Point{-inf, -inf}}
}

// BoundsOf returns the smallest rectangle round points.
func BoundsOf(pts []Point) Rect {
	r := EmptyRect()
	for _, p := range pts {
		r = r.Include(p)
	}
	return r
}

// Empty reports that r holds no point.
func (r Rect) Empty() bool { return r.Min.X > r.Max.X || r.Min.Y > r.Max.Y }

// W returns the width of r, 0 when empty.
func (r Rect) W() float64 { return max(0, r.Max.X-r.Min.X) }

// H returns the height of r, 0 when empty.
func (r Rect) H() float64 { return max(0, r.Max.Y-r.Min.Y) }

// Centre returns the middle of r.
func (r Rect) Centre() Point { return Point{(r.Min.X + r.Max.X) / 2, (r.Min.Y + r.Max.Y) / 2} }

// Include returns the smallest rectangle round r and p.
func (r Rect) Include(p Point) Rect {
	return Rect{
		Point{min(r.Min.X, p.X), min(r.Min.Y, p.Y)},
		Point{max(r.Max.X, p.X), max(r.Max.Y, p.Y)},
	}
}

// Union returns the smallest rectangle round r and s.
func (r Rect) Union(s Rect) Rect {
	if s.Empty() {
		return r
	}
	return r.Include(s.Min).Include(s.Max)
}

// Intersect returns what r and s share, empty where they are apart.
func (r Rect) Intersect(s Rect) Rect {
	return Rect{
		Point{max(r.Min.X, s.Min.X), max(r.Min.Y, s.Min.Y)},
		Point{min(r.Max.X, s.Max.X), min(r.Max.Y, s.Max.Y)},
	}
}

// Move returns r moved by d.
func (r Rect) Move(d Point) Rect { return Rect{r.Min.Add(d), r.Max.Add(d)} }

// Grow returns r with every side moved outwards by d.
func (r Rect) Grow(d float64) Rect {
	return Rect{Point{r.Min.X - d, r.Min.Y - d}, Point{r.Max.X + d, r.Max.Y + d}}
}
