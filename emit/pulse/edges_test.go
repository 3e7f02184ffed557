package pulse_test

import (
	"math"
	"testing"

	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A spot of 0.04 x 0.1 mm has π/4·0.04·0.1 mm2: 1 mJ on it are 31.83 J/cm2 (arithmetic).
func TestFluenceOfASpotThatIsNotRound(t *testing.T) {
	l := source()
	l.SpotMM = [2]float64{0.04, 0.1}
	s := path.Setting{SpeedMMPerS: 500, Power: 1, FrequencyHz: 20000, PulseNS: 100}
	require.InDelta(t, 1e-3/(math.Pi/4*0.04*0.1)*100, pulse.Of(s, l, 1).FluenceJPerCM2, 1e-9)
	require.Zero(t, pulse.Of(s, l, 1).DoseJPerCM2, "where nothing is filled")
	require.Zero(t, pulse.Of(s, l, 1).LineOverlap)
}

// Pulses more than a millimetre apart part as well as others.
func TestPulsesFarApart(t *testing.T) {
	l := source()
	l.FrequencyKHz = &[2]float64{0.1, 80}
	s := path.Setting{SpeedMMPerS: 500, Power: 0.001, FrequencyHz: 100, PulseNS: 100}
	require.Contains(t, pulse.Warnings(s, l, 0)[0], "they are 5 mm apart, and the spot is 0.05 mm wide")
}

// A pulsed source without a frequency lays down no pulses, and a continuous one none at
// any; power 0 is no power below a floor.
func TestFactsOfNoPulses(t *testing.T) {
	l := source()
	s := path.Setting{SpeedMMPerS: 500, Power: 0.5, SpacingMM: 0.1}
	f := pulse.Of(s, l, 1)
	require.Equal(t, pulse.Facts{MeanPowerW: 10, DoseJPerCM2: f.DoseJPerCM2, LineOverlap: -1}, f)
	require.InDelta(t, 20, f.DoseJPerCM2, 1e-9)
	l.FrequencyKHz = nil
	s.FrequencyHz = 20000
	require.Zero(t, pulse.Of(s, l, 1).PerMM)
	l.FloorPercent = 10
	require.Empty(t, pulse.OutOfRange(path.Setting{SpeedMMPerS: 500}, profileOf(l)))
}

func profileOf(l machine.Laser) machine.Profile { return machine.Profile{Laser: l} }
