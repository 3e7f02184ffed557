package gcode_test

import (
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// What each line does, by hand: where it ends, how many moves there are by then, whether
// the beam is off behind it, and whether it waits for the operator.
func TestLinesByHand(t *testing.T) {
	file := []struct {
		text  string
		moves int
		dark  bool
		waits bool
	}{
		{"G21 G17 G90 G94\r\n", 0, true, false}, {"M5 S0\n", 0, true, false}, {"\n", 0, true, false},
		{"M3 S0\n", 0, true, false}, {"G0 X1 Y1\n", 1, true, false}, {"G1 X2 F60\n", 2, true, false},
		{"X3 S500\n", 3, false, false}, {"(on)\n", 3, false, false}, {"X4 S0.5\n", 4, false, false},
		{"S0\n", 4, true, false}, {"M0\n", 5, true, true}, {"G4 P1\n", 6, true, false}, {"X5 S500\n", 7, false, false},
		{"X6\n", 8, false, false}, {"M5 S0\n", 8, true, false}, {"M2", 8, true, false},
	}
	var text, got strings.Builder
	var want string
	for _, l := range file {
		text.WriteString(l.text)
		want += fmt.Sprintln(text.Len(), l.moves, l.dark, l.waits)
	}
	require.NoError(t, gcode.Lines(strings.NewReader(text.String()), unknown, func(l gcode.Line) {
		fmt.Fprintln(&got, l.End, l.Moves, l.Dark, l.Waits)
	}))
	require.Equal(t, want, got.String())
	var every, moves []int
	for i, l := range file {
		n, err := gcode.MovesWithin(strings.NewReader(text.String()), unknown, i+1)
		require.NoError(t, err)
		require.Equal(t, []int{l.moves}, n, "line %d: %s", i+1, l.text)
		every, moves = append(every, i+1, i+1), append(moves, l.moves, l.moves)
	}
	n, err := gcode.MovesWithin(strings.NewReader(text.String()), unknown, append(every, 100)...)
	require.NoError(t, err)
	require.Equal(t, append(moves, 8), n)
	require.ErrorContains(t, gcode.Lines(strings.NewReader("G21\nG91\n"), unknown, func(gcode.Line) {}), "line 2: G91")
}

// failing is a file that cannot be read to its end.
type failing struct{ io.ReaderAt }

var errDisk = errors.New("the disk is gone")

func (f failing) ReadAt(p []byte, at int64) (int, error) {
	n, err := f.ReaderAt.ReadAt(p, at)
	if err == io.EOF {
		err = errDisk
	}
	return n, err
}

// An error of the disk is told, and is no end of the file.
func TestErrorsOfReading(t *testing.T) {
	file := failing{strings.NewReader(sealed(right, "M2"))}
	_, err := gcode.Read(file, plain)
	require.ErrorIs(t, err, errDisk)
	_, err = gcode.Audit(io.NewSectionReader(file, 0, 1<<30), plain, 9)
	require.ErrorIs(t, err, errDisk)
	require.ErrorIs(t, gcode.Lines(file, plain, func(gcode.Line) {}), errDisk)
	_, err = gcode.MovesWithin(file, plain, 3)
	require.ErrorIs(t, err, errDisk)
}

// Whoever has seen enough of the moves stops.
func TestMovesMayBeLeftOff(t *testing.T) {
	m := decode(t, sealed(right, "M2"), plain)
	for n := range len(collect(t, m)) {
		seen := 0
		for range m.All() {
			if seen++; seen > n {
				break
			}
		}
		require.Equal(t, n+1, seen)
	}
}

// Settings are the combinations of feed, power and air, as they come; a move between marks
// has that of the last mark, and none begins with another than the first.
func TestSettingsOfAFile(t *testing.T) {
	m := decode(t, "G21 G17 G90 G94\nM5 S0\nM3 S0\n"+
		"G0 X0 Y0\nG1 X1 F600\nX2 S500\nX3 S250\nX4 S0\nM8\nX5 S250\nM9\nX6\n"+
		"X7 S500\nX8 S0\nX9 F1200 S500\nX10 S0\nG0 X11\nM5 S0\nM2\n", unknown)
	var settings []path.Setting
	for _, s := range m.Settings {
		settings = append(settings, path.Setting{SpeedMMPerS: s.SpeedMMPerS, Power: s.Power, Air: s.Air})
	}
	require.Equal(t, []path.Setting{
		{SpeedMMPerS: 10, Power: 0.5}, {SpeedMMPerS: 10, Power: 0.25}, {SpeedMMPerS: 10, Power: 0.25, Air: true},
		{SpeedMMPerS: 20, Power: 0.5},
	}, settings)
	var of []int
	for _, mv := range collect(t, m) {
		of = append(of, int(mv.Setting))
	}
	require.Equal(t, []int{0, 0, 1, 1, 2, 1, 0, 0, 3, 3, 0}, of)
	require.Equal(t, "10 mm/s, 25 percent", m.Settings[1].Name)
}

// What the comments say of the maker, by hand: the first of each counts, in its form alone,
// before the first move.
func TestWhatCommentsSay(t *testing.T) {
	const body = "G21 G17 G90 G94\nM5 S0\n%sG0 X0 Y0\n%sM2\n"
	for _, c := range []struct {
		before, behind string
		want           emit.Header
		maker          bool // the closing comment is missed
	}{
		{"(profile shop 01ab)\n", "", emit.Header{Profile: "shop", Hash: "01ab"}, true},
		{";profile shop 01ab\n(profile other 02cd)\n", "", emit.Header{Profile: "shop", Hash: "01ab"}, true},
		{"; profile shop 01ab\n(profile other 02cd)\n", "", emit.Header{Profile: "shop", Hash: "01ab"}, true},
		{"(furrow 1.2)\n(furrow 1.3)\n", "", emit.Header{Program: "furrow 1.2"}, true},
		{"", "(profile shop 01ab)\n; furrow 1.2\n", emit.Header{}, false},
		{"(profile shop 01ag)\n(profile shop)\n(profile a 01ab more)\n(a 01ab)\n(the profile shop 01ab)\n",
			"", emit.Header{},
			false},
		{"(90 s)\n(2m)\n", "", emit.Header{}, false}, {"(time 90.5 s)\n(time 3 s)\n", "",
			emit.Header{Time: 90500 * time.Millisecond}, false},
	} {
		file := fmt.Sprintf(body, c.before, c.behind)
		problems, err := gcode.Audit(strings.NewReader(file), unknown, 9)
		require.NoError(t, err)
		require.Equal(t, c.maker, len(problems) == 1, "%s %v", file, problems)
		if c.maker {
			require.Equal(t, gcode.RuleMaker, problems[0].Rule)
			continue
		}
		require.Equal(t, c.want, decode(t, file, unknown).Header)
	}
	for unit, inch := range map[string]bool{"G20": true, "G21": false} {
		require.Equal(t, inch, decode(t, strings.Replace(fmt.Sprintf(body, "", ""), "G21", unit, 1),
			unknown).Header.Inch)
	}
}

// Of an arc one of the words of its centre may be left out, and is 0 then.
func TestArcsOfOneWord(t *testing.T) {
	const file = "G21 G17 G90 G94\nM5 S0\nG0 X5 Y5\nG%d X%g Y%g %s2 F60\nM5 S0\nM2\n"
	for _, c := range []struct {
		x, y   float64
		word   string
		centre path.Point
	}{{9, 5, "I", path.Point{X: 7, Y: 5}}, {5, 9, "J", path.Point{X: 5, Y: 7}}} {
		for code, turn := range map[int]emit.Turn{2: emit.Clockwise, 3: emit.CounterClockwise} {
			mv := collect(t, decode(t, fmt.Sprintf(file, code, c.x, c.y, c.word), unknown))[1]
			require.Equal(t, c.centre, mv.Centre)
			require.Equal(t, turn, mv.Turn)
		}
	}
}

// The centre of an arc lies on the grid of its file's unit: here 0.20001 in.
func TestArcsInInches(t *testing.T) {
	file := "G20 G17 G90 G94\nM5 S0\nG0 X0.1 Y0.2\nG3 X0.30002 Y0.2 I0.10001 J0 F60\nM5 S0\nM2\n"
	mv := collect(t, decode(t, file, unknown))[1]
	require.InDelta(t, 0.20001*25.4, mv.Centre.X, 1e-9)
	require.InDelta(t, 0.2*25.4, mv.Centre.Y, 1e-9)
}

// That a file has not set M5 and S0 is told once, where it is too late.
func TestWhatIsToldOnce(t *testing.T) {
	problems, err := gcode.Audit(strings.NewReader("G21 G17 G90 G94\nG0 X0 Y0\nG0 X1\nG4 P1\nG0 X2\nM2\n"), unknown, 9)
	require.NoError(t, err)
	require.Len(t, problems, 1, "%v", problems)
	require.Equal(t, []any{gcode.RuleStart, 2, 0}, []any{problems[0].Rule, problems[0].Line, problems[0].More})
	require.EqualError(t, &gcode.Problem{Line: 3, More: 1, Message: "no"}, "line 3 and 1 more: no")
	require.EqualError(t, &gcode.Problem{Message: "no"}, "no")
}

// Behind its closing comment a file has the end word and nothing else, though it begins with it.
func TestBehindTheClosingComment(t *testing.T) {
	for _, body := range []string{"", right} {
		for behind, lines := range map[string]int{"M2": 0, "M8\nM2": 2, "G91\nM2": 2, "M2\n": 1, "M8": 1} {
			problems, err := gcode.Audit(strings.NewReader(sealed(body, behind)), unknown, 9)
			require.NoError(t, err)
			n := 0
			for _, p := range problems {
				require.NotEqual(t, gcode.RuleVocabulary, p.Rule, "what stands there is not read")
				if p.Rule == gcode.RuleWhole && strings.Contains(p.Message, "behind the closing") ||
					p.Rule == gcode.RuleAfterEnd {
					n++
				}
			}
			require.Equal(t, lines, n, "%q: %v", behind, problems)
		}
	}
}

// No place is at -0, which would be written otherwise than 0.
func TestNoNegativeZero(t *testing.T) {
	for _, mv := range collect(t, decode(t, "G21 G17 G90 G94\nM5 S0\nG0 X-0 Y1\nG0 X3 Y-0.0\nM2\n", unknown)) {
		require.False(t, math.Signbit(mv.To.X) || math.Signbit(mv.To.Y), "%v", mv.To)
	}
}

// A power below 1 burns too: of S0.5 as of any other is told.
func TestSmallPowersBurn(t *testing.T) {
	for _, b := range []breach{
		{gcode.RuleTraverse, "", "G0 Y1", "G0 Y1 S0.5", 12, "S is 0.5 in a G0", plain},
		{gcode.RuleUnarmed, "", "M3 S0\nG0 X0 Y0\nG1 X5 F600\nX10 S500", "G0 X0 Y0\nG1 X5 F600 S0.5\nX10", 7,
			"S0.5 while", plain},
		{gcode.RuleStandstill, "", "M8\n", "S0.5\nS0\n", 11, "moves nothing", plain},
		{gcode.RuleStandstill, "", "X15 S0", "G1 X10.5 S0.5\nG4 P1\nX15 S0", 11, "a dwell with S0.5", plain},
		{gcode.RuleArm, "", "M3 S0", "M3 S0.5", 6, "M3 while S is 0.5", plain},
		{gcode.RuleEnd, "", "M9\nM5 S0\n", "M9\nG1 X1 S0.5\nM5\n", -1, "ends with S0.5", plain},
		{gcode.RulePower, "", "S500", "S1000.5", 9, "S1000.5 is more than 1000", plain},
	} {
		require.Equal(t, 1, strings.Count(right, b.old), b.old)
		mustBreak(t, sealed(strings.Replace(right, b.old, b.new, 1), "M2"), b.controller, b.rule, b.line, b.message)
	}
}

// Problems that differ by their numbers alone are one kind, of which the first is told and
// how many more there are; of a line that is no use nothing else is told.
func TestKindsOfProblems(t *testing.T) {
	more := ""
	for _, s := range []string{"1", "23", "45.6", "7", "89", "0.5", "9"} {
		more += "G0 X" + s + " S" + s + "\n"
	}
	file := "G21 G17 G90 G94\nM5 S0\nG0 X0 Y0\n" + more + "G91 S2000\nS0\nM5\nM2\n"
	problems, err := gcode.Audit(strings.NewReader(file), unknown, 9)
	require.NoError(t, err)
	require.Len(t, problems, 2, "%v", problems)
	require.Equal(t, []any{4, 6}, []any{problems[0].Line, problems[0].More})
	require.Equal(t, "line 4 and 6 more: S is 1 in a G0: RS-274 leaves the beam as it is in a traverse",
		problems[0].Error())
	require.Equal(t, []any{11, 0}, []any{problems[1].Line, problems[1].More})
	problems, err = gcode.Audit(strings.NewReader(file), unknown, 1)
	require.NoError(t, err)
	require.Len(t, problems, 1)
}

// Of all codes that a number can be, a line of one's own may have these (RS274/NGC, tables 5
// and 7): dwell, no compensation, work offsets, path control, no canned cycle; stops, beam and
// air off, air on, overrides.
func TestCodesOfOwnLines(t *testing.T) {
	fine := []string{"G40", "G49", "G80", "G61", "G61.1", "G64"}
	offsets := []string{"G54", "G55", "G56", "G57", "G58", "G59", "G59.1", "G59.2", "G59.3"}
	for n := range 1000 {
		code := fmt.Sprintf("G%g", float64(n)/10)
		require.Equal(t, slices.Contains(append(offsets, fine...), code),
			gcode.CheckLines([]string{code}, nil) == nil, code)
		require.Equal(t, slices.Contains(fine, code), gcode.CheckLines(nil, []string{code}) == nil, code)
	}
	require.NoError(t, gcode.CheckLines([]string{"G57", "G57"}, []string{"G57", "G4 P1"}))
	require.Error(t, gcode.CheckLines([]string{"G57"}, []string{"G56"}))
	require.Error(t, gcode.CheckLines([]string{"G57", "G56"}, nil))
	require.Error(t, gcode.CheckLines([]string{"G4 P1"}, nil))
	for n := range 100 {
		code := fmt.Sprintf("M%d", n)
		for word, ok := range map[string][]int{code: {0, 1, 5, 9, 48}, code + "\nM9": {0, 1, 5, 7, 8, 9, 48}} {
			require.Equal(t, slices.Contains(ok, n), gcode.CheckLines(nil, strings.Split(word, "\n")) == nil, word)
		}
	}
	require.NoError(t, gcode.CheckLines(nil, []string{"(" + strings.Repeat("a", 61) + ")"}), "63 characters")
	require.Error(t, gcode.CheckLines(nil, []string{"(" + strings.Repeat("a", 62) + ")"}))
}

// A reader passes over the same codes, and over no others that move nothing.
func TestCodesThatAreReadOver(t *testing.T) {
	over := strings.Fields("G0 G1 G2 G3 G4 G20 G21 G90 G94 G17 G80 G40 G49 G61 G61.1 G64 G54 G55 G56 G57 G58 G59 " +
		"G59.1 " +
		"G59.2 G59.3")
	for n := range 1000 {
		code := fmt.Sprintf("G%g", float64(n)/10)
		known := slices.Contains(over, code)
		_, err := gcode.Look(strings.NewReader(code+"\n"), unknown)
		require.Equal(t, known, err == nil, "%s %v", code, err)
	}
}
