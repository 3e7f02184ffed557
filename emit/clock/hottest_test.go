package clock_test

import (
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// A mark of 10 mm from rest to rest at 100 mm/s and 1,000 mm/s2 takes 0.2 s in place of
// 0.1 s: with a beam of 0.15 mm that stays on, 2/(1 + 0.015) = 1.970 times what was asked
// for. One of 0.1 mm takes 2·√(0.1/1000) = 20 ms in place of 1 ms, 20/(1 + 1.5) = 8 times.
// A row at speed gets what was asked for, less its share of the ends.
func TestHottestByHand(t *testing.T) {
	p := axes(500, 1000)
	long := run(t, play(travel(5, 0), mark(15, 0, 100), travel(20, 5)), rests(p)).Hottest
	require.InDelta(t, 2/1.015, long.Times, 1e-6)
	require.Equal(t, pt(5, 0), long.At)
	short := run(t, play(travel(5, 0), mark(15, 0, 100), travel(20, 5), mark(20, 5.1, 100), travel(0, 0)),
		rests(p)).Hottest
	require.InDelta(t, 8, short.Times, 1e-5)
	require.Equal(t, pt(20, 5), short.At)
	row := run(t, play(gap(10, 0, 100), mark(20, 0, 100), gap(30, 0, 100)), p).Hottest
	require.InDelta(t, 1/1.015, row.Times, 1e-6)
	p.GCode.PowerMode = machine.PowerSpeedFollowing
	require.Zero(t, run(t, play(mark(0.1, 0, 100)), p).Hottest.Times, "power that follows the speed")
}

// rests is p with a controller that stops where travel meets marking.
func rests(p machine.Profile) machine.Profile {
	g := *p.Gantry
	g.TravelJunction = machine.JunctionRest
	p.Gantry = &g
	return p
}
