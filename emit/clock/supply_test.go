package clock_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
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

// Short moves at speed starve the controller: 1,000 moves/s of 0.01 mm are no
// more than 10 mm/s.
func TestSlowParserLimitsTheSpeed(t *testing.T) {
	p := machine(500, 1000)
	p.GCode = &emit.GCode{MovesPerS: 1000, PowerWordMax: 1000}
	r := run(t, steps(5000, 100), p)
	require.InEpsilon(t, 10, r.Starved[clock.Controller].MMPerS(), 0.01)
	require.InEpsilon(t, 5.0, r.Total().Seconds(), 0.3, "the way to the start is 100 mm too")
	message, effect, hint := r.Warning()
	require.Contains(t, message, "the moves that the controller takes a second limit this file to 10 mm/s")
	require.Contains(t, effect, "of 5000 marks")
	require.Contains(t, hint, "tolerance")
}

// 11,500 bytes/s carry some 1,400 lines like "X123.45" and their ends.
func TestSlowLinkLimitsTheSpeed(t *testing.T) {
	p := machine(500, 1000)
	p.GCode = &emit.GCode{LinkBytesPerS: 11500, PowerWordMax: 1000}
	r := run(t, steps(5000, 100), p)
	require.InEpsilon(t, 11500/7.9*0.01, r.Starved[clock.Link].MMPerS(), 0.01)
	message, effect, hint := r.Warning()
	require.Contains(t, message, "the link limits this file to 14.6 mm/s")
	require.Contains(t, effect, "in 49")
	require.Contains(t, hint, "faster link")
}

// Gaps between marks wait for the link too, and are no marks.
func TestMarksHeldBackAreCounted(t *testing.T) {
	p := machine(500, 1000)
	p.GCode = &emit.GCode{LinkBytesPerS: 11500, PowerWordMax: 1000}
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
	p := machine(500, 1000)
	p.GCode = &emit.GCode{LinkBytesPerS: 11500, PowerWordMax: 1000}
	r := run(t, fill(1000), p)
	require.Zero(t, r.Starved)
	message, _, _ := r.Warning()
	require.Empty(t, message)
}

// A planner that sees 16 moves of 0.01 mm goes no faster than stops within
// them: √(2·1000·0.16) = 17.9 mm/s.
func TestPlannerStopsWithinWhatItSees(t *testing.T) {
	p := machine(500, 1000)
	p.GCode = &emit.GCode{LookaheadMoves: 16, PowerWordMax: 1000}
	r := run(t, steps(5000, 100), p)
	free := run(t, steps(5000, 100), machine(500, 1000))
	require.InEpsilon(t, 50/math.Sqrt(2*1000*0.16), (r.Total() - free.Total() + time.Second/2).Seconds(), 0.1)
	require.InEpsilon(t, math.Sqrt(2*1000*0.16), r.Starved[clock.LookAhead].MMPerS(), 0.03)
	message, effect, hint := r.Warning()
	require.Contains(t, message, "the moves that the controller looks ahead limit this file to 1")
	require.Contains(t, effect, "of 5000 marks")
	require.Contains(t, hint, "tolerance")
	require.Equal(t, run(t, fill(10), machine(500, 1000)).Total(), run(t, fill(10), p).Total(), "long moves need no more")
	p.Gantry.JerkMMPerS3 = [2]float64{1e6, 1e6}
	require.Greater(t, run(t, steps(5000, 100), p).Total(), r.Total()*9/10)
}

// A curve in fewer moves is quicker where the parser is slow.
func TestCoarserCurveIsQuicker(t *testing.T) {
	p := machine(500, 1000)
	p.GCode = &emit.GCode{MovesPerS: 500, PowerWordMax: 1000}
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
