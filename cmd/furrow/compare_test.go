package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// BenchmarkCompare is a comparison of five gantries on 200,000 spans, with
// reading, hatching and sequencing once a machine and once a variant of the two
// quickest.
func BenchmarkCompare(b *testing.B) {
	dir := b.TempDir()
	art := filepath.Join(dir, "stripes.svg")
	var svg bytes.Buffer
	svg.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="150mm" height="150mm" viewBox="0 0 150 150">`)
	for i := range 100 {
		svg.WriteString(`<rect x="` + words.Shortest(1.5*float64(i)) + `" width="0.7" height="150"/>`)
	}
	svg.WriteString(`</svg>`)
	require.NoError(b, os.WriteFile(art, svg.Bytes(), 0o644))
	var machines []string
	for _, accel := range []float64{700, 1000, 2000, 3000, 5000} {
		p := machine.Examples()[0]
		p.ID = "gantry-" + words.Shortest(accel)
		p.Gantry.AccelMMPerS2 = [2]float64{accel, accel}
		text, err := settings.ProfileTOML(p)
		require.NoError(b, err)
		machines = append(machines, filepath.Join(dir, p.ID+".toml"))
		require.NoError(b, os.WriteFile(machines[len(machines)-1], text, 0o644))
	}
	for b.Loop() {
		c := compareFlags{machines: machines}
		c.Fill.Speed, c.Fill.Power, c.Fill.Spacing = value.Given(value.Number(100)), value.Given(value.Number(30)),
			&value.Spacing{MM: 0.075}
		t, err := c.compare(&app{stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}}, art)
		require.NoError(b, err)
		require.Len(b, t.Machines, 5)
		require.Equal(b, 200_000, t.Machines[0].Work.Hatched.Spans)
	}
}
