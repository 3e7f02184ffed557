package clock_test

import (
	"fmt"
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// steps is a straight mark in moves of 10 µm, each a line of 6 to 8 bytes.
func steps(n int, speed float64) emit.Moves {
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for i := range n {
			if !yield(mark(100+float64(i+1)/100, 0, speed), nil) {
				return
			}
		}
	}}
}

// Short moves at speed starve the controller. At 100 mm/s a move takes 0.1 ms; one
// takes 1 ms to parse, or a line of 7.88 bytes on average ("X100.01" and its end,
// one in ten a digit shorter, one in a hundred three) 0.685 ms at 11,500 bytes/s.
// Not late are the first move, which is 100.01 mm long, the 16 that the buffer takes
// meanwhile, and those so near to the end that the head brakes to less than that.
func TestSlowSupplyLimitsTheSpeed(t *testing.T) {
	for _, tt := range []struct {
		by              clock.Bottleneck
		gcode           machine.GCode
		speed, brake    float64 // mm/s; mm to the end where the head is no faster
		seconds         float64 // 1.050 for the first move, then one period for each but the 16
		message, remedy string
	}{
		{clock.Controller, machine.GCode{MovesPerS: 1000}, 10, 0.05, 1.050 + 4983*0.001,
			"the moves that the controller takes a second limit this file to 10 mm/s", "tolerance"},
		{clock.Link, machine.GCode{LinkBytesPerS: 11500}, 11500 / 7.88 * 0.01, 0.106, 1.050 + 4983*7.88/11500,
			"the link limits this file to 14.6 mm/s", "faster link"},
	} {
		p := axes(500, 1000)
		tt.gcode.PowerWordMax = 1000
		p.GCode = &tt.gcode
		r := run(t, steps(5000, 100), p)
		s := r.Starved[tt.by]
		require.InEpsilon(t, tt.speed, s.MMPerS(), 0.0005, tt.message)
		require.InEpsilon(t, tt.seconds, r.Total().Seconds(), 0.003, tt.message)
		require.InDelta(t, 5000-17-100*tt.brake, s.Marks, 3, tt.message)
		message, effect, hint := r.Warning()
		require.Equal(t, tt.message, message)
		require.Contains(t, effect, fmt.Sprintf("in %d of 5000 marks", s.Marks))
		require.Contains(t, hint, tt.remedy)
	}
}

// Gaps between marks wait for the link too, and are no marks.
func TestMarksHeldBackAreCounted(t *testing.T) {
	p := axes(500, 1000)
	p.GCode = &machine.GCode{LinkBytesPerS: 11500, PowerWordMax: 1000}
	marks := steps(5000, 100)
	dashes := emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		n := 0
		for mv, err := range marks.Play {
			if n++; n%2 == 0 {
				mv.Kind, mv.Power = emit.Gap, 0
			}
			if !yield(mv, err) {
				return
			}
		}
	}}
	r := run(t, dashes, p)
	s := r.Starved[clock.Link]
	require.Greater(t, s.Moves, r.MarkMoves)
	require.LessOrEqual(t, s.Marks, r.MarkMoves)
	_, effect, _ := r.Warning()
	require.Contains(t, effect, fmt.Sprintf("in %d of %d marks", s.Marks, r.MarkMoves))
}

// Rows are long enough to hide their lines: the buffer fills while they run.
func TestRowsDoNotStarve(t *testing.T) {
	p := axes(500, 1000)
	p.GCode = &machine.GCode{LinkBytesPerS: 11500, PowerWordMax: 1000}
	r := run(t, fill(1000), p)
	require.Zero(t, r.Starved)
	message, _, _ := r.Warning()
	require.Empty(t, message)
}

// A planner that sees 16 moves of 0.01 mm goes no faster than stops within
// them: √(2·1000·0.16) = 17.9 mm/s.
func TestPlannerStopsWithinWhatItSees(t *testing.T) {
	p := axes(500, 1000)
	p.GCode = &machine.GCode{LookaheadMoves: 16, PowerWordMax: 1000}
	r := run(t, steps(5000, 100), p)
	free := run(t, steps(5000, 100), axes(500, 1000))
	slow := math.Sqrt(2 * 1000 * 0.16)
	lost := 50/slow - 50/100.0 // over the 50 mm behind the first move
	require.InEpsilon(t, lost, (r.Total() - free.Total()).Seconds(), 0.02)
	require.InEpsilon(t, slow, r.Starved[clock.LookAhead].MMPerS(), 0.01)
	message, effect, hint := r.Warning()
	require.Equal(t, "the moves that the controller looks ahead limit this file to 18 mm/s", message)
	require.Contains(t, effect, "in 4999 of 5000 marks", "all but the first, which it does see to the end of")
	require.Contains(t, hint, "tolerance")
	require.Equal(t, run(t, fill(10), axes(500, 1000)).Total(), run(t, fill(10), p).Total(), "long moves need no more")
	p.Gantry.JerkMMPerS3 = [2]float64{1e6, 1e6}
	require.Greater(t, run(t, steps(5000, 100), p).Total(), r.Total()*9/10)
}

// A curve in fewer moves is quicker where the parser is slow.
func TestCoarserCurveIsQuicker(t *testing.T) {
	p := axes(500, 1000)
	p.GCode = &machine.GCode{MovesPerS: 500, PowerWordMax: 1000}
	circle := func(n int) emit.Moves {
		return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
			for i := range n + 1 {
				sin, cos := path.SinCos(360 * float64(i) / float64(n))
				if !yield(mark(20*cos, 20*sin, 50), nil) {
					return
				}
			}
		}}
	}
	require.Less(t, 2*run(t, circle(600), p).Total(), run(t, circle(6000), p).Total())
}
