package clock_test

import (
	"math"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// machine returns a gantry with both axes alike and no limit of its link.
func axes(speed, accel float64) machine.Profile {
	p := machine.Examples()[0]
	p.Gantry = &machine.Gantry{
		BedMM: [2]float64{600, 400}, Zero: machine.ZeroByHand,
		MaxSpeedMMPerS: [2]float64{speed, speed}, AccelMMPerS2: [2]float64{accel, accel},
		RapidMMPerS: speed, CornerErrorMM: 0.02, OvertravelMarginMM: 0.5,
	}
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady}
	return p
}

func play(moves ...emit.Move) emit.Moves {
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for _, m := range moves {
			if !yield(m, nil) {
				return
			}
		}
	}}
}

func mark(x, y, speed float64) emit.Move {
	return emit.Move{Kind: emit.Mark, To: path.Point{X: x, Y: y}, Speed: speed, Power: 0.5}
}

func gap(x, y, speed float64) emit.Move {
	return emit.Move{Kind: emit.Gap, To: path.Point{X: x, Y: y}, Speed: speed}
}

func travel(x, y float64) emit.Move { return emit.Move{To: path.Point{X: x, Y: y}} }

func run(t *testing.T, m emit.Moves, p machine.Profile) clock.Report {
	t.Helper()
	r, err := clock.Run(m, p)
	require.NoError(t, err)
	return r
}

// Trapezoid and triangle: T = L/V + V/A, or 2√(L/A) (computed).
func TestRestToRest(t *testing.T) {
	p := axes(500, 3000)
	require.InDelta(t, 0.366667, run(t, play(travel(100, 0)), p).Total().Seconds(), 1e-6)
	require.InDelta(t, 0.115470, run(t, play(travel(10, 0)), p).Total().Seconds(), 1e-6)
}

// A path of unit length: T = (a + v²)/(v·a), and 2 without a limit of the speed
// (Lynch and Park, Modern Robotics, 2017, section 9.2; the formula from memory).
func TestUnitPath(t *testing.T) {
	require.InDelta(t, 2.5, run(t, play(travel(1, 0)), axes(0.5, 1)).Total().Seconds(), 1e-9)
	require.InDelta(t, 2, run(t, play(travel(1, 0)), axes(1, 1)).Total().Seconds(), 1e-9)
	require.InDelta(t, 2, run(t, play(travel(1, 0)), axes(9, 1)).Total().Seconds(), 1e-9)
}

// Along the diagonal each axis moves with 1/√2 of the speed, so that limits are
// √2 times those of an axis.
func TestDiagonalUsesBothAxes(t *testing.T) {
	p := axes(500, 3000)
	s := 100 * math.Sqrt2
	want := s/(500) + 500/(3000*math.Sqrt2) // the rapid speed still counts
	got := run(t, play(travel(100, 100)), p).Total().Seconds()
	require.InDelta(t, want, got, 1e-6)
}

// √(a·r) limits a circle (a_n = v²/ρ): 1000 mm/s2 and 5 mm give 70.7107 mm/s,
// 3000 mm/s2 and 2 mm give 77.4597.
func TestArcLimit(t *testing.T) {
	for _, tt := range []struct{ accel, radius, limit float64 }{{1000, 5, 70.7107}, {3000, 2, 77.4597}} {
		arc := mark(2*tt.radius, 0, 400)
		arc.Centre, arc.Turn = path.Point{X: tt.radius}, emit.Clockwise
		full := arc
		full.To = path.Point{}
		r := run(t, play(arc, full), axes(500, tt.accel))
		v := math.Sqrt(tt.accel * tt.radius)
		require.InDelta(t, tt.limit, v, 1e-4)
		require.InDelta(t, 2*math.Pi*tt.radius/v+v/tt.accel, r.Total().Seconds(), 1e-6)
		require.InDelta(t, tt.radius, r.Marks.Max.Y, 1e-9)
	}
}

// panel is rows of a 76.2 x 127 mm panel at 400 lines an inch, both ways: rows
// along X, then along Y.
func panel(p machine.Profile, speed float64) path.Program {
	const w, h, spacing = 76.2, 127, 0.0635
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: speed, Power: 0.35}}}
	rows := func(n int, length float64, at func(along, row float64) path.Point) {
		for k := range n {
			a, b := at(0, float64(k)*spacing), at(length, float64(k)*spacing)
			if k%2 == 1 {
				a, b = b, a
			}
			prog.Append(path.Stroke{}, a, b)
		}
	}
	rows(2000, w, func(s, k float64) path.Point { return path.Point{X: s, Y: k} })
	rows(1200, h, func(s, k float64) path.Point { return path.Point{X: k, Y: s} })
	return prog
}

func panelReport(t *testing.T, speed, accel float64) clock.Report {
	p := axes(500, accel)
	m, err := emit.Plan(panel(p, speed), p)
	require.NoError(t, err)
	return run(t, m, p)
}

// Common practice, no source: both hatch directions of this panel take about 65
// minutes at 100 mm/s and about 50 at 200 mm/s. Without the steps from row to
// row the time is T = 304800/v + 3200·(2v/a + 2·margin/v), a little less where
// the head rounds the corner into the step.
func TestPanel(t *testing.T) {
	fits := 0
	for accel := 700.0; accel <= 1100; accel += 50 {
		slow, fast := panelReport(t, 100, accel), panelReport(t, 200, accel)
		require.InDelta(t, 304800, slow.MarkMM, 1e-6)
		rows := slow.Mark + slow.Overtravel
		require.InEpsilon(t, 304800/100.0+3200*(2*100/accel+2*0.5/100), rows.Seconds(), 0.02)
		require.Greater(t, fast.Total(), slow.Total()/2, "doubling the speed never halves the time")
		if near(slow, 65) && near(fast, 50) {
			fits++
		}
	}
	require.Positive(t, fits, "an acceleration at which both are within 5 percent")
}

func near(r clock.Report, minutes float64) bool {
	return math.Abs(r.Total().Minutes()/minutes-1) <= 0.05
}

// One row: run-up, span, gap, span, run-out, step, and the next row back.
func TestPartsOfARow(t *testing.T) {
	p := axes(500, 1000)
	p.Gantry.CornerErrorMM = 0
	m := play(
		travel(-10, 0), gap(0, 0, 100), mark(20, 0, 100), gap(30, 0, 100), mark(50, 0, 100), gap(60, 0, 100),
		travel(60, 0.1), gap(50, 0.1, 100), mark(0, 0.1, 100), gap(-10, 0.1, 100),
		travel(300, 300), mark(310, 300, 100), mark(310, 310, 100),
	)
	r := run(t, m, p)
	ms := time.Millisecond
	require.Equal(t, 1100*ms, r.Mark, "110 mm at 100 mm/s")
	require.InDelta(t, 4*0.150, r.Overtravel.Seconds(), 1e-9)
	require.InDelta(t, 2*math.Sqrt(0.1/1000), r.Turn.Seconds(), 1e-9)
	require.InDelta(t, 10, r.GapMM, 1e-9)
	require.InDelta(t, 40, r.OvertravelMM, 1e-9)
	require.InDelta(t, 10+0.1+path.Point{X: 310, Y: 299.9}.Len(), r.TravelMM, 1e-9)
	require.Equal(t, 3, r.Jumps)
	require.Equal(t, 5, r.MarkMoves)
	require.Positive(t, r.Corner)
	sum := r.Mark + r.Overtravel + r.Turn + r.Travel + r.Corner
	require.Equal(t, sum, r.Total())
}

func TestEachTilesTheTotal(t *testing.T) {
	p := axes(500, 800)
	m, err := emit.Plan(panel(p, 150), p)
	require.NoError(t, err)
	var end time.Duration
	r, err := clock.Each(m, p, func(tm clock.Timed) {
		require.Equal(t, end, tm.Start)
		end = tm.End
	})
	require.NoError(t, err)
	require.Equal(t, r.Total(), end)
}

func TestEmptyMoves(t *testing.T) {
	r := run(t, play(), axes(500, 1000))
	require.Zero(t, r.Total())
	require.True(t, r.Marks.Empty())
}

func TestMovesWithoutTime(t *testing.T) {
	nan := travel(math.NaN(), 0)
	arc := mark(10, 0, 100)
	arc.Turn = emit.Clockwise
	for _, m := range []emit.Move{nan, mark(1, 0, 0), arc, {Kind: emit.Wait, WaitUS: -1}} {
		_, err := clock.Run(play(m), axes(500, 1000))
		require.Error(t, err)
	}
}
