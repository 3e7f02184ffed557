package density

import (
	"furrow/path"
	"furrow/raster/grid"
)

// area tells what share of each pixel lies within marks, however often, in rows of
// the width for their spacing.
func (d *drawing) area(width func(spacing float64) float64) *grid.Samples {
	a, spacings := grid.NewSamples(d.g), d.rowSpacings()
	for i, s := range d.prog.Strokes {
		pts := d.prog.PointsOf(i)
		along(a, pts, width(spacings[s.Setting][directionOf(pts)]))
		if lengthOf(pts) == 0 && len(pts) > 0 {
			a.Dot(pts[0], d.o.MarkWidthMM)
		}
	}
	return a
}

// reached is area for the marks of a setting as a round spot leaves them: they reach
// half their width past their ends. Rows that do not show one by one close up.
func (d *drawing) reached(setting uint16) *grid.Samples {
	a, spacings := grid.NewSamples(d.g), d.rowSpacings()
	for i, s := range d.prog.Strokes {
		pts := d.prog.PointsOf(i)
		if s.Setting != setting || len(pts) == 0 {
			continue
		}
		along(a, pts, max(d.o.MarkWidthMM, d.tileWidth(spacings[s.Setting][directionOf(pts)])))
		a.Dot(pts[0], d.o.MarkWidthMM)
		a.Dot(pts[len(pts)-1], d.o.MarkWidthMM)
	}
	return a
}

// along covers the way of a polyline, its corners round.
func along(a *grid.Samples, pts []path.Point, width float64) {
	for j := 1; j < len(pts); j++ {
		a.Mark(pts[j-1], pts[j], width)
		if j+1 < len(pts) {
			a.Dot(pts[j], width)
		}
	}
}

// Marked returns the bounds of what a program marks with marks of a width, mm,
// which reach half of it past their middles.
func Marked(prog path.Program, widthMM float64) path.Rect {
	b := prog.Bounds()
	if b.Empty() {
		return b
	}
	return b.Grow(widthMM / 2)
}
