package gcode_test

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/edits"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// language has one word of each kind that the grammar has, and more of those that matter
// to a beam.
var language = edits.Language{
	Word: regexp.MustCompile(`[A-Z][-+]?[0-9.]+`),
	Vocabulary: strings.Fields(`G0 G1 G2 G3 G4 G10 G17 G18 G20 G21 G28 G38.2 G40 G41 G43 G49 G53 G54 G55 G59.3 G61 ` +
		`G64 G80
	G81 G90 G91 G92 G93 G94 G98 M0 M1 M2 M3 M4 M5 M6 M7 M8 M9 M30 M48 M49 M60 M67 E0 E1 Q0 Q0.5 A1 B1 C1 D1 F0 F77 ` +
		`H1 I1 J1 K1
	L1 N7 P1 Q1 R1 S0 S7 S255 S1001 T1 X0 X3 Y0 Y3 Z1`),
}

// mutated are the files to edit: of each kind a small one, and its controller.
func mutated(t *testing.T) map[string]struct {
	file       string
	controller machine.GCode
} {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.35},
		{SpeedMMPerS: 50, Power: 0.2, Air: true}}}
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: 1, Y: 1}, path.Point{X: 7, Y: 1})
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: 9, Y: 1}, path.Point{X: 12, Y: 1})
	prog.Append(path.Stroke{Sweep: 2}, path.Point{X: 12, Y: 2}, path.Point{X: 1, Y: 2})
	prog.Append(path.Stroke{Kind: path.LineStroke, Setting: 1}, path.Point{}, path.Point{X: 13},
		path.Point{X: 13, Y: 3}, path.Point{})
	files := map[string]struct {
		file       string
		controller machine.GCode
	}{}
	for name, g := range map[string]machine.GCode{
		"steady": {PowerWordMax: 1000, PowerMode: machine.PowerSteady},
		"follows": {PowerWordMax: 255, PowerDecimals: 1, PowerMode: machine.PowerSpeedFollowing, Air: "M8",
			Comments: machine.CommentsSemicolon},
		"inch": {PowerWordMax: 1000, PowerMode: machine.PowerSteady, Inch: true, LineNumbers: true,
			RepeatWords: true, Blend: true,
			End: "M30", StartLines: []string{"G54", "M48"}, EndLines: []string{"G4 P1", "M0"}},
		"output": {PowerWord: "M67 E0 Q", PowerWordMax: 1, PowerDecimals: 3, PowerMode: machine.PowerSteady},
		"bare":   {PowerWordMax: 1000, PowerMode: machine.PowerSteady, Comments: machine.CommentsNone},
	} {
		p := example(0)
		p.GCode = &g
		files[name] = struct {
			file       string
			controller machine.GCode
		}{encode(t, plan(t, prog, p), gcode.Encoder{Profile: g, Comments: []string{"furrow 0.1.0"}}), g}
	}
	return files
}

// A file with its closing comment is refused whatever is changed in it. The list of
// what passes is short: a line number behind the closing comment means nothing.
func TestNoEditOfAWholeFilePasses(t *testing.T) {
	for name, f := range mutated(t) {
		if name == "bare" {
			continue // has no closing comment
		}
		n := 0
		for edit, file := range language.Of(f.file) {
			n++
			if n%7 != 0 && testing.Short() {
				continue
			}
			problems, err := gcode.Audit(strings.NewReader(file), f.controller, 1)
			require.NoError(t, err)
			last := strings.LastIndex(strings.TrimSuffix(file, "\n"), "\n") + 1
			harmless := strings.Contains(file[last:], "M30") && strings.HasPrefix(f.file, file[:last])
			require.True(t, len(problems) > 0 || harmless && name == "inch", "%s: %s passes", name, edit)
		}
		require.Greater(t, n, 1000)
	}
}

// Harmless kinds of edit: what a file that passes may do that the one before the edit
// did not, where the check sum was made anew behind the edit or there is none. In all of
// them the second player finds the beam on in moves at feed alone.
const (
	unchanged  = "the same moves: a comment, a line number, a word that holds already"
	otherPlace = "another place: whoever closed the file anew alone knows which one was meant; the bed is checked " +
		"by emit.Check"
	otherSpeed  = "another speed: the limits are checked by emit.Check"
	otherPower  = "another power, no more than full: the same"
	otherPauses = "another wait or stop, with the beam off: it burns nothing"
	otherMarks  = "other marks: a line of the work is lost, doubled or changes its kind, and each is still a right one"
	notHarmless = ""
)

// TestEditsThatAreClosedAnew makes the same edits and then closes the file anew, as one
// does who wants them to pass.
func TestEditsThatAreClosedAnew(t *testing.T) {
	for name, f := range mutated(t) {
		passed := map[string]int{}
		n, original := 0, collect(t, decode(t, f.file, f.controller))
		body, end, closed := cutClosing(f.file)
		for edit, changed := range language.Of(body) {
			if n++; n%5 != 0 && testing.Short() {
				continue
			}
			file := changed + end
			if closed {
				file = sealed(changed, strings.TrimSuffix(end, "\n"))
				if name == "follows" {
					file = strings.NewReplacer("(whole", "; whole", ")\nM2\n", "\nM2\n").Replace(file)
				}
			}
			problems, err := gcode.Audit(strings.NewReader(file), f.controller, 1)
			require.NoError(t, err)
			if len(problems) > 0 {
				continue
			}
			agrees(t, file)
			kind := kindOf(original, collect(t, decode(t, file, f.controller)))
			require.NotEqual(t, notHarmless, kind, "%s: %s", name, edit)
			passed[kind]++
		}
		t.Logf("%s: %d edits, passed %v", name, n, passed)
	}
}

// cutClosing cuts a file before its closing comment, if it has one, or else before its
// end word.
func cutClosing(file string) (body, end string, closed bool) {
	lines := strings.SplitAfter(strings.TrimSuffix(file, "\n"), "\n")
	n := len(lines) - 1
	closed = strings.Contains(lines[n-1], "whole ")
	end = lines[n] + "\n"
	if closed {
		n--
	}
	return strings.Join(lines[:n], ""), end, closed
}

// kindOf says in what the moves of an edited file differ.
func kindOf(was, is []emit.Move) string {
	pauses := func(mv emit.Move) bool { return mv.Kind == emit.Wait || mv.Kind == emit.Hold }
	if slices.ContainsFunc(was, pauses) != slices.ContainsFunc(is, pauses) || len(was) != len(is) {
		a, b := slices.DeleteFunc(slices.Clone(was), pauses), slices.DeleteFunc(slices.Clone(is), pauses)
		if len(a) == len(b) && kindOf(a, b) == unchanged {
			return otherPauses
		}
		return otherMarks
	}
	kind := unchanged
	for i, a := range was {
		b := is[i]
		a.Setting, b.Setting = 0, 0
		switch {
		case a == b:
		case a.Kind != b.Kind || a.Turn != b.Turn:
			return otherMarks
		case a.WaitUS != b.WaitUS:
			kind = otherPauses
		case a.To != b.To || a.Centre != b.Centre:
			kind = otherPlace
		case a.Speed != b.Speed:
			kind = otherSpeed
		case a.Power != b.Power && b.Power <= 1:
			kind = otherPower
		default:
			return notHarmless
		}
	}
	return kind
}
