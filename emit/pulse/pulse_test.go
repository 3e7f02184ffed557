package pulse_test

import (
	"math"
	"testing"

	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// The Rayleigh length by the formula of ISO 11146-1. The first row is a published worked
// example (1064 nm, f 100 mm, 10 mm beam: 13.5 µm, 0.135 mm); the others were computed
// from the same formulas with another program.
func TestRayleighLength(t *testing.T) {
	for _, tt := range []struct{ nm, spot, m2, rayleigh float64 }{
		{1064, 0.013547, 1, 0.13547},
		{1064, 0.046448, 1.5, 1.06166},
		{10600, 0.068561, 1.2, 0.29024},
	} {
		require.InEpsilon(t, tt.rayleigh, pulse.RayleighMM(tt.nm, tt.spot, tt.m2), 5e-5)
	}
}

func source() machine.Laser {
	return machine.Laser{
		RatedPowerW: 20, SpotMM: [2]float64{0.05, 0.05}, FrequencyKHz: &[2]float64{20, 80}, PulseNS: 100,
		MaxPulseEnergyMJ: 1,
	}
}

// 20 W, 20 kHz, 500 mm/s, spot and spacing 50 µm, computed by hand from what the
// words mean (energy, fluence and dose) and from 1 − v/(f·d) and 1 − h/d, the
// overlaps as the marking trade gives them (from memory): 1 mJ, 40 pulses/mm,
// overlap 50 %, 1 mJ over π/4·(50 µm)² = 50.930 J/cm2, dose 20/(500·0.05) = 0.8
// J/mm2.
func TestFactsByHand(t *testing.T) {
	s := path.Setting{SpeedMMPerS: 500, Power: 1, FrequencyHz: 20000, PulseNS: 100, SpacingMM: 0.05}
	f := pulse.Of(s, source(), 1)
	require.InDelta(t, 40, f.PerMM, 1e-12)
	require.InDelta(t, 0.5, f.Overlap, 1e-12)
	require.InDelta(t, 1, f.EnergyMJ, 1e-12)
	require.InDelta(t, 50.930, f.FluenceJPerCM2, 5e-4)
	require.InDelta(t, 80, f.DoseJPerCM2, 1e-9)
	require.InDelta(t, 0, f.LineOverlap, 1e-12)
	require.False(t, f.Limited)
	require.InDelta(t, 320, pulse.Of(s, source(), 4).DoseJPerCM2, 1e-9, "two passes crossed")
	require.Empty(t, pulse.Warnings(s, source(), 0))
}

func TestPulseTableLimitsPower(t *testing.T) {
	l := source()
	l.PulseTable = [][2]float64{{10, 80}, {100, 20}}
	s := path.Setting{SpeedMMPerS: 500, Power: 1, FrequencyHz: 40000, PulseNS: 10}
	f := pulse.Of(s, l, 1)
	require.True(t, f.Limited)
	require.InDelta(t, 10, f.MeanPowerW, 1e-9, "20 W from 80 kHz on, so 0.25 mJ a pulse")
	s.PulseNS = 100
	require.InDelta(t, 20, pulse.Of(s, l, 1).MeanPowerW, 1e-9)
}

func TestPowerCurve(t *testing.T) {
	l := source()
	l.PowerCurve = [][2]float64{{10, 1}, {50, 9}, {100, 19}}
	for percent, want := range map[float64]float64{0: 0, 5: 0.5, 10: 1, 30: 5, 100: 19} {
		require.InDelta(t, want, l.Watts(percent/100), 1e-12, "%g %%", percent)
	}
	require.Equal(t, 10.0, source().Watts(0.5))
}

func TestContinuousSourceHasNoPulses(t *testing.T) {
	l := machine.Laser{RatedPowerW: 40, SpotMM: [2]float64{0.1, 0.2}}
	f := pulse.Of(path.Setting{SpeedMMPerS: 100, Power: 0.5, SpacingMM: 0.05}, l, 1)
	require.Equal(t, pulse.Facts{MeanPowerW: 20, LineOverlap: 0.5, DoseJPerCM2: 400}, f)
}

func TestWarnings(t *testing.T) {
	table := source()
	table.PulseTable = [][2]float64{{10, 80}, {100, 20}}
	ok := path.Setting{SpeedMMPerS: 500, Power: 1, FrequencyHz: 20000, PulseNS: 100, SpacingMM: 0.05}
	for _, tt := range []struct {
		change func(*path.Setting)
		laser  machine.Laser
		mark   float64
		want   string
	}{
		{func(s *path.Setting) { s.SpeedMMPerS = 2000 }, source(), 0,
			"pulses do not touch: at 2000 mm/s and 20 kHz they are 0.1 mm apart, and the spot is 0.05 mm wide"},
		{func(s *path.Setting) { s.SpacingMM = 0.06 }, source(), 0,
			"lines do not touch: they are 0.06 mm apart, and the spot is 0.05 mm wide"},
		{func(s *path.Setting) { s.SpacingMM = 0.06 }, source(), 0.055,
			"lines do not touch: they are 0.06 mm apart, and a mark is 0.055 mm wide"},
		{func(s *path.Setting) { s.SpacingMM = 0.06 }, source(), 0.06, ""},
		{func(s *path.Setting) { s.PulseNS = 10 }, table, 0,
			"mean power is 5 W and not the 20 W asked for: at 20 kHz a pulse carries no more than 0.25 mJ"},
	} {
		s := ok
		tt.change(&s)
		got := pulse.Warnings(s, tt.laser, tt.mark)
		if tt.want == "" {
			require.Empty(t, got)
			continue
		}
		require.Equal(t, []string{tt.want}, got)
	}
}

func TestOutOfRange(t *testing.T) {
	table, floor := source(), source()
	table.PulseTable = [][2]float64{{10, 80}, {100, 20}}
	floor.FloorPercent = 8
	ok := path.Setting{SpeedMMPerS: 500, Power: 1, FrequencyHz: 20000, PulseNS: 100, SpacingMM: 0.05}
	for _, tt := range []struct {
		change func(*path.Setting)
		laser  machine.Laser
		want   []string
		use    []string
	}{
		{func(s *path.Setting) { s.FrequencyHz, s.SpeedMMPerS = 80000, 3000 }, table, nil, nil},
		{func(s *path.Setting) { s.FrequencyHz = 90000 }, source(),
			[]string{"frequency 90 kHz is outside the source's range, 20 to 80 kHz"},
			[]string{"frequency 20kHz to 80kHz"}},
		{func(s *path.Setting) { s.PulseNS = 20 }, source(),
			[]string{"pulse length 20 ns is none of the source's: 100 ns"}, []string{"pulse 100 ns"}},
		{func(s *path.Setting) { s.PulseNS = 20 }, table,
			[]string{"pulse length 20 ns is none of the source's: 10, 100 ns"}, []string{"pulse 10, 100 ns"}},
		{func(*path.Setting) {}, machine.Laser{RatedPowerW: 20, SpotMM: [2]float64{1, 1}},
			[]string{"frequency 20 kHz is set, and the source is continuous"}, []string{"frequency "}},
		{func(s *path.Setting) { s.Power = 0.08 }, floor, nil, nil},
		{func(s *path.Setting) { s.Power = 0.07 }, floor, []string{"power 7 % is below the source's least, 8 %"},
			[]string{"power 8 or more"}},
		{func(s *path.Setting) { s.SpeedMMPerS, s.FrequencyHz = 3001, 10 }, source(), []string{
			"frequency 0.01 kHz is outside the source's range, 20 to 80 kHz",
			"speed 3001 mm/s is above the scanner's most, 3000 mm/s"},
			[]string{"frequency 20kHz to 80kHz", "speed 3000 or less"}},
	} {
		s := ok
		tt.change(&s)
		var got, use []string
		for _, l := range pulse.OutOfRange(s, machine.Profile{Galvo: &machine.Galvo{MaxSpeedMMPerS: 3000},
			Laser: tt.laser}) {
			got, use = append(got, l.Text), append(use, l.Key+" "+l.Use)
		}
		require.Equal(t, tt.want, got)
		require.Equal(t, tt.use, use)
	}
}

// A Rayleigh length out of focus the spot has twice its area: √2 of its width,
// half of the fluence, the same dose.
func TestDefocusedSpot(t *testing.T) {
	l := source()
	l.WavelengthNM = 1064
	out := pulse.Defocused(l, pulse.RayleighMM(l.WavelengthNM, l.SpotMM[0], 1))
	require.InEpsilon(t, l.SpotMM[0]*math.Sqrt2, out.SpotMM[0], 1e-12)
	require.Equal(t, l, pulse.Defocused(l, 0))
	s := path.Setting{SpeedMMPerS: 1000, Power: 0.5, FrequencyHz: 50e3, PulseNS: 100, SpacingMM: 0.05}
	at, away := pulse.Of(s, l, 1), pulse.Of(s, out, 1)
	require.InEpsilon(t, at.FluenceJPerCM2*l.SpotMM[0]*l.SpotMM[1],
		away.FluenceJPerCM2*out.SpotMM[0]*out.SpotMM[1], 1e-12)
	require.Greater(t, away.Overlap, at.Overlap)
	require.Equal(t, at.DoseJPerCM2, away.DoseJPerCM2)
}
