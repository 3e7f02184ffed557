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

func newSheet(pxPerMM, textPx float64, theme Theme) sheet {
	return sheet{unit: 1 / pxPerMM, text: textPx, line: LinePx(textPx), theme: theme}
}

// blank returns empty paper w px wide, and what draws on it.
func (s *sheet) blank(w int) (*canvas.Canvas, *canvas.Context) {
	c := canvas.New(float64(w)*s.unit, s.height*s.unit)
	ctx := canvas.NewContext(c)
	ctx.SetFillColor(s.theme.Paper)
	ctx.DrawPath(0, 0, canvas.Rectangle(c.W, c.H))
	return c, ctx
}

// draw draws what was collected.
func (s *sheet) draw(ctx *canvas.Context) {
	for _, op := range s.ops {
		op(ctx)
	}
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
	s.pen(width, c, dashes, func(p *canvas.Path) {
		for _, l := range lines {
			p.MoveTo(l[0].X*s.unit, (s.height-l[0].Y)*s.unit)
			p.LineTo(l[1].X*s.unit, (s.height-l[1].Y)*s.unit)
		}
	})
}

// polyline draws a line whose dashes run on round its corners.
func (s *sheet) polyline(pts []path.Point, width float64, c color.RGBA, dashes ...float64) {
	s.pen(width, c, dashes, func(p *canvas.Path) {
		for i, a := range pts {
			if i == 0 {
				p.MoveTo(a.X*s.unit, (s.height-a.Y)*s.unit)
			} else {
				p.LineTo(a.X*s.unit, (s.height-a.Y)*s.unit)
			}
		}
	})
}

// pen strokes what add puts into a path.
func (s *sheet) pen(width float64, c color.RGBA, dashes []float64, add func(*canvas.Path)) {
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{}
	style.Stroke = canvas.Paint{Color: c}
	style.StrokeWidth = width * s.unit
	for _, d := range dashes { // counted in widths by the library
		style.Dashes = append(style.Dashes, d/width)
	}
	s.ops = append(s.ops, func(ctx *canvas.Context) {
		p := &canvas.Path{}
		add(p)
		// Not DrawPath, which judges the dashes by their length in widths.
		ctx.RenderPath(p, style, canvas.Identity)
	})
}

// disc fills a disc of a radius round c.
func (s *sheet) disc(c path.Point, radius float64, ink color.RGBA) {
	s.ops = append(s.ops, func(ctx *canvas.Context) {
		ctx.SetFillColor(ink)
		ctx.SetStrokeColor(canvas.Transparent)
		ctx.DrawPath(c.X*s.unit, (s.height-c.Y)*s.unit, canvas.Circle(radius*s.unit))
	})
}

// drawTriangle fills an upright one of the given radius round c.
func (s *sheet) drawTriangle(c path.Point, radius float64) {
	s.ops = append(s.ops, func(ctx *canvas.Context) {
		ctx.SetFillColor(s.theme.Ink)
		ctx.SetStrokeColor(canvas.Transparent)
		ctx.DrawPath(c.X*s.unit, (s.height-c.Y)*s.unit, canvas.RegularPolygon(3, radius*s.unit, true))
	})
}
