package code

import (
	"math"

	"furrow/path"
)

// grid is a symbol at its place.
type grid struct {
	Symbol
	room   Room
	per    int // rows of marks in a module
	module float64
	origin path.Point // upper-left corner of the symbol, without its quiet zone
	height float64    // of a row of modules
}

func (g *grid) lay() {
	g.height = g.module
	if g.Kind == Code128 { // bars as long as the room is high, in whole rows
		g.height = float64(math.Floor(g.room.Rect.H()/g.room.SpacingMM+1e-9) * g.room.SpacingMM)
	}
	c := g.room.Rect.Centre()
	g.origin = path.Point{
		X: c.X - float64(float64(g.cols)*g.module)/2,
		Y: c.Y + float64(float64(g.rows)*g.height)/2,
	}
}

// area returns the symbol with its quiet zone.
func (g *grid) area() path.Rect {
	x, y := g.quiet(g.room.Light)
	return path.Rect{
		Min: path.Point{X: g.x(-x), Y: g.y(g.rows) - float64(float64(y)*g.module)},
		Max: path.Point{X: g.x(g.cols + x), Y: g.y(0) + float64(float64(y)*g.module)},
	}
}

// x and y return the left and upper sides of a column and row of modules.
func (g *grid) x(col int) float64 { return g.origin.X + float64(float64(col)*g.module) }
func (g *grid) y(row int) float64 { return g.origin.Y - float64(float64(row)*g.height) }

// shapes returns the ground, which nothing below shines through, and one shape of
// all that is marked.
func (g *grid) shapes() []path.Shape {
	var ground path.Path
	box(&ground, g.area())
	shape := path.Shape{Path: ground, Group: g.room.Part, Source: g.room.Source}
	shape.Paint = path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
	marked := shape
	marked.Path, marked.Paint = g.marked(), g.room.Paint
	return []path.Shape{shape, marked}
}

// marked goes along the rows of modules. Of each, the marks near its edges show
// only where the row beside it is marked too: they are as many as make up for
// what the marks' width adds across the rows.
func (g *grid) marked() path.Path {
	var p path.Path
	extra := max(0, int(math.Round(g.room.MarkWidthMM/g.room.SpacingMM))-1)
	upper, lower := float64((extra+1)/2)*g.room.SpacingMM, float64(extra/2)*g.room.SpacingMM
	_, quiet := g.quiet(g.room.Light)
	for row := -quiet; row < g.rows+quiet; row++ {
		own, above, below := g.line(row), g.line(row-1), g.line(row+1)
		top, bottom := g.y(row), g.y(row+1)
		g.runs(&p, both(own, above), top, top-upper)
		g.runs(&p, own, top-upper, bottom+lower)
		g.runs(&p, both(own, below), bottom+lower, bottom)
	}
	return p
}

// line says of each column of a row, quiet zone included, whether it is marked.
func (g *grid) line(row int) []bool {
	x, y := g.quiet(g.room.Light)
	line := make([]bool, g.cols+2*x)
	inside := row >= -y && row < g.rows+y
	for i := range line {
		line[i] = inside && g.Dark(i-x, row) != g.room.Light
	}
	return line
}

func both(a, b []bool) []bool {
	out := make([]bool, len(a))
	for i := range a {
		out[i] = a[i] && b[i]
	}
	return out
}

// runs adds a rectangle for each run of marked modules of a row, shorter by half a
// mark's width at each end.
func (g *grid) runs(p *path.Path, line []bool, top, bottom float64) {
	if !(top > bottom) {
		return
	}
	quiet, _ := g.quiet(g.room.Light)
	half := g.room.MarkWidthMM / 2
	for from := 0; from < len(line); {
		to := from
		for to < len(line) && line[to] {
			to++
		}
		if to > from {
			box(p, path.Rect{
				Min: path.Point{X: g.x(from-quiet) + half, Y: bottom},
				Max: path.Point{X: g.x(to-quiet) - half, Y: top},
			})
		}
		from = to + 1
	}
}

func box(p *path.Path, r path.Rect) {
	p.MoveTo(r.Min)
	p.LineTo(path.Point{X: r.Max.X, Y: r.Min.Y})
	p.LineTo(r.Max)
	p.LineTo(path.Point{X: r.Min.X, Y: r.Max.Y})
	p.Close()
}
