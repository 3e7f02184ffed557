package path

import "math"

// Form is a rectangle, or the circle or oval that fits it, turned about its middle by Turn
// degrees counter-clockwise.
type Form struct {
	Rect  Rect
	Round bool
	Turn  float64
}

// half returns the form's half width and half height.
func (f Form) half() Point { return Point{X: f.Rect.W() / 2, Y: f.Rect.H() / 2} }

// Bounds returns the rectangle round the form as it lies.
func (f Form) Bounds() Rect {
	if f.Turn == 0 {
		return f.Rect
	}
	turn, c := Rotate(f.Turn), f.Rect.Centre()
	u, v := turn.ApplyVector(Point{X: f.half().X}), turn.ApplyVector(Point{Y: f.half().Y})
	half := Point{X: math.Abs(u.X) + math.Abs(v.X), Y: math.Abs(u.Y) + math.Abs(v.Y)}
	if f.Round {
		half = Point{X: math.Hypot(u.X, v.X), Y: math.Hypot(u.Y, v.Y)}
	}
	return Rect{Min: c.Sub(half), Max: c.Add(half)}
}

// Beyond tells how far points reach past the edge, and which of them does most; 0 where none
// does. Of a rectangle it is how far past one of its sides, of an oval how far on the ray
// from its middle, which is no less than to its nearest edge.
func (f Form) Beyond(pts ...Point) (mm float64, at Point) {
	half, back, c := f.half(), Rotate(-f.Turn), f.Rect.Centre()
	for _, p := range pts {
		if past := beyond(back.ApplyVector(p.Sub(c)), half, f.Round); past > mm {
			mm, at = past, p
		}
	}
	return mm, at
}

// Share returns how far out the outermost of points lies, of the way from the middle to the
// edge: 1 on it, and 0 of none.
func (f Form) Share(pts ...Point) (most float64) {
	half, back, c := f.half(), Rotate(-f.Turn), f.Rect.Centre()
	for _, p := range pts {
		d := back.ApplyVector(p.Sub(c))
		d = Point{X: math.Abs(d.X) / half.X, Y: math.Abs(d.Y) / half.Y}
		share := max(d.X, d.Y)
		if f.Round {
			share = math.Hypot(d.X, d.Y)
		}
		most = max(most, share)
	}
	return most
}

// Scaled returns the form k times as large about its middle.
func (f Form) Scaled(k float64) Form {
	half, c := f.half().Mul(k), f.Rect.Centre()
	f.Rect = Rect{Min: c.Sub(half), Max: c.Add(half)}
	return f
}

// beyond is how far d, from the middle of a form that is not turned, reaches past it; 0 or
// less inside.
func beyond(d, half Point, round bool) float64 {
	if !round {
		return max(math.Abs(d.X)-half.X, math.Abs(d.Y)-half.Y)
	}
	k := math.Hypot(d.X/half.X, d.Y/half.Y)
	if !(k > 1) {
		return 0
	}
	return d.Len() * (1 - 1/k)
}

// Chord returns how far it is on the line from a point along a direction of length 1 to where
// the form ends, behind it and ahead of it; both are 0 where the line misses it, or the
// point lies off it. It is of a circle or oval alone.
func (f Form) Chord(from, along Point) (behind, ahead float64) {
	half, back := f.half(), Rotate(-f.Turn)
	p, d := back.ApplyVector(from.Sub(f.Rect.Centre())), back.ApplyVector(along)
	if !(half.X > 0 && half.Y > 0) {
		return 0, 0
	}
	// In half axes the edge is where |p + t·d| is 1, a quadratic in t.
	p, d = Point{X: p.X / half.X, Y: p.Y / half.Y}, Point{X: d.X / half.X, Y: d.Y / half.Y}
	a, b, c := d.Dot(d), p.Dot(d), p.Dot(p)-1
	if c > 0 || !(a > 0) {
		return 0, 0
	}
	root := math.Sqrt(b*b - a*c)
	return (root + b) / a, (root - b) / a
}

// Edge returns the way round the form, counter-clockwise and back to where it begins. That
// round a circle or oval is of chords, 4,096 at most, that lie no further than tolerance from
// its edge and never beyond it.
func (f Form) Edge(tolerance float64) (way []Point) {
	half, turn, c := f.half(), Rotate(f.Turn), f.Rect.Centre()
	add := func(x, y float64) { way = append(way, c.Add(turn.ApplyVector(Point{X: x, Y: y}))) }
	if !f.Round {
		for _, k := range [...]Point{{X: -1, Y: -1}, {X: 1, Y: -1}, {X: 1, Y: 1}, {X: -1, Y: 1}, {X: -1, Y: -1}} {
			add(k.X*half.X, k.Y*half.Y)
		}
		return way
	}
	n := chordsOf(max(half.X, half.Y), tolerance)
	for i := range n + 1 {
		sin, cos := SinCos(360 * float64(i) / float64(n))
		add(half.X*cos, half.Y*sin)
	}
	return way
}

// mostChords is of how many chords a circle is at most.
const mostChords = 4096

// chordsOf returns how many chords a circle takes that leave it by no more than tolerance:
// one over an angle a leaves it by r·(1 - cos(a/2)). It is a whole number for each quarter,
// so that the circle's outermost points are among their ends.
func chordsOf(r, tolerance float64) int {
	n := 8.0
	if tolerance < r {
		n = min(max(n, math.Pi/math.Acos(1-tolerance/r)), mostChords)
	}
	return 4 * int(math.Ceil(n/4))
}
