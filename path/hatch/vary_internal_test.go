package hatch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func anyRamp(r *rand.Rand) *path.Gradient {
	g := &path.Gradient{
		Radial: r.IntN(3) > 0, Spread: path.Spread(r.IntN(3)), Start: 0.8 * r.Float64() * float64(r.IntN(2)),
		Unit: path.Rotate(360 * r.Float64()).Mul(path.Scale(0.2+r.Float64(), 0.2+r.Float64())).
			Mul(path.Translate(2*r.Float64()-1, 2*r.Float64()-1)),
		Stops: []path.Stop{{Offset: 0.1}, {Offset: 0.4}, {Offset: 0.9}},
	}
	g.Focus = path.Point{X: 2*r.Float64() - 1, Y: 2*r.Float64() - 1}.Mul((1 - g.Start) * 1.5)
	return g
}

// Where a line comes to an offset is where the gradient has it: all such places of very
// many are near one that is told, and those that are told have it.
func TestMeetsAgainstManyPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 4))
	met, turned := 0, 0
	for range 400 {
		g := anyRamp(r)
		angle := 2 * math.Pi * r.Float64()
		l := line{path.Point{X: 4*r.Float64() - 2, Y: 4*r.Float64() - 2},
			path.Point{X: math.Cos(angle), Y: math.Sin(angle)}}
		u := line{g.Unit.Apply(l.a), g.Unit.ApplyVector(l.dir)}
		want := 1.5*r.Float64() - 0.25
		told := meets(g, u, want)
		for _, x := range told { // on the circle of that offset, if perhaps not the greatest one there
			p := g.Unit.Apply(l.at(x))
			if g.Radial {
				require.InDelta(t, math.Abs(g.Start+want*(1-g.Start)), p.Dist(g.Focus.Mul(1-want)), 1e-7)
			} else {
				require.InDelta(t, want, p.X, 1e-9)
			}
		}
		turns := []float64{}
		if g.Radial {
			turns = nearestTurns(g, u)
		}
		const step = 0.01
		var past [2]float64
		seen := 0
		for x := -6.0; x < 6; x += step {
			at, ok := g.Offset(l.at(x))
			if !ok {
				seen = 0
				continue
			}
			if seen > 0 && (past[1]-want)*(at-want) < 0 && math.Abs(at-past[1]) < 0.5 {
				met++
				require.True(t, slices.ContainsFunc(told, func(m float64) bool { return m > x-2*step && m < x+step }),
					"%+v: %g is met at %g, told %v", g, want, x, told)
			}
			if seen > 1 && (past[1]-past[0])*(at-past[1]) < -1e-9 && math.Abs(at-past[0]) < 0.1 {
				turned++
				require.True(t, slices.ContainsFunc(turns, func(m float64) bool {
					return m > x-4*step && m < x+2*step
				}),
					"%+v turns round at %g, told %v", g, x, turns)
			}
			past[0], past[1] = past[1], at
			seen++
		}
	}
	require.Greater(t, met, 150)
	require.Greater(t, turned, 50)
}

// A paint bends at its stops, at every whole offset, and in a mirrored stretch at its
// stops from the other end.
func TestOffsetsAtWhichPaintBends(t *testing.T) {
	g := &path.Gradient{Stops: []path.Stop{{Offset: 0.1}, {Offset: 0.4}}}
	told := func(s path.Spread, lo, hi float64) (all []float64) {
		g.Spread = s
		eachOffset(g, lo, hi, func(t float64) { all = append(all, t) })
		slices.Sort(all)
		return all
	}
	near := func(want, got []float64) {
		t.Helper()
		require.Len(t, got, len(want))
		require.Len(t, got, len(want))
		require.InDeltaSlice(t, want, got, 1e-12)
	}
	near([]float64{0, 0.1, 0.4, 1, 1.1, 1.4}, told(path.Pad, -7, 9))
	near([]float64{2, 2.1, 2.4, 3, 3.1, 3.4}, told(path.Repeat, 2.5, 3.5))
	near([]float64{-1, -0.4, -0.1, 0, 0.1, 0.4, 1, 1.6, 1.9}, told(path.Reflect, -0.5, 1.5))
	near(nil, told(path.Repeat, 0, 1024)) // four cuts a round, 4,096 in all
	require.Len(t, told(path.Repeat, 0.5, 1024), 3*1025)
	near(nil, told(path.Repeat, math.Inf(1), math.Inf(-1)))
}

// The top of a parabola through three places, where it alone crosses the threshold.
func TestSummits(t *testing.T) {
	through := func(top, height, bend float64) (u, v, w probe) {
		at := func(x float64) probe { return probe{x: x, margin: height - bend*(x-top)*(x-top)} }
		return at(1), at(3), at(5)
	}
	for _, c := range []struct {
		top, height, bend float64
		ok                bool
	}{
		{3.4, 0.1, 1, true}, {2.7, 0.05, 0.9, true}, {3.4, 5, 1, false},
		{3.4, -0.1, -1, true}, {9, 0.1, 1, false}, {3, 1, 0, false},
	} {
		u, v, w := through(c.top, c.height, c.bend)
		x, ok := summit(u, v, w)
		require.Equal(t, c.ok, ok, "%+v", c)
		if ok {
			require.InDelta(t, c.top, x, 1e-9)
		}
	}
}
