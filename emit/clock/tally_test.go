package clock_test

import (
	"math"
	"slices"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// stopping is a gantry that stops at every corner, and has 1,000 mm/s2 along any way.
func stopping() machine.Profile {
	p := axes(500, 1000)
	p.Gantry.CornerErrorMM, p.Gantry.AccelAlongPath = 0, true
	return p
}

// A sweep runs from -10 to 30 mm. The next one is the row beside it where it lies no more
// than 2 mm across, begins no further away along it than half of its 40 mm, and is
// parallel; else the way to it is travel.
func TestWhatCountsAsATurn(t *testing.T) {
	for _, tt := range []struct {
		x, y, turned float64 // where the next run-up begins, degrees
		turn         bool
	}{
		{30, 0.1, 0, true}, {50, 0.1, 0, true}, {50.01, 0.1, 0, false}, {10, -0.1, 0, true}, {9.99, -0.1, 0, false},
		{30, 2, 0, true}, {30, -2, 0, true}, {30, 2.01, 0, false}, {31, 0, 0, false},
		{30, 1, 2.5, true}, {30, 1, -2.5, true}, {30, 1, 2.6, false}, {30, 1, -2.6, false}, {30, 1, 180, true}, {30,
			1, 90, false},
	} {
		sin, cos := math.Sincos((180 + tt.turned) * math.Pi / 180)
		back := func(mm float64) (x, y, speed float64) { return tt.x + mm*cos, tt.y + mm*sin, 100 }
		r := run(t, play(
			travel(-10, 0), gap(0, 0, 100), mark(20, 0, 100), gap(30, 0, 100), travel(30, -3), travel(tt.x, tt.y),
			gap(back(10)), mark(back(20)), gap(back(30)),
		), stopping())
		first := 2 * math.Sqrt(10/1000.) // s, from rest to rest
		a, b := 3.0, math.Hypot(tt.x-30, tt.y+3)
		way := 2*math.Sqrt(a/1000) + 2*math.Sqrt(b/1000)
		if tt.turn {
			require.InDelta(t, way, r.Turn.Seconds(), 1e-8, "%+v", tt)
			require.InDelta(t, first, r.Travel.Seconds(), 1e-8, "%+v", tt)
		} else {
			require.Zero(t, r.Turn, "%+v", tt)
			require.InDelta(t, first+way, r.Travel.Seconds(), 1e-8, "%+v", tt)
		}
		require.InDelta(t, 10+a+b, r.TravelMM, 1e-9, "%+v", tt)
		require.InDelta(t, 40, r.OvertravelMM, 1e-9)
		require.Equal(t, 3, r.Jumps)
	}
}

// Beam-off moves at speed from row to row: as far as they are in line with the rows they
// are run-out and run-up, 10 mm in (10 - 5)/100 + 100/1000 s, and between that travel,
// here 2 mm from rest to rest.
func TestWaysAtSpeedBetweenRows(t *testing.T) {
	r := run(t, play(
		gap(10, 0, 100), mark(20, 0, 100), gap(24, 0, 100), gap(30, 0, 100), gap(30, 1, 100), gap(30, 2, 100),
		gap(26, 2, 100), gap(20, 2, 100), mark(10, 2, 100), gap(0, 2, 100),
	), stopping())
	require.InDelta(t, 40, r.OvertravelMM, 1e-9)
	require.InDelta(t, 4*0.15, r.Overtravel.Seconds(), 1e-8)
	require.InDelta(t, 2, r.TravelMM, 1e-9)
	require.InDelta(t, 2*math.Sqrt(2/1000.), r.Travel.Seconds(), 1e-8)
	require.Zero(t, r.Turn)
	require.Zero(t, r.GapMM)
	require.InDelta(t, 20, r.MarkMM, 1e-9)

	// Beam-off moves that lead from no mark, and to none, are travel.
	r = run(t, play(travel(10, 0), gap(10, 10, 100), travel(0, 0)), stopping())
	require.InDelta(t, 10+10+math.Hypot(10, 10), r.TravelMM, 1e-9)
	require.Zero(t, r.OvertravelMM)
	// One in line with a mark before it alone is a run-out, one behind alone a run-up.
	r = run(t, play(mark(10, 0, 100), gap(20, 0, 100), gap(20, 10, 100), mark(30, 10, 100)), stopping())
	require.InDelta(t, 10, r.OvertravelMM, 1e-9)
	require.InDelta(t, 10, r.TravelMM, 1e-9)
	r = run(t, play(mark(10, 0, 100), gap(10, 10, 100), gap(20, 10, 100), mark(30, 10, 100)), stopping())
	require.InDelta(t, 10, r.OvertravelMM, 1e-9)
	require.InDelta(t, 10, r.TravelMM, 1e-9)
}

// A row that is marked downwards, with a beam that comes on 300 us and goes off 200 us
// late and 0.05 and 0.03 mm of lost motion: at 100 mm/s its commands lie 0.03 and 0.02 mm
// before the ends of its span from 20 to 10 mm, all 0.03 mm lower. What is reported is
// where it is marked.
func TestMarksLieWhereTheyTrulyAre(t *testing.T) {
	p := axes(500, 1000)
	p.Gantry.BeamOnLatencyUS, p.Gantry.BeamOffLatencyUS, p.Gantry.BacklashMM = 300, 200, [2]float64{0.05, 0.03}
	r := run(t, play(travel(3, 30), gap(3, 20.00, 100), mark(3, 9.99, 100), gap(3, 0, 100)), p)
	require.Equal(t, path.Rect{Min: pt(3, 10), Max: pt(3, 20)}, r.Marks)
	require.InDelta(t, 10, r.MarkMM, 1e-9)
	require.Equal(t, path.Rect{Min: pt(3, 0), Max: pt(3, 30)}, r.Moves)
	// To the left: 0.05 mm further to the left, 0.03 and 0.02 mm before.
	r = run(t, play(travel(30, 3), gap(19.98, 3, 100), mark(9.97, 3, 100), gap(0, 3, 100)), p)
	require.Equal(t, path.Rect{Min: pt(10, 3), Max: pt(20, 3)}, r.Marks)
	// Outlines, between travels, are as commanded, and so is a mark before a wait.
	r = run(t, play(travel(19.98, 3), mark(9.97, 3, 100), travel(0, 3)), p)
	require.Equal(t, path.Rect{Min: pt(9.97, 3), Max: pt(19.98, 3)}, r.Marks)
	r = run(t, play(travel(20, 3), mark(10, 3, 100), emit.Move{Kind: emit.Wait, To: pt(10, 3), WaitUS: 5}, gap(0, 3,
		100)), p)
	require.Equal(t, path.Rect{Min: pt(10, 3), Max: pt(20, 3)}, r.Marks)
	require.Equal(t, 5*time.Microsecond, r.Wait)
}

// Rows that do not reach their speed are counted, with the first one's move: a row of
// 10 mm after a run-up of 1 mm in place of the 5 mm that it takes.
func TestSlowRowsByHand(t *testing.T) {
	row := func(run, up, speed float64, more ...emit.Move) []emit.Move { // from above, so that it starts slowly
		return append([]emit.Move{travel(5-run, 30+up), gap(5, 30, speed), mark(15, 30, 100)}, more...)
	}
	out := gap(20, 30, 100)
	good, slow := row(5, 0, 100, out), append(row(1, 0, 100, out), travel(0, 0))
	for _, tt := range []struct {
		moves    []emit.Move
		n, first int
	}{
		{nil, 0, 0}, {good, 0, 0}, {slow, 1, 2}, {slices.Concat(slow, slow), 2, 2},
		{slices.Concat(good, []emit.Move{travel(0, 0)}, slow), 1, 7},
		{slices.Concat([]emit.Move{travel(0, 0), {Kind: emit.Wait, WaitUS: 9}}, slow), 1, 4},
		// the first move has no length
		{row(1, 0, 100, gap(15, 25, 100)), 0, 0},                                   // turns off: no row
		{row(0, 1, 100, out), 0, 0},                                                // comes from the side
		{row(-1, 0, 100, out), 0, 0},                                               // and back again
		{row(1, 0, 90, out), 0, 0},                                                 // at another speed
		{row(1, 0, 100, travel(20, 30)), 0, 0},                                     // without a run-out
		{[]emit.Move{travel(4, 30), travel(5, 30), mark(15, 30, 100), out}, 0, 0},  // or a run-up
		{[]emit.Move{travel(4, 30), gap(5, 30, 100), gap(15, 30, 100), out}, 0, 0}, // or a mark
		{row(1, 0.001, 100, out), 1, 2},                                            // a rounding to the side
		{row(1, 0.01, 100, out), 0, 0},
		{row(1, 0, 100, gap(20, 30.01, 100)), 0, 0},
		{[]emit.Move{travel(4.9, 30), gap(5, 30, 100), mark(5.3, 30, 100), gap(6, 30, 100)}, 1, 2},
	} {
		n, first, err := clock.SlowRows(play(tt.moves...), axes(500, 1000))
		require.NoError(t, err)
		require.Equal(t, tt.n, n, "%v", tt.moves)
		require.Equal(t, tt.first, first, "%v", tt.moves)
	}
	arc := emit.Move{Kind: emit.Gap, To: pt(5, 30), Centre: pt(4.5, 30), Turn: emit.Clockwise, Speed: 100}
	n, _, err := clock.SlowRows(play(travel(4, 30), arc, mark(15, 30, 100), out), axes(500, 1000))
	require.NoError(t, err)
	require.Zero(t, n, "no row begins with an arc")
	arc.To, arc.Centre = pt(20, 30), pt(17.5, 30)
	n, _, err = clock.SlowRows(play(travel(4, 30), gap(5, 30, 100), mark(15, 30, 100), arc), axes(500, 1000))
	require.NoError(t, err)
	require.Zero(t, n, "or ends with one")
}
