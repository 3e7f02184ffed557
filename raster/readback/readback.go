// Package readback draws the marks of a code as a camera sees them, at their true
// width, and reads the code from that picture.
package readback

import (
	"fmt"
	"image"
	"math"

	"furrow/path"
	"furrow/path/code"
	"furrow/raster/grid"
)

// Marks is a program and how its marks look.
type Marks struct {
	Program *path.Program
	WidthMM float64 // of one line, above 0
	Light   bool    // lighter than the blank
}

// MismatchError says that marks do not read as they should.
type MismatchError struct {
	Kind       code.Kind
	Want, Read string
	Err        error // why nothing was read, or nil
}

func (e *MismatchError) Error() string {
	if e.Err != nil {
		return fmt.Sprintf("%s of %q cannot be read from its marks (%v)", e.Kind, e.Want, e.Err)
	}
	return fmt.Sprintf("%s of %q reads as %q from its marks", e.Kind, e.Want, e.Read)
}

func (e *MismatchError) Unwrap() error { return e.Err }

// Verify reads a placed code from the marks inside its area.
func (m Marks) Verify(s code.Symbol, p code.Placed) error {
	read, err := code.Read(s.Kind, m.Picture(p.Area, PxPerMM(p)))
	if err != nil || read != s.Value {
		return &MismatchError{Kind: s.Kind, Want: s.Value, Read: read, Err: err}
	}
	return nil
}

// PxPerMM returns the resolution of a good camera: four to eight pixels a module.
// Pixels hold whole rows, or halves of one, and so have one tone where rows leave
// gaps between them.
func PxPerMM(p code.Placed) float64 {
	if p.Rows < 4 {
		return float64(2*p.Rows) / p.ModuleMM
	}
	return float64(p.Rows) / float64(p.Rows/4) / p.ModuleMM
}

// Picture draws what of the marks lies in an area, with round ends: marks dark on
// a light blank, or the other way round.
func (m Marks) Picture(area path.Rect, pxPerMM float64) *image.Gray {
	g := grid.New(area, pxPerMM)
	ink := make([]float32, g.W*g.H)
	brush := grid.NewBrush(g, m.WidthMM)
	cover := func(y, x int, c []float32) {
		row := ink[y*g.W+x:]
		for i, v := range c {
			row[i] += v // marks side by side fill a pixel together
		}
	}
	for i := range m.Program.Strokes {
		m.stroke(brush, m.Program.PointsOf(i), cover)
	}
	img := image.NewGray(image.Rect(0, 0, g.W, g.H))
	for i, v := range ink {
		if !m.Light {
			v = 1 - v
		}
		img.Pix[i] = uint8(math.Round(float64(255 * min(max(v, 0), 1))))
	}
	return img
}

func (m Marks) stroke(b *grid.Brush, pts []path.Point, cover grid.Cover) {
	for i, p := range pts {
		if i > 0 {
			b.Mark(pts[i-1], p, cover)
		}
		b.Dot(p, cover)
	}
}
