// Package page lays a picture out as a chart: millimetre rulers on two sides, a
// labelled colour scale, a key of what is drawn, and a caption, in a size of
// text that stays the same whatever the picture's shape.
package page

import (
	"image"
	"math"
	"slices"

	"furrow/raster/grid"
)

// Spec is what goes on a page.
type Spec struct {
	Plot    *image.RGBA // the picture, opaque
	Under   *image.RGBA // in vector output, what Lines are drawn over; nil for Plot, and no Lines
	Lines   []Lines     // what Plot holds beyond Under
	Grid    grid.Grid   // where it lies; as many pixels as Plot
	Theme   Theme
	TextPx  float64 // height of text, px
	Inches  bool    // rulers in inches
	Scale   *Scale  // nil for none
	Time    *Scale  // of a film whose Scale is another one, above it; nil for none
	Frames  []Frame // the later ones on top
	Rings   []Ring  // on top of the frames; the first ones get their numbers first
	Insets  []Inset // below
	Keys    []Key   // beside those of the frames and rings
	Caption Caption
}

// Page is a picture laid out, ready to be written.
type Page struct {
	spec   Spec
	sheet  sheet
	plotAt image.Point
	scale  image.Rectangle
	time   image.Rectangle
	insets []image.Point // where each stands
	keys   []Key         // of what can be seen
	w, h   int
}

// New lays out a page.
func New(spec Spec) *Page {
	p := &Page{spec: spec, sheet: newSheet(spec.Grid.PxPerMM, spec.TextPx, spec.Theme)}
	p.lay()
	return p
}

// LinePx returns the width, px, of a thin line beside text of a height.
func LinePx(textPx float64) float64 { return max(1, math.Round(textPx/16)) }

// Size returns the width and height of the page, px.
func (p *Page) Size() (w, h int) { return p.w, p.h }

// PlotAt returns the pixel of the plot's upper-left corner.
func (p *Page) PlotAt() image.Point { return p.plotAt }

// Plot returns the pixels of the plot, without what stands round it.
func (p *Page) Plot() image.Rectangle {
	return image.Rectangle{Min: p.plotAt, Max: p.plotAt.Add(image.Pt(p.spec.Grid.W, p.spec.Grid.H))}
}

// ScaleAt returns the pixels inside the frame of the scale; none without one.
func (p *Page) ScaleAt() image.Rectangle { return p.scale }

// TimeAt returns the pixels inside the frame of the scale of time; none without one.
func (p *Page) TimeAt() image.Rectangle { return p.time }

// The width of a page's content, in heights of text: room for the scale and for a
// caption of one line in most cases, or three times that of a small plot, but no less
// than will hold words.
const leastWidth, narrowest = 44, 22

// contentWidth returns how wide the page is without its margins, px, for a plot that
// takes so much with its ruler.
func (p *Page) contentWidth(plot float64) float64 {
	least := min(leastWidth, max(narrowest, 3*plot/p.sheet.text))
	return max(math.Ceil(p.sheet.text*least), plot)
}

// lay places everything, from the top down.
func (p *Page) lay() {
	s, g := &p.sheet, p.spec.Grid
	rx, ry := s.rulers(g, p.spec.Inches)
	margin := math.Round(s.text * 1.8)
	unit := unitName(p.spec.Inches)
	band := math.Ceil(max(s.labelWidth(ry), s.width(unit)) + s.text*0.8)
	content := p.contentWidth(band + float64(g.W))
	x := margin + band + math.Floor((content-band-float64(g.W))/2)
	p.plotAt = image.Pt(int(x), int(margin))
	p.w = int(content + 2*margin)
	for _, f := range p.spec.Frames {
		p.explain(f.Pattern, f.Label, s.drawFrame(x, margin, g, f))
	}
	s.leftRuler(x, margin, ry)
	s.bottomRuler(x, margin+float64(g.H), rx)
	s.print(x-s.text*0.8, margin+float64(g.H)+s.text*below, unit, right, s.theme.Quiet)
	p.layRings(x, margin)
	p.keys = append(p.keys, p.spec.Keys...)
	p.layBelow(margin, margin+float64(g.H)+math.Round(s.text*2.8), content)
}

// explain adds a key for what is drawn, once.
func (p *Page) explain(pattern Pattern, label string, drawn bool) {
	if k := (Key{Pattern: pattern, Label: label}); drawn && label != "" && !slices.Contains(p.keys, k) {
		p.keys = append(p.keys, k)
	}
}

// layBelow places what stands below the plot and sets the page's height: the insets
// beside the legend where that leaves room for it, else above it.
func (p *Page) layBelow(x, y, width float64) {
	s := &p.sheet
	insets, gap := p.insetsWidth(), s.text*2
	if room := width - insets - gap; insets > 0 && room >= s.text*narrowest {
		bottom := p.layInsets(x+room+gap, y, insets)
		y = max(p.layLegend(x, y, room), bottom)
	} else {
		y = p.layInsets(x, y, width)
		y = p.layLegend(x, y, width)
	}
	for _, l := range s.captionLines(p.spec.Caption, width) {
		s.print(x, y, l, left, s.theme.Ink)
		y += s.text * leading
	}
	p.h = int(math.Ceil(y + x - s.text*0.3))
	s.height = float64(p.h)
}

// layLegend places the scale and the key and returns the y below them.
func (p *Page) layLegend(x, y, width float64) float64 {
	s := &p.sheet
	long := math.Round(min(width, s.text*leastWidth*0.75))
	if p.spec.Time != nil {
		p.time = s.scaleBox(x, y, long)
		y = s.drawScale(x, y, long, *p.spec.Time) + s.text*0.6
	}
	if p.spec.Scale != nil {
		p.scale = s.scaleBox(x, y, long)
		y = s.drawScale(x, y, long, *p.spec.Scale) + s.text*0.6
	}
	if len(p.keys) > 0 {
		y = s.drawKeys(x, y, width, p.keys) + s.text*0.6
	}
	return y
}

func unitName(inches bool) string {
	if inches {
		return "in"
	}
	return "mm"
}
