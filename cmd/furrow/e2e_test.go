package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// furrow runs the program in this process and wants it to succeed, with what it
// writes for a gantry being RS-274.
func furrow(t testing.TB, args ...string) (stdout string) {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(args, strings.NewReader(""), &out, &errs)
	require.Zero(t, code, "furrow %s: %s", strings.Join(args, " "), errs.String())
	judgeOutputs(t, args)
	return out.String()
}

func write(t testing.TB, name, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
	return file
}

// panel is 76.2 x 127 mm, which is 3 x 5 inches.
const panel = `<svg xmlns="http://www.w3.org/2000/svg" width="76.2mm" height="127mm" viewBox="0 0 762 1270">
<rect width="762" height="1270"/></svg>`

// 127 mm is 2,000 rows and 76.2 mm is 1,200 rows at 400 lines an inch, by
// arithmetic (1 in = 25.4 mm exactly); 304.8 m in both directions.
func TestPanelRows(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		flags  string
		rows   int
		length float64 // mm
	}{
		{"--angle 0", 2000, 152400},
		{"--angle 90", 1200, 152400},
		{"--cross", 3200, 304800},
		{"--cross --angle 180", 3200, 304800},
	} {
		in := write(t, "panel.svg", panel)
		out := filepath.Join(t.TempDir(), "panel.nc")
		text := furrow(t, append([]string{"hatch", in, "-o", out, "--json", "--machine", "example-co2",
			"--spacing", "400lpi", "--speed", "200", "--power", "30", "--effort", "quick"},
			strings.Fields(tt.flags)...)...)
		var got hatchFigures
		require.NoError(t, json.Unmarshal([]byte(text), &got))
		require.Equal(t, tt.rows, got.Rows, tt.flags)
		require.Equal(t, tt.rows, got.Spans, tt.flags)
		require.InDelta(t, tt.length, got.MarkMM, tt.length*1e-9, tt.flags)
	}
}

// A million segments are a lot for one path, and no reason to fail.
func TestMillionSegments(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="50mm" height="50mm" viewBox="0 0 1000 1000">
<path d="M0 0`)
	for i := range 1_000_000 {
		fmt.Fprintf(&b, "L%d %d", i/1000, (i*7919)%1000)
	}
	b.WriteString(`z"/></svg>`)
	in := write(t, "million.svg", b.String())
	out := filepath.Join(t.TempDir(), "million.mvl")
	furrow(t, "hatch", in, "-o", out, "--machine", "example-fibre", "--spacing", "1mm", "--speed", "1000", "--power",
		"50", "--frequency", "50kHz")
	furrow(t, "check", out)
}

// bars is artwork of n columns, each crossed by every row.
func bars(n int) string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">`)
	for i := range n {
		fmt.Fprintf(&b, `<rect x="%g" width="%g" height="100"/>`, float64(i)*100/float64(n), 60/float64(n))
	}
	b.WriteString("</svg>")
	return b.String()
}

// BenchmarkHatch goes from an SVG file to a written list: 100 bars, 1,000 rows,
// 100,000 spans, with a quick search.
func BenchmarkHatch(b *testing.B) { benchmarkHatch(b, "") }

// BenchmarkHatchWithHeat is the same with a line of how warm the blank gets.
func BenchmarkHatchWithHeat(b *testing.B) {
	benchmarkHatch(b, "thickness = 0.5\nmaterial = \"6061\"\n")
}

func benchmarkHatch(b *testing.B, blank string) {
	dir := b.TempDir()
	in, out := filepath.Join(dir, "bars.toml"), filepath.Join(dir, "bars.mvl")
	require.NoError(b, os.WriteFile(filepath.Join(dir, "bars.svg"), []byte(bars(100)), 0o600))
	require.NoError(b, os.WriteFile(in, []byte("furrow = 1\nartwork.file = \"bars.svg\"\n"+
		"[blank]\nwidth = 100\nheight = 100\n"+blank), 0o600))
	b.ReportAllocs()
	for b.Loop() {
		said := furrow(b, "hatch", in, "-o", out, "--force", "--machine", "example-fibre", "--effort", "quick",
			"--spacing", "0.1mm", "--speed", "1000", "--power", "50", "--frequency", "50kHz")
		require.Equal(b, blank != "", strings.Contains(said, "\nheat "))
	}
	b.ReportMetric(100_000*float64(b.N)/b.Elapsed().Seconds(), "spans/s")
}

// A page of 60 x 90 mm at 0.1 mm and 150 mm/s with 1,000 mm/s2 and a margin of
// 0.5 mm, by hand: 900 rows of 60/150 s, with 2·150/1000 s and 2·0.5/150 s of
// overtravel, and 899 steps of 2·√(0.1/1000) s from rest to rest.
func TestRowsByHand(t *testing.T) {
	dir := t.TempDir()
	profile := exampleGantry()
	profile.Gantry.AccelMMPerS2 = [2]float64{1000, 1000}
	profile.Gantry.BeamOnLatencyUS, profile.Gantry.BeamOffLatencyUS = 0, 0
	text, err := settings.ProfileTOML(profile)
	require.NoError(t, err)
	machine := filepath.Join(dir, "machine.toml")
	require.NoError(t, os.WriteFile(machine, text, 0o644))
	page := write(t, "page.svg", `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm" viewBox="0 0 `+
		`60 90">
<path d="M0 0H60V90H0z"/></svg>`)

	out := furrow(t, "hatch", page, "-o", filepath.Join(dir, "page.nc"), "--json", "--machine", machine,
		"--spacing", "0.1mm", "--speed", "150", "--power", "35")
	var got hatchFigures
	require.NoError(t, json.Unmarshal([]byte(out), &got))
	require.InDelta(t, 900*60.0/150, got.Time["mark_s"], 1e-6)
	require.InDelta(t, 900*(2*150.0/1000+2*0.5/150), got.Time["overtravel_s"], 1,
		"less a millisecond where the head rounds the turn")
	require.Zero(t, got.Time["turn_s"], "the step is part of the turn")
	require.InDelta(t, 636, got.Seconds, 1)
}

func exampleGantry() machine.Profile {
	p := machine.Examples()[0]
	g := *p.Gantry
	p.Gantry = &g
	return p
}
