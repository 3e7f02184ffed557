package gcode_test

import (
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/gcode/minimal"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// byOutput is an example whose power is an output in step with the motion.
func byOutput() machine.Profile {
	p := example(0)
	p.GCode = &machine.GCode{PowerWord: "M67 E0 Q", PowerWordMax: 1, PowerDecimals: 3, PowerMode: machine.PowerSteady}
	return p
}

// What is written with the power as an output reads back as the same moves, with S at 0
// throughout and the output at 0 before the beam is armed and behind the last mark.
func TestPowerByOutputComesBack(t *testing.T) {
	p := byOutput()
	require.NoError(t, p.Validate())
	m := plan(t, rows(), p)
	text := encode(t, m, gcode.Encoder{Profile: *p.GCode})
	conforms(t, text, *p.GCode)
	require.Contains(t, text, "M5 S0\nM67 E0 Q0\nM3 S0\n")
	require.Contains(t, text, "M67 E0 Q0\nM5 S0\n")
	require.NotRegexp(t, `S[1-9]`, text)
	sameMoves(t, collect(t, m), collect(t, decode(t, text, *p.GCode)))
	marks := 0
	for _, mv := range collect(t, decode(t, text, *p.GCode)) {
		if mv.Kind == emit.Mark {
			marks++
		}
	}
	require.Positive(t, marks)
}

// The rules of power hold for the output as they do for S.
func TestPowerByOutputIsJudged(t *testing.T) {
	const head, tail = "G21 G17 G90 G94\nM5 S0\nM67 E0 Q0\nM3 S0\nG0 X1 Y1\nG1 X2 F6000\n", "M67 E0 Q0\nM5 S0\nM2\n"
	for lines, problem := range map[string]string{
		"M67 E0 Q0.5\nX3\n":         "",
		"M67 E0 Q0.5\nG0 X3\n":      "in a G0",
		"M67 E0 Q1.5\nX3\n":         "more than 1",
		"M67 E1 Q0.5\nX3\n":         "does not name it",
		"M67 E0 Q-1\nX3\n":          "below 0",
		"X3 S500\n":                 "the power is M67 E0 Q",
		"M67 E0 Q0.5\nX3\nG4 P1\n":  "burns in one place",
		"Q0.5 X3\n":                 "Q word",
		"M67 E0 Q0.5\nM3 S0\nX3\n":  "standstill",
		"M67 E0 Q0.5\nX3\nM5\nM2\n": "the program ends with",
	} {
		text := head + lines + tail
		var problems []string
		for _, e := range audited(t, text, *byOutput().GCode) {
			problems = append(problems, e.Error())
		}
		if problem == "" {
			require.Empty(t, problems, lines)
			continue
		}
		require.NotEmpty(t, problems, lines)
		require.Contains(t, problems[0], problem, lines)
	}
	early := strings.Replace(head, "M67 E0 Q0\n", "", 1) + "M67 E0 Q0.5\nX3\n" + tail
	require.Contains(t, audited(t, early, *byOutput().GCode)[0].Error(), "has not set both M5 and M67 E0 Q0",
		"S0 says nothing of the output")
	require.NotEmpty(t, audited(t, head+"M67 E0 Q0.5\nX3\n"+tail, machine.GCode{PowerWordMax: 1000,
		PowerMode: machine.PowerSteady}),
		"a controller whose power is S")
}

// On a controller that is not known a power in S and one in an output, or in two of them,
// would hide each other.
func TestOnlyOnePower(t *testing.T) {
	const head, tail = "G21 G17 G90 G94\nM5 S0\nM67 E0 Q0\nM3 S0\nG0 X1 Y1\nG1 X2 F6000\n", "M5 S0\nM2\n"
	for _, text := range []string{
		head + "M67 E0 Q0.5\nX3\nM67 E1 Q0\nG0 X4\n" + tail,
		strings.Replace(head, "M67 E0 Q0\n", "", 1) + "X3 S500\nM67 E0 Q0\nG0 X4\n" + tail,
		strings.Replace(head, "M67 E0 Q0\n", "", 1) + "X3 S1\nM67 E0 Q0\nG0 X4\n" + tail,
		strings.Replace(head, "M67 E0 Q0\n", "", 1) + "X3 S0.5\nM67 E0 Q0\nG0 X4\n" + tail,
	} {
		found := audited(t, text, machine.GCode{})
		require.NotEmpty(t, found, text)
		require.Contains(t, found[0].Message, "two powers")
		_, err := minimal.Play(text)
		require.Error(t, err, "the second player")
	}
}

func audited(t *testing.T, text string, controller machine.GCode) []*gcode.Problem {
	t.Helper()
	problems, err := gcode.Audit(strings.NewReader(text), controller, 9)
	require.NoError(t, err)
	return problems
}
