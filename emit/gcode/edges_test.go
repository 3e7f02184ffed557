package gcode_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// An arc may end 0.002 mm from its circle, or 0.0002 in (NISTIR 6556, 3.5.3), in a picture
// 0.05 mm; here it begins 2.5 mm, or 0.1 in, from its centre.
func TestArcsMayMissTheirCircleByALittle(t *testing.T) {
	strict := func(text string) error {
		_, err := gcode.Read(strings.NewReader(text), machine.GCode{})
		return err
	}
	look := func(text string) error {
		_, err := gcode.Look(strings.NewReader(text), machine.GCode{})
		return err
	}
	file := func(unit, place, end, i string) string {
		return fmt.Sprintf("%s G17 G90 G94\nM5 S0\nG0 X%s Y0\nG2 X%s Y0 I%s J0 F60\nM5 S0\nM2\n", unit, place, end, i)
	}
	for _, tt := range []struct {
		text string
		read func(string) error
		ok   bool
	}{
		{file("G21", "5", "10.002", "2.5"), strict, true}, {file("G21", "5", "10.003", "2.5"), strict, false},
		{file("G21", "5", "9.998", "2.5"), strict, true}, {file("G21", "5", "9.997", "2.5"), strict, false},
		{file("G20", "0.2", "0.4002", "0.1"), strict, true}, {file("G20", "0.2", "0.4003", "0.1"), strict, false},
		{file("G21", "5", "10.049", "2.5"), look, true}, {file("G21", "5", "10.051", "2.5"), look, false},
		{file("G21", "5", "5", "0"), look, false}, {file("G21", "5", "7.5", "2.5"), look, false},
		// no radius at one end
	} {
		require.Equal(t, tt.ok, tt.read(tt.text) == nil, tt.text)
	}
}

// Air is the profile's own word, or one of its own lines; a number elsewhere in a line is
// none.
func TestAirOfOwnLines(t *testing.T) {
	const body = "G21 G17 G90 G94\nM5 S0\nG54\nM3 S0\nG0 X0 Y0\nG1 X5 F600 S9\nX6 S0\nM%d\nG0 Y1\nM9\nM5 S0\nM2\n"
	for _, tt := range []struct {
		start, end []string
		air        string
		m7, m8     bool
	}{
		{nil, nil, "", false, false}, {nil, nil, "M7", true, false}, {nil, nil, "M8", false, true},
		{[]string{"M7", "M9"}, nil, "", true, false}, {nil, []string{"G4 P1 M8", "M9"}, "", false, true},
		{[]string{"G54"}, []string{"G4 P8", "M9"}, "", false, false}, {[]string{"what is this"}, nil, "", false, false},
	} {
		g := machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, Air: tt.air, StartLines: tt.start,
			EndLines: tt.end}
		for m, ok := range map[int]bool{7: tt.m7, 8: tt.m8} {
			problems, err := gcode.Audit(strings.NewReader(fmt.Sprintf(body, m)), g, 9)
			require.NoError(t, err)
			require.Equal(t, ok, len(problems) == 0, "M%d %+v: %v", m, tt, problems)
		}
	}
}

// Stops are M0, M1 and M60, and each is a hold where the head is.
func TestStopsHold(t *testing.T) {
	for _, m := range []string{"M0", "M1", "M60"} {
		moves := collect(t, decode(t, "G21 G17 G90 G94\nM5 S0\nG0 X3 Y4\n"+m+"\nG0 X5\nM2\n", machine.GCode{}))
		require.Len(t, moves, 3)
		require.Equal(t, emit.Hold, moves[1].Kind)
		require.Equal(t, path.Point{X: 3, Y: 4}, moves[1].To)
	}
	_, err := gcode.Read(strings.NewReader("G21 G17 G90 G94\nM5 S0\nM61 Q1\nM2\n"), machine.GCode{})
	require.Error(t, err)
	// A dwell is whole microseconds.
	moves := collect(t, decode(t, "G21 G17 G90 G94\nM5 S0\nG0 X3 Y4\nG4 P0.0012345\nM2\n", machine.GCode{}))
	require.Equal(t, int64(1235), moves[1].WaitUS)
}

// The writer makes no wait but those of the profile's last lines, behind the work.
func TestWaitsAreTheProfiles(t *testing.T) {
	wait := emit.Move{Kind: emit.Wait, WaitUS: 5}
	to := func(x float64) emit.Move { return emit.Move{To: path.Point{X: x}} }
	for _, tt := range []struct {
		ends  []string
		moves []emit.Move
		want  string
	}{
		{nil, []emit.Move{to(1)}, ""},
		{nil, []emit.Move{to(1), wait}, "a wait or a stop that the profile's own lines do not make"},
		{[]string{"G4 P1"}, []emit.Move{to(1), wait}, ""},
		{[]string{"G4 P1"}, []emit.Move{to(1), wait, wait},
			"a wait or a stop that the profile's own lines do not make"},
		{[]string{"G4 P1"}, []emit.Move{to(1), wait, to(2)},
			"a wait or a stop inside the work, which the profile has no word for"},
		{[]string{"G4 P1"}, []emit.Move{to(1), wait, to(1)}, ""}, // which moves nothing
	} {
		g := machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, EndLines: tt.ends}
		m := emit.Moves{Play: func(yield func(emit.Move, error) bool) {
			for _, mv := range tt.moves {
				if !yield(mv, nil) {
					return
				}
			}
		}}
		var b bytes.Buffer
		err := gcode.Encoder{Profile: g}.Encode(&b, m)
		if tt.want == "" {
			require.NoError(t, err)
		} else {
			require.EqualError(t, err, tt.want)
		}
	}
}

// The line of each move, from the file's first on; none for a move that is not there.
func TestLinesOfMoves(t *testing.T) {
	const text = "G21 G17 G90 G94\nM5 S0\n\nG0 X1 Y1\nG0 X1\nG1 X2 F60\n(note)\nX3\nM5 S0\nM2\n"
	for move, line := range []int{4, 6, 8, 0} {
		require.Equal(t, line, gcode.LineOf(strings.NewReader(text), machine.GCode{}, move), "move %d", move)
	}
	require.Zero(t, gcode.LineOf(strings.NewReader(text), machine.GCode{}, -1))
}

// A blank line behind the end is nothing in a file that is not closed; text is.
func TestBehindTheEnd(t *testing.T) {
	const body = "G21 G17 G90 G94\nM5 S0\nG0 X3 Y4\nM2\n"
	mustKeep(t, body+"\n \t\n", unknown)
	problems, err := gcode.Audit(strings.NewReader(body+"\n(more)\n"), unknown, 9)
	require.NoError(t, err)
	require.Len(t, problems, 1)
	require.Equal(t, 6, problems[0].Line)
}

// On a controller that is not known any output may be the power, as long as it stays one.
func TestAnyOneOutput(t *testing.T) {
	const file = "G21 G17 G90 G94\nM5 S0\nM67 E3 Q0\n" +
		"M3 S0\nG0 X1 Y1\nG1 X2 F6000\nM67 E3 Q0.5\nX3\nM67 E3 Q0\nM5 S0\nM2\n"
	mustKeep(t, file, unknown)
	marks := 0
	for _, mv := range collect(t, decode(t, file, unknown)) {
		if mv.Kind == emit.Mark {
			marks++
		}
	}
	require.Equal(t, 1, marks)
}

// Comments fill lines of 70 characters: in parentheses 68 words' letters, of which two are
// left for what stands before a word that RS-274 would show.
func TestCommentsAreWrapped(t *testing.T) {
	for _, tt := range []struct {
		text string
		want []string
	}{
		{strings.Repeat("a", 66), []string{strings.Repeat("a", 66)}},
		{strings.Repeat("a", 67), []string{strings.Repeat("a", 66), "a"}},
		{strings.Repeat("a", 60) + " bbbbb", []string{strings.Repeat("a", 60) + " bbbbb"}},
		{strings.Repeat("a", 60) + " bbbbbb", []string{strings.Repeat("a", 60), "bbbbbb"}},
		{"MSG" + strings.Repeat("a", 63), []string{"- MSG" + strings.Repeat("a", 63)}},
		{"a " + strings.Repeat("b", 70), []string{"a", strings.Repeat("b", 66), "bbbb"}},
	} {
		file := encode(t, emit.Moves{Play: func(yield func(emit.Move,
			error) bool) {
			yield(emit.Move{To: path.Point{X: 1}}, nil)
		}},
			gcode.Encoder{Profile: machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady},
				Comments: []string{tt.text}})
		var got []string
		for line := range strings.Lines(file) {
			require.LessOrEqual(t, len(line), 71)
			if line[0] == '(' && !strings.HasPrefix(line, "(whole") {
				got = append(got, strings.Trim(line, "()\n"))
			}
		}
		require.Equal(t, tt.want, got, tt.text)
	}
}
