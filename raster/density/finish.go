package density

import (
	"cmp"
	"image/color"
	"math"
	"slices"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// finish shows the part as it will look: the blank's colour, and on it the tone
// of each setting where its marks cover it; later settings over earlier ones.
func (d *drawing) finish() {
	if d.o.Ground != (color.RGBA{}) {
		d.paintBlank(d.o.Ground)
	}
	for set := range max(1, len(d.prog.Settings)) {
		if l := d.covered(uint16(set)); l != nil {
			l.within(d.reached(uint16(set)))
			tone, named := d.tone(set)
			blend(d.plot, l, tone, 1)
			d.key(page.Filled, tone, named)
			d.fine(func(s path.Stroke) bool { return int(s.Setting) == set }, tone, 1)
		}
	}
}

// paintBlank gives the blank, or those in the pockets, their colour, or all of the plot
// where none is known.
func (d *drawing) paintBlank(c color.RGBA) {
	c.A = 255
	switch {
	case given(d.o.Blank):
		fillForm(d.plot, d.g, d.o.blank(), c)
	case len(d.o.Pockets) > 0:
		for _, p := range d.o.Pockets {
			fillForm(d.plot, d.g, d.o.pocket(p), c)
		}
	default:
		fillRect(d.plot, d.g, d.g.Rect(), c)
	}
}

// Lighter returns how a mark looks that is lighter than a blank of a colour, as
// far as a recipe says no more: 0.65 of the way to white.
func Lighter(blank color.RGBA) color.RGBA {
	return colour.Mix(blank, color.RGBA{255, 255, 255, 255}, contrast)
}

// Darker is Lighter on the way to black. Of no colour it is no colour, for which
// a picture takes ink.
func Darker(blank color.RGBA) color.RGBA {
	if blank == (color.RGBA{}) {
		return blank
	}
	return colour.Mix(blank, color.RGBA{A: 255}, contrast)
}

const contrast = 0.65

// tone returns what a setting leaves, and its name; ink and no name of its own
// where the tone is not known.
func (d *drawing) tone(set int) (color.RGBA, string) {
	if set >= len(d.o.Tones) || d.o.Tones[set] == (color.RGBA{}) {
		return d.o.theme().Ink, "marked"
	}
	c, name := d.o.Tones[set], "marked"
	c.A = 255
	if set < len(d.prog.Settings) {
		name = cmp.Or(d.prog.Settings[set].Name, name)
	}
	return c, name
}

// covered returns what share of each pixel the marks of a setting cover, nil
// where there are none. Marks of one direction lie side by side, so their shares
// add up, to 1 at most; directions cross, so what they leave bare multiplies.
// Passes over the same rows are taken for rows between them. Marks are laid longer
// by their width, since a round spot reaches half of it past both ends; see within.
func (d *drawing) covered(set uint16) (all *Layer) {
	var strokes [directions + 1][]int
	for i, s := range d.prog.Strokes {
		if s.Setting == set {
			dir := directionOf(d.prog.PointsOf(i))
			strokes[dir] = append(strokes[dir], i)
		}
	}
	t := newTracer(d.g, d.even(d.o.MarkWidthMM, resolved))
	for _, same := range strokes {
		if len(same) > 0 {
			all = all.cross(d.coveredBy(same, t))
		}
	}
	return all
}

// coveredBy sums the shares that strokes cover.
func (d *drawing) coveredBy(strokes []int, t *tracer) *Layer {
	l := newLayer(d.g)
	for _, i := range strokes {
		pts := d.prog.PointsOf(i)
		t.take(d.prog.Strokes[i], pts)
		t.line(lengthened(pts, d.o.MarkWidthMM/2), l.add(d.o.MarkWidthMM/t.brush.Width()))
	}
	return l
}

// lengthened returns a line with both ends moved outwards.
func lengthened(pts []path.Point, mm float64) []path.Point {
	last := len(pts) - 1
	if last < 1 || pts[0] == pts[last] {
		return pts
	}
	out := slices.Clone(pts)
	out[0] = beyond(pts[1], pts[0], mm)
	out[last] = beyond(pts[last-1], pts[last], mm)
	return out
}

// beyond returns the place mm further on from a through b.
func beyond(a, b path.Point, mm float64) path.Point {
	if n := a.Dist(b); n > 0 {
		return a.Lerp(b, 1+mm/n)
	}
	return b
}

// within cuts each pixel's share to that of an area, which counts what is covered
// twice once.
func (l *Layer) within(area *grid.Samples) {
	for i, v := range l.Value {
		if v > 0 {
			l.Value[i] = min(v, area.Share(i))
		}
	}
}

// cross returns what l and m cover together if they cross each other. It
// changes m; l may be nil.
func (l *Layer) cross(m *Layer) *Layer {
	for i, v := range m.Value {
		m.Value[i] = min(1, v)
		if l != nil {
			m.Value[i] = 1 - float32((1-l.Value[i])*(1-m.Value[i]))
		}
	}
	return m
}

// directions is the number of classes of straight marks, 22.5 degrees wide and
// set off so that no usual hatch angle lies where two of them meet. Polylines
// have a class of their own.
const directions = 8

func directionOf(pts []path.Point) int {
	if len(pts) != 2 {
		return directions
	}
	v := pts[1].Sub(pts[0])
	const offset = 5.1
	deg := math.Mod(math.Atan2(v.Y, v.X)*180/math.Pi-offset+360, 180)
	return int(deg/(180.0/directions)) % directions
}
