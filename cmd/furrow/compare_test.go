package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// A recipe out of focus is judged by the wider spot.
func TestFocusOffsetWidensTheSpot(t *testing.T) {
	m, err := findMachine("example-fibre")
	require.NoError(t, err)
	sharp := build{machine: &m, resolved: []resolvedFill{{}}}
	soft := build{machine: &m, resolved: []resolvedFill{{spec: fillSpec{FocusOffset: given(lengthMM(3))}}}}
	require.Equal(t, m.Laser, sharp.laser(0))
	require.Greater(t, soft.laser(0).SpotMM[0], sharp.laser(0).SpotMM[0])
}

// BenchmarkCompare is a comparison of five gantries on 200,000 spans, with
// reading, hatching and sequencing once a machine and once a variant of the two
// quickest.
func BenchmarkCompare(b *testing.B) {
	dir := b.TempDir()
	art := filepath.Join(dir, "stripes.svg")
	var svg bytes.Buffer
	svg.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="150mm" viewBox="0 0 150 150">`)
	for i := range 100 {
		svg.WriteString(`<rect x="` + shortest(1.5*float64(i)) + `" width="0.7" height="150"/>`)
	}
	svg.WriteString(`</svg>`)
	require.NoError(b, os.WriteFile(art, svg.Bytes(), 0o644))
	var machines []string
	for _, accel := range []float64{700, 1000, 2000, 3000, 5000} {
		p := machine.Examples()[0]
		p.ID = "gantry-" + shortest(accel)
		p.Gantry.AccelMMPerS2 = [2]float64{accel, accel}
		text, err := profileTOML(p)
		require.NoError(b, err)
		machines = append(machines, filepath.Join(dir, p.ID+".toml"))
		require.NoError(b, os.WriteFile(machines[len(machines)-1], text, 0o644))
	}
	for b.Loop() {
		c := compareFlags{machines: machines}
		c.fill.Speed, c.fill.Power, c.fill.Spacing = given(number(100)), given(number(30)), &spacingMM{0.075}
		t, err := c.compare(&app{stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}}, art)
		require.NoError(b, err)
		require.Len(b, t.Machines, 5)
		require.Equal(b, 200_000, t.Machines[0].b.hatched.Spans)
	}
}
