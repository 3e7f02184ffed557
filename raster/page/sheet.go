package page

import (
	"image/color"
	"sync"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/goregular"

	"furrow/path"
)

// sheet collects what is drawn, in pixels from the upper-left corner, until the
// height of the page is known. It is the only door to the canvas library.
type sheet struct {
	unit   float64 // size of a pixel on paper, mm
	text   float64 // height of text, px
	line   float64 // width of a line, px
	height float64
	theme  Theme
	ops    []func(*canvas.Context)
	texts  []path.Rect // where text stands, px
}

type align = canvas.TextAlign

const (
	left   = canvas.Left
	centre = canvas.Center
	right  = canvas.Right
)

// family is the Go font, which covers Latin, Greek and Cyrillic.
var family = sync.OnceValue(func() *canvas.FontFamily {
	f := canvas.NewFontFamily("Go")
	if err := f.LoadFont(goregular.TTF, 0, canvas.FontRegular); err != nil {
		panic(err) // an embedded file, which every test meets
	}
	return f
})

const pointsPerMM = 72 / 25.4

func (s *sheet) face(c color.RGBA) *canvas.FontFace {
	return family().Face(s.text*s.unit*pointsPerMM, c, canvas.FontRegular)
}

// width returns that of the text, px.
func (s *sheet) width(text string) float64 {
	return canvas.NewTextLine(s.face(s.theme.Ink), text, left).Width / s.unit
}

// leading is the distance between lines of text in heights of text.
const leading = 1.35

// print writes text with its line box from y to y+leading·text.
func (s *sheet) print(x, y float64, text string, a align, c color.RGBA) {
	t := canvas.NewTextLine(s.face(c), text, a)
	s.texts = append(s.texts, s.box(x, y, s.width(text), a))
	s.ops = append(s.ops, func(ctx *canvas.Context) {
		ctx.DrawText(x*s.unit, (s.height-y-s.text)*s.unit, t)
	})
}

// box returns the place of text of the given width that is aligned to x.
func (s *sheet) box(x, y, width float64, a align) path.Rect {
	switch a {
	case centre:
		x -= width / 2
	case right:
		x -= width
	}
	return path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + width, Y: y + s.text*leading}}
}

// fill paints a rectangle.
func (s *sheet) fill(x, y, w, h float64, c color.RGBA) {
	s.ops = append(s.ops, func(ctx *canvas.Context) {
		ctx.SetFillColor(c)
		ctx.SetStrokeColor(canvas.Transparent)
		ctx.DrawPath(x*s.unit, (s.height-y-h)*s.unit, canvas.Rectangle(w*s.unit, h*s.unit))
	})
}

// frame draws the inside edge of a rectangle.
func (s *sheet) frame(x, y, w, h float64, c color.RGBA) {
	s.fill(x, y, w, s.line, c)
	s.fill(x, y+h-s.line, w, s.line, c)
	s.fill(x, y, s.line, h, c)
	s.fill(x+w-s.line, y, s.line, h, c)
}

// stroke draws lines of the given width and dashes, both px.
func (s *sheet) stroke(lines [][2]path.Point, width float64, c color.RGBA, dashes ...float64) {
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{}
	style.Stroke = canvas.Paint{Color: c}
	style.StrokeWidth = width * s.unit
	for _, d := range dashes { // counted in widths by the library
		style.Dashes = append(style.Dashes, d/width)
	}
	s.ops = append(s.ops, func(ctx *canvas.Context) {
		p := &canvas.Path{}
		for _, l := range lines {
			p.MoveTo(l[0].X*s.unit, (s.height-l[0].Y)*s.unit)
			p.LineTo(l[1].X*s.unit, (s.height-l[1].Y)*s.unit)
		}
		// Not DrawPath, which judges the dashes by their length in widths.
		ctx.RenderPath(p, style, canvas.Identity)
	})
}
