package svg

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// swept is a curve that the tests know by its formula: where it is at t, where it leads, as
// long as its parameter makes it, and how it bends to the left.
type swept func(t float64) (at, speed path.Point, bend float64)

// arcOf is an arc of a circle of radius 10 round the origin from the X axis on,
// counter-clockwise.
func arcOf(sweep float64) (path.Path, swept) {
	var p path.Path
	at := func(a float64) path.Point { return path.Point{X: 10 * math.Cos(a), Y: 10 * math.Sin(a)} }
	p.MoveTo(at(0))
	p.ArcTo(path.Point{}, at(0), at(math.Pi/2), 0, sweep, at(sweep))
	return p, func(t float64) (path.Point, path.Point, float64) {
		return at(t * sweep), at(t*sweep + math.Pi/2).Mul(sweep), 0.1
	}
}

// parabola is y = x²/8 from -8 to 8, whose control point lies where the tangents at its ends
// meet; its bend is y″/(1+y′²)^1.5.
func parabola() (path.Path, swept) {
	var p path.Path
	p.MoveTo(path.Point{X: -8, Y: 8})
	p.QuadTo(path.Point{Y: -8}, path.Point{X: 8, Y: 8})
	return p, func(t float64) (path.Point, path.Point, float64) {
		x := 16*t - 8
		return path.Point{X: x, Y: x * x / 8}, path.Point{X: 16, Y: 4 * x}, 0.25 / math.Pow(1+x*x/16, 1.5)
	}
}

// beside is where the curve at a distance d to the left is at t, and its derivative.
func (c swept) beside(t, d float64) (at, speed path.Point) {
	at, v, bend := c(t)
	return at.Add(path.Point{X: -v.Y, Y: v.X}.Mul(d / math.Hypot(v.X, v.Y))), v.Mul(1 - d*bend)
}

// hermite returns the middle controls of the cubic that has the ends and end speeds of the
// curve at a distance d, and how far it is off that at the quarters.
func (c swept) hermite(t0, t1, d float64) (one, two path.Point, off float64) {
	a, va := c.beside(t0, d)
	b, vb := c.beside(t1, d)
	one, two = a.Add(va.Mul((t1-t0)/3)), b.Sub(vb.Mul((t1-t0)/3))
	for _, s := range []float64{0.25, 0.5, 0.75} {
		r := 1 - s
		got := a.Mul(r * r * r).Add(one.Mul(3 * r * r * s)).Add(two.Mul(3 * r * s * s)).Add(b.Mul(s * s * s))
		want, _ := c.beside(t0+s*(t1-t0), d)
		off = max(off, got.Dist(want))
	}
	return one, two, off
}

// requireBeside holds the pieces of an offset curve between the legs that carry its ends'
// directions against the formula: they are even in the parameter from t0 to t1, within the
// tolerance, and pieces of twice the length were not.
func requireBeside(t *testing.T, c swept, l polyline, legs []leg, t0, t1, half, tolerance float64) {
	near := func(want, got path.Point) { t.Helper(); require.InDelta(t, 0, want.Dist(got), 1e-9) }
	n, worst := len(legs), 0.0
	for i, g := range legs {
		a := t0 + (t1-t0)*float64(i)/float64(n)
		b := t0 + (t1-t0)*float64(i+1)/float64(n)
		at, out, _ := c(b)
		_, in, _ := c(a)
		near(at, g.to)
		near(in.Mul(1/in.Len()), g.in)
		near(out.Mul(1/out.Len()), g.out)
		require.True(t, g.smooth)
		require.Zero(t, g.length)
		for k, d := range []float64{half, -half} {
			one, two, off := c.hermite(a, b, d)
			near(one, l.sides[g.sides-1][2*k])
			near(two, l.sides[g.sides-1][2*k+1])
			require.LessOrEqual(t, off, tolerance)
			_, _, off = c.hermite(a-float64(i%2)*(b-a), a+float64(2-i%2)*(b-a), d)
			worst = max(worst, off)
		}
	}
	if n > 1 {
		require.Greater(t, worst, tolerance, "fewer would do")
	}
}

// An arc's offset curves are arcs, and the cubic that stands for one of radius r and sweep s
// is r·s⁴/384 off in its middle (a little less for wide ones): of the two beside a quarter of
// 10 ± 2 the outer one is 0.18, 0.012, 0.00074 off in 1, 2 and 4 pieces.
func TestOffsetCurvesOfArcs(t *testing.T) {
	for _, s := range []struct {
		sweep, tolerance float64
		pieces           int
	}{
		{math.Pi / 2, 0.2, 1}, {math.Pi / 2, 0.17, 2}, {math.Pi / 2, 0.0125, 2}, {math.Pi / 2, 0.011, 4},
		{math.Pi / 2, 0.00078, 4}, {-math.Pi / 2, 0.2, 1}, {-math.Pi / 2, 0.17, 2},
		{1.99, 100, 1}, {2, 100, 2}, {-2, 100, 2}, {-1.99, 100, 1}, // the fit of wider ones is not looked at
	} {
		p, c := arcOf(s.sweep)
		if s.sweep < 0 { // bends to the right
			left := c
			c = func(t float64) (path.Point, path.Point, float64) { at, v, k := left(t); return at, v, -k }
		}
		lines := new(lineBuilder).polylines(p, 2, s.tolerance)
		require.Len(t, lines, 1)
		legs := lines[0].legs
		require.Len(t, legs, s.pieces+2, s)
		require.False(t, legs[0].smooth)
		require.True(t, legs[len(legs)-1].smooth)
		require.Equal(t, path.Point{X: 10}, legs[0].to)
		require.Equal(t, p.Points[len(p.Points)-1], legs[len(legs)-2].to, "the end is that of the path")
		if s.tolerance < 100 {
			requireBeside(t, c, lines[0], legs[1:len(legs)-1], 0, 1, 2, s.tolerance)
		}
	}
}

// A parabola that bends less than the pen is wide has curves beside it all along. One whose
// inner side folds back at its middle, where its radius is 4, has chords in the quarters that
// meet there: 7.07 of them, rounded up, since the second derivative is 64 throughout.
func TestOffsetCurvesOfAParabola(t *testing.T) {
	p, c := parabola()
	for _, tolerance := range []float64{1, 0.1} { // alike on either side, so in even pieces at these
		lines := new(lineBuilder).polylines(p, 1, tolerance)
		legs := lines[0].legs
		requireBeside(t, c, lines[0], legs[1:len(legs)-1], 0, 1, 1, tolerance)
	}
	lines := new(lineBuilder).polylines(p, 5, 0.01)
	legs := lines[0].legs[1 : len(lines[0].legs)-1]
	var straight []path.Point
	first := -1
	for i, g := range legs {
		if g.sides == 0 {
			straight = append(straight, g.to)
			if first < 0 {
				first = i
			}
		}
		require.True(t, g.smooth)
	}
	require.Len(t, straight, 16)
	for i, q := range straight {
		x := -4 + float64(i+1)/2
		require.InDelta(t, 0, q.Dist(path.Point{X: x, Y: x * x / 8}), 1e-9)
	}
	requireBeside(t, c, lines[0], legs[:first], 0, 0.25, 5, 0.01)
	requireBeside(t, c, lines[0], legs[first+16:], 0.75, 1, 5, 0.01)
}

// Where curves are cut to straight legs, h²/8 of the greatest second derivative is what
// each is off at most, which for y = 6t³ is 36 at its end.
func TestChordsOfCurves(t *testing.T) {
	cut := func(p path.Path, tolerance float64) []leg {
		b := lineBuilder{tolerance: tolerance, at: p.Points[0]}
		b.chords(&curve{p.Verbs[1], p.Points[0], p.Points[1:]}, 0, 1, false)
		return b.legs
	}
	up := path.Path{}
	up.MoveTo(path.Point{})
	up.CubeTo(path.Point{X: 1}, path.Point{X: 2}, path.Point{X: 3, Y: 6})
	down := path.Path{}
	down.MoveTo(path.Point{X: 3, Y: 6})
	down.CubeTo(path.Point{X: 2}, path.Point{X: 1}, path.Point{})
	bow, _ := parabola()
	for _, c := range []struct {
		p         path.Path
		tolerance float64
		legs      int
	}{{up, 0.51, 3}, {up, 0.49, 4}, {down, 0.51, 3}, {up, 5, 1}, {up, 2, 2}, {bow, 0.01, 29}, {bow, 1e-12, 1 << 16}} {
		legs := cut(c.p, c.tolerance)
		require.Len(t, legs, c.legs)
		require.False(t, legs[0].smooth)
		at := c.p.Points[0]
		for i, g := range legs {
			require.Equal(t, i > 0, g.smooth)
			require.Equal(t, g.in, g.out)
			require.InDelta(t, g.to.Dist(at), g.length, 1e-12)
			at = g.to
		}
		require.Equal(t, c.p.Points[len(c.p.Points)-1], at)
	}
	arc, _ := arcOf(math.Pi / 2) // the second derivative is 24.7: 17.6 legs
	arc.Points[len(arc.Points)-1].X = 1e-9
	legs := cut(arc, 0.01)
	require.Len(t, legs, 18)
	require.Equal(t, path.Point{X: 1e-9, Y: 10}, legs[17].to, "the end is that of the path")
	third := cut(up, 0.51)[0].to
	require.InDelta(t, 0, third.Dist(path.Point{X: 1, Y: 6. / 27}), 1e-12)
}
