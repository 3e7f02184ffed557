package machine_test

import (
	"math"
	"testing"
	"time"

	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// 20 W from 30 kHz on are 0.667 mJ, from 20 kHz on the source's most, 1 mJ.
func TestMaxEnergy(t *testing.T) {
	l := machine.Laser{RatedPowerW: 20, PulseNS: 100, MaxPulseEnergyMJ: 1}
	_, ok := l.MaxEnergyMJ(100)
	require.False(t, ok, "without pulses")
	l.FrequencyKHz = &[2]float64{20, 80}
	require.True(t, l.HasPulse(100))
	require.False(t, l.HasPulse(10))
	l.PulseTable = [][2]float64{{10, 30}, {100, 15}}
	for ns, want := range map[float64]float64{10: 20.0 / 30, 100: 1, 50: 1} {
		got, ok := l.MaxEnergyMJ(ns)
		require.True(t, ok)
		require.InDelta(t, want, got, 1e-12, "%g ns", ns)
	}
	require.True(t, l.HasPulse(10))
	require.False(t, l.HasPulse(50))
}

// Straight from pair to pair, from 0 W at 0 percent, and flat behind the last.
func TestWatts(t *testing.T) {
	l := machine.Laser{RatedPowerW: 30}
	require.InDelta(t, 12, l.Watts(0.4), 1e-12)
	l.PowerCurve = [][2]float64{{0, 0}, {20, 2}, {60, 22}, {90, 25}}
	for percent, want := range map[float64]float64{0: 0, 10: 1, 20: 2, 30: 7, 60: 22, 75: 23.5, 90: 25, 100: 25} {
		require.InDelta(t, want, l.Watts(percent/100), 1e-12, "%g percent", percent)
	}
}

// A jump of half the length has half of the difference; from the length on it is
// the whole delay.
func TestJumpWait(t *testing.T) {
	s := machine.Scanner{JumpUS: 250, ShortJumpUS: 60, ShortJumpSteps: 20_000}
	for steps, us := range map[float64]float64{0: 60, 5_000: 107.5, 10_000: 155, 19_999.9: 249.999, 20_000: 250,
		1e6: 250} {
		require.InDelta(t, us*1e3, float64(s.JumpWait(steps).Nanoseconds()), 1, "%g steps", steps)
	}
	require.Equal(t, 250*time.Microsecond, machine.Scanner{JumpUS: 250}.JumpWait(0))
}

// The gate is open for off less on behind a mark: 30 µs are 0.06 mm at 2000 mm/s.
func TestGateCloses(t *testing.T) {
	s := machine.Scanner{OnUS: 90, OffUS: 120}
	require.False(t, s.GateCloses(0.0599, 2000))
	require.True(t, s.GateCloses(0.0601, 2000))
}

func TestScannerRounds(t *testing.T) {
	p := machine.Examples()[2]
	g := *p.Galvo
	p.Galvo = &g
	g.JumpSpeedMMPerS, g.JumpDelayUS, g.ShortJumpDelayUS, g.ShortJumpMM = 4000.4, 250.4, 59.6, 1.99996
	g.MarkDelayUS, g.CornerDelayUS, g.LaserOnDelayUS, g.LaserOffDelayUS = 99.5, 40.4, -3.6, 119.5
	want := machine.Scanner{
		JumpMMPerS: 4000, OnUS: -4, OffUS: 120, JumpUS: 250, ShortJumpUS: 60, ShortJumpSteps: 20_000, MarkUS: 100,
		CornerUS: 40,
	}
	require.Equal(t, want, p.Scanner(path.Setting{SpeedMMPerS: 100}))
	g.JumpSpeedMMPerS = 0.2
	require.Equal(t, int64(1), p.Scanner(path.Setting{}).JumpMMPerS, "none would be no jump")
}

// With delays from a lag each speed has its own; with the profile's all are alike.
func TestScannersOfSettings(t *testing.T) {
	p := machine.Examples()[2]
	lag := lagging(110)
	p.Galvo = &lag
	settings := []path.Setting{{SpeedMMPerS: 100}, {SpeedMMPerS: 100, Power: 1}, {SpeedMMPerS: 3000},
		{SpeedMMPerS: 100}}
	got := p.Scanners(settings)
	require.Equal(t, got[0], got[1])
	require.Equal(t, got[0], got[3])
	require.NotEqual(t, got[0], got[2])
	require.Equal(t, p.Scanner(settings[2]), got[2])
}

type setting = path.Setting

// What a list holds, by the limits of its form.
func TestCheckListSettings(t *testing.T) {
	ok := path.Setting{Name: "fill", SpeedMMPerS: 100, Power: 0.5, FrequencyHz: 20_000, PulseNS: 100}
	for _, tt := range []struct {
		change func(*setting)
		want   string
	}{
		{func(s *setting) { s.SpeedMMPerS = 1 }, ""}, {func(s *setting) { s.SpeedMMPerS = 0.9 }, "speed"},
		{func(s *setting) { s.SpeedMMPerS = 999_999_999 }, ""}, {func(s *setting) { s.SpeedMMPerS = 1e9 }, "speed"},
		{func(s *setting) { s.SpeedMMPerS = math.NaN() }, "speed"},
		{func(s *setting) { s.Power = 0 }, ""}, {func(s *setting) { s.Power = 1 }, ""},
		{func(s *setting) { s.Power = -0.1 }, "power"}, {func(s *setting) { s.Power = 1.1 }, "power"},
		{func(s *setting) { s.Power = 0.0001 }, ""}, {func(s *setting) { s.Power = 0.00009 }, "power 0.009"},
		{func(s *setting) { s.FrequencyHz, s.PulseNS = 0, 0 }, ""}, {func(s *setting) { s.FrequencyHz = 1 }, ""},
		{func(s *setting) { s.FrequencyHz = 0.9 }, "frequency"}, {func(s *setting) {
			s.FrequencyHz = 1e9
		}, "frequency"},
		{func(s *setting) { s.FrequencyHz = 999_999_999 }, ""},
		{func(s *setting) { s.PulseNS = 1 }, ""}, {func(s *setting) { s.PulseNS = 0.9 }, "pulse length"},
		{func(s *setting) { s.PulseNS = 0 }, "pulse length"}, {func(s *setting) { s.PulseNS = 1e9 }, "pulse length"},
		{func(s *setting) { s.PulseNS = 999_999_999 }, ""},
	} {
		s := ok
		tt.change(&s)
		err := machine.CheckListSettings([]path.Setting{ok, s})
		if tt.want == "" {
			require.NoError(t, err, "%+v", s)
			continue
		}
		require.ErrorContains(t, err, tt.want)
		require.ErrorContains(t, err, `setting "fill"`)
	}
}

func TestScannerWarnings(t *testing.T) {
	ok := machine.Scanner{OnUS: 100, OffUS: 120, MarkUS: 20, JumpUS: 60, ShortJumpUS: 60}
	require.Empty(t, ok.Warnings())
	for _, change := range []func(*machine.Scanner){
		func(s *machine.Scanner) { s.OffUS = 99 }, func(s *machine.Scanner) { s.MarkUS = 19 },
		func(s *machine.Scanner) { s.ShortJumpUS = 61 },
	} {
		s := ok
		change(&s)
		require.Len(t, s.Warnings(), 1)
	}
	require.Empty(t, machine.Scanner{OnUS: 100, OffUS: 100}.Warnings())
}

// A pulsed source's own length stands in where a setting names none.
func TestRounded(t *testing.T) {
	p := machine.Examples()[2]
	got := p.Rounded(path.Setting{SpeedMMPerS: 100.4, Power: 0.123456, FrequencyHz: 20_000.5})
	require.Equal(t, path.Setting{SpeedMMPerS: 100, Power: 0.1235, FrequencyHz: 20_001, PulseNS: 100}, got)
	got = p.Rounded(path.Setting{SpeedMMPerS: 0.3, Power: 0.00004, PulseNS: 5})
	require.Equal(t, path.Setting{SpeedMMPerS: 0.3, Power: 0.00004}, got, "left for Plan to refuse")
	got = p.Rounded(path.Setting{SpeedMMPerS: 10, FrequencyHz: 5, PulseNS: 9.6})
	require.Equal(t, 10.0, got.PulseNS)
	co2 := machine.Examples()[0]
	require.InDelta(t, 0.123, co2.Rounded(path.Setting{SpeedMMPerS: 100, Power: 0.12345}).Power, 1e-12)
}

// 0.4 % asked for and 0.392 % (S1 of 255) got is worth a word, 50 % and 50.2 % is not.
func TestRoundingNotes(t *testing.T) {
	co2 := machine.Examples()[0]
	co2.GCode = &machine.GCode{PowerWordMax: 255}
	require.Equal(t,
		[]string{"power 0.4 percent becomes 0.3921569 percent: the file holds S from 0 to 255 with 0 decimals"},
		co2.RoundingNotes(path.Setting{SpeedMMPerS: 100, Power: 0.004}))
	require.Empty(t, co2.RoundingNotes(path.Setting{SpeedMMPerS: 100, Power: 0.5}))
	fibre := machine.Examples()[2]
	require.Empty(t, fibre.RoundingNotes(path.Setting{SpeedMMPerS: 100, Power: 0.1234, FrequencyHz: 20_001,
		PulseNS: 100}))
	require.Equal(t, []string{
		"speed 100.5 mm/s becomes 101 mm/s: the file holds whole mm/s",
		"power 12.346 percent becomes 12.35 percent: the file holds hundredths of a percent",
		"frequency 20.0005 kHz becomes 20.001 kHz: the file holds whole Hz",
		"pulse length 9.5 ns becomes 10 ns: the file holds whole ns",
	}, fibre.RoundingNotes(path.Setting{SpeedMMPerS: 100.5, Power: 0.12346, FrequencyHz: 20_000.5, PulseNS: 9.5}))
}

// Each doubted value, and the greatest that is not.
func TestDoubtsFromWhere(t *testing.T) {
	for _, tt := range []struct {
		machine int
		set     func(p *machine.Profile, v float64)
		most    float64
	}{
		{0, func(p *machine.Profile, v float64) { p.Gantry.MaxSpeedMMPerS[1] = v }, 2000},
		{0, func(p *machine.Profile, v float64) { p.Gantry.RapidMMPerS = v }, 2000},
		{2, func(p *machine.Profile, v float64) { p.Galvo.MaxSpeedMMPerS = v }, 50_000},
		{2, func(p *machine.Profile, v float64) { p.Galvo.JumpSpeedMMPerS = v }, 50_000},
		{2, func(p *machine.Profile, v float64) { p.Laser.FrequencyKHz[1] = v }, 10_000},
		{2, func(p *machine.Profile, v float64) { p.Laser.PulseNS = v }, 50_000},
	} {
		p := machine.Examples()[tt.machine]
		tt.set(&p, tt.most)
		require.Empty(t, p.Doubts())
		tt.set(&p, tt.most*1.001)
		require.Len(t, p.Doubts(), 1)
	}
}

func TestFileHasNoGridOfItsOwn(t *testing.T) {
	p := machine.Examples()[0]
	_, ok := p.Residual()
	require.False(t, ok)
	_, ok = machine.Examples()[2].Residual()
	require.False(t, ok)
	p.GCode = nil
	require.Equal(t, machine.GCode{}, p.Controller())
	require.Equal(t, 1000.0, p.Controller().FullS())
	require.Equal(t, 255.0, machine.GCode{PowerWordMax: 255}.FullS())
}
