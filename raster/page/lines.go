package page

import (
	"image/color"
	"math"

	"github.com/tdewolff/canvas"

	"furrow/path"
	"furrow/raster/grid"
)

// Lines are polylines over the picture, in mm, cut to it.
type Lines struct {
	Paths     [][]path.Point
	WidthMM   float64 // of lines that are not Dotted
	Dotted    bool    // thin dots, in one drawing; else each line is drawn on its own
	RoundEnds bool    // that reach half a width further
	Colour    color.RGBA
	Opacity   float64 // of lines that are not Dotted
}

func (p *Page) drawLines(ctx *canvas.Context) {
	for _, l := range p.spec.Lines {
		style, view := p.lineStyle(l), p.spec.Grid.Rect()
		if l.RoundEnds {
			view = view.Grow(-l.WidthMM / 2)
		}
		dots := &canvas.Path{}
		for _, pts := range l.Paths {
			if l.Dotted {
				p.appendLine(dots, pts, view)
				continue
			}
			one := &canvas.Path{}
			if p.appendLine(one, pts, view); !one.Empty() {
				ctx.RenderPath(one, style, canvas.Identity)
			}
		}
		if !dots.Empty() {
			ctx.RenderPath(dots, style, canvas.Identity)
		}
	}
}

func (p *Page) lineStyle(l Lines) canvas.Style {
	style := canvas.DefaultStyle
	style.Fill = canvas.Paint{}
	if l.Dotted {
		style.Stroke = canvas.Paint{Color: l.Colour}
		style.StrokeWidth = p.sheet.line * p.sheet.unit
		style.Dashes = []float64{1, 2}
		return style
	}
	at := func(v uint8) uint8 { return uint8(math.Round(float64(v) * l.Opacity)) }
	style.Stroke = canvas.Paint{Color: color.RGBA{at(l.Colour.R), at(l.Colour.G), at(l.Colour.B), at(255)}}
	style.StrokeWidth = l.WidthMM
	if l.RoundEnds {
		style.StrokeCapper = canvas.RoundCap
	}
	return style
}

// appendLine adds what of a polyline lies inside view.
func (p *Page) appendLine(to *canvas.Path, pts []path.Point, view path.Rect) {
	var last path.Point
	for j := 1; j < len(pts); j++ {
		a, b, ok := grid.Clip(pts[j-1], pts[j], view)
		if !ok {
			continue
		}
		if to.Empty() || a != last || j == 1 {
			q := p.onPaper(a)
			to.MoveTo(q.X, q.Y)
		}
		q := p.onPaper(b)
		to.LineTo(q.X, q.Y)
		last = b
	}
}

// onPaper maps a point of the plane to mm from the page's lower-left corner.
func (p *Page) onPaper(a path.Point) path.Point {
	q := p.spec.Grid.Pixel(a)
	x, y := float64(p.plotAt.X)+q.X, float64(p.h-p.plotAt.Y)-q.Y
	return path.Point{X: x * p.sheet.unit, Y: y * p.sheet.unit}
}
