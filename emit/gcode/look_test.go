package gcode_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"
)

// What a controller would be asked to do is clear in each of these, whatever else
// is wrong with them.
func TestLookPassesOverWhatCanBeUnderstood(t *testing.T) {
	for name, text := range map[string]string{
		"no modes":          "M3\nG0 X1 Y1\nG1 X3 S500 F60\nM5\n",
		"no end, S in a G0": "G21 G90\nM4\nS500\nG0 X1 Y1\nG1 X3 F60\n",
		"F on its own":      "G1 F60\nM3 S500\nG0 X1 Y1\nG1 X3\nM5\nM2\n",
		"percent signs": "%\nN10 G20\nN20 M3 S500\nN30 G0 X0.03937008 Y0.03937008\n" +
			"N40 G1 X0.11811024 F2.362205\nM2\n%\n",
		"up and down, ended": "; made elsewhere\nG0 Z5\nG0 X1 Y1\nG1 Z0 F60\nM3 S500\nG1 X3\nM5\nM30\nG0 X9\n",
	} {
		_, err := gcode.Read(bytes.NewReader([]byte(text)), machine.GCode{})
		require.Error(t, err, "%s, strictly", name)
		m, err := gcode.Look(bytes.NewReader([]byte(text)), machine.GCode{})
		require.NoError(t, err, name)
		p, err := m.Program()
		require.NoError(t, err, name)
		require.Len(t, p.Strokes, 1, name)
		want := []path.Point{{X: 1, Y: 1}, {X: 3, Y: 1}}
		for i, at := range p.PointsOf(0) {
			require.InDelta(t, 0, at.Dist(want[i]), 1e-3, name)
		}
		require.InDelta(t, 1, p.Settings[0].SpeedMMPerS, 1e-3, name)
		require.InDelta(t, 0.5, p.Settings[0].Power, 1e-9, name)
	}
}

func TestLookRefusesWhatIsUncertain(t *testing.T) {
	for text, want := range map[string]string{
		"G91\nG1 X1 F60\n":            "line 1: G91",
		"G92 X0\n":                    "line 1: G92",
		"G0 X1\nG55\nX3\n":            "line 3: X0 Y0 is elsewhere",
		"G1 X1\n":                     "line 1: a move at feed with no F",
		"X1\n":                        "line 1: a move with no G0 or G1",
		"G2 X1 Y1 R1 F60\n":           "line 1: a R word",
		"G0 X1\nG2 X5 Y5 I1 J0 F60\n": "line 2: the arc begins",
		"G0 X1\nG2 X5 Y5 F60\n":       "line 2: an arc by its radius",
		"G0 X1\nsomething else\n":     "line 2",
		"G0 X1\nG80\nX2\n":            "line 3: a move with no G0 or G1",
		"G0 X1 A90\n":                 "line 1: a A word",
		"/G0 X1\n":                    "line 1: deleted lines",
		"M106\n":                      "line 1: M106 ",
	} {
		_, err := gcode.Look(bytes.NewReader([]byte(text)), machine.GCode{})
		var p *gcode.Problem
		require.ErrorAs(t, err, &p, "%q", text)
		require.Contains(t, err.Error(), want, "%q", text)
	}
}
