package markvec_test

import (
	"regexp"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/edits"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/emit/markvec/minimal"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// language has every word that starts a record or names a value, and some numbers.
var language = edits.Language{
	Word: regexp.MustCompile(`[^ \n]+`),
	Vocabulary: strings.Fields(`markvec field corrected setting use J M D G P W hold # end speed jumpspeed power ` +
		`frequency pulse
	on off jump jumpmin jumpfull mark corner 0 1 -1 7 500 90000 1750000 999999999`),
}

// small is a small list as the program writes it.
func small(t *testing.T) (list string, m emit.Moves) {
	p := byhand.Fibre()
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000},
		{SpeedMMPerS: 400, Power: 0.2, FrequencyHz: 30000}}}
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: -4, Y: 1}, path.Point{X: 2, Y: 1})
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: 2.5, Y: 1}, path.Point{X: 6, Y: 1})
	prog.Append(path.Stroke{Sweep: 2}, path.Point{X: 6, Y: 2}, path.Point{X: -4, Y: 2})
	prog.Append(path.Stroke{Kind: path.LineStroke, Setting: 1}, path.Point{}, path.Point{X: 13},
		path.Point{X: 13, Y: 3}, path.Point{})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	m.Header.Hash = "0123456789ab" // one that new keys of profiles do not change
	return encode(t, m, "furrow 0.1.0"), m
}

// neverLit wants the gate shut wherever the page has the beam off.
func neverLit(t *testing.T, list string) {
	t.Helper()
	totals, err := minimal.Play(list)
	require.NoError(t, err)
	require.Zero(t, totals.Lit, "passed, and the gate is open in travel:\n%s", list)
}

// A list is refused whatever is changed in it: none of the edits is harmless.
func TestNoEditOfAListPasses(t *testing.T) {
	list, _ := small(t)
	p := byhand.Fibre()
	n := 0
	for edit, changed := range language.Of(list) {
		n++
		require.NotEmpty(t, audit(changed, &p), "%s passes", edit)
	}
	require.Greater(t, n, 1000)
}

// Harmless kinds of edit: what a list that passes may do that the one before the edit
// did not, where its end record was made anew behind the edit. In all of them the second
// player finds the gate shut wherever the beam is off.
const (
	unchanged  = "the same moves: a comment"
	otherPlace = "another place in the field: whoever sealed the list anew alone knows which one was meant"
	otherBeam  = "a power, frequency or speed that the source and the scanner have"
	otherMarks = "other marks: a line of the work is lost, doubled or changes its kind, and each is still a right one"
	dangerous  = ""
)

// TestEditsThatAreSealedAnew makes the same edits and then seals the list anew, as one
// does who wants them to pass.
func TestEditsThatAreSealedAnew(t *testing.T) {
	list, m := small(t)
	p := byhand.Fibre()
	body := list[:strings.Index(list, "end ")]
	original, passed := play(t, m), map[string]int{}
	n := 0
	for edit, changed := range language.Of(body) {
		n++
		again := sealed(changed)
		if len(audit(again, &p)) > 0 {
			continue
		}
		neverLit(t, again)
		back, err := markvec.Read(strings.NewReader(again))
		require.NoError(t, err)
		kind := kindOf(original, play(t, back), m.Settings, back.Settings)
		require.NotEqual(t, dangerous, kind, edit)
		passed[kind]++
	}
	t.Logf("%d edits, passed %v", n, passed)
	require.Positive(t, passed[otherPlace])
}

// kindOf says in what the moves of an edited list differ.
func kindOf(was, is []emit.Move, a, b []path.Setting) string {
	kind := unchanged
	for i := range a {
		if i >= len(b) || a[i].FrequencyHz != b[i].FrequencyHz {
			kind = otherBeam
		}
	}
	if len(was) != len(is) {
		return otherMarks
	}
	for i, m := range was {
		n := is[i]
		switch {
		case m == n:
		case m.Kind != n.Kind || m.Setting != n.Setting:
			return otherMarks
		case m.To != n.To:
			kind = otherPlace
		case m.Power != n.Power && n.Power > 0 && n.Power <= 1, m.Speed != n.Speed && n.Speed > 0 && n.Speed <= 7000:
			kind = otherBeam
		default:
			return dangerous
		}
	}
	return kind
}
