package path

import (
	"math"
	"slices"
	"sort"
)

// Paint is an sRGB colour with channels 0..1 and an opacity 0..1. The zero
// value is fully transparent.
type Paint struct{ R, G, B, Opacity float64 }

// OverWhite returns the channels of p laid over white.
func (p Paint) OverWhite() (r, g, b float64) {
	over := func(c float64) float64 { return 1 - p.Opacity*(1-c) }
	return over(p.R), over(p.G), over(p.B)
}

// Bare reports that p, laid over white, is so light that it is left unmarked:
// no channel is below above (a fraction of full; more than 1 makes no paint
// bare).
func (p Paint) Bare(above float64) bool {
	r, g, b := p.OverWhite()
	return min(r, g, b) >= above
}

// Fade returns p with its opacity times k.
func (p Paint) Fade(k float64) Paint {
	p.Opacity *= k
	return p
}

// Stop is the paint at one place of a gradient.
type Stop struct {
	Offset float64 // 0..1, never less than that of the stop before
	Paint  Paint
}

// Spread says how a gradient goes on before its first and behind its last stop.
type Spread uint8

// The ways to go on.
const (
	Pad     Spread = iota // with the paint of that stop
	Reflect               // back and forth
	Repeat                // from the start
)

// Gradient is a paint that changes from place to place: at offset t along a
// straight line or between two circles, as SVG defines them, with colour and
// opacity each interpolated by itself. Without stops it paints nothing.
type Gradient struct {
	Stops  []Stop
	Spread Spread
	Unit   Matrix // maps the page to where the gradient is simple: t is X, or the end circle is the unit circle
	Radial bool
	Focus  Point   // of a radial one: the middle of the start circle, in that place
	Start  float64 // and its radius, below 1
}

// Offset returns t at a point of the page, before Spread; ok is false where a
// radial gradient does not reach.
func (g *Gradient) Offset(p Point) (t float64, ok bool) {
	u := g.Unit.Apply(p)
	if !g.Radial {
		return u.X, true
	}
	return g.circle(u)
}

// circle solves |u − (1−t)·Focus| = Start + t·(1−Start) for the greatest t of a
// circle that is there.
func (g *Gradient) circle(u Point) (t float64, ok bool) {
	f, k, v := g.Focus, 1-g.Start, u.Sub(g.Focus)
	a := f.Dot(f) - float64(k*k)
	b := v.Dot(f) - float64(g.Start*k)
	c := v.Dot(v) - float64(g.Start*g.Start)
	there := func(t float64) bool { return g.Start+float64(t*k) >= 0 }
	if math.Abs(a) < 1e-12 { // the circles touch
		t = -c / (2 * b)
		return t, b != 0 && there(t)
	}
	root := float64(b*b) - float64(a*c)
	if root < 0 {
		return 0, false
	}
	root = math.Sqrt(root)
	t, other := (-b-root)/a, (-b+root)/a
	if other > t {
		t, other = other, t
	}
	if !there(t) {
		t = other
	}
	return t, there(t)
}

// Fold maps t to 0..1 by the gradient's Spread.
func (g *Gradient) Fold(t float64) float64 {
	switch g.Spread {
	case Repeat:
		return t - math.Floor(t)
	case Reflect:
		return math.Abs(t - float64(2*math.Round(t/2)))
	}
	return min(max(t, 0), 1)
}

// At returns the paint at a point of the page.
func (g *Gradient) At(p Point) Paint {
	t, ok := g.Offset(p)
	if !ok || len(g.Stops) == 0 {
		return Paint{}
	}
	return g.Paint(g.Fold(t))
}

// Paint returns the paint at an offset 0..1.
func (g *Gradient) Paint(t float64) Paint {
	i := sort.Search(len(g.Stops), func(i int) bool { return g.Stops[i].Offset > t })
	switch {
	case i == 0:
		return g.Stops[0].Paint
	case i == len(g.Stops):
		return g.Stops[i-1].Paint
	}
	a, b := &g.Stops[i-1], &g.Stops[i]
	return a.Paint.mix(b.Paint, (t-a.Offset)/(b.Offset-a.Offset))
}

func (p Paint) mix(q Paint, k float64) Paint {
	at := func(a, b float64) float64 { return a + float64((b-a)*k) }
	return Paint{R: at(p.R, q.R), G: at(p.G, q.G), B: at(p.B, q.B), Opacity: at(p.Opacity, q.Opacity)}
}

// Fade returns g with all opacities times k.
func (g *Gradient) Fade(k float64) *Gradient {
	h := *g
	h.Stops = slices.Clone(g.Stops)
	for i := range h.Stops {
		h.Stops[i].Paint.Opacity *= k
	}
	return &h
}

// transform returns the gradient as it looks when the page is mapped by m. Where
// m flattens the page nothing of it has an area, and the gradient stays.
func (g *Gradient) transform(m Matrix) *Gradient {
	inverse, ok := m.Inverse()
	if !ok {
		return g
	}
	h := *g
	h.Unit = g.Unit.Mul(inverse)
	return &h
}
