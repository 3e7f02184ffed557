package main

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	codeplayer "furrow/emit/gcode/minimal"
	listplayer "furrow/emit/markvec/minimal"

	"github.com/stretchr/testify/require"
)

// Random jobs for gantries and galvos, with and without groups of their own fill: what
// hatch writes passes check, and players written from the rules alone never find the
// beam on where it must not be.
func TestRandomJobs(t *testing.T) {
	t.Parallel()
	n := uint64(12)
	if os.Getenv("FURROW_STRICT") == "1" {
		n = 150
	}
	for seed := range n {
		r := rand.New(rand.NewPCG(seed, 23))
		dir := t.TempDir()
		name, job := randomJob(t, r, dir)
		file := filepath.Join(dir, name)
		args := []string{"hatch", job, "-o", file, "--effort", "quick"}
		furrow(t, args...)
		furrow(t, "check", file)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		if strings.HasSuffix(name, ".nc") {
			_, err = codeplayer.Play(string(data))
			require.NoError(t, err, "seed %d", seed)
			continue
		}
		totals, err := listplayer.Play(string(data))
		require.NoError(t, err, "seed %d", seed)
		require.Zero(t, totals.Lit, "seed %d", seed)
	}
}

// randomJob writes artwork and a job of it, and returns how its file is to be called.
func randomJob(t *testing.T, r *rand.Rand, dir string) (name, job string) {
	t.Helper()
	var art, toml strings.Builder
	art.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="30mm" viewBox="0 0 40 30">`)
	for i := range 2 + r.IntN(4) {
		x, y := 30*r.Float64(), 20*r.Float64()
		if r.IntN(2) == 0 {
			fmt.Fprintf(&art, `<rect id="s%d" x="%.3f" y="%.3f" width="%.3f" height="%.3f"/>`, i, x, y,
				0.5+9*r.Float64(), 0.5+9*r.Float64())
		} else {
			fmt.Fprintf(&art, `<circle id="s%d" cx="%.3f" cy="%.3f" r="%.3f"/>`, i, 5+x, 5+y, 0.3+4*r.Float64())
		}
	}
	art.WriteString("</svg>\n")
	machines := []string{"example-co2", "example-diode", "example-fibre"}
	kind := r.IntN(len(machines))
	name, speed := "out.nc", 20+120*r.Float64()
	if kind == 2 {
		name, speed = "out.mvl", 300+5000*r.Float64()
	}
	fill := func(angle int) {
		fmt.Fprintf(&toml, "spacing = \"%.2fmm\"\nangle = %d\nspeed_mm_s = %.0f\npower_percent = %d\n",
			0.2+0.5*r.Float64(), angle, speed, 10+r.IntN(80))
		if kind == 2 {
			fmt.Fprintf(&toml, "frequency = \"%dkHz\"\n", 30+r.IntN(70))
		}
	}
	fmt.Fprintf(&toml, "furrow = 1\nmachine = %q\n[artwork]\nfile = \"art.svg\"\n[fill]\n", machines[kind])
	fill(r.IntN(180))
	fmt.Fprintf(&toml, "passes = %d\none_way = %t\noutline = %q\n", 1+r.IntN(2), r.IntN(2) == 0,
		[]string{"none", "before", "after"}[r.IntN(3)])
	if r.IntN(2) == 0 {
		toml.WriteString("[[group]]\npick = \"#s0\"\n")
		fill(r.IntN(180))
	}
	job = filepath.Join(dir, "job.toml")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "art.svg"), []byte(art.String()), 0o600))
	require.NoError(t, os.WriteFile(job, []byte(toml.String()), 0o600))
	return name, job
}
