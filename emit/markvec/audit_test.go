package markvec_test

import (
	"slices"
	"strings"
	"testing"

	"furrow/emit"
	"furrow/emit/edits"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/emit/markvec/minimal"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// right is a list for the example fibre machine that breaks no rule.
const right = "markvec 1\nfield 1750000 1750000\ncorrected 0\n# profile example-fibre 0123456789ab\n# furrow 0.1.0\n" +
	"setting 0 speed 800 jumpspeed 4000 power 5000 frequency 50000 pulse 100 on 100 off 120 jump 250 jumpmin 60 " +
	"jumpfull 20000 mark 100 corner 40\n" +
	"use 0\nJ 0 0\nM 80000 0\nD 81000 0\nM 90000 0\nJ 90000 20000\nP 500\nW 20\nG 0 0\n"

// breach is an edit that breaks a rule: the text to replace, with what, the line and
// what is said of it.
type breach struct {
	rule     markvec.Rule
	name     string
	old, new string
	line     int
	message  string
	unknown  bool // also without a profile
}

var broken = []breach{
	{markvec.RuleForm, "two spaces", "use 0", "use  0", 7, "want \"use N\"", true},
	{markvec.RuleForm, "unknown record", "W 20", "Q 20", 14, "unknown record", true},
	{markvec.RuleValues, "power", "power 5000", "power 10001", 6, "power is out of range", true},
	{markvec.RuleSequence, "no use", "use 0\n", "", 7, "before the first use", true},
	{markvec.RuleSequence, "a mark first", "J 0 0\n", "", 8, "not a jump", true},
	{markvec.RuleInField, "outside", "M 90000", "M 990000", 11, "outside the field", true},
	{markvec.RuleComment, "CR", "# furrow", "# a\rJ 1 1\rfurrow", 5, "outside printable ASCII", true},
	{markvec.RuleMaker, "no profile", "# profile example-fibre 0123456789ab\n", "", 15, "names the profile", true},
	{markvec.RuleLength, "no length", "J 90000 20000", "J 90000 0", 12, "no length", true},
	{markvec.RuleUnused, "unused", "use 0\n", strings.Replace(set0, "setting 0", "setting 1", 1) + "use 0\n", 7,
		"nothing uses", true},
	{markvec.RulePower, "a mark", "power 5000", "power 0", 9, "a mark of no power", true},
	{markvec.RulePower, "a dot", "power 5000", "power 0", 13, "a dot of no power", true},
	{markvec.RuleGate, "open in a jump", "mark 100", "mark 19", 12, "open when the jump starts", true},
	{markvec.RuleGate, "open in a gap", "off 120", "off 232", 11, "it stays open", true},
	{markvec.RuleGate, "open before the jump ends", "on 100", "on -61", 9, "the gate opens 61 us before", true},
	{markvec.RuleDot, "too long", "P 500", "P 1000001", 13, "the longest is 1000000 us", true},
	{markvec.RuleField, "another", "field 1750000", "field 1760000", 2,
		"field of example-fibre is 175 x 175 mm, not 176 x 175", false},
	{markvec.RuleCorrected, "another", "corrected 0", "corrected 1", 3, "corrected true", false},
	{markvec.RuleDelays, "jumpspeed", "jumpspeed 4000", "jumpspeed 4001", 6,
		"jumpspeed 4001, and that of example-fibre is 4000", false},
	{markvec.RuleDelays, "on", "on 100", "on 101", 6, "on 101", false},
	{markvec.RuleDelays, "off", "off 120", "off 119", 6, "off 119", false},
	{markvec.RuleDelays, "jump", "jump 250", "jump 249", 6, "jump 249", false},
	{markvec.RuleDelays, "jumpmin", "jumpmin 60", "jumpmin 59", 6, "jumpmin 59", false},
	{markvec.RuleDelays, "jumpfull", "jumpfull 20000", "jumpfull 19999", 6, "jumpfull 19999", false},
	{markvec.RuleDelays, "mark", "mark 100", "mark 99", 6, "mark 99", false},
	{markvec.RuleDelays, "corner", "corner 40", "corner 41", 6, "corner 41", false},
	{markvec.RuleSource, "frequency", "frequency 50000", "frequency 100001", 6,
		"frequency 100.001 kHz is outside", false},
	{markvec.RuleSource, "pulse", "pulse 100", "pulse 101", 6, "pulse length 101 ns", false},
	{markvec.RuleSource, "continuous", "frequency 50000 pulse 100", "frequency 0 pulse 0", 6,
		"frequency 0 kHz is outside", false},
	{markvec.RuleSource, "speed", "speed 800", "speed 7001", 6, "above the scanner's most", false},
}

func TestRules(t *testing.T) {
	p := byhand.Fibre()
	for _, b := range broken {
		t.Run(string(b.rule)+"/"+b.name, func(t *testing.T) {
			require.GreaterOrEqual(t, strings.Count(right, b.old), 1, "the text to replace")
			list := sealed(strings.Replace(right, b.old, b.new, 1))
			requireBreach(t, list, &p, b)
			if b.unknown {
				requireBreach(t, list, nil, b)
			} else {
				found, err := markvec.Audit(strings.NewReader(list), nil, 9)
				require.NoError(t, err)
				require.False(t, slices.ContainsFunc(found, func(e *markvec.FormError) bool {
					return e.Rule == b.rule
				}), "about the profile")
			}
		})
	}
	for _, profile := range []*machine.Profile{nil, &p} {
		found, err := markvec.Audit(strings.NewReader(sealed(right)), profile, 9)
		require.NoError(t, err)
		require.Empty(t, found)
	}
}

func requireBreach(t *testing.T, list string, p *machine.Profile, b breach) {
	t.Helper()
	found := audit(list, p)
	require.True(t, slices.ContainsFunc(found, func(e *markvec.FormError) bool {
		return e.Rule == b.rule && e.Line == b.line && strings.Contains(e.Msg, b.message)
	}), "%s on line %d: %v in\n%s", b.rule, b.line, found, list)
}

// audit lists what is wrong with a list, in its form or otherwise.
func audit(list string, p *machine.Profile) []*markvec.FormError {
	found, err := markvec.Audit(strings.NewReader(list), p, 9)
	if form, ok := err.(*markvec.FormError); ok {
		found = append(found, form)
	} else if err != nil {
		found = append(found, &markvec.FormError{Msg: err.Error()})
	}
	return found
}

// The profile says how long a dot may be, and a correction that it has must be in the
// list.
func TestRulesOfAnotherProfile(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.LongestDotMS, g.FieldOffsetMM = 0.4, [2]float64{1, 0}
	p.Galvo = &g
	found := audit(sealed(right), &p)
	require.Len(t, found, 2)
	require.Equal(t, markvec.RuleCorrected, found[0].Rule)
	require.Equal(t, "line 13: a dot of 500 us, and the longest is 400 us: it would burn in", found[1].Error())
}

// By hand, with off 120 and on 100: a jump may start 20 us behind the end of a mark, by
// whatever records the time passes; a gap must take more.
func TestGateByHand(t *testing.T) {
	short := strings.Replace(head+set0, "mark 100", "mark 5", 1) + "use 0\nJ 0 0\nM 80000 0\n"
	for _, tt := range []struct {
		list string
		ok   bool
	}{
		{short + "J 0 0\n", false},                      // 5 us
		{short + "G 0 0\n", false},                      // the same
		{short + "W 14\nJ 0 0\n", false},                // 19
		{short + "W 15\nJ 0 0\n", true},                 // 20
		{short + "D 80119 0\nJ 0 0\n", false},           // 14.875 + 5
		{short + "D 80120 0\nJ 0 0\n", true},            // 15 + 5
		{short + "hold\nJ 0 0\n", true},                 // as long as a person takes
		{short + "P 10\nJ 0 0\n", true},                 // the dot's own gate
		{short + "D 80160 0\nM 90000 0\nW 99\n", false}, // 20: not more
		{short + "D 80161 0\nM 90000 0\nW 99\n", true},
		{short + "D 80080 0\nD 80080 80\nM 90000 0\n", true}, // 20, and twice a corner
		{short + "D 80080 0\nM 80080 90\nW 99\n", true},      // 10, and half a corner of 40 as the mark begins
		{short + "W 1\nM 90000 0\n", false},                  // 6
		{short + "M 90000 0\nW 50\nJ 0 0\n", true},
	} {
		found, err := markvec.Audit(strings.NewReader(sealed(tt.list)), nil, 9)
		require.NoError(t, err)
		require.Equal(t, tt.ok, len(found) == 0, "%s: %v", tt.list, found)
		totals, err := minimal.Play(sealed(tt.list))
		require.NoError(t, err)
		require.Equal(t, tt.ok, totals.Lit == 0, "the second player: %s", tt.list)
	}
}

// By hand with a corner of 36: a quarter turn waits 18 us, an eighth 36·(1 - √½)/2, 5.27.
func TestCornersOfAGap(t *testing.T) {
	body := strings.NewReplacer("mark 100", "mark 5", "corner 40", "corner 36").Replace(head+set0) +
		"use 0\nJ 0 0\nM 80000 0\n"
	for gap, ok := range map[string]bool{
		"D 80008 0\nM 80008 90\nW 99\n": false, "D 80017 0\nM 80017 90\nW 99\n": true, // 1 and 18, 2.125 and 18
		"D 80117 0\nM 80207 90\nW 99\n": false, "D 80119 0\nM 80209 90\nW 99\n": true, // 14.625 and 14.875
	} {
		found, err := markvec.Audit(strings.NewReader(sealed(body+gap)), nil, 9)
		require.NoError(t, err)
		require.Equal(t, ok, len(found) == 0, "%s: %v", gap, found)
		totals, err := minimal.Play(sealed(body + gap))
		require.NoError(t, err)
		require.Equal(t, ok, totals.Lit == 0, "the second player: %s", gap)
	}
}

// A setting of other speed, frequency or pulses ends a chain, and with it waits once more; one
// of another power does not. A gap of 14.875 us and the wait of 5 are too short for 20.
func TestSettingsThatEndAChain(t *testing.T) {
	body := strings.Replace(head+set0, "mark 100", "mark 5", 1)
	for change, apart := range map[string]bool{"power 5000 power 5000": false, "power 5000 power 4000": false,
		"frequency 50000 frequency 60000": true, "pulse 100 pulse 90": true, "speed 800 speed 801": true,
		"corner 40 corner 41": true} {
		words := strings.Fields(change)
		other := strings.NewReplacer("setting 0", "setting 1", "mark 100", "mark 5", " "+words[0]+" "+words[1],
			" "+words[2]+" "+words[3]).Replace(set0)
		list := sealed(body + other + "use 0\nJ 0 0\nM 80000 0\nuse 1\nD 80119 0\nJ 0 0\n")
		found, err := markvec.Audit(strings.NewReader(list), nil, 9)
		require.NoError(t, err)
		require.Equal(t, apart, len(found) == 0, "%s: %v", change, found)
		totals, err := minimal.Play(list)
		require.NoError(t, err)
		require.Equal(t, apart, totals.Lit == 0, "the second player: %s", change)
	}
}

// The field is told by its width and then its height.
func TestFieldOfAnotherProfile(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.FieldMM = [2]float64{175, 110}
	p.Galvo = &g
	found := audit(sealed(right), &p)
	require.Equal(t, "line 2: the field of example-fibre is 175 x 110 mm, not 175 x 175", found[0].Error())
	require.Empty(t, audit(sealed(strings.Replace(right, "field 1750000 1750000", "field 1750000 1100000", 1)), &p))
}

// A dot uses its setting as a mark does, and may be as long as the longest.
func TestListsOfDots(t *testing.T) {
	body := head + set0 + "use 0\nJ 0 0\nP 1000000\nW 20\n"
	found, err := markvec.Audit(strings.NewReader(sealed(body)), nil, 9)
	require.NoError(t, err)
	require.Empty(t, found)
	p := byhand.Fibre()
	g := *p.Galvo
	g.LongestDotMS = 0.5
	p.Galvo = &g
	require.Empty(t, audit(sealed(right), &p), "of 500 us")
}

// A correction that shrinks the field shrinks gaps too: those in which the gate would not
// shut any more are jumped over.
func TestGapsThatACorrectionShrinks(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.FieldScale = [2]float64{0.5, 0.5}
	p.Galvo = &g
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1000, Power: 0.5, FrequencyHz: 50000}}}
	for i := range 40 { // the gate takes 20 us, which is 0.02 mm
		y := float64(i)
		prog.Append(path.Stroke{Sweep: int32(i + 1)}, path.Point{Y: y}, path.Point{X: 2, Y: y})
		prog.Append(path.Stroke{Sweep: int32(i + 1)}, path.Point{X: 2 + 0.002*y, Y: y}, path.Point{X: 5, Y: y})
	}
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	list := encode(t, m)
	require.Contains(t, list, "\nD ", "the wide ones are swept")
	require.Empty(t, audit(list, &p))
	totals, err := minimal.Play(list)
	require.NoError(t, err)
	require.Zero(t, totals.Lit)
}

// Every rule is on the page of the package, with a test that breaks it.
func TestThePageListsTheRules(t *testing.T) {
	var rules []string
	for _, b := range broken {
		rules = append(rules, string(b.rule))
	}
	edits.RequireRules(t, rules)
}

// The second player sees what the strict one does about the gate, in random lists.
func TestTheSecondPlayerSeesTheGate(t *testing.T) {
	seen := 0
	for seed := range uint64(300) {
		m := random(t, seed, 60)
		for i := range m.Scanner {
			m.Scanner[i].MarkUS, m.Scanner[i].OffUS = int64(seed%7)*5, 100+int64(seed%11)*10
			m.Scanner[i].OnUS = 100 - int64(seed%5)*30
		}
		list := encode(t, m)
		lit := 0
		found, err := markvec.Audit(strings.NewReader(list), nil, 1000)
		require.NoError(t, err)
		for _, e := range found {
			if e.Rule == markvec.RuleGate {
				lit++
			}
		}
		totals, err := minimal.Play(list)
		require.NoError(t, err)
		require.Equal(t, lit, totals.Lit, "seed %d", seed)
		seen += lit
	}
	require.Greater(t, seen, 100)
}
