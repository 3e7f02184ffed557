package grid

import (
	"math"
	"math/bits"

	"furrow/path"
)

// Samples tells how much of each pixel any of many marks cover, however often: it
// looks at 16 places of each pixel, so that what is covered twice counts once.
type Samples struct {
	grid Grid
	bits []uint16 // of each pixel, four rows of four places from the upper left
}

// NewSamples returns those of a grid that nothing covers yet.
func NewSamples(g Grid) *Samples { return &Samples{grid: g, bits: make([]uint16, g.W*g.H)} }

// Share returns the covered share of the pixel of an index.
func (s *Samples) Share(i int) float32 {
	return float32(bits.OnesCount16(s.bits[i])) / (perSide * perSide)
}

// perSide is the places along a pixel's side.
const perSide = 4

// thinnest is the width, in pixels, that catches a place of any row or column that
// it crosses.
const thinnest = math.Sqrt2 / perSide

// Mark covers the rectangle along the line from a to b, width mm wide, with square
// ends; a line of no length covers nothing.
func (s *Samples) Mark(a, b path.Point, width float64) {
	g, r := s.grid, s.radius(width)
	p, q, ok := Clip(g.Pixel(a), g.Pixel(b), s.sight(r+2))
	if !ok {
		return
	}
	d := q.Sub(p)
	side := path.Point{X: -d.Y, Y: d.X}.Mul(r / d.Len())
	corners := [...]path.Point{p.Add(side), q.Add(side), q.Sub(side), p.Sub(side)}
	box := path.BoundsOf(corners[:])
	s.rows(box, func(y float64) (lo, hi float64) {
		lo, hi = math.Inf(1), math.Inf(-1)
		for i, a := range corners {
			b := corners[(i+1)%4]
			if (a.Y <= y) == (b.Y <= y) {
				continue
			}
			x := a.X + float64((b.X-a.X)*((y-a.Y)/(b.Y-a.Y)))
			lo, hi = min(lo, x), max(hi, x)
		}
		return lo, hi
	})
}

// Dot covers a disc, width mm wide, round p.
func (s *Samples) Dot(p path.Point, width float64) {
	c, r := s.grid.Pixel(p), s.radius(width)
	if sight := s.sight(r); sight.Include(c) != sight {
		return
	}
	s.rows(path.Rect{Min: c, Max: c}.Grow(r), func(y float64) (lo, hi float64) {
		half := math.Sqrt(max(0, float64(r*r)-float64((y-c.Y)*(y-c.Y))))
		return c.X - half, c.X + half
	})
}

func (s *Samples) radius(width float64) float64 { return max(width*s.grid.PxPerMM, thinnest) / 2 }

// sight returns the grid with so many pixels round it.
func (s *Samples) sight(round float64) path.Rect {
	return path.Rect{Max: path.Point{X: float64(s.grid.W), Y: float64(s.grid.H)}}.Grow(round)
}

// rows covers in each row of places in the box what part returns for its y, in
// pixels.
func (s *Samples) rows(box path.Rect, part func(y float64) (lo, hi float64)) {
	first, last := int(max(0, box.Min.Y*perSide-1)), int(min(float64(s.grid.H*perSide-1), box.Max.Y*perSide+1))
	for row := first; row <= last; row++ {
		if x0, x1 := part((float64(row) + 0.5) / perSide); x0 < x1 {
			s.cover(row, x0, x1)
		}
	}
}

// cover sets the places of a row from x0 to x1, in pixels.
func (s *Samples) cover(row int, x0, x1 float64) {
	n := s.grid.W * perSide
	from := int(math.Ceil(max(0, x0*perSide-0.5)))
	to := int(math.Ceil(min(float64(n), x1*perSide-0.5)))
	shift := row % perSide * perSide
	line := s.bits[row/perSide*s.grid.W:][:s.grid.W]
	for from < to {
		px, at := from/perSide, from%perSide
		end := min(perSide, at+to-from)
		line[px] |= uint16(1<<end-1<<at) << shift
		from += end - at
	}
}
