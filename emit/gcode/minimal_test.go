package gcode_test

import (
	"strings"
	"testing"

	"furrow/emit/clock"
	"furrow/emit/gcode"
	"furrow/emit/gcode/minimal"

	"github.com/stretchr/testify/require"
)

// The second player agrees on what is marked, in files of every kind.
func TestTheSecondPlayerAgrees(t *testing.T) {
	for name, g := range variants() {
		p := example(0)
		p.GCode = &g
		m := plan(t, rows(), p)
		got, err := minimal.Play(encode(t, m, gcode.Encoder{Profile: g}))
		require.NoError(t, err, name)
		want, err := clock.Run(m, p)
		require.NoError(t, err)
		require.Equal(t, want.MarkMoves, got.Marks, name)
		require.InDelta(t, want.MarkMM, got.MarkMM, 1e-6, name)
	}
}

// What the second player refuses is what the rules about the beam are for.
func TestTheSecondPlayerSeesTheBeam(t *testing.T) {
	seen := 0
	for _, b := range broken {
		switch b.rule {
		case gcode.RuleTraverse, gcode.RuleStandstill, gcode.RuleArm, gcode.RuleAfterEnd:
		case gcode.RuleStart, gcode.RuleEnd:
			if strings.Contains(b.name, "S0") {
				continue // the line itself sets it
			}
		default:
			continue
		}
		if b.name == "no S" || b.name == "arming before M5" {
			continue // the line before has set it, or this one arms at S0
		}
		_, err := minimal.Play(sealed(strings.Replace(right, b.old, b.new, 1), "M2"))
		require.Error(t, err, "%s %s", b.rule, b.name)
		seen++
	}
	require.Greater(t, seen, 10)
	_, err := minimal.Play(sealed(right, "M2"))
	require.NoError(t, err)
}

// agrees holds a file that passes against the second player.
func agrees(t *testing.T, file string) {
	t.Helper()
	_, err := minimal.Play(file)
	require.NoError(t, err, "passed, and the beam is on where it must not be:\n%s", file)
}
