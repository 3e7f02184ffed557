package page

import (
	"math"

	"furrow/path"
	"furrow/raster/grid"
)

// ruler is one axis of the plot: value v, in its unit, stands at zero + v·scale
// pixels, where scale is negative on the upward axis.
type ruler struct {
	ruling
	lo, hi      float64
	zero, scale float64
}

// rulers returns those of a grid. They have the same ticks, unless one is so short
// that it needs closer ones.
func (s *sheet) rulers(g grid.Grid, inch bool) (x, y ruler) {
	mm, rule := 1.0, metric
	if inch {
		mm, rule = path.MMPerInch, inches
	}
	px, r := g.PxPerMM*mm, g.Rect()
	x = ruler{lo: r.Min.X / mm, hi: r.Max.X / mm, zero: -g.TopLeft.X * g.PxPerMM, scale: px}
	y = ruler{lo: r.Min.Y / mm, hi: r.Max.Y / mm, zero: g.TopLeft.Y * g.PxPerMM, scale: -px}
	least := max(x.hi-x.lo, y.hi-y.lo) * px / mostLabels
	ticks := func(room float64) ruling { return rule(px, max(room, least), max(s.text*0.4, least/10)) }
	wide := func(ticked ruling) ruling { // with room for the labels along x
		x.ruling = ticked
		for room := s.text; x.major*px < s.labelWidth(x)*1.3+s.text; room *= 1.3 {
			x.ruling = ticks(room)
		}
		return x.ruling
	}
	y.ruling = wide(ticks(s.text * 4.2))
	if x.hi-x.lo < 3*x.major {
		wide(ticks(s.text * 2))
	}
	if y.hi-y.lo < 3*y.major {
		y.ruling = ticks(s.text * 2.5)
	}
	return x, y
}

// mostLabels of a ruler keep a page of a kilometre at true size from taking minutes; beds of
// 10 m have fewer.
const mostLabels = 1000

// labelWidth returns that of the ruler's widest label.
func (s *sheet) labelWidth(r ruler) float64 {
	w := 0.0
	multiples(r.lo, r.hi, r.major, func(_ int, v float64) { w = max(w, s.width(trim(v))) })
	return w
}

// tickAt returns the pixel in which the tick of v begins, kept inside the axis.
func (s *sheet) tickAt(r ruler, v float64) float64 {
	first, last := r.zero+r.lo*r.scale, r.zero+r.hi*r.scale
	at := math.Round(r.zero + v*r.scale - s.line/2)
	return min(max(at, min(first, last)), math.Round(max(first, last))-s.line)
}

// below is how far under a plot the labels stand, in heights of text.
const below = 0.7

// bottomRuler draws the ruler below a plot whose lower-left corner is at x, y.
func (s *sheet) bottomRuler(x, y float64, r ruler) {
	multiples(r.lo, r.hi, r.minor, func(_ int, v float64) {
		s.fill(x+s.tickAt(r, v), y, s.line, s.text*0.3, s.theme.Quiet)
	})
	multiples(r.lo, r.hi, r.major, func(_ int, v float64) {
		at := x + s.tickAt(r, v)
		s.fill(at, y, s.line, s.text*0.55, s.theme.Ink)
		label := trim(v)
		middle := max(at+s.line/2, x+s.width(label)/2) // clear of the other ruler's unit
		s.print(middle, y+s.text*below, label, centre, s.theme.Ink)
	})
}

// leftRuler draws the ruler left of a plot whose upper-left corner is at x, y.
func (s *sheet) leftRuler(x, y float64, r ruler) {
	multiples(r.lo, r.hi, r.minor, func(_ int, v float64) {
		s.fill(x-s.text*0.3, y+s.tickAt(r, v), s.text*0.3, s.line, s.theme.Quiet)
	})
	multiples(r.lo, r.hi, r.major, func(_ int, v float64) {
		at := y + s.tickAt(r, v)
		s.fill(x-s.text*0.55, at, s.text*0.55, s.line, s.theme.Ink)
		s.print(x-s.text*0.8, at-s.text*0.64, trim(v), right, s.theme.Ink)
	})
}
