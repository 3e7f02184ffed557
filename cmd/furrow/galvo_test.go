package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/figures"
	"furrow/emit/markvec/minimal"

	"github.com/stretchr/testify/require"
)

// The demo's list comes to the same counts, length and time, to the nanosecond,
// for the summary, for check and for a player that shares no code with them.
func TestDemoListPlayedIndependently(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	for _, name := range []string{"tag.svg", "tag-fibre.toml"} {
		data, err := demoFiles.ReadFile("demo/" + name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o644))
	}
	list := filepath.Join(dir, "tag.mvl")
	var hatched hatchFigures
	var checked figures.Figures
	require.NoError(t, json.Unmarshal([]byte(furrow(t, "hatch", filepath.Join(dir, "tag-fibre.toml"), "-o", list,
		"--json", "--effort", "quick")), &hatched))
	require.NoError(t, json.Unmarshal([]byte(furrow(t, "check", list, "--json")), &checked))
	require.Equal(t, checked, hatched.Figures)

	data, err := os.ReadFile(list)
	require.NoError(t, err)
	played, err := minimal.Play(string(data))
	require.NoError(t, err)
	require.Equal(t, played.Jumps, checked.Jumps)
	require.Equal(t, float64(played.Nanoseconds)/1e9, checked.Seconds)
	require.InDelta(t, played.MarkMM, checked.MarkMM, 1e-6)
	require.Greater(t, played.Marks, 10_000, "a list worth playing")
	sum := 0.0
	for _, part := range checked.Time {
		sum += part
	}
	require.InDelta(t, checked.Seconds, sum, 1e-12*float64(len(checked.Time)))
}
