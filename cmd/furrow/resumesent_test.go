package main

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/emit/gcode"

	"github.com/stretchr/testify/require"
)

// What may be marked behind a place counts arcs by their way: a half circle of 10 mm radius
// and a full one, which ends where it begins, are 30π mm.
func TestArcsBehindAPlaceCount(t *testing.T) {
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	g := *m.GCode
	g.Arcs, m.GCode = true, &g
	name := filepath.Join(t.TempDir(), "arcs.nc")
	require.NoError(t, os.WriteFile(name, []byte("G21\nG90\nG17\nG94\nM5 S0\nM3 S0\nG0 X10 Y10 S0\n"+
		"G1 X30 F6000 S400\nG3 X10 Y10 I-10 J0\nG3 X10 Y10 I10 J0\nS0\nM5\nM2\n"), 0o600))
	in, err := os.Open(name)
	require.NoError(t, err)
	defer in.Close()
	moves, err := gcode.Read(in, m.Controller())
	require.NoError(t, err)
	f := proof.File{Moves: moves, Machine: &m}
	most := func(sent, from int) *sentFile {
		s := &sentFile{Entry: journal.Entry{Sent: sent, Ended: true}}
		require.NoError(t, s.reckon(name, f, from))
		return s
	}
	require.InDelta(t, 30*math.Pi, most(10, 2).mostMM, 1e-9)
	require.InDelta(t, 20*math.Pi, most(10, 3).mostMM, 1e-9)
	require.True(t, most(10, 3).unsure())
	require.False(t, most(8, 2).unsure())
	var none *sentFile
	require.False(t, none.unsure())
}
