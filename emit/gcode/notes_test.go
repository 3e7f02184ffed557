package gcode_test

import (
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// What the file says before a part stands before its first move.
func TestNotes(t *testing.T) {
	p := machine.Examples()[0]
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.3}}}
	prog.Append(path.Stroke{Kind: path.LineStroke}, path.Point{X: 1, Y: 1}, path.Point{X: 2, Y: 1})
	m, err := emit.PlanPieces([]emit.Piece{
		{Program: prog, Place: path.Identity, Note: "part 1"}, {Program: prog, Place: path.Translate(10, 0),
			Note: "part 2"},
	}, p)
	require.NoError(t, err)
	var b strings.Builder
	require.NoError(t, gcode.Encoder{Profile: *p.GCode}.Encode(&b, m))
	require.Contains(t, b.String(), "(part 1)\nG0 X1 Y1\n")
	require.Contains(t, b.String(), "(part 2)\nG0 X11 S0\n")
	require.Equal(t, 1, strings.Count(b.String(), "M3"))
}
