package density

import (
	"cmp"
	"math"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// faint is the opacity of marks that only show where one is.
const faint = 0.4

// travel shows where the beam moves while it is off, over pale marks, and the
// whole reach of the head.
func (d *drawing) travel() {
	t := d.o.theme()
	if len(d.prog.Strokes) > 0 {
		marks := newLayer(d.g)
		newTracer(d.g, d.even(d.o.MarkWidthMM, resolved)).all(d.prog, marks.add(1))
		blend(d.plot, marks, t.Mid, faint)
		d.key(page.Filled, colour.Mix(t.Blank, t.Mid, faint), "marked")
	}
	if len(d.o.Travel) > 0 {
		lines, all := thinned(d.o.Travel, d.spec.TextPx/d.g.PxPerMM)
		if len(lines) <= mostVector {
			d.under()
		}
		blend(d.plot, d.dotted(lines), t.Mid, 1)
		label := "beam-off movement"
		if !all {
			label += ", thinned where it is dense"
		}
		d.key(page.Dotted, t.Mid, label)
		d.spec.Lines = append(d.spec.Lines, page.Lines{Paths: lines, Dotted: true, Colour: t.Mid})
	}
	if len(d.o.Guide) > 0 {
		line := page.LinePx(d.spec.TextPx) / d.g.PxPerMM
		blend(d.plot, d.laidAt(d.o.Guide, line, 1), t.Ink, 1)
		d.key(page.Lined, t.Ink, "visible guide")
		d.spec.Lines = append(d.spec.Lines, page.Lines{Paths: d.o.Guide, WidthMM: line, Colour: t.Ink, Opacity: 1})
	}
	if given(d.o.Reach) {
		d.spec.Frames = append(d.spec.Frames, page.Frame{
			Rect: d.o.Reach, Pattern: page.DashDotted, Label: cmp.Or(d.o.ReachName, "reach of the head") + " " +
				d.o.size(d.o.Reach),
		})
	}
}

// dotted draws thin dotted lines. The dots run on from one line to the next, so
// that many short ones show as much as a long one.
func (d *drawing) dotted(lines [][]path.Point) *Layer {
	l := newLayer(d.g)
	dot := page.LinePx(d.spec.TextPx) / d.g.PxPerMM
	brush := grid.NewBrush(d.g, dot)
	view := d.g.Rect().Grow(dot)
	at := 0.0 // along the dots; one dot in three is drawn
	for _, pts := range lines {
		for j := 1; j < len(pts); j++ {
			if a, b, ok := grid.Clip(pts[j-1], pts[j], view); ok {
				at = dots(a, b, at, dot, func(p, q path.Point) { brush.Mark(p, q, l.add(1)) })
			}
		}
	}
	return l
}

// dots cuts the line from a to b into dots of one length with gaps of two,
// starting at a phase, mm, and returns that of the end.
func dots(a, b path.Point, phase, dot float64, f func(p, q path.Point)) float64 {
	n := a.Dist(b)
	for from := -phase; from < n; from += 3 * dot {
		p, q := max(from, 0), min(from+dot, n)
		if p < q {
			f(a.Lerp(b, p/n), a.Lerp(b, q/n))
		}
	}
	return math.Mod(phase+n, 3*dot)
}
