package main

import (
	"bytes"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// What is typed wrong is asked for again, what flags said is not asked for, and an empty
// answer will do where the plate may say nothing.
func TestPlateIsAskedFor(t *testing.T) {
	nm := value.Wavelength(1064)
	p := plate{nm: &nm}
	var shown bytes.Buffer
	require.NoError(t, p.ask(strings.NewReader("laser\ngalvo\n110,110\ntwenty\n20\n5000\n20,80,100\n"), &shown))
	require.Contains(t, shown.String(), `"laser" is neither gantry nor galvo`)
	require.Contains(t, shown.String(), `"twenty" is not a number`)
	require.NotContains(t, shown.String(), "wavelength")
	m, err := p.profile()
	require.NoError(t, err)
	require.NoError(t, m.Validate())
	require.Equal(t, [2]float64{110, 110}, m.Galvo.FieldMM)
	require.Equal(t, machine.Laser{
		WavelengthNM: 1064, RatedPowerW: 20, SpotMM: m.Laser.SpotMM, FrequencyKHz: &[2]float64{20, 80}, PulseNS: 100,
		MaxPulseEnergyMJ: 1, // by hand: 20 W at 20 kHz
	}, m.Laser)

	p = plate{}
	require.NoError(t, p.ask(strings.NewReader("gantry\n600,400\n40\n10600\n300"), &shown))
	m, err = p.profile()
	require.NoError(t, err)
	require.Equal(t, [2]float64{600, 400}, m.Gantry.BedMM)
	require.Zero(t, m.Controller().LinkBytesPerS)
	require.False(t, m.Laser.Pulsed())

	p = plate{}
	require.NoError(t, p.ask(strings.NewReader("galvo\n110,110\n30\n10600\n3000\n\n"), &shown))
	require.Nil(t, p.pulses)
	p = plate{}
	require.ErrorContains(t, p.ask(strings.NewReader("gantry\n600,400\n"), &shown), "not told")
}
