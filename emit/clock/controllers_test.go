package clock_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// changed is axes(500, 1000) with a controller of another kind.
func changed(how func(*machine.Gantry, *machine.GCode)) machine.Profile {
	p := axes(500, 1000)
	how(p.Gantry, p.GCode)
	return p
}

func seconds(t *testing.T, p machine.Profile, moves ...emit.Move) float64 {
	t.Helper()
	return run(t, play(moves...), p).Total().Seconds()
}

// 100 mm of travel, straight on into 100 mm marked at 100 mm/s, with 1,000 mm/s2. Where
// the head looks ahead it peaks at √((2·1000·100 + 100²)/2) = 324 mm/s and is down to
// 100 mm/s at the mark: 0.324 + 0.224 s, then 0.95 + 0.1 s. Where it stops in between,
// 2·√(100/1000) = 0.632 s, then 0.1 + 0.9 + 0.1 s.
func TestTravelJunctionByHand(t *testing.T) {
	moves := []emit.Move{travel(100, 0), mark(200, 0, 100)}
	require.InDelta(t, 1.5981, seconds(t, axes(500, 1000), moves...), 1e-4)
	rest := changed(func(g *machine.Gantry, _ *machine.GCode) { g.TravelJunction = machine.JunctionRest })
	require.InDelta(t, 1.7325, seconds(t, rest, moves...), 1e-4)
}

// Two marks of 10 mm in line at 100 mm/s, one at half the power of the other: 0.1 + 0.1 +
// 0.1 s on the fly; with a stop in between each takes 0.2 s.
func TestPowerChangeByHand(t *testing.T) {
	weak := mark(20, 0, 100)
	weak.Power /= 2
	stops := changed(func(_ *machine.Gantry, c *machine.GCode) { c.PowerChange = machine.PowerStops })
	require.InDelta(t, 0.3, seconds(t, axes(500, 1000), mark(10, 0, 100), weak), 1e-9)
	require.InDelta(t, 0.4, seconds(t, stops, mark(10, 0, 100), weak), 1e-9)
	require.InDelta(t, 0.3, seconds(t, stops, mark(10, 0, 100), mark(20, 0, 100)), 1e-9, "of the same power")
}

// A planner that gives each move 10 ms crosses pieces of 0.5 mm at 50 mm/s at most: 150 mm
// of them take 147.5/50 + 2·0.05 s in place of 140/100 + 2·0.1 s, and say so. A piece of
// 0.5 mm in the midst of long ones is no faster, and slows its neighbours to 50 mm/s at
// their ends: 2·(100 − 50)/1000 s are ramps over 3.75 mm each, instead of 100 mm/s.
func TestShortestMoveByHand(t *testing.T) {
	cycle := changed(func(_ *machine.Gantry, c *machine.GCode) { c.ShortestMoveMS = 10 })
	var pieces []emit.Move
	for i := range 300 {
		pieces = append(pieces, mark(0.5*float64(i+1), 0, 100))
	}
	require.InDelta(t, 1.6, seconds(t, axes(500, 1000), pieces...), 1e-6)
	require.InDelta(t, 3.05, seconds(t, cycle, pieces...), 1e-6)
	r := run(t, play(pieces...), cycle)
	require.Equal(t, 300, r.Starved[clock.Cycle].Marks)
	require.InEpsilon(t, 150/3.05, r.Starved[clock.Cycle].MMPerS(), 1e-6)
	limit, effect, remedy := r.Warning()
	require.Contains(t, limit, "least time that the controller gives a move")
	require.Contains(t, limit, "49.2 mm/s")
	require.Contains(t, effect, "300 of 300 marks")
	require.NotEmpty(t, remedy)

	sliver := []emit.Move{mark(20, 0, 100), mark(20.5, 0, 100), mark(40, 0, 100)}
	free := seconds(t, axes(500, 1000), sliver...)
	require.InDelta(t, free+2*(0.05-3.75/100)+0.01-0.5/100, seconds(t, cycle, sliver...), 1e-9)
}

// 200 mm at 45 degrees and 100 mm/s: L/v + v/a, with √2·1,000 mm/s2 where each axis has
// 1,000 for itself, and 1,000 where they hold along the path.
func TestAccelAlongPathByHand(t *testing.T) {
	d := 200 / math.Sqrt2
	path := changed(func(g *machine.Gantry, _ *machine.GCode) { g.AccelAlongPath = true })
	require.InDelta(t, 2+100/(1000*math.Sqrt2), seconds(t, axes(500, 1000), mark(d, d, 100)), 1e-9)
	require.InDelta(t, 2.1, seconds(t, path, mark(d, d, 100)), 1e-9)
	require.InDelta(t, 2.1, seconds(t, path, mark(200, 0, 100)), 1e-9)
}
