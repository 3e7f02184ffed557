package machine

import "furrow/path"

// Clamp is a rectangle where a head must never go, as a file gives it: left, bottom,
// right, top, mm from X0 Y0.
type Clamp [4]float64

// Ordered reports that left is less than right and bottom less than top.
func (c Clamp) Ordered() bool { return c[0] < c[2] && c[1] < c[3] }

// Rect returns the clamp as a rectangle.
func (c Clamp) Rect() path.Rect {
	return path.Rect{Min: path.Point{X: c[0], Y: c[1]}, Max: path.Point{X: c[2], Y: c[3]}}
}

// Clamps returns the rectangles of a file's clamps.
func Clamps(all []Clamp) []path.Rect {
	rects := make([]path.Rect, len(all))
	for i, c := range all {
		rects[i] = c.Rect()
	}
	return rects
}
