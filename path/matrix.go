package path

import "math"

// Matrix is the affine map x' = A·x + C·y + E, y' = B·x + D·y + F, with the
// letters of SVG's matrix(). Identity is the neutral one; the zero value maps
// everything to the origin.
type Matrix struct{ A, B, C, D, E, F float64 }

// Identity maps every point to itself.
var Identity = Matrix{A: 1, D: 1}

// Translate returns a shift by (x, y).
func Translate(x, y float64) Matrix { return Matrix{1, 0, 0, 1, x, y} }

// Scale returns a scaling about the origin.
func Scale(x, y float64) Matrix { return Matrix{x, 0, 0, y, 0, 0} }

// Rotate returns a counter-clockwise turn about the origin (Y up), exact for
// multiples of 90 degrees.
func Rotate(degrees float64) Matrix {
	s, c := SinCos(degrees)
	return Matrix{c, s, -s, c, 0, 0}
}

// SinCos returns the sine and cosine of an angle in degrees, exact for
// multiples of 90 degrees. The angle is reduced before it becomes radians, so
// that 720 is the same as 0.
func SinCos(degrees float64) (sin, cos float64) {
	switch r := math.Mod(degrees, 360); r {
	case 0:
		return 0, 1
	case 90, -270:
		return 1, 0
	case 180, -180:
		return 0, -1
	case 270, -90:
		return -1, 0
	default:
		return math.Sincos(r * math.Pi / 180)
	}
}

// Mul returns the map that applies n first, then m.
func (m Matrix) Mul(n Matrix) Matrix {
	return Matrix{
		A: float64(m.A*n.A) + float64(m.C*n.B),
		B: float64(m.B*n.A) + float64(m.D*n.B),
		C: float64(m.A*n.C) + float64(m.C*n.D),
		D: float64(m.B*n.C) + float64(m.D*n.D),
		E: float64(m.A*n.E) + float64(m.C*n.F) + m.E,
		F: float64(m.B*n.E) + float64(m.D*n.F) + m.F,
	}
}

// Apply maps a point.
func (m Matrix) Apply(p Point) Point {
	return Point{
		float64(m.A*p.X) + float64(m.C*p.Y) + m.E,
		float64(m.B*p.X) + float64(m.D*p.Y) + m.F,
	}
}

// ApplyVector maps a direction: Apply without the shift.
func (m Matrix) ApplyVector(p Point) Point {
	return Point{
		float64(m.A*p.X) + float64(m.C*p.Y),
		float64(m.B*p.X) + float64(m.D*p.Y),
	}
}

// Det returns the factor by which m scales areas, negative for a mirror.
func (m Matrix) Det() float64 { return float64(m.A*m.D) - float64(m.B*m.C) }

// Inverse returns the map that undoes m; ok is false where m maps areas to
// nothing.
func (m Matrix) Inverse() (n Matrix, ok bool) {
	det := m.Det()
	if !(math.Abs(det) > 0) || math.IsInf(det, 0) {
		return Matrix{}, false
	}
	n = Matrix{A: m.D / det, B: -m.B / det, C: -m.C / det, D: m.A / det}
	n.E, n.F = -float64(n.A*m.E)-float64(n.C*m.F), -float64(n.B*m.E)-float64(n.D*m.F)
	return n, true
}

// meanScale returns the factor by which m scales lengths on average.
func (m Matrix) meanScale() float64 { return math.Sqrt(math.Abs(m.Det())) }
