package better

import (
	"fmt"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// doneOn is work on a machine that was not made: what is asked of it needs no moves.
func doneOn(t *testing.T, id string, set path.Setting, more ...hatch.Group) done {
	t.Helper()
	m, err := settings.FindMachine(id)
	require.NoError(t, err)
	groups := append([]hatch.Group{{Setting: set}}, more...)
	return done{work.Work{Input: work.Input{
		Resolved: job.Resolved{Machine: &m, Fills: make([]job.ResolvedFill, len(groups))}, Groups: groups,
	}}}
}

// Doses that differ by half a percent are the same, by more they are not.
func TestDosesAreTheSameWithinHalfAPercent(t *testing.T) {
	at := func(power float64) done {
		return doneOn(t, "example-co2", path.Setting{SpeedMMPerS: 100, Power: power, SpacingMM: 0.1})
	}
	require.True(t, at(0.4).hasDoseOf(at(0.4*1.004)))
	require.True(t, at(0.4).hasDoseOf(at(0.4*0.996)))
	require.False(t, at(0.4).hasDoseOf(at(0.4*1.006)))
	require.False(t, at(0.4).hasDoseOf(at(0.4*0.994)))
}

// A galvo is as quick as its pulses overlap by half, 0.06 mm x 50 kHz / 2 = 1500 mm/s, up
// to its scanner's 6,543 mm/s; it is never told to slow down.
func TestPulsesBoundTheQuickestSpeed(t *testing.T) {
	for _, tt := range []struct{ now, kHz, want float64 }{
		{1000, 50, 1500}, {1000, 100, 3000}, {1000, 1000, 6543}, {2000, 50, 2000},
	} {
		b := doneOn(t, "example-fibre", path.Setting{
			SpeedMMPerS: tt.now, Power: 0.5, FrequencyHz: tt.kHz * 1000, PulseNS: 100, SpacingMM: 0.05,
		})
		require.InDelta(t, tt.want, b.quickestSpeed(), 1e-9, "%+v", tt)
	}
}

// Power follows the speed between the source's floor and full power.
func TestPowerStaysWithinTheSource(t *testing.T) {
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	l := m.Laser
	l.PowerCurve, l.FloorPercent = nil, 20
	set := path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.1}
	require.InDelta(t, 0.6, powerFor(l, set, 1.5), 1e-6)
	require.InDelta(t, 1, powerFor(l, set, 10), 1e-6)
	require.InDelta(t, 0.2, powerFor(l, set, 0.1), 1e-6)
}

// Wider spacing is offered where a mark is more than a twentieth wider than it, and
// leaves a group that has wider spacing already as it is.
func TestSpacingAsWideAsAMark(t *testing.T) {
	for width, offered := range map[float64]bool{0.104: false, 0.106: true, 0.123456: true} {
		b := doneOn(t, "example-co2", path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.1},
			hatch.Group{Setting: path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.5}})
		b.Groups[0].MarkWidth = width
		b.Art = path.Artwork{Page: path.Rect{Max: path.Point{X: 10, Y: 10}}}
		ways, err := b.otherWays()
		require.NoError(t, err)
		found := false
		for _, o := range ways {
			if !strings.HasPrefix(o.change, "spacing as wide") {
				continue
			}
			found = true
			require.Equal(t, fmt.Sprintf("spacing as wide as a mark, %.4g mm", width), o.change)
			fine, coarse := b.Groups[0], b.Groups[1]
			o.fill(0, &fine)
			o.fill(1, &coarse)
			require.Equal(t, width, fine.Setting.SpacingMM)
			require.Equal(t, 0.5, coarse.Setting.SpacingMM)
		}
		require.Equal(t, offered, found, "%g mm", width)
	}
}

// Rows along Y are as quick as Y can: with 50 m/s2 the best speed of rows of 10 mm would
// be √(11·50000/2) = 524 mm/s, and Y makes 100.
func TestRowsAlongYAreBoundByY(t *testing.T) {
	for _, along := range []struct {
		to   path.Point
		want float64
	}{{path.Point{Y: 10}, 100}, {path.Point{X: 10}, 500}} {
		b := doneOn(t, "example-co2", path.Setting{SpeedMMPerS: 50, Power: 0.4, SpacingMM: 0.1})
		g := *b.Machine.Gantry
		g.MaxSpeedMMPerS, g.AccelMMPerS2 = [2]float64{500, 100}, [2]float64{50_000, 50_000}
		b.Machine.Gantry = &g
		b.Program.Settings = []path.Setting{b.Groups[0].Setting}
		b.Program.Append(path.Stroke{}, path.Point{}, along.to)
		require.InDelta(t, along.want, b.quickestSpeed(), 0.01)
	}
}
