package clock_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

var slow = path.Setting{SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000}

const us = time.Microsecond

// The figures follow from the contract by hand: 10 mm at 800 mm/s are 12.5 ms,
// a jump at 4000 mm/s takes 250 µs a millimetre, a jump of 1 mm waits
// 60 + (250-60)/2 = 155 µs.
func TestGalvoTimeByHand(t *testing.T) {
	for _, tt := range []struct {
		name string
		prog func(*path.Program)
		want clock.Parts
	}{
		{"nothing", func(*path.Program) {}, clock.Parts{}},
		{"two rows", func(p *path.Program) {
			p.Append(path.Stroke{}, pt(3, 4), pt(13, 4))
			p.Append(path.Stroke{}, pt(13, 5), pt(3, 5))
		}, clock.Parts{Mark: 25000 * us, Jump: 1250*us + 250*us, JumpDelay: 250*us + 155*us, MarkDelay: 200 * us}},
		{"a right angle waits half a reversal's corner delay", func(p *path.Program) {
			p.Append(path.Stroke{Kind: path.LineStroke}, pt(0, 0), pt(10, 0), pt(10, 10))
		}, clock.Parts{Mark: 25000 * us, JumpDelay: 60 * us, MarkDelay: 100 * us, CornerDelay: 20 * us}},
		{"a turn below 15 degrees waits for nothing", func(p *path.Program) {
			p.Append(path.Stroke{Kind: path.LineStroke}, pt(0, 0), pt(8, 0), pt(16, 2.1))
		}, clock.Parts{Mark: 10*time.Millisecond + 10338792, JumpDelay: 60 * us, MarkDelay: 100 * us}},
		{"a gap in a sweep has no waits", func(p *path.Program) {
			p.Append(path.Stroke{Sweep: 1}, pt(0, 0), pt(8, 0))
			p.Append(path.Stroke{Sweep: 1}, pt(16, 0), pt(24, 0))
		}, clock.Parts{Mark: 20000 * us, Travel: 10000 * us, JumpDelay: 60 * us, MarkDelay: 100 * us}},
		{"another speed closes the chain, another power does not", func(p *path.Program) {
			p.Append(path.Stroke{}, pt(0, 0), pt(8, 0))
			p.Append(path.Stroke{Setting: 1}, pt(8, 0), pt(16, 0))
			p.Append(path.Stroke{Setting: 2}, pt(16, 0), pt(24, 0))
		}, clock.Parts{Mark: 40000 * us, JumpDelay: 60 * us, MarkDelay: 200 * us}},
	} {
		hot, slower := slow, slow
		hot.Power, slower.SpeedMMPerS = 1, 400
		prog := path.Program{Settings: []path.Setting{slow, hot, slower}}
		tt.prog(&prog)
		m, err := emit.Plan(prog, byhand.Fibre())
		require.NoError(t, err)
		r, err := clock.Run(m, machine.Profile{})
		require.NoError(t, err)
		require.Equal(t, tt.want, r.Parts, tt.name)
	}
}

func TestEachEndsWhenRunDoes(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{Sweep: 1}, pt(0, 0), pt(8, 0))
	prog.Append(path.Stroke{Sweep: 1}, pt(9, 0), pt(24, 0))
	prog.Append(path.Stroke{}, pt(24, 1), pt(0, 1))
	m, err := emit.Plan(prog, byhand.Fibre())
	require.NoError(t, err)
	last := clock.Timed{}
	r, err := clock.Each(m, byhand.Fibre(), func(mv clock.Timed) {
		require.GreaterOrEqual(t, mv.Start, last.End)
		require.GreaterOrEqual(t, mv.End, mv.Start)
		require.Equal(t, last.To, mv.From)
		last = mv
	})
	require.NoError(t, err)
	require.Equal(t, r.Total(), last.End+100*us) // the mark delay at the end
	require.Equal(t, 47.0, r.MarkMM)
	require.Equal(t, 1.0, r.GapMM)
	require.Equal(t, 2, r.Jumps)
}

// What the sequence is chosen by is what the clock then says.
func TestGalvoCostAgreesWithClock(t *testing.T) {
	c := clock.Cost(byhand.Fibre(), []path.Setting{slow})
	end := func(x, y, dx float64) route.End { return route.End{At: pt(x, y), Dir: pt(dx, 0)} }
	for _, to := range []path.Point{pt(10, 1), pt(10, 30), pt(-50, 0)} {
		prog := path.Program{Settings: []path.Setting{slow}}
		prog.Append(path.Stroke{}, pt(0, 0), pt(10, 0))
		prog.Append(path.Stroke{}, to, to.Add(pt(-8, 0)))
		m, err := emit.Plan(prog, byhand.Fibre())
		require.NoError(t, err)
		r, err := clock.Run(m, byhand.Fibre())
		require.NoError(t, err)
		travel := c.Travel(end(10, 0, 1), end(to.X, to.Y, -1))
		own := 0.0225 + 60e-6 + 100e-6 // marks, the first jump's wait, the last mark delay
		require.InDelta(t, own+travel, r.Total().Seconds(), 1e-8)
		require.Equal(t, travel, c.Travel(end(to.X, to.Y, 1), end(10, 0, -1)), "both reversed")
	}
	require.InDelta(t, 40e-6, c.Travel(end(3, 3, 1), end(3, 3, -1)), 1e-12, "a reversal on the spot")
	require.False(t, c.Sweep(0.01, 0))
}

// lagging is a galvo whose delays follow from its tracking lag, so that each
// speed has its own, and whose rows run up and out.
func lagging(runUpUS float64) machine.Profile {
	p := byhand.Fibre()
	g := *p.Galvo
	g.JumpDelayUS, g.ShortJumpDelayUS, g.ShortJumpMM, g.MarkDelayUS, g.CornerDelayUS, g.LaserOnDelayUS,
		g.LaserOffDelayUS = 0, 0, 0, 0, 0, 0, 0
	g.TrackingLagUS, g.RunUpUS, g.GapMM = 110, runUpUS, 3
	p.Galvo = &g
	return p
}

// With settings of several speeds each end has the delays of its own. The mean
// of both ways is what makes a whole sequence cost what the clock says: exactly
// what the mark delays do, and within the spread of the jump delays.
func TestGalvoCostOfSeveralSpeeds(t *testing.T) {
	quick, hot := slow, slow
	quick.SpeedMMPerS, hot.Power = 3000, 1
	settings := []path.Setting{slow, quick, hot}
	p := lagging(0)
	c := clock.Cost(p, settings)
	own := func(i int) machine.Scanner { return p.Scanner(settings[i]) }
	require.NotEqual(t, own(0), own(1))
	end := func(x float64, set uint16) route.End { return route.End{At: pt(x, 0), Dir: pt(1, 0), Setting: set} }

	alone := func(set uint16) float64 { return c.Travel(end(0, set), end(40, set)) }
	require.InDelta(t, float64(own(1).MarkUS)*1e-6+40/4000.0+float64(own(1).JumpUS)*1e-6, alone(1), 1e-9)
	require.InDelta(t, (alone(0)+alone(1))/2, c.Travel(end(0, 0), end(40, 1)), 1e-12)
	require.Zero(t, c.Travel(end(3, 0), end(3, 2)), "only the power differs: the chain goes on")
	require.InDelta(t, float64(own(0).MarkUS+own(1).MarkUS)/2*1e-6, c.Travel(end(3, 0), end(3, 1)), 1e-12,
		"the chain ends")

	prog := path.Program{Settings: settings}
	travel, last := 0.0, route.End{}
	for i := range 30 {
		set, x, y := uint16(i%3%2), float64(i*7%20), float64(i*11%40)
		a, b := pt(x, y), pt(x+5, y)
		prog.Append(path.Stroke{Setting: set}, a, b)
		if i > 0 {
			travel += c.Travel(last, route.End{At: a, Dir: pt(1, 0), Setting: set})
		}
		last = route.End{At: b, Dir: pt(1, 0), Setting: set}
	}
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	r, err := clock.Run(m, p)
	require.NoError(t, err)
	beamOff := r.Jump + r.JumpDelay + r.MarkDelay
	require.InEpsilon(t, beamOff.Seconds(), travel, 0.05, "but for the first jump and the last mark delay")
}

// What the search and the bound lean on: both ways cost the same, and never
// less than Least says, which never falls.
func TestGalvoCostIsABoundedMetric(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	settings := []path.Setting{slow, {SpeedMMPerS: 2500, Power: 0.3, FrequencyHz: 50000},
		{SpeedMMPerS: 90, Power: 1, FrequencyHz: 50000}}
	for _, runUp := range []float64{0, 400} {
		c := clock.Cost(lagging(runUp), settings).(interface {
			route.Cost
			route.Resting
		})
		end := func() route.End {
			a := rng.Float64() * 2 * math.Pi
			return route.End{At: pt(float64(rng.IntN(4)), float64(rng.IntN(4))), Dir: pt(math.Cos(a), math.Sin(a)),
				Setting: uint16(rng.IntN(3)), Kind: path.StrokeKind(rng.IntN(2))}
		}
		turn := func(e route.End) route.End { e.Dir = e.Dir.Mul(-1); return e }
		for range 5000 {
			from, to := end(), end()
			travel := c.Travel(from, to)
			require.InDelta(t, travel, c.Travel(turn(to), turn(from)), 1e-15)
			require.GreaterOrEqual(t, travel, c.Least(c.Rest(from).Dist(c.Rest(turn(to)))))
		}
		for mm, last := 0.0, 0.0; mm < 20; mm += 0.01 {
			require.GreaterOrEqual(t, c.Least(mm), last)
			last = c.Least(mm)
		}
	}
}

// A gap is crossed beam off where that is quicker than running out, jumping and
// running up anew.
func TestGapWithRunUp(t *testing.T) {
	p := lagging(300) // 0.24 mm at 800 mm/s
	c := clock.Cost(p, []path.Setting{slow})
	crossed := 0
	for gap := 0.15; gap < 3.2; gap += 0.05 {
		require.Equal(t, gap <= 3 && acrossGap(t, p, gap, 1) < acrossGap(t, p, gap, 2), c.Sweep(gap, 0),
			"gap %g mm", gap)
		if c.Sweep(gap, 0) {
			crossed++
		}
	}
	require.Greater(t, crossed, 10)
	require.Less(t, crossed, 58)
}

// With its profile, a corrected list has the bounds of what is drawn.
func TestBoundsOfACorrectedList(t *testing.T) {
	p := byhand.Fibre()
	p.Galvo.FieldScale, p.Galvo.FieldOffsetMM = [2]float64{1.02, 0.98}, [2]float64{3, -1}
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(-10, -5), pt(10, 5))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	r, err := clock.Run(m, p)
	require.NoError(t, err)
	require.Equal(t, path.Rect{Min: pt(-10, -5), Max: pt(10, 5)}, r.Marks)
	sent, err := clock.Run(m, machine.Profile{})
	require.NoError(t, err)
	require.Equal(t, path.Rect{Min: pt(-7.2, -5.9), Max: pt(13.2, 3.9)}, sent.Marks)
	require.Equal(t, r.Parts, sent.Parts)
}
