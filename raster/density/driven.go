package density

import (
	"fmt"

	"furrow/path"
	"furrow/raster/page"
)

// driven shows the marks as the mirrors make them, at their width, and over them the lines
// that were wanted.
func (d *drawing) driven() {
	t, line := d.o.theme(), page.LinePx(d.spec.TextPx)/d.g.PxPerMM
	wanted, _ := d.linesOf()
	if len(wanted)+len(d.o.Driven) <= mostVector {
		d.under()
	}
	marks := d.laidAt(d.o.Driven, d.o.MarkWidthMM, seeThrough)
	blend(d.plot, marks, t.Ink, 1)
	blend(d.plot, d.laidAt(wanted, line, 1), t.Ink, 1)
	d.spec.Lines = []page.Lines{
		{Paths: d.o.Driven, WidthMM: d.o.MarkWidthMM, RoundEnds: true, Colour: t.Ink, Opacity: seeThrough},
		{Paths: wanted, WidthMM: line, Colour: t.Ink, Opacity: 1},
	}
	d.key(page.Filled, d.markedTimes(1), fmt.Sprintf("mark as driven, %.3g mm wide", d.o.MarkWidthMM))
	d.key(page.Lined, t.Ink, "wanted")
	d.keyOften(marks)
}

// laidAt lays polylines of a width with round ends.
func (d *drawing) laidAt(lines [][]path.Point, width float64, opacity float64) *Layer {
	l, trace := newLayer(d.g), newTracer(d.g, sameBrush(d.g, width))
	trace.roundEnds, trace.curved = true, true
	to := l.shade(opacity)
	for _, pts := range lines {
		trace.take(path.Stroke{}, pts)
		trace.line(pts, to)
	}
	return l
}
