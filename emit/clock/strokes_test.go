package clock_test

import (
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func marking(t *testing.T, m emit.Moves, p machine.Profile) []path.Marking {
	t.Helper()
	all, err := clock.Strokes(m, p)
	require.NoError(t, err)
	prog, err := m.Program()
	require.NoError(t, err)
	require.Len(t, all, len(prog.Strokes))
	return all
}

// Two spans of a row with a run-up of 5 mm, at 100 mm/s and 1,000 mm/s2, where 40 W
// at a quarter and at half of the power give 10 and 20 W (arithmetic): the head is at
// speed after 0.1 s, marks 10 mm in 0.1 s, crosses 5 mm in 0.05 s, marks 20 mm in 0.2 s.
func TestStrokesOfARow(t *testing.T) {
	p := axes(500, 1000)
	p.Laser.RatedPowerW = 40
	at := func(x, power float64) emit.Move {
		mv := gap(x, 0, 100)
		if mv.Power = power; power > 0 {
			mv.Kind = emit.Mark
		}
		return mv
	}
	got := marking(t, play(at(5, 0), at(15, 0.25), at(20, 0), at(40, 0.5), at(45, 0)), p)
	ms := time.Millisecond
	require.Equal(t, []path.Marking{
		{Start: 100 * ms, End: 200 * ms, EnergyJ: 1}, {Start: 250 * ms, End: 450 * ms, EnergyJ: 4},
	}, got)
	require.Equal(t, 5.0, clock.Energy(got))
}

// A mark of 10 mm from rest to rest at 1,000 mm/s2 and 100 mm/s takes 0.2 s: half of
// it gains speed and half loses it (s = v²/a). A beam of 10 W that stays on then
// lays down 2 J, one that follows the speed as much as at full speed, 1 J.
func TestEnergyOfSteadyAndFollowingPower(t *testing.T) {
	for mode, want := range map[string]float64{machine.PowerSteady: 2, machine.PowerSpeedFollowing: 1} {
		p := axes(500, 1000)
		p.Laser.RatedPowerW = 40
		p.GCode = &machine.GCode{PowerMode: mode}
		mv := mark(10, 0, 100)
		mv.Power = 0.25
		got := marking(t, play(mv), p)
		require.Equal(t, 200*time.Millisecond, got[0].End)
		require.InDelta(t, want, got[0].EnergyJ, 1e-9, mode)
	}
}

// Half a circle of 1 mm is π mm long, not 2 mm across: at 10 mm/s and 10 W that
// follow the speed it is π J.
func TestEnergyOfAnArc(t *testing.T) {
	p := axes(500, 1000)
	p.Laser.RatedPowerW = 10
	p.GCode = &machine.GCode{PowerMode: machine.PowerSpeedFollowing}
	arc := emit.Move{To: pt(2, 0), Centre: pt(1, 0), Turn: emit.Clockwise, Kind: emit.Mark, Speed: 10, Power: 1}
	require.InDelta(t, 3.14159265, marking(t, play(arc), p)[0].EnergyJ, 1e-6)
}

// On a galvo the gate keeps step with the mirrors: 20 mm at 1,000 mm/s and 50 % of
// 50 W are 0.5 J; a dot of 1 ms is 25 mJ.
func TestStrokesOfAGalvo(t *testing.T) {
	p := byhand.Fibre()
	m := emit.Moves{
		Header:   emit.Header{Field: pt(175, 175)},
		Settings: []path.Setting{{SpeedMMPerS: 1000, Power: 0.5, FrequencyHz: 80_000, PulseNS: 100}},
		Scanner:  []machine.Scanner{{JumpMMPerS: 4000}},
	}
	m.Play = play(
		emit.Move{To: pt(4, 0)}, emit.Move{To: pt(24, 0), Kind: emit.Mark, Speed: 1000, Power: 0.5},
		emit.Move{To: pt(24, 4)}, emit.Move{To: pt(24, 4), Kind: emit.Dot, WaitUS: 1000, Power: 0.5},
	).Play
	got := marking(t, m, p)
	require.Len(t, got, 2)
	require.Equal(t, time.Millisecond, got[0].Start)
	require.Equal(t, 21*time.Millisecond, got[0].End)
	require.InDelta(t, 0.5, got[0].EnergyJ, 1e-9)
	require.InDelta(t, 0.025, got[1].EnergyJ, 1e-9)
	require.Equal(t, time.Millisecond, got[1].End-got[1].Start)
}
