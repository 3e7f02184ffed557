package gcode_test

import (
	"bytes"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/gcode/minimal"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// A dry file is the same but for its powers, line for line, and is whole.
func TestDry(t *testing.T) {
	for _, g := range []machine.GCode{
		{PowerWordMax: 1000, PowerMode: machine.PowerSteady},
		{PowerWordMax: 1000, PowerMode: machine.PowerSpeedFollowing, LineNumbers: true, CRLF: true,
			Comments: machine.CommentsSemicolon},
		{PowerWordMax: 1, PowerDecimals: 3, PowerMode: machine.PowerSteady, PowerWord: "M67 E0 Q"},
	} {
		file := dryable(t, g)
		dry, err := gcode.Dry(file, g)
		require.NoError(t, err)
		wet, lines := strings.Split(string(file), "\n"), strings.Split(string(dry), "\n")
		require.Len(t, lines, len(wet))
		changed := 0
		for i := range lines {
			if lines[i] != wet[i] {
				changed++
			}
		}
		require.Equal(t, 2+1, changed, "two powers and the closing comment")
		m, err := gcode.Read(bytes.NewReader(dry), g)
		require.NoError(t, err)
		require.True(t, m.Header.Whole)
		n := 0
		for mv, err := range m.All() {
			require.NoError(t, err)
			require.NotEqual(t, emit.Mark, mv.Kind)
			n++
		}
		require.Equal(t, 6, n)
		totals, err := minimal.Play(string(dry))
		require.NoError(t, err)
		require.Zero(t, totals.MarkMM)
	}
}

// dryable is a file of two marks of unlike power.
func dryable(t *testing.T, g machine.GCode) []byte {
	mark := func(x, power float64) emit.Move {
		mv := emit.Move{Kind: emit.Mark, Speed: 100, Power: power}
		mv.To.X = x
		return mv
	}
	gap := func(x float64) emit.Move {
		mv := emit.Move{Kind: emit.Gap, Speed: 100}
		mv.To.X = x
		return mv
	}
	moves := []emit.Move{{}, gap(1), mark(2, 0.5), gap(3), mark(4, 0.25), gap(5)}
	moves[0].To.X = -1
	var b bytes.Buffer
	m := emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for _, mv := range moves {
			if !yield(mv, nil) {
				return
			}
		}
	}}
	require.NoError(t, gcode.Encoder{Profile: g, Comments: []string{"note 1", "S350 in a comment, Q1"}}.Encode(&b, m))
	return b.Bytes()
}

// What a person has written by hand is made dry too, in whatever form a number has.
func TestDryForms(t *testing.T) {
	g := machine.GCode{}
	dry, err := gcode.Dry([]byte("G21 G17 G90 G94\nM5 S0\nM3 s0\n"+
		"G0 X0 Y0\ng1 x5 f600 s 5 0 0. (S500)\nX6 S+1.5Y2\nX7 S0\nM5 S0\nM2\n"), g)
	require.NoError(t, err)
	require.Contains(t, string(dry), "g1 x5 f600 s0 (S500)\nX6 S0Y2\n")
}
