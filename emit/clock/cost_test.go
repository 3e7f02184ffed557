package clock_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

func costs(speed float64, change func(*machine.Gantry)) route.RowCost {
	p := machine.Examples()[0]
	g := *p.Gantry
	g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
	if change != nil {
		change(&g)
	}
	p.Gantry = &g
	return clock.Cost(p, []path.Setting{{SpeedMMPerS: speed, Power: 0.3}}).(route.RowCost)
}

// A gap is swept exactly when the clock, given both ways in full, says that this is
// quicker: row after row across it, or all rows on this side of it and then all on the
// other.
func TestSweepIsWhatTheClockSays(t *testing.T) {
	for _, jerk := range []float64{0, 60_000} {
		for _, dir := range []path.Point{{X: 1}, {Y: 1}, {X: math.Sqrt2 / 2, Y: math.Sqrt2 / 2},
			{X: math.Cos(0.5), Y: math.Sin(0.5)}} {
			for _, speed := range []float64{30, 100, 250} {
				change := func(g *machine.Gantry) { g.JerkMMPerS3 = [2]float64{jerk, jerk} }
				c := costs(speed, change)
				for _, gap := range []float64{0.5, 2, 5, 10, 20, 40, 80, 160, 300} {
					swept, cut := bothWays(t, dir, gap, speed, change)
					if math.Abs(swept/cut-1) > 0.02 {
						require.Equal(t, swept < cut, c.SweepAlong(dir, gap, 0),
							"gap %g at %g mm/s along %v, jerk %g: %g s or %g s", gap, speed, dir, jerk, swept, cut)
					}
				}
			}
		}
	}
}

// bothWays returns the seconds of 200 rows of two spans of 10 mm, swept and side by side.
func bothWays(t *testing.T, dir path.Point, gap, speed float64, change func(*machine.Gantry)) (swept, cut float64) {
	p := machine.Examples()[0]
	g := *p.Gantry
	g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
	change(&g)
	p.Gantry, p.GCode = &g, &machine.GCode{PowerWordMax: 1000}
	at := func(k int, x float64) path.Point {
		return dir.Mul(x).Add(path.Point{X: -dir.Y, Y: dir.X}.Mul(0.1 * float64(k)))
	}
	seconds := func(parts ...[][2]float64) float64 {
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: speed, Power: 0.3}}}
		for n, spans := range parts {
			for k := range 200 {
				s := path.Stroke{Sweep: int32(200*n + k + 1)}
				for i := range spans {
					if k%2 == 0 {
						prog.Append(s, at(k, spans[i][0]), at(k, spans[i][1]))
					} else {
						last := spans[len(spans)-1-i]
						prog.Append(s, at(k, last[1]), at(k, last[0]))
					}
				}
			}
		}
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		return run(t, m, p).Total().Seconds()
	}
	left, right := [2]float64{0, 10}, [2]float64{10 + gap, 20 + gap}
	return seconds([][2]float64{left, right}), seconds([][2]float64{left}, [][2]float64{right})
}

// Islands far apart are not swept across.
func TestFarIslandsAreNotSwept(t *testing.T) {
	c := costs(150, nil)
	require.True(t, c.Sweep(2*(150.0*150/3000+0.5), 0))
	require.False(t, c.Sweep(400, 0))
}

func TestTravelCost(t *testing.T) {
	c := costs(100, nil)
	x := path.Point{X: 1}
	row := func(at path.Point, dir path.Point) route.End { return route.End{At: at, Dir: dir} }
	over := 2 * (100/5000.0 + 0.5/100) // run-out and run-up: v/a, and half a millimetre at speed
	next := c.Travel(row(path.Point{X: 50}, x), row(path.Point{X: 50, Y: 0.1}, x.Mul(-1)))
	require.InDelta(t, over, next, 2e-3, "the step is part of the turn")
	far := c.Travel(row(path.Point{X: 50}, x), row(path.Point{X: 50, Y: 3}, x.Mul(-1)))
	require.InDelta(t, over+2*math.Sqrt(3/1500.0), far, 0.02, "rows too far apart for it; corners are cut")
	further := c.Travel(row(path.Point{X: 50}, x), row(path.Point{X: 51, Y: 0.1}, x.Mul(-1)))
	require.InDelta(t, next+1/100.0, further, 1e-9, "a millimetre more at the marking speed")
	require.Greater(t, c.Travel(row(path.Point{X: 50}, x), row(path.Point{Y: 0.1}, x)), next)
	on := c.Travel(row(path.Point{X: 50}, x), row(path.Point{X: 150}, x))
	require.InDelta(t, 2*1.5/100+(97+(400.0-100)*(400-100)/5000)/400, on, 1e-9, "straight on the head does not stop")
	starts := c.Travel(route.End{Kind: path.LineStroke}, route.End{Kind: path.LineStroke, Dir: x})
	require.InDelta(t, 100/(2*5000.0), starts, 1e-9, "an outline loses v/2a by beginning at rest")
}

// The promises of route.Cost and route.Resting, on random ends.
func TestCostKeepsItsPromises(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	end := func() route.End {
		sin, cos := math.Sincos(7 * r.Float64())
		return route.End{
			At: path.Point{X: 100 * r.NormFloat64(), Y: 100 * r.NormFloat64()}, Dir: path.Point{X: cos, Y: sin},
			Kind: path.StrokeKind(r.IntN(2)),
		}
	}
	back := func(e route.End) route.End {
		e.Dir = e.Dir.Mul(-1)
		return e
	}
	for _, jerk := range []float64{0, 50_000} {
		c := costs(150, func(g *machine.Gantry) { g.JerkMMPerS3 = [2]float64{jerk, jerk} })
		resting := c.(route.Resting)
		for range 2000 {
			a, b := end(), end()
			cost := c.Travel(a, b)
			require.GreaterOrEqual(t, cost, 0.0)
			require.InDelta(t, cost, c.Travel(back(b), back(a)), 1e-9)
			apart := resting.Rest(a).Dist(resting.Rest(back(b)))
			require.LessOrEqual(t, resting.Least(apart), cost+1e-12)
			require.LessOrEqual(t, resting.Least(apart), resting.Least(apart+r.Float64()))
		}
	}
}

// The least cost holds for rows beside each other too, where lost motion brings their ends
// nearer, at the most that they may lie apart.
func TestLeastCostOfSidesteps(t *testing.T) {
	c := costs(250, func(g *machine.Gantry) { g.BacklashMM, g.CornerErrorMM = [2]float64{0.2, 0}, 0.5 })
	resting := c.(route.Resting)
	x := path.Point{X: 1}
	for across := 0.05; across < 2.5; across += 0.05 {
		for further := -6.0; further <= 6; further += 0.1 {
			a := route.End{At: path.Point{X: 50}, Dir: x}
			b := route.End{At: path.Point{X: 50 + further, Y: across}, Dir: x.Mul(-1)}
			apart := resting.Rest(a).Dist(resting.Rest(route.End{At: b.At, Dir: x}))
			require.LessOrEqual(t, resting.Least(apart), c.Travel(a, b)+1e-12, "%g further, %g across", further, across)
		}
	}
}

func BenchmarkTravelCost(b *testing.B) {
	c := costs(150, nil)
	x := path.Point{X: 1}
	sum := 0.0
	for b.Loop() {
		sum += c.Travel(route.End{At: path.Point{X: 3, Y: 4}, Dir: x}, route.End{At: path.Point{X: 50, Y: 20}, Dir: x})
	}
	require.Positive(b, sum)
}
