package ngc_test

import (
	"bytes"
	"strings"
	"testing"

	"furrow/emit/gcode/ngc"

	"github.com/stretchr/testify/require"
)

func validate(t *testing.T, text string) []*ngc.Error {
	t.Helper()
	errs, err := ngc.Validate(strings.NewReader(text), 100)
	require.NoError(t, err)
	return errs
}

// After Kramer's "Circle Diamond Square" (1994): numbered lines, mixed case,
// spaces inside words, arcs by radius, comments behind and between words.
const circleDiamondSquare = `%
N0010 g21 g17 G90 (millimetres) g94
n0020 T1 M6 (MSG, put the pen in)
N0030 S1000 m3
N0040 G0 X0. Y+2. Z.5
N0050 g1 z0 f 60
N0060 G2 X2 Y0 R2
N0070 X0 Y-2 R2 (circle)
N0080 g3 x-2 y0 i0 j2
N0090 G1 X0 Y2 (diamond) F120
N0100 X2Y0
/N0110 X0 Y-2
N0120 g0x +0. 12 34y 7

N0130 G4 P0.5 M8 M48
N0140 #500=3.25
N0150 G92 X1
N0160 G80
N0170 M5 M9
N0180 M2
anything here is ignored
`

func TestAcceptsAnExampleProgram(t *testing.T) {
	require.Empty(t, validate(t, circleDiamondSquare))
	require.Empty(t, validate(t, strings.ReplaceAll(circleDiamondSquare, "\n", "\r\n")))
	require.Empty(t, validate(t, "G21\nM67 E0 Q0.35\nG1 F600 X1 M67 E0 Q0\nM2\n"),
		"with an output in step with the motion")
}

// Section 3.3: spaces and case do not count.
func TestSpacesAndCase(t *testing.T) {
	var a, b ngc.Line
	require.NoError(t, a.Parse([]byte("g0x +0. 12 34y 7")))
	require.NoError(t, b.Parse([]byte("G0 X+0.1234 Y7")))
	require.Equal(t, b.Words, a.Words)
	require.Equal(t, []ngc.Word{{Letter: 'G'}, {Letter: 'X', Value: 0.1234}, {Letter: 'Y', Value: 7}}, a.Words)
}

// Each line breaks one rule of NISTIR 6556: grammar (Appendix E), modal groups
// (Table 4), words on a line (3.3, 3.4) or codes (3.5, 3.6).
func TestRejects(t *testing.T) {
	for _, tt := range []struct{ line, reason string }{
		{"G0 G1 X1", "modal group"}, {"M3 M5", "modal group"}, {"G20 G21", "modal group"}, {"G90 G91", "modal group"},
		{"X1 X2", "two X"}, {"F1 F2", "two F"}, {"G1 X1", "no feed"}, {"G1 F0 X1", "no feed"},
		{"(a(b))", "inside a comment"},
		{"(open", "does not close"}, {"N123456", "five digits"}, {"N000009", "five digits"}, {"N-1", "five digits"},
		{"G0 X1e3", "'E' without M67"}, {"G0 X--1", "no number"}, {"G0 X", "no number"}, {"G0 X.", "no number"},
		{"G0 X1.2.3", "'.'"},
		{"G0 U1", "'U'"}, {"G0 X1 N5", "'N'"}, {"%X", "'%'"}, {"G0 X1;y", "semicolon"}, {"G5", "no code"},
		{"G1.5 X1", "no code"},
		{"M100", "no code"}, {"M10", "no code"}, {"M3.5", "no code"}, {"G0", "no axis word"},
		{"G1 F100", "no axis word"},
		{"X1", "no active motion"}, {"G80 X1", "G80"}, {"G0 G92 X1", "G92"}, {"G4", "P word"}, {"G4 P-1", "negative"},
		{"F-1", "negative"}, {"S-1", "negative"}, {"M3 M7 M48 M6 M0", "more than four"}, {"G1 F100 G93 X1\nX2", "G93"},
		{"G2 F100 X1", "an arc needs"}, {"G2 F100 X1 I1 R1", "an arc needs"}, {"#0=1", "parameter"},
		{"#5400=1", "parameter"},
		{"M67 Q1", "needs an E word"}, {"M67 E1", "needs an E word"}, {"M67 E1.5 Q1", "no number of an output"},
		{"M67 E-1 Q1", "no number of an output"}, {"M67 E100 Q1", "no number of an output"},
		{"M67 M67 E1 Q1", "modal group"},
		{"#1 2", "no ="}, {"(caf\xc3\xa9)", "printable"}, {strings.Repeat(" ", 257), "257 characters"}, {"/ /", "'/'"},
	} {
		errs := validate(t, tt.line+"\nM2\n")
		require.Len(t, errs, 1, tt.line)
		require.Contains(t, errs[0].Reason, tt.reason, tt.line)
	}
}

func TestEndOfFile(t *testing.T) {
	require.Contains(t, validate(t, "G21\n")[0].Error(), "does not end")
	require.Contains(t, validate(t, "%\nG21\n")[0].Error(), "does not end")
	require.Empty(t, validate(t, "%\nG21\n%\n"))
	require.Empty(t, validate(t, "M30"))
}

// Numbers of any length are rounded correctly, as in strconv.
func TestLongNumbers(t *testing.T) {
	var l ngc.Line
	require.NoError(t, l.Parse([]byte("X-0.1234567890123456789 Y123456789012345678 Z0.10")))
	require.Equal(t, []ngc.Word{{'X', -0.1234567890123456789}, {'Y', 123456789012345678}, {'Z', 0.1}}, l.Words)
}

func FuzzValidate(f *testing.F) {
	f.Add([]byte(circleDiamondSquare))
	f.Add([]byte("G0 X1e3\nM2"))
	f.Fuzz(func(t *testing.T, b []byte) {
		errs, _ := ngc.Validate(bytes.NewReader(b), 10)
		require.LessOrEqual(t, len(errs), 10)
	})
}
