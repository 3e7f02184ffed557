package density

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"math"

	"furrow/path"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// MaxPixels bounds the pixels of the work's picture, and so its memory: 20 bytes
// each at most, 0.8 GB in all. A bed of 600 x 400 mm at 300 pixels an inch has 34
// million.
const MaxPixels = 40e6

// maxBrushPx bounds the width of a mark in a picture.
const maxBrushPx = 100000

// The height of text at which it reads well on a screen, px, and on paper, mm.
const (
	screenText = 15
	paperText  = 2.5
)

// On paper narrower than wideEnough mm the text is smaller, down to five points.
const (
	wideEnough     = 60
	leastPaperText = 1.8
)

func given(r path.Rect) bool { return r.W() > 0 && r.H() > 0 }

// view returns the part of the plane to show of a program.
func (o Options) view(work path.Rect) path.Rect {
	if given(o.Window) {
		return o.Window
	}
	if o.Show == ShowTravel && given(o.Reach) {
		work = work.Union(o.Reach)
	}
	r := work.Grow(o.MarkWidthMM)
	if !o.Crop || o.Show == ShowTravel {
		for _, clamp := range o.Keep {
			r = r.Union(clamp)
		}
	}
	for _, p := range o.Pockets {
		r = r.Union(o.pocket(p).Bounds())
	}
	if !o.Crop {
		if o.Zero != "" {
			r = r.Include(path.Point{})
		}
		if given(o.Bed) && !o.Inset {
			r = r.Union(o.Bed)
		}
		if given(o.Blank) {
			r = r.Union(o.Blank)
		}
	}
	return r.Grow(0.02 * max(r.W(), r.H()))
}

// What stands beside and below a plot, in heights of text; it hardly depends on
// the picture.
const (
	aside   = 9
	beneath = 14
)

// pxPerMM returns the pixels to a millimetre of a view.
func (o Options) pxPerMM(view path.Rect) float64 {
	switch {
	case o.DPI > 0:
		return o.DPI / path.MMPerInch
	case o.Paper:
		return min(DefaultDPI/path.MMPerInch, math.Sqrt(paperPixels/(view.W()*view.H())))
	}
	w, h := float64(o.Size)-aside*screenText, float64(o.Size)-beneath*screenText
	return min(w/view.W(), h/view.H())
}

// paperPixels is the most pixels that the default resolution of paper leads to.
const paperPixels = 10e6

// grid returns the pixels over the view.
func (o Options) grid(view path.Rect) (grid.Grid, error) {
	scale := o.pxPerMM(view)
	w, h := view.W()*scale, view.H()*scale
	switch {
	case !(scale > 0) || math.IsInf(scale, 0) || math.IsNaN(w*h):
		return grid.Grid{}, fmt.Errorf("a picture of %g x %g mm cannot be drawn at %g pixels a millimetre", view.W(),
			view.H(), scale)
	case w*h > MaxPixels:
		return grid.Grid{}, fmt.Errorf("%w: %.0f x %.0f pixels, more than %.0f million in all", ErrTooLarge, w,
			h, MaxPixels/1e6)
	case o.MarkWidthMM*scale > maxBrushPx:
		return grid.Grid{}, fmt.Errorf("a mark of %g mm would be %.0f pixels wide", o.MarkWidthMM, o.MarkWidthMM*scale)
	}
	return grid.New(view, scale), nil
}

// textPx returns the height of text: for the screen, or for paper at the grid's
// scale.
func (o Options) textPx(g grid.Grid) float64 {
	if o.Paper {
		return textMM(g) * g.PxPerMM
	}
	if o.DPI > 0 {
		return max(screenText, math.Round(textMM(g)*0.9*g.PxPerMM))
	}
	return screenText
}

// textMM returns the height of text on paper beside a plot.
func textMM(g grid.Grid) float64 {
	return max(leastPaperText, min(paperText, paperText*g.Rect().W()/wideEnough))
}

func (o Options) theme() page.Theme {
	if o.Dark {
		return page.Dark
	}
	return page.Light
}

// ground paints what lies below the marks.
func (o Options) ground(g grid.Grid) *image.RGBA {
	t := o.theme()
	img := image.NewRGBA(image.Rect(0, 0, g.W, g.H))
	base := t.Blank
	switch {
	case given(o.Bed) && o.Inset:
		base = t.Bed
	case given(o.Bed):
		base = t.Table
	case given(o.Blank):
		base = t.Bed
	}
	draw.Draw(img, img.Bounds(), image.NewUniform(base), image.Point{}, draw.Src)
	fillRect(img, g, o.Bed, t.Bed)
	fillForm(img, g, o.blank(), t.Blank)
	return img
}

// blank and pocket are the forms of blanks.
func (o Options) blank() path.Form { return path.Form{Rect: o.Blank, Round: o.Round} }

func (o Options) pocket(p Pocket) path.Form {
	return path.Form{Rect: p.Rect, Round: o.Round, Turn: p.Turn}
}

// fillForm paints a form, to the nearest pixel, if it is given.
func fillForm(img *image.RGBA, g grid.Grid, f path.Form, c color.RGBA) {
	if !given(f.Rect) || !f.Round && f.Turn == 0 {
		fillRect(img, g, f.Rect, c)
		return
	}
	step := 0.5 / g.PxPerMM
	edge, b := f.Edge(step/5), f.Bounds()
	row := func(y float64) int { return int(min(max((g.TopLeft.Y-y)*g.PxPerMM, 0), float64(g.H))) }
	for y := row(b.Max.Y); y < min(row(b.Min.Y)+1, g.H); y++ {
		at := g.TopLeft.Y - (float64(y)+0.5)/g.PxPerMM
		if left, right := across(edge, at); left < right {
			fillRect(img, g, path.Rect{Min: path.Point{X: left, Y: at - step}, Max: path.Point{X: right, Y: at + step}}, c)
		}
	}
}

// across returns from where to where a closed way without hollows is met at a height; left is
// no less than right where it is not.
func across(way []path.Point, y float64) (left, right float64) {
	left, right = math.Inf(1), math.Inf(-1)
	for i, b := range way[1:] {
		a := way[i]
		if (a.Y > y) == (b.Y > y) {
			continue
		}
		x := a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y)
		left, right = min(left, x), max(right, x)
	}
	return left, right
}

// fillRect paints r, to the nearest pixel, if it is given.
func fillRect(img *image.RGBA, g grid.Grid, r path.Rect, c color.RGBA) {
	if !given(r) {
		return
	}
	a := g.Pixel(path.Point{X: r.Min.X, Y: r.Max.Y})
	b := g.Pixel(path.Point{X: r.Max.X, Y: r.Min.Y})
	at := func(v float64, n int) int { return int(min(max(math.Round(v), 0), float64(n))) }
	box := image.Rect(at(a.X, g.W), at(a.Y, g.H), at(b.X, g.W), at(b.Y, g.H))
	draw.Draw(img, box, image.NewUniform(c), image.Point{}, draw.Src)
}
