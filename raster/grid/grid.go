// Package grid lays marks of a given width over a grid of pixels and tells how
// much of each pixel they cover, exactly: areas are those of the intersection
// of a rectangle and a pixel, not of samples.
package grid

import (
	"math"

	"furrow/path"
)

// Grid places W x H pixels over the plane. Rows run from the top down.
type Grid struct {
	W, H    int
	TopLeft path.Point // of the first pixel's corner, mm
	PxPerMM float64
}

// New returns the grid of the given scale over r, of at least one pixel. Its
// lower and right sides are moved outwards to whole pixels.
func New(r path.Rect, pxPerMM float64) Grid {
	// The small subtraction keeps 10.000000001 pixels from becoming 11.
	n := func(mm float64) int { return max(1, int(math.Ceil(float64(mm*pxPerMM)-1e-6))) }
	return Grid{W: n(r.W()), H: n(r.H()), TopLeft: path.Point{X: r.Min.X, Y: r.Max.Y}, PxPerMM: pxPerMM}
}

// Rect returns the part of the plane that the grid covers.
func (g Grid) Rect() path.Rect {
	w, h := float64(g.W)/g.PxPerMM, float64(g.H)/g.PxPerMM
	return path.Rect{
		Min: path.Point{X: g.TopLeft.X, Y: g.TopLeft.Y - h},
		Max: path.Point{X: g.TopLeft.X + w, Y: g.TopLeft.Y},
	}
}

// Pixel returns where p lies, in pixels from the upper-left corner.
func (g Grid) Pixel(p path.Point) path.Point {
	return path.Point{X: (p.X - g.TopLeft.X) * g.PxPerMM, Y: (g.TopLeft.Y - p.Y) * g.PxPerMM}
}

// Cover receives the pixels that a mark covers in row y, from column x on:
// pixel x+i to the fraction cover[i] of its area. cover is valid only during
// the call.
type Cover func(y, x int, cover []float32)

// Brush covers the pixels of a grid with marks of one width.
type Brush struct {
	grid  Grid
	half  float64   // of the width, pixels
	edge  int       // columns of row left and right of the grid
	row   []float64 // signed areas, to be summed from left to right
	cover []float32

	corners [dotCorners]path.Point // of the polygon at work
}

// NewBrush returns a brush for marks of the given width, mm, above 0.
func NewBrush(g Grid, width float64) *Brush {
	half := width * g.PxPerMM / 2
	edge := int(math.Ceil(2*half)) + 4
	n := g.W + 2*edge
	return &Brush{grid: g, half: half, edge: edge, row: make([]float64, n+2), cover: make([]float32, n)}
}

// Mark covers the rectangle along the line from a to b, as wide as the brush,
// with square ends at a and b; a line of no length covers nothing. What lies
// outside the grid, and any line with a NaN, is left out.
func (s *Brush) Mark(a, b path.Point, to Cover) {
	p, q := s.grid.Pixel(a), s.grid.Pixel(b)
	p, q, ok := s.clip(p, q)
	d := q.Sub(p)
	n := d.Len()
	if !ok || !(n > 0) {
		return
	}
	if d.Y == 0 {
		s.box(min(p.X, q.X), p.Y-s.half, max(p.X, q.X), p.Y+s.half, to)
		return
	}
	if d.X == 0 {
		s.box(p.X-s.half, min(p.Y, q.Y), p.X+s.half, max(p.Y, q.Y), to)
		return
	}
	side := path.Point{X: -d.Y, Y: d.X}.Mul(s.half / n)
	s.corners[0], s.corners[1], s.corners[2], s.corners[3] = p.Add(side), q.Add(side), q.Sub(side), p.Sub(side)
	s.polygon(s.corners[:4], to)
}

// Width returns that of the marks, mm.
func (s *Brush) Width() float64 { return 2 * s.half / s.grid.PxPerMM }

// DotArea returns that of a dot, mm2.
func (s *Brush) DotArea() float64 { return math.Pi / 4 * s.Width() * s.Width() }

// Dot covers a disc as wide as the brush round p, or rather a polygon of its area.
func (s *Brush) Dot(p path.Point, to Cover) {
	c := s.grid.Pixel(p)
	w, h, r := float64(s.grid.W), float64(s.grid.H), s.half
	if !(c.X > -r && c.X < w+r && c.Y > -r && c.Y < h+r) {
		return
	}
	for i, d := range disc {
		s.corners[i] = c.Add(d.Mul(r))
	}
	s.polygon(s.corners[:], to)
}

// disc is a polygon of the area of the unit disc.
var disc = func() (c [dotCorners]path.Point) {
	r := math.Sqrt(2 * math.Pi / dotCorners / math.Sin(2*math.Pi/dotCorners))
	for i := range c {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / dotCorners)
		c[i] = path.Point{X: r * cos, Y: r * sin}
	}
	return c
}()

const dotCorners = 16

// clip cuts the line to the grid and so much more round it that the cut end is
// out of sight.
func (s *Brush) clip(p, q path.Point) (path.Point, path.Point, bool) {
	all := path.Rect{Max: path.Point{X: float64(s.grid.W), Y: float64(s.grid.H)}}
	return Clip(p, q, all.Grow(s.half+2))
}

// box covers an axis-parallel rectangle, given in pixels: the product of two
// one-dimensional coverages.
func (s *Brush) box(x0, y0, x1, y1 float64, to Cover) {
	x0, x1 = max(x0, 0), min(x1, float64(s.grid.W))
	y0, y1 = max(y0, 0), min(y1, float64(s.grid.H))
	if !(x0 < x1) || !(y0 < y1) {
		return
	}
	first, end := int(x0), int(math.Ceil(x1))
	cover := s.cover[:end-first]
	for y := int(y0); y < int(math.Ceil(y1)); y++ {
		high := min(y1, float64(y+1)) - max(y0, float64(y))
		for i := range cover {
			cover[i] = float32(high)
		}
		cover[0] = float32(high * (min(x1, float64(first+1)) - x0))
		if n := len(cover) - 1; n > 0 {
			cover[n] = float32(high * (x1 - float64(end-1)))
		}
		to(y, first, cover)
	}
}
