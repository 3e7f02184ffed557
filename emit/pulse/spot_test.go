package pulse_test

import (
	"testing"

	"furrow/emit/machine"
	"furrow/emit/pulse"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A spot 0.08 mm wide and 0.12 mm high marks rows along X that are 0.12 mm wide, and
// rows along Y of 0.08 mm. Rows 0.1 mm apart overlap by a sixth along X, and part by a
// quarter of the spot along Y (arithmetic). At 45 degrees the ellipse is as wide as
// √((0.08² + 0.12²)/2) = 0.102 mm (its support function, any textbook on conics).
func TestSpotAcrossTheRows(t *testing.T) {
	l := machine.Laser{SpotMM: [2]float64{0.08, 0.12}, RatedPowerW: 10}
	set := path.Setting{SpeedMMPerS: 100, Power: 1, SpacingMM: 0.1}
	for _, tt := range []struct {
		degrees []float64
		overlap float64
		parts   bool
	}{
		{[]float64{0}, 1.0 / 6, false}, {[]float64{180}, 1.0 / 6, false}, {[]float64{90}, -0.25, true},
		{[]float64{45}, 1 - 0.1/0.1019804, false}, {[]float64{0, 90}, -0.25, true}, {nil, -0.25, true},
	} {
		require.InDelta(t, tt.overlap, pulse.Of(set, l, 1, tt.degrees...).LineOverlap, 1e-6, "%v", tt.degrees)
		warnings := pulse.Warnings(set, l, 0, tt.degrees...)
		if !tt.parts {
			require.Empty(t, warnings, "%v", tt.degrees)
			continue
		}
		require.Len(t, warnings, 1, "%v", tt.degrees)
		require.Contains(t, warnings[0], "0.08 mm wide")
	}
}

// Pulses meet by the spot's length along the row: at 1 kHz and 100 mm/s they are 0.1 mm
// apart, which 0.12 mm covers along Y and 0.08 mm does not along X.
func TestSpotAlongTheRows(t *testing.T) {
	l := machine.Laser{SpotMM: [2]float64{0.08, 0.12}, RatedPowerW: 10, FrequencyKHz: &[2]float64{1, 10},
		MaxPulseEnergyMJ: 20}
	set := path.Setting{SpeedMMPerS: 100, Power: 1, FrequencyHz: 1000}
	require.InDelta(t, -0.25, pulse.Of(set, l, 1, 0).Overlap, 1e-9)
	require.InDelta(t, 1.0/6, pulse.Of(set, l, 1, 90).Overlap, 1e-9)
}
