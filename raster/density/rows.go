package density

import (
	"fmt"
	"image/color"
	"math"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// seeThrough is the opacity of a mark, so that overlaps are darker.
const seeThrough = 0.4

// mostVector is the most strokes or moves that vector output holds as lines; more
// stay pixels.
const mostVector = 50000

// rows shows the marks at their width, for a close look. A thin line along the
// middle tells polylines from straight rows.
func (d *drawing) rows() {
	if d.o.Driven != nil {
		d.driven()
		return
	}
	t := d.o.theme()
	line := page.LinePx(d.spec.TextPx) / d.g.PxPerMM
	all, outlines := d.linesOf()
	if d.o.MarkWidthMM < 3*line { // no room for a middle
		outlines = nil
	}
	if len(all) <= mostVector {
		d.under()
	}
	width, opacity := d.o.MarkWidthMM, seeThrough
	if d.lone(line) {
		width, opacity = line, opaque
		d.key(page.Filled, colour.Mix(t.Blank, t.Ink, opaque), fmt.Sprintf("mark, %.3g mm wide, drawn wider",
			d.o.MarkWidthMM))
	}
	marks := newLayer(d.g)
	trace := newTracer(d.g, sameBrush(d.g, width))
	trace.roundEnds = true
	trace.all(d.prog, marks.shade(opacity))
	blend(d.plot, marks, t.Ink, 1)
	middles, middle := newLayer(d.g), newTracer(d.g, sameBrush(d.g, line))
	for _, pts := range outlines {
		middle.take(path.Stroke{}, pts)
		middle.line(pts, middles.add(1))
	}
	blend(d.plot, middles, t.Blank, 1)
	d.spec.Lines = []page.Lines{
		{Paths: all, WidthMM: width, RoundEnds: true, Colour: t.Ink, Opacity: opacity},
		{Paths: outlines, WidthMM: line, Colour: t.Blank, Opacity: 1},
	}
	if opacity == seeThrough {
		d.rowKeys(len(all), len(outlines))
		d.keyOften(marks)
	}
	if fine := d.fine(func(path.Stroke) bool { return true }, t.Ink, opaque); len(fine) > 0 {
		d.spec.Lines = append(d.spec.Lines, page.Lines{Paths: fine, WidthMM: d.o.FineMM, RoundEnds: true, Colour: t.Ink,
			Opacity: opaque})
		d.key(page.Filled, colour.Mix(t.Blank, t.Ink, opaque), "letters of lines, drawn wider")
	}
}

// fine draws the marks that must be read wider than they are, where those are thinner than
// can be read, and returns their lines. Which of them are meant is asked of each.
func (d *drawing) fine(meant func(path.Stroke) bool, c color.RGBA, opacity float64) (lines [][]path.Point) {
	if d.o.FineMM <= d.o.MarkWidthMM {
		return nil
	}
	l, view := newLayer(d.g), d.g.Rect().Grow(d.o.FineMM)
	t := newTracer(d.g, sameBrush(d.g, d.o.FineMM))
	t.roundEnds = true
	for i, s := range d.o.Fine.Strokes {
		if pts := d.o.Fine.PointsOf(i); meant(s) && meets(pts, view) {
			t.take(s, pts)
			t.line(pts, l.add(1))
			lines = append(lines, pts)
		}
	}
	blend(d.plot, l, c, opacity)
	return lines
}

// opaque is the opacity of marks that are thinner than any line that one can see.
const opaque = 0.85

// lone reports that marks are thinner than a line and far enough apart to be drawn as
// lines, as the crosses of a field grid are.
func (d *drawing) lone(line float64) bool {
	for _, dirs := range d.rowSpacings() {
		for _, spacing := range dirs {
			if spacing > 0 && spacing < 3*line {
				return false
			}
		}
	}
	return d.o.MarkWidthMM < line
}

// linesOf returns the points of all strokes in sight, and of those that are
// polylines.
func (d *drawing) linesOf() (all, outlines [][]path.Point) {
	view := d.g.Rect().Grow(d.o.MarkWidthMM)
	for i, s := range d.prog.Strokes {
		pts := d.prog.PointsOf(i)
		if !meets(pts, view) {
			continue
		}
		all = append(all, pts)
		if s.Kind == path.LineStroke && len(pts) > 2 {
			outlines = append(outlines, pts)
		}
	}
	return all, outlines
}

// anyMeets reports that a stroke has a part in r.
func anyMeets(prog path.Program, r path.Rect) bool {
	for i := range prog.Strokes {
		if meets(prog.PointsOf(i), r) {
			return true
		}
	}
	return false
}

// meets reports that a polyline has a part in r.
func meets(pts []path.Point, r path.Rect) bool {
	for j := 1; j < len(pts); j++ {
		if _, _, ok := grid.Clip(pts[j-1], pts[j], r); ok {
			return true
		}
	}
	return len(pts) > 0 && within(pts[0], r)
}

func within(p path.Point, r path.Rect) bool {
	return p.X >= r.Min.X && p.X <= r.Max.X && p.Y >= r.Min.Y && p.Y <= r.Max.Y
}

// markedTimes returns the colour of a place marked n times.
func (d *drawing) markedTimes(n int) color.RGBA {
	t := d.o.theme()
	return colour.Mix(t.Blank, t.Ink, 1-math.Pow(1-seeThrough, float64(n)))
}

func (d *drawing) rowKeys(all, outlines int) {
	if all > outlines {
		d.key(page.Filled, d.markedTimes(1), fmt.Sprintf("mark, %.3g mm wide", d.o.MarkWidthMM))
	}
	if outlines > 0 {
		d.key(page.Centred, d.markedTimes(1), "outline")
	}
}

// keyOften explains the tones of places marked twice and more, if marks laid with
// the opacity seeThrough show any.
func (d *drawing) keyOften(marks *Layer) {
	const within = 0.97 // of the tone, since edges cover a pixel in part
	most := marks.Max()
	for n, words := range often {
		if most > within*(1-math.Pow(1-seeThrough, float64(n+2))) {
			d.key(page.Filled, d.markedTimes(n+2), words)
		}
	}
}

// often words two times, and three and more.
var often = [...]string{"two marks overlap", "three or more overlap"}
