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
		require.Len(t, bare.Assumed(), len(machine.Guesses(p.Kind)), p.ID)
		require.Equal(t, p.Hash(), all.Hash(), "what is assumed changes no file")
		require.NotEqual(t, p.Hash(), bare.Hash(), "the example itself is not changed")
	}
	co2 := machine.Examples()[0].Complete(none)
	require.Equal(t, [2]float64{1000, 1000}, co2.Gantry.AccelMMPerS2)
	require.Equal(t, 300.0, co2.Gantry.RapidMMPerS, "the slower axis' speed")
	require.Equal(t, 1500.0, machine.Examples()[0].Gantry.AccelMMPerS2[1])
}

// A lag stands in for all delays, which are then none of the profile's.
func TestLagStandsInForGuesses(t *testing.T) {
	p := byhand.Fibre()
	g := machine.Galvo{FieldMM: p.Galvo.FieldMM, MaxSpeedMMPerS: 7000, TrackingLagUS: 90}
	p.Galvo = &g
	p = p.Complete(none)
	require.NoError(t, p.Validate())
	require.Equal(t, []string{"galvo.jump_speed_mm_s", "laser.spot_mm"}, p.Guessed)
}

func TestEnds(t *testing.T) {
	p := machine.Examples()[0].Complete(func(key string) bool { return key != "gantry.accel_mm_s2" })
	slow, fast, ok := p.Ends()
	require.True(t, ok)
	require.Equal(t, [2]float64{500, 500}, slow.Gantry.AccelMMPerS2)
	require.Equal(t, [2]float64{3000, 3000}, fast.Gantry.AccelMMPerS2)
	require.Equal(t, p.Gantry.CornerErrorMM, slow.Gantry.CornerErrorMM)
	require.Equal(t, machine.JunctionRest, slow.Gantry.TravelJunction)

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
