package machine_test

import (
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// The examples are in the right units; values in mm/min, Hz and ps are doubted.
func TestDoubts(t *testing.T) {
	for _, p := range machine.Examples() {
		require.Empty(t, p.Doubts(), p.ID)
		if g := p.Gantry; g != nil {
			g.RapidMMPerS, g.MaxSpeedMMPerS = 24_000, [2]float64{30_000, 18_000}
		} else {
			p.Galvo.JumpSpeedMMPerS *= 60
			p.Laser.FrequencyKHz = &[2]float64{30_000, 100_000}
			p.Laser.PulseNS = 100_000
		}
		require.NoError(t, p.Validate())
		var all []string
		for _, d := range p.Doubts() {
			all = append(all, d.Error())
		}
		if p.Gantry != nil {
			require.Equal(t, []string{
				"gantry.max_speed_mm_s: 30000 mm/s is a great deal: is that mm/min? It would be 500 mm/s",
				"gantry.rapid_mm_s: 24000 mm/s is a great deal: is that mm/min? It would be 400 mm/s",
			}, all)
			continue
		}
		require.Len(t, all, 3)
		require.Equal(t, "laser.frequency_khz: 30000 kHz is a great deal: is that Hz? It would be 30 kHz", all[1])
		require.Equal(t, "laser.pulse_ns: 100000 ns is a great deal: is that ps? It would be 100 ns", all[2])
	}
}
