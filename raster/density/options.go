package density

import (
	"errors"
	"fmt"
	"math"

	"furrow/path"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// Options says what to show of a Program, and how. A rectangle of no width or
// height is not known, or not wanted.
type Options struct {
	MarkWidthMM float64 // width of a mark; 0 takes DefaultMarkWidthMM

	Bed       path.Rect   // what the machine reaches, in the Program's coordinates
	BedName   string      // "bed" where empty; a galvo has a field
	Blank     path.Rect   // the part
	BlankName string      // "blank" where empty; artwork has a page
	Keep      []path.Rect // what the head and beam keep out of: clamps
	Window    path.Rect   // show only this
	Crop      bool        // show only the work, not the bed and blank
	Inches    bool        // rulers in inches
	Dark      bool        // a dark page
	DPI       float64     // pixels an inch of the work; 0 chooses by Size
	Size      int         // longer side of the picture, px; 0 takes DefaultSize; not used with DPI
	Caption   page.Caption
}

// Defaults of Options.
const (
	DefaultMarkWidthMM = 0.1
	DefaultSize        = 1600
)

// MaxPixels bounds the pixels of the work's picture.
const MaxPixels = 100e6

// textPx is the height of text at which it reads well on a screen.
const textPx = 15

// ErrNothing is returned for a program that marks nothing.
var ErrNothing = errors.New("nothing is marked, so there is nothing to show")

func given(r path.Rect) bool { return r.W() > 0 && r.H() > 0 }

// view returns the part of the plane to show.
func (o Options) view(work path.Rect) path.Rect {
	if given(o.Window) {
		return o.Window
	}
	r := work.Grow(0.03*max(work.W(), work.H()) + o.MarkWidthMM)
	if o.Crop {
		return r
	}
	r = work.Grow(o.MarkWidthMM)
	for _, known := range [...]path.Rect{o.Bed, o.Blank} {
		if given(known) {
			r = r.Union(known)
		}
	}
	return r.Grow(0.02 * max(r.W(), r.H()))
}

// grid returns the pixels over the view. The furniture of a page takes some of
// the wanted size, a share that hardly depends on the picture.
func (o Options) grid(view path.Rect) (grid.Grid, error) {
	scale := o.DPI / path.MMPerInch
	if o.DPI == 0 {
		scale = (float64(o.Size) - 12*textPx) / max(view.W(), view.H())
	}
	w, h := view.W()*scale, view.H()*scale
	switch {
	case !(scale > 0) || math.IsInf(scale, 0) || math.IsNaN(w*h):
		return grid.Grid{}, fmt.Errorf("a picture of %g x %g mm cannot be drawn at %g pixels a millimetre", view.W(), view.H(), scale)
	case w*h > MaxPixels:
		return grid.Grid{}, fmt.Errorf("the picture would have %.0f x %.0f pixels, more than %.0f million in all", w, h, MaxPixels/1e6)
	case o.MarkWidthMM*scale > maxBrushPx:
		return grid.Grid{}, fmt.Errorf("a mark of %g mm would be %.0f pixels wide", o.MarkWidthMM, o.MarkWidthMM*scale)
	}
	return grid.New(view, scale), nil
}

// maxBrushPx bounds the width of a mark in a picture.
const maxBrushPx = 100000

func (o Options) withDefaults() (Options, error) {
	if o.MarkWidthMM == 0 {
		o.MarkWidthMM = DefaultMarkWidthMM
	}
	if o.Size == 0 {
		o.Size = DefaultSize
	}
	switch {
	case !(o.MarkWidthMM > 0) || math.IsInf(o.MarkWidthMM, 0):
		return o, fmt.Errorf("mark width %g mm is not above 0", o.MarkWidthMM)
	case o.DPI < 0 || math.IsNaN(o.DPI) || math.IsInf(o.DPI, 0):
		return o, fmt.Errorf("%g dots an inch is not above 0", o.DPI)
	case o.Size < minSize || o.Size > maxSize:
		return o, fmt.Errorf("a size of %d pixels is out of range: use %d to %d", o.Size, minSize, maxSize)
	}
	return o, nil
}

const (
	minSize = 300
	maxSize = 20000
)
