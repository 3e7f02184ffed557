package grid

import (
	"math"

	"furrow/path"
)

// polygon covers a convex polygon, one row of pixels at a time. Along a row, each
// edge adds to the pixels it crosses the signed area to its right, and hands the
// rest of its height on to the pixel after; summed from left to right, the edges
// of a closed outline give the covered area of each pixel.
func (s *Brush) polygon(c []path.Point, to Cover) {
	top, bottom := c[0].Y, c[0].Y
	for _, p := range c {
		top, bottom = min(top, p.Y), max(bottom, p.Y)
	}
	last := c[len(c)-1]
	for y := max(0, int(math.Floor(top))); y < min(s.grid.H, int(math.Ceil(bottom))); y++ {
		lo, hi := math.Inf(1), math.Inf(-1)
		p := last
		for _, q := range c {
			x0, x1 := s.edgeInRow(p, q, float64(y))
			lo, hi = min(lo, x0), max(hi, x1)
			p = q
		}
		if lo <= hi {
			s.emit(y, int(lo), int(hi), to)
		}
	}
}

// edgeInRow adds the part of the edge p to q inside row y and returns its
// extent in columns of s.row, or +Inf, -Inf where there is none.
func (s *Brush) edgeInRow(p, q path.Point, y float64) (lo, hi float64) {
	sign := 1.0
	if p.Y > q.Y {
		p, q, sign = q, p, -1
	}
	y0, y1 := max(p.Y, y), min(q.Y, y+1)
	if !(y0 < y1) {
		return math.Inf(1), math.Inf(-1)
	}
	slope := (q.X - p.X) / (q.Y - p.Y)
	// Rounding of the slope must not carry a point beyond the edge's ends.
	left, right := min(p.X, q.X), max(p.X, q.X)
	x0 := min(max(p.X+float64((y0-p.Y)*slope), left), right) + float64(s.edge)
	x1 := min(max(p.X+float64((y1-p.Y)*slope), left), right) + float64(s.edge)
	lo, hi = min(x0, x1), max(x0, x1)
	s.add(lo, hi, sign*(y1-y0))
	return lo, hi
}

// add distributes an edge of signed height dy that runs from x0 to x1 >= x0.
func (s *Brush) add(x0, x1, dy float64) {
	first, last := int(x0), int(x1)
	if first == last {
		mid := (x0+x1)/2 - float64(first)
		s.row[first] += dy * (1 - mid)
		s.row[first+1] += dy * mid
		return
	}
	per := dy / (x1 - x0)
	for i := first; i <= last; i++ {
		a, b := max(x0, float64(i)), min(x1, float64(i+1))
		part := per * (b - a)
		mid := (a+b)/2 - float64(i)
		s.row[i] += part * (1 - mid)
		s.row[i+1] += part * mid
	}
}

// emit sums the columns lo to hi of s.row, clears them, and hands on those
// inside the grid.
func (s *Brush) emit(y, lo, hi int, to Cover) {
	sum := 0.0
	for i := lo; i <= hi; i++ {
		sum += s.row[i]
		s.row[i] = 0
		s.cover[i] = float32(min(1, math.Abs(sum)))
	}
	s.row[hi+1] = 0
	a, b := max(lo, s.edge), min(hi+1, s.edge+s.grid.W)
	if a < b {
		to(y, a-s.edge, s.cover[a:b])
	}
}
