package machine_test

import (
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// A value that stands in a profile is doubted five times beyond what is plausible where it is
// left out: a jump delay of 100 to 500 us from 2,500 up and 20 down, an acceleration of 500 to
// 3,000 mm/s2 from 15,000 and 100. None at all, and what is assumed, is not.
func TestImplausibleValues(t *testing.T) {
	measured := func(i int) machine.Profile {
		p := machine.Examples()[i]
		p.Guessed = nil
		return p
	}
	galvo, gantry := measured(2), measured(0)
	require.Empty(t, galvo.Doubts())
	require.Empty(t, gantry.Doubts())
	for us, doubted := range map[float64]bool{0: false, 19: true, 21: false, 250: false, 2490: false,
		2510: true, 25_000: true} {
		p := galvo.With("galvo.jump_delay_us", us)
		require.Equal(t, doubted, len(p.Doubts()) == 1, "%g us", us)
		p.Guessed = []string{"galvo.jump_delay_us"}
		require.Empty(t, p.Doubts())
	}
	require.Equal(t, "galvo.jump_delay_us: jump delay of 25000 is far outside 100 to 500, which is plausible: is it "+
		"in the unit of the key?",
		galvo.With("galvo.jump_delay_us", 25_000).Doubts()[0].Error())
	for accel, doubted := range map[float64]bool{99: true, 101: false, 14_900: false, 15_100: true} {
		require.Equal(t, doubted, len(gantry.With("gantry.accel_mm_s2", 1000, accel).Doubts()) == 1, "%g mm/s2", accel)
	}
	require.Len(t, gantry.With("gantry.accel_mm_s2", 1, 1).Doubts(), 1, "a key once")
}

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
