package svg

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// CSS Fonts 4, 2.3, and CSS Values 4, 6.1: the steps of font-stretch, and what lengths are
// of the page.
func TestStepsAndPages(t *testing.T) {
	steps := []string{"ultra-condensed", "extra-condensed", "condensed", "semi-condensed", "normal", "semi-expanded",
		"expanded", "extra-expanded", "ultra-expanded"}
	for i, eighths := range []float64{4, 5, 6, 7, 8, 9, 10, 12, 16} {
		v, ok := asStretch(nil, steps[i])
		require.True(t, ok)
		require.Equal(t, eighths*12.5, v, steps[i])
	}
	for unit, px := range map[string]float64{"%": 6, "vw": 8, "vh": 4, "vmin": 4, "vmax": 8, "em": 2, "ex": 1, "ch": 1,
		"cap": 1, "ic": 2, "lh": 2.4, "rem": 0.7, "rlh": 0.84} {
		l, ok := parseLength("10" + unit)
		require.True(t, ok, unit)
		d := horizontal
		if unit == "%" {
			l.v = 7.5
		} else if unit[0] != 'v' {
			l.v = 1
		}
		require.InDelta(t, px, l.px(fontMetrics{size: 2, root: 0.7}, viewport{80, 40}, d), 1e-12, unit)
	}
}

// The way of a curve beside another, against the step from place to place.
func TestBesideACurve(t *testing.T) {
	c := curve{path.CubeTo, path.Point{}, []path.Point{{X: 30}, {X: 40, Y: 10}, {X: 40, Y: 40}}}
	const h = 1e-5
	for _, d := range []float64{-5, -0.3, 0, 2, 6} {
		for _, at := range []float64{0.1, 0.35, 0.5, 0.8} {
			f, before, after := c.frame(at), c.frame(at-h), c.frame(at+h)
			p, way, ok := f.beside(d)
			require.True(t, ok)
			require.InDelta(t, math.Abs(d), p.Dist(f.at), 1e-9)
			a, _, _ := before.beside(d)
			b, _, _ := after.beside(d)
			require.InDelta(t, 0, way.Dist(b.Sub(a).Mul(1/(2*h))), 1e-4, "%v %v", d, at)
		}
	}
}

// The mean of a gradient, against the paint at each of many places, opacity multiplied in.
func TestMeanOfStops(t *testing.T) {
	stops := []path.Stop{
		{Offset: 0.1, Paint: path.Paint{R: 0.2, G: 0.9, B: 0.4, Opacity: 1}},
		{Offset: 0.3, Paint: path.Paint{R: 0.8, G: 0.3, B: 0.1, Opacity: 0.4}},
		{Offset: 0.7, Paint: path.Paint{R: 0.5, G: 0.6, B: 0.7, Opacity: 0.9}},
	}
	at := func(x float64, of func(p path.Paint) float64) float64 {
		x = min(max(x, stops[0].Offset), stops[2].Offset)
		i := 0
		if x > stops[1].Offset {
			i = 1
		}
		a, b := stops[i], stops[i+1]
		k := (x - a.Offset) / (b.Offset - a.Offset)
		return of(a.Paint)*(1-k) + of(b.Paint)*k
	}
	sum := func(of func(p path.Paint) float64) (v float64) {
		const n = 10_000
		for i := range n {
			v += at((float64(i)+0.5)/n, of) / n
		}
		return v
	}
	got, opacity := mean(stops), sum(func(p path.Paint) float64 { return p.Opacity })
	require.InDelta(t, opacity, got.Opacity, 1e-6)
	require.InDelta(t, sum(func(p path.Paint) float64 { return p.R * p.Opacity })/opacity, got.R, 1e-6)
	require.InDelta(t, sum(func(p path.Paint) float64 { return p.G * p.Opacity })/opacity, got.G, 1e-6)
	require.InDelta(t, sum(func(p path.Paint) float64 { return p.B * p.Opacity })/opacity, got.B, 1e-6)
	for i := range stops {
		stops[i].Paint.Opacity = 0
	}
	require.Zero(t, mean(stops))
}

// The direction that is stretched most, by trying many.
func TestLargestScale(t *testing.T) {
	for _, m := range []path.Matrix{
		{A: 1, D: 1}, {A: 2, D: 0.1}, {A: 1, B: 2, C: -0.5, D: 3}, {A: 0.3, B: 0.4, C: 0.3, D: 0.4},
		{B: -3, C: 0.7, E: 5}, {A: 0.1, C: 0.6, D: -0.2},
	} {
		most := 0.0
		for i := range 20_000 {
			sin, cos := math.Sincos(float64(i) * math.Pi / 20_000)
			most = max(most, m.ApplyVector(path.Point{X: cos, Y: sin}).Len())
		}
		require.InDelta(t, most, largestScale(m), 1e-6*most, "%+v", m)
	}
}

// The frames of a piece of a curve are those at its ends and quarters.
func TestFramesOfAPiece(t *testing.T) {
	c := curve{path.CubeTo, path.Point{}, []path.Point{{X: 30}, {X: 40, Y: 10}, {X: 40, Y: 40}}}
	for _, piece := range [][2]float64{{0, 1}, {0.25, 0.5}, {0.5, 1}} {
		f := c.frames(piece[0], piece[1])
		for i, at := range []float64{0, 0.25, 0.5, 0.75, 1} {
			require.Equal(t, c.frame(piece[0]+at*(piece[1]-piece[0])), f[i])
		}
		for _, d := range []float64{-0.5, 1} { // what stands for it beside it keeps to the tolerance on the way
			controls, good := f.offset(piece[1]-piece[0], d, 0.05)
			if !good {
				continue
			}
			a, _, _ := f[0].beside(d)
			b, _, _ := f[4].beside(d)
			fitted := curve{path.CubeTo, a, []path.Point{controls[0], controls[1], b}}
			for i := range 101 {
				at := float64(i) / 100
				got, _, _ := fitted.at(at)
				nearest := math.Inf(1)
				for k := range 1001 {
					g := c.frame(piece[0] + float64(k)/1000*(piece[1]-piece[0]))
					want, _, _ := g.beside(d)
					nearest = min(nearest, want.Dist(got))
				}
				require.Less(t, nearest, 0.1)
			}
		}
		_, good := f.offset(piece[1]-piece[0], 0.5, 1e-9)
		require.False(t, good)
	}
	f := c.frames(0.5, 1)
	_, good := f.offset(0.5, 1, 0.05)
	require.True(t, good)
}
