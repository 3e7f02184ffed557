package grid

import "furrow/path"

// Clip returns the part of the line from a to b inside r, and whether there is
// any of a length above 0 (Liang and Barsky, "A new concept and method for line
// clipping", 1984). A NaN leaves nothing.
func Clip(a, b path.Point, r path.Rect) (path.Point, path.Point, bool) {
	d := b.Sub(a)
	part := interval{0, 1}
	if !part.within(d.X, r.Min.X-a.X, r.Max.X-a.X) || !part.within(d.Y, r.Min.Y-a.Y, r.Max.Y-a.Y) {
		return a, b, false
	}
	p, q := a, b
	if part.from > 0 {
		p = a.Add(d.Mul(part.from))
	}
	if part.to < 1 {
		q = a.Add(d.Mul(part.to))
	}
	return p, q, true
}

// interval is a part of a line, as fractions of its length.
type interval struct{ from, to float64 }

// within cuts the interval to the t of lo <= t·d <= hi and reports whether
// anything remains.
func (t *interval) within(d, lo, hi float64) bool {
	if d == 0 {
		return lo <= 0 && 0 <= hi
	}
	if d < 0 {
		d, lo, hi = -d, -hi, -lo
	}
	t.from, t.to = max(t.from, lo/d), min(t.to, hi/d)
	return t.from < t.to
}
