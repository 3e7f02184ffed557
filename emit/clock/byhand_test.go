package clock_test

import (
	"math"
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

// A list of everything that a galvo does, at 800 mm/s and jumps at 4,000: a jump of 5 mm,
// a millimetre of run-up, 8 mm, a gap of 1 mm, 8 mm, a millimetre of run-out, 6 mm of
// guide, a wait, a dot, and a jump of 1 mm, which waits 60 + (250-60)/2 us.
func TestGalvoListByHand(t *testing.T) {
	m := emit.Moves{
		Header: emit.Header{Field: pt(175, 175)}, Settings: []path.Setting{slow},
		Scanner: []machine.Scanner{{JumpMMPerS: 4000, JumpUS: 250, ShortJumpUS: 60, ShortJumpSteps: 20_000,
			MarkUS: 100, CornerUS: 40}},
	}
	m.Play = play(
		travel(3, 4), gap(4, 4, 800), mark(12, 4, 800), gap(13, 4, 800), mark(21, 4, 800), gap(22, 4, 800),
		emit.Move{Kind: emit.Guide, To: pt(22, 10)}, emit.Move{Kind: emit.Wait, To: pt(22, 10), WaitUS: 7},
		emit.Move{Kind: emit.Dot, To: pt(22, 10), WaitUS: 50}, travel(22, 9),
	).Play
	var ends []time.Duration
	r, err := clock.Each(m, machine.Profile{}, func(tm clock.Timed) {
		require.Equal(t, tm.Start, tm.End-map[int]time.Duration{
			0: 1250, 1: 1250, 2: 10_000, 3: 1250, 4: 10_000, 5: 1250, 6: 1500, 7: 7, 8: 50, 9: 250,
		}[len(ends)]*us, "%d", len(ends))
		ends = append(ends, tm.End/us)
	})
	require.NoError(t, err)
	require.Equal(t, clock.Report{
		Galvo: true,
		Parts: clock.Parts{
			Mark: 20_000 * us, Travel: 1250 * us, Overtravel: 2500 * us, Jump: 3000 * us, JumpDelay: 405 * us,
			MarkDelay: 100 * us, Wait: 57 * us,
		},
		Marks: path.Rect{Min: pt(4, 4), Max: pt(22, 10)}, Moves: path.Rect{Min: pt(3, 4), Max: pt(22, 10)},
		MarkMM: 16, TravelMM: 12, OvertravelMM: 2, GapMM: 1, Jumps: 2, MarkMoves: 2,
	}, r)
	// The first jump waits 250 us behind its end, the chain 100 us.
	require.Equal(t, []time.Duration{1250, 2750, 12_750, 14_000, 24_000, 25_250, 26_850, 26_857, 26_907, 27_157}, ends)
}

// A chain that turns, with a record of no length in the corner, waits once; one that
// begins anew does not.
func TestCornersOfAChain(t *testing.T) {
	m := emit.Moves{
		Header: emit.Header{Field: pt(175, 175)}, Settings: []path.Setting{slow},
		Scanner: []machine.Scanner{{JumpMMPerS: 4000, CornerUS: 40}},
	}
	for _, tt := range []struct {
		moves []emit.Move
		want  time.Duration
	}{
		{[]emit.Move{mark(8, 0, 800), mark(8, 0, 800), mark(0, 0, 800)}, 40 * us},
		{[]emit.Move{mark(8, 0, 800), gap(8, 8, 800), mark(16, 8, 800)}, 2 * 20 * us}, // half of a reversal's, twice
		{[]emit.Move{mark(8, 0, 800), travel(8, 0), mark(0, 0, 800)}, 0},
		{[]emit.Move{mark(8, 0, 800), mark(16, 8, 800)}, 5858}, // 40·(1 - cos 45°)/2 us, to the nanosecond
	} {
		m.Play = play(tt.moves...).Play
		r, err := clock.Run(m, machine.Profile{})
		require.NoError(t, err)
		require.InDelta(t, tt.want, r.CornerDelay, 1)
	}
}

func least(p machine.Profile, top, mm float64) float64 {
	return clock.Cost(p, []path.Setting{{SpeedMMPerS: top, Power: 0.3}}).(route.Resting).Least(mm)
}

// By hand: rest to rest over mm at the diagonal's acceleration, 2·√(mm/a), less what is
// gained at both ends where the head comes and goes at the speed of rows; no less than
// mm at the greatest speed; or a sidestep between rows 2 mm apart, at the rows' speed.
func TestLeastCostByHand(t *testing.T) {
	p := axes(500, 1000)
	rest := 2 * math.Sqrt(50/(1000*math.Sqrt2))
	along := math.Sqrt(50*50 - 2*2)
	require.Zero(t, least(p, 100, 0))
	require.Zero(t, least(p, 100, -1))
	require.Zero(t, least(p, 100, 1.9), "may be across")
	require.InDelta(t, rest-2*0.1, least(p, 100, 50), 1e-9)
	require.InDelta(t, along/500, least(p, 500, 50), 1e-9)
	require.InDelta(t, rest, clock.Cost(p, nil).(route.Resting).Least(50), 1e-9, "no rows")
	require.InDelta(t, 50/500., least(p, 500, 50), 1e-3, "and hardly less than at full speed")
	p.Gantry.BacklashMM = [2]float64{0.3, 0.4}
	require.InDelta(t, (along-0.5)/500, least(p, 500, 50), 1e-9)
	p.Gantry.Reversal = []machine.Reversal{{SpeedMMPerS: 100, OffsetMM: 0.1}, {SpeedMMPerS: 200, OffsetMM: -0.4}}
	require.InDelta(t, (along-0.8)/500, least(p, 500, 50), 1e-9)
	p = axes(500, 1000)
	p.Gantry.AccelAlongPath = true
	require.InDelta(t, 2*math.Sqrt(50/1000.)-2*0.1, least(p, 100, 50), 1e-9)

	one, other := unlike([2]float64{300, 400}, [2]float64{2000, 1000}, [2]float64{})
	for _, p := range []machine.Profile{one, other} {
		require.InDelta(t, 2*math.Sqrt(50/math.Hypot(1000, 2000))-2*50/1000., least(p, 50, 50), 1e-9)
		require.InDelta(t, 50/500., least(p, 100, 50), 1e-9, "at the speed of both axes")
		require.InDelta(t, 300/500.+500/math.Hypot(1000, 2000)-2*0.1, least(p, 100, 300), 1e-9)
	}
	// With a limit of the jerk, where the acceleration is reached: v²/a + v·a/j = mm, in
	// 2·(v/a + a/j); a ramp to 50 mm/s where it is not takes 2·√(v/j).
	p = axes(500, 1000)
	p.Gantry.JerkMMPerS3 = [2]float64{20_000, 10_000}
	a, j := 1000*math.Sqrt2, math.Hypot(20_000, 10_000)
	v := a / 2 * (math.Sqrt(a*a/j/j+4*50/a) - a/j)
	require.InDelta(t, 2*(v/a+a/j)-2*2*math.Sqrt(50/10_000.), least(p, 50, 50), 1e-9)
}

// The least cost of a galvo is the jump of the setting whose delays are the shortest:
// 100 us to end the mark, 20 mm at 4,000 mm/s, 250 us to settle; nothing where two
// run-ups may meet.
func TestLeastCostOfAGalvoByHand(t *testing.T) {
	p := byhand.Fibre()
	require.InDelta(t, 100e-6+20/4000.+250e-6, least(p, 800, 20), 1e-12)
	require.InDelta(t, 100e-6+0.5/4000.+(60+190*0.25)*1e-6, least(p, 800, 0.5), 1e-9)
	require.Zero(t, least(p, 800, 0))
	g := *p.Galvo
	g.RunUpUS = 500
	p.Galvo = &g
	require.Zero(t, least(p, 800, 0.8), "0.4 mm on both sides")
	require.Positive(t, least(p, 800, 0.81))
	require.Zero(t, clock.Cost(p, []path.Setting{slow, {SpeedMMPerS: 2000, Power: 0.5,
		FrequencyHz: 50_000}}).(route.Resting).Least(2),
		"of the fastest setting")
}

// A single row costs what marking takes, and a run-up and a run-out: v/a and half a
// millimetre at speed each. None costs nothing.
func TestRowSecondsOfOneRow(t *testing.T) {
	p := axes(500, 1000)
	cost := clock.Cost(p, []path.Setting{{SpeedMMPerS: 100, Power: 0.3}})
	rows := path.RowSet{Dir: path.Point{X: 1}, Spacing: 0.1, Start: []int32{0, 1}, Spans: []path.Span{{X0: 3, X1: 63}}}
	require.InDelta(t, 0.6+2*(0.1+0.005), clock.RowSeconds(&rows, cost, 100, path.Point{X: 1}), 1e-9)
	rows = path.RowSet{Dir: path.Point{X: 1}, Spacing: 0.1, Start: []int32{0, 0, 0}}
	require.Zero(t, clock.RowSeconds(&rows, cost, 100, path.Point{X: 1}))
}

// Where the axes differ, gaps are judged by the weaker one, whose run-ups are longer. A
// stroke of a setting that is not there has no run-out.
func TestSweepsOfTheWeakerAxis(t *testing.T) {
	differ := 0
	for _, accel := range [][2]float64{{1000, 4000}, {4000, 1000}} {
		c := costs(150, func(g *machine.Gantry) { g.AccelMMPerS2 = accel })
		weak, strong := path.Point{X: 1}, path.Point{Y: 1}
		if accel[1] < accel[0] {
			weak, strong = strong, weak
		}
		for gap := 1.0; gap < 100; gap++ {
			require.Equal(t, c.SweepAlong(weak, gap, 0), c.Sweep(gap, 0), "%g mm, %v", gap, accel)
			if c.SweepAlong(weak, gap, 0) != c.SweepAlong(strong, gap, 0) {
				differ++
			}
		}
		for _, e := range []route.End{{At: pt(3, 4), Dir: weak, Setting: 1}, {At: pt(3, 4)}, {At: pt(3, 4), Dir: weak,
			Kind: path.LineStroke}} {
			require.Equal(t, e.At, c.(route.Resting).Rest(e))
			require.GreaterOrEqual(t, c.Travel(e, e), 0.0)
		}
	}
	require.Positive(t, differ)
}

// What a cost has told before does not change what it tells: any of several directions
// and speeds costs what it costs alone.
func TestCostsRememberNothingWrong(t *testing.T) {
	p := axes(500, 1000)
	set := []path.Setting{{SpeedMMPerS: 60, Power: 0.3}, {SpeedMMPerS: 150, Power: 0.3}}
	used := clock.Cost(p, set)
	for i := range 200 {
		sin, cos := math.Sincos(float64(i / 2))
		e := route.End{At: pt(10, 0), Dir: pt(cos, sin), Setting: uint16(i % 2)}
		to := route.End{At: pt(40, 30), Dir: pt(sin, cos), Setting: uint16(i / 2 % 2)}
		require.Equal(t, clock.Cost(p, set).Travel(e, to), used.Travel(e, to))
	}
}
