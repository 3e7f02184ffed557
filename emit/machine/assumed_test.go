package machine_test

import (
	"testing"

	"furrow/emit/machine"
	"furrow/emit/machine/byhand"

	"github.com/stretchr/testify/require"
)

func none(string) bool { return false }

func TestWhatIsLeftOutIsAssumed(t *testing.T) {
	for _, p := range machine.Examples() {
		all := p.Complete(func(string) bool { return true })
		require.Empty(t, all.Assumed(), p.ID)
		bare := p.Complete(none)
		require.NoError(t, bare.Validate(), p.ID)
		require.Equal(t, bare.Guessed, p.Guessed, "all that may be assumed of an example is")
		require.Equal(t, p.Hash(), all.Hash(), "what is assumed changes no file")
		require.NotEqual(t, p.Hash(), bare.Hash(), "the example itself is not changed")
	}
	co2 := machine.Examples()[0].Complete(none)
	require.Equal(t, [2]float64{1000, 1000}, co2.Gantry.AccelMMPerS2)
	require.Equal(t, 300.0, co2.Gantry.RapidMMPerS, "the slower axis' speed")
	require.Equal(t, 1500.0, machine.Examples()[0].Gantry.AccelMMPerS2[1])
}

// The default of every value that no plate tells, by kind, as the help lists them.
func TestDefaultsByKind(t *testing.T) {
	nothing := func(p machine.Profile) map[string]any {
		defaults := map[string]any{}
		for _, g := range p.Complete(none).Assumed() {
			if word, ok := g.Text(p.Complete(none)); ok {
				defaults[g.Key] = word
			} else {
				defaults[g.Key] = g.Value(p.Complete(none))
			}
			require.NotEmpty(t, g.Find, g.Key)
		}
		return defaults
	}
	plate := machine.Profile{Kind: machine.KindGantry, Gantry: &machine.Gantry{MaxSpeedMMPerS: [2]float64{200, 150}},
		GCode: &machine.GCode{}}
	require.Equal(t, map[string]any{
		"gantry.accel_mm_s2": []float64{1000, 1000}, "gantry.corner_error_mm": []float64{0.02},
		"gantry.rapid_mm_s":      []float64{150},
		"gantry.travel_junction": "corner", "gantry.overtravel_margin_mm": []float64{0.5}, "gantry.zero": "by-hand",
		"gantry.beam_on_latency_us": []float64{0}, "gantry.beam_off_latency_us": []float64{0},
		"laser.spot_mm":        []float64{0.1, 0.1},
		"gcode.power_word_max": []float64{1000}, "gcode.power_mode": "steady",
	}, nothing(plate))
	pulsed := machine.Laser{RatedPowerW: 20, FrequencyKHz: &[2]float64{25, 80}}
	require.Equal(t, map[string]any{
		"galvo.jump_speed_mm_s": []float64{3000}, "galvo.jump_delay_us": []float64{250},
		"galvo.short_jump_delay_us": []float64{60},
		"galvo.short_jump_mm":       []float64{2}, "galvo.mark_delay_us": []float64{120},
		"galvo.corner_delay_us":   []float64{40},
		"galvo.laser_on_delay_us": []float64{100}, "galvo.laser_off_delay_us": []float64{120},
		"laser.spot_mm":  []float64{0.05, 0.05},
		"laser.pulse_ns": []float64{100}, "laser.max_pulse_energy_mj": []float64{0.8}, // 20 W at 25 kHz
	}, nothing(machine.Profile{Kind: machine.KindGalvo, Galvo: &machine.Galvo{}, Laser: pulsed}))
	require.NotContains(t, nothing(machine.Profile{Kind: machine.KindGalvo, Galvo: &machine.Galvo{}}), "laser.pulse_ns")
}

// What a fit is said to have told names a value of the machine, a day and a share.
func TestFitThatIsNone(t *testing.T) {
	p := machine.Examples()[0]
	p.Measured = []machine.Measured{{Key: "gantry.accel_mm_s2", Date: "2026-12-01", Percent: 2}}
	require.NoError(t, p.Validate())
	p.Measured = []machine.Measured{{Percent: 100}}
	var all machine.KeyErrors
	require.ErrorAs(t, p.Validate(), &all)
	require.Len(t, all, 3)
}

// A lag stands in for all delays, which are then none of the profile's.
func TestLagStandsInForGuesses(t *testing.T) {
	p := byhand.Fibre()
	g := machine.Galvo{FieldMM: p.Galvo.FieldMM, MaxSpeedMMPerS: 7000, TrackingLagUS: 90}
	p.Galvo = &g
	p = p.Complete(none)
	require.NoError(t, p.Validate())
	require.Equal(t, []string{"galvo.jump_speed_mm_s", "laser.spot_mm", "laser.pulse_ns",
		"laser.max_pulse_energy_mj"}, p.Guessed)
}

func TestEnds(t *testing.T) {
	p := machine.Examples()[0].Complete(func(key string) bool {
		return key != "gantry.accel_mm_s2" && key != "gantry.travel_junction"
	})
	slow, fast, ok := p.Ends()
	require.True(t, ok)
	require.Equal(t, [2]float64{500, 500}, slow.Gantry.AccelMMPerS2)
	require.Equal(t, [2]float64{3000, 3000}, fast.Gantry.AccelMMPerS2)
	require.Equal(t, p.Gantry.CornerErrorMM, slow.Gantry.CornerErrorMM)
	require.Equal(t, machine.JunctionRest, slow.Gantry.TravelJunction)

	junction := p.Complete(func(key string) bool { return key != "gantry.travel_junction" })
	slow, fast, ok = junction.Ends()
	require.True(t, ok)
	require.Equal(t, []string{"rest", "corner"}, []string{slow.Gantry.TravelJunction, fast.Gantry.TravelJunction})

	p = p.Complete(func(string) bool { return true })
	_, _, ok = p.Ends()
	require.False(t, ok, "nothing is known of a number that a person gave")
	p.Measured = []machine.Measured{{Key: "gantry.accel_mm_s2", Percent: 2}}
	slow, fast, ok = p.Ends()
	require.True(t, ok)
	require.InDelta(t, 980, slow.Gantry.AccelMMPerS2[0], 1e-9)
	require.InDelta(t, 1020, fast.Gantry.AccelMMPerS2[1], 1e-9)
	g := byhand.Fibre().Complete(func(string) bool { return true })
	g.Measured = []machine.Measured{{Key: "galvo.jump_delay_us", Percent: 10}}
	slow, fast, _ = g.Ends()
	require.InDelta(t, 275, slow.Galvo.JumpDelayUS, 1e-9)
	require.InDelta(t, 225, fast.Galvo.JumpDelayUS, 1e-9)
}
