package gcode_test

import (
	"fmt"
	"hash/crc32"
	"slices"
	"strings"
	"testing"

	"furrow/emit/edits"
	"furrow/emit/gcode"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// sealed closes a body as the form has it, and ends it.
func sealed(body, end string) string {
	return fmt.Sprintf("%s(whole %d lines crc %08x)\n%s\n", body, strings.Count(body, "\n")+2,
		crc32.ChecksumIEEE([]byte(body)), end)
}

// right is a file that breaks no rule, without its last two lines.
const right = `(profile shop-co2 0123456789ab)
(furrow 1.2.3)
G21 G17 G90 G94
M5 S0
G54
M3 S0
G0 X0 Y0
G1 X5 F600
X10 S500
X15 S0
M8
G0 Y1
M9
M5 S0
`

// The controllers of the tests: one that takes all that the file says, one whose
// power follows speed, one that takes arcs, and one that is not known.
var (
	plain   = machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, Air: "M8"}
	follows = machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSpeedFollowing, Air: "M8"}
	arcs    = machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, Air: "M8", Arcs: true}
	unknown = machine.GCode{}
)

// breach is an edit that breaks a rule.
type breach struct {
	rule       gcode.Rule
	name       string
	old, new   string
	line       int
	message    string
	controller machine.GCode
}

// broken is every rule, broken in the file above: the text to replace and with what,
// the line and what is said of it. The file is closed anew behind the change, so that
// its check sum tells nothing.
var broken = []breach{
	{gcode.RuleText, "no line in sight", "G54\n", strings.Repeat("x", 1<<17), 5, "no G-code", plain},
	{gcode.RuleLineLength, "71 characters", "M3 S0\n", "M3 S0" + strings.Repeat(" ", 66) + "\n", 6,
		"71 characters", plain},

	{gcode.RuleGrammar, "two signs", "X5", "X--5", 8, "no number", plain},
	{gcode.RuleGrammar, "exponent", "F600", "F6e2", 8, "'E'", plain},
	{gcode.RuleGrammar, "bare CR", "X10 S500", "X10\rS500", 9, `'\r' cannot start`, plain},
	{gcode.RuleGrammar, "percent sign", "G54\n", "%\n", 5, "cannot start", plain},
	{gcode.RuleGrammar, "257 characters", "G54\n", strings.Repeat(" ", 257) + "\n", 5,
		"257 characters, which is more than 256", unknown},
	{gcode.RuleGrammar, "six digits of a line number", "G54\n", "N123456 G54\n", 5, "line number", plain},

	{gcode.RuleWords, "two axis words", "X10 S500", "X10 X11 S500", 9, "two X", plain},
	{gcode.RuleWords, "two modes of a group", "G21 G17 G90", "G21 G17 G91 G90", 3, "modal group", plain},
	{gcode.RuleWords, "no feed", " F600", "", 8, "no feed set", plain},
	{gcode.RuleWords, "unknown code", "G54\n", "G55.5\n", 5, "no code of RS274/NGC", plain},
	{gcode.RuleWords, "negative S", "S500", "S-500", 9, "negative", plain},
	{gcode.RuleWords, "motion word with nowhere to go", "G0 Y1", "G0", 12, "no axis word", plain},

	{gcode.RuleVocabulary, "Z", "G0 Y1", "G0 Y1 Z1", 12, "Z word", plain},
	{gcode.RuleVocabulary, "relative moves", "G54\n", "G91\n", 5, "G91", plain},
	{gcode.RuleVocabulary, "shifted zero", "G54\n", "G92 X0\n", 5, "G92", plain},
	{gcode.RuleVocabulary, "going home", "G54\n", "G28\n", 5, "G28", plain},
	{gcode.RuleVocabulary, "tool change", "G54\n", "M6\n", 5, "M6", plain},
	{gcode.RuleVocabulary, "parameter", "G54\n", "#1=2\n", 5, "parameters", plain},
	{gcode.RuleVocabulary, "deleted line", "X15 S0", "/X15 S0", 10, "deleted", plain},

	{gcode.RuleComment, "semicolon", "G54\n", "G54 ; here\n", 5, "semicolon", plain},
	{gcode.RuleGrammar, "CR in parentheses", "(furrow", "(a\rM3 S9\rfurrow", 2, `'\r'`, plain},
	{gcode.RuleComment, "CR behind a semicolon", "G54\n", "; a\rM3 S9\r\n", 5, `'\r'`, unknown},
	{gcode.RuleComment, "two CR at the end", "G54\n", "; a\r\r\n", 5, `'\r'`, unknown},

	{gcode.RuleModes, "no unit", "G21 ", "", 7, "before the unit is set", plain},
	{gcode.RuleModes, "no plane", "G17 ", "", 7, "before G17", plain},
	{gcode.RuleModes, "no distance mode", "G90 ", "", 7, "before G90", plain},
	{gcode.RuleModes, "no feed mode", " G94", "", 7, "before G94", plain},
	{gcode.RuleWords, "no motion word", "G0 X0 Y0\nG1 X5", "G0 X0 Y0\nG80\nX5", 9, "no active motion", plain},

	{gcode.RuleUnits, "not the profile's", "G21", "G20", 3, "the profile says otherwise", plain},
	{gcode.RuleUnits, "in the midst", "X15 S0\n", "G20 X15 S0\n", 10, "unit changes", unknown},

	{gcode.RuleStart, "arming before M5", "M5 S0\nG54", "S0\nG54", 6, "both M5 and S0", plain},
	{gcode.RuleStart, "arming before S0", "M5 S0\nG54", "M5\nG54", 6, "both M5 and S0", plain},
	{gcode.RuleStart, "moving before M5", "M5 S0\nG54\nM3 S0\n", "S0\nG54\n", 6, "both M5 and S0", plain},
	{gcode.RuleStart, "moving before S0", "M5 S0\nG54\nM3 S0\n", "M5\nG54\n", 6, "both M5 and S0", plain},
	{gcode.RuleStart, "waiting before M5", "G21 G17 G90 G94\n", "G21 G17 G90 G94\nG4 P1\n", 4, "both M5 and S0", plain},
	{gcode.RuleStart, "stopping before M5", "G21 G17", "M0 G21 G17", 3, "both M5 and S0", plain},
	{gcode.RuleStart, "none of it", "M5 S0\nG54\nM3 S0\n", "", 4, "both M5 and S0", unknown},

	{gcode.RulePosition, "X alone", "G0 X0 Y0", "G0 X0", 7, "both axes", plain},
	{gcode.RulePosition, "Y alone", "G0 X0 Y0", "G0 Y0", 7, "both axes", plain},
	{gcode.RulePosition, "a mark first", "G0 X0 Y0\nG1 X5 F600\nX10 S500", "G1 X10 Y0 F600 S500", 7,
		"not known", plain},
	{gcode.RulePosition, "further than a bed", "G0 Y1", "G0 Y-100000.1", 12,
		"X15 Y-100000 mm is further than 100 m", plain},
	{gcode.RulePosition, "a centre out there", "X10 S500", "G2 X10 I2 J100001 S500", 9, "further than 100 m", arcs},
	{gcode.RulePosition, "an arc first", "G0 X0 Y0\nG1 X5 F600", "G2 X2 Y0 I1 J0 F600\nG1 X5", 7, "not known", arcs},

	{gcode.RuleArm, "no S", "M3 S0", "M3", 6, "no S", plain},
	{gcode.RuleArm, "power", "M3 S0", "M3 S9", 6, "M3 while S is 9", plain},
	{gcode.RuleArm, "S of the line before", "M3 S0\n", "S9\nM3\n", 7, "no S", plain},

	{gcode.RulePowerMode, "M4 where power is steady", "M3 S0", "M4 S0", 6, "M4 on a controller", plain},
	{gcode.RulePowerMode, "M3 where power follows", "M3 S0", "M3 S0", 6, "M3, and the profile", follows},

	{gcode.RulePower, "more than full", "S500", "S1001", 9, "more than 1000", plain},
	{gcode.RuleTraverse, "on the line", "G0 Y1", "G0 Y1 S5", 12, "S is 5 in a G0", plain},
	{gcode.RuleTraverse, "from before", "X15 S0", "X15", 12, "S is 500 in a G0", plain},
	{gcode.RuleTraverse, "switched off", "M3 S0\nG0 X0 Y0", "G0 X0 Y0 S5", 6, "S is 5 in a G0", plain},
	{gcode.RuleUnarmed, "a mark with M5", "M3 S0\n", "", 8, "while the beam is off", plain},

	{gcode.RuleStandstill, "S alone", "M8\n", "S5\nS0\n", 11, "moves nothing", plain},
	{gcode.RuleStandstill, "to where it is", "X15 S0", "X10 S5", 10, "moves nothing", plain},
	{gcode.RuleStandstill, "a dwell", "X15 S0", "G4 P1\nX15 S0", 10, "a dwell with S500", plain},
	{gcode.RuleStandstill, "a stop", "X15 S0", "M0\nX15 S0", 10, "a stop with S500", plain},

	{gcode.RuleArc, "not the profile's", "X10 S500", "G2 X10 Y0 I2.5 J0 S500\nG1", 9, "an arc", plain},
	{gcode.RuleVocabulary, "arc by its radius", "X10 S500", "G2 X10 Y0 R9 S500", 9, "R word", arcs},
	{gcode.RuleVocabulary, "arc in another plane", "X10 S500", "G2 X10 Y0 K1 S500", 9, "K word", arcs},
	{gcode.RuleWords, "arc with no centre", "X10 S500", "G2 X10 Y0 S500", 9, "its centre", arcs},
	{gcode.RuleArc, "off its circle", "X10 S500", "G2 X10 Y0 I2.6 J0 S500", 9, "the arc begins", arcs},

	{gcode.RuleZero, "two before the first move", "G54\n", "G54\nG55\n", 6, "X0 Y0 is elsewhere", plain},
	{gcode.RuleZero, "another behind it", "M9\n", "M9\nG55\n", 14, "X0 Y0 is elsewhere", plain},
	{gcode.RuleZero, "one that was not named at the start", "G54\nM3 S0\nG0 X0 Y0\n", "M3 S0\nG0 X0 Y0\nG54\n", 7,
		"X0 Y0 is elsewhere", plain},

	{gcode.RuleOverride, "M49", "G54\n", "M49\n", 5, "overrides", plain},
	{gcode.RuleAir, "left on", "M9\n", "", -1, "the air on", plain},
	{gcode.RuleAir, "another word", "M8\n", "M7\n", 11, "not the profile's word", plain},

	{gcode.RuleEnd, "with S", "M9\nM5 S0\n", "M9\nG1 X1 S5\nM5\n", -1, "ends with S5", plain},
	{gcode.RuleEnd, "without M5", "M9\nM5 S0\n", "M9\nS0\n", -1, "without M5", plain},
	{gcode.RuleAfterEnd, "before the last lines", "M9\nM5 S0\n", "M9\nM5 S0\nM2\n", -2, "behind the end", plain},
}

func TestRules(t *testing.T) {
	for _, b := range broken {
		t.Run(string(b.rule)+"/"+b.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(right, b.old), "the text to replace")
			mustBreak(t, sealed(strings.Replace(right, b.old, b.new, 1), "M2"), b.controller, b.rule, b.line, b.message)
		})
	}
	for _, controller := range []machine.GCode{plain, arcs, unknown} {
		mustKeep(t, sealed(right, "M2"), controller)
	}
	mustKeep(t, strings.ReplaceAll(sealed(strings.ReplaceAll(right, "\n", "\r\n"), "M2"), ")\nM2\n",
		")\r\nM2\r\n"), plain)
}

// mustKeep wants no problem of a file.
func mustKeep(t *testing.T, file string, controller machine.GCode) {
	t.Helper()
	problems, err := gcode.Audit(strings.NewReader(file), controller, 9)
	require.NoError(t, err)
	require.Empty(t, problems)
	_, err = gcode.Read(strings.NewReader(file), controller)
	require.NoError(t, err)
}

// mustBreak wants a problem of a rule on a line, counted from the end where it is
// negative.
func mustBreak(t *testing.T, file string, controller machine.GCode, rule gcode.Rule, line int, message string) {
	t.Helper()
	if line < 0 {
		line += strings.Count(strings.TrimSuffix(file, "\n"), "\n") + 2
	}
	problems, err := gcode.Audit(strings.NewReader(file), controller, 9)
	require.NoError(t, err)
	require.True(t, slices.ContainsFunc(problems, func(p *gcode.Problem) bool {
		return p.Rule == rule && p.Line == line && strings.Contains(p.Message, message)
	}), "%s on line %d: %v in\n%.2000s", rule, line, problems, file)
	_, err = gcode.Read(strings.NewReader(file), controller)
	var first *gcode.Problem
	if rule != gcode.RuleLineLength { // which is the audit's alone
		require.ErrorAs(t, err, &first)
	}
}

// The two rules about the file as a whole, broken behind the closing of it.
func TestRulesOfTheWhole(t *testing.T) {
	const closed = "the file was changed"
	good := sealed(right, "M2")
	for _, tt := range []struct {
		name, old, new string
		line           int
		rule           gcode.Rule
		message        string
		controller     machine.GCode
	}{
		{"a digit", "X10", "X11", -1, gcode.RuleWhole, closed, plain},
		{"a line doubled", "X10 S500\n", "X10 S500\nX10.5 S500\n", -1, gcode.RuleWhole, closed, plain},
		{"the sum", "crc ", "crc 0", -1, gcode.RuleMaker, "missing", plain},
		{"the closing comment taken out", good[len(right) : len(good)-3], "", -1, gcode.RuleMaker, "missing", plain},
		{"another line count", "(whole 16", "(whole 17", -1, gcode.RuleWhole, "16 lines", plain},
		{"a line behind it", ")\nM2", ")\nM8\nM2", -2, gcode.RuleWhole, "behind the closing comment", plain},
		{"not the end word alone", ")\nM2", ")\nM2 G0 X9", -1, gcode.RuleWhole, "behind the closing comment", plain},
		{"another end word", ")\nM2", ")\nM30", -1, gcode.RuleEnd, "ends a program with M2", plain},
		{"no end", ")\nM2\n", ")\n", -1, gcode.RuleEnd, "does not end", plain},
		{"an end cut short", ")\nM2\n", ")\nM2", -1, gcode.RuleWhole, "ends inside its last line", plain},
		{"a second program", ")\nM2\n", ")\nM2\n" + good, 17, gcode.RuleAfterEnd, "behind the end", plain},
		{"a blank line", ")\nM2\n", ")\nM2\n\n", 17, gcode.RuleAfterEnd, "behind the end", plain},
	} {
		t.Run(tt.name, func(t *testing.T) {
			require.Equal(t, 1, strings.Count(good, tt.old), "the text to replace")
			mustBreak(t, strings.Replace(good, tt.old, tt.new, 1), tt.controller, tt.rule, tt.line, tt.message)
		})
	}
	unnamed := strings.Replace(right, "(profile shop-co2 0123456789ab)\n", "", 1)
	mustBreak(t, sealed(unnamed, "M2"), plain, gcode.RuleMaker, -1, "names the profile")
	elsewhere := strings.Replace(unnamed, "(furrow 1.2.3)\n", "(made by hand)\n", 1) + "M2\n"
	mustKeep(t, elsewhere, plain)
}

// Every byte that is no printable ASCII is refused in comments of both kinds, but
// the tab, which the grammar has (NISTIR 6556, Appendix E).
func TestCommentBytes(t *testing.T) {
	for c := range 256 {
		if c == '\n' {
			continue
		}
		for _, comment := range []string{"(a" + string([]byte{byte(c)}) + "b)", "; a" + string([]byte{byte(c)}) + "b"} {
			file := sealed(strings.Replace(right, "G54\n", comment+"\n", 1), "M2")
			problems, err := gcode.Audit(strings.NewReader(file), unknown, 9)
			require.NoError(t, err)
			allowed := c >= ' ' && c <= '~' || c == '\t'
			if comment[0] == '(' && (c == '(' || c == ')') {
				allowed = false
			}
			require.Equal(t, allowed, len(problems) == 0, "%q: %v", comment, problems)
		}
	}
}

// The page of the package lists every rule with a test that breaks it.
func TestThePageListsTheRules(t *testing.T) {
	var rules []string
	for _, b := range broken {
		rules = append(rules, string(b.rule))
	}
	edits.RequireRules(t, rules)
}

// A file has room for so many settings, and one more is refused.
func TestTooManySettings(t *testing.T) {
	var b strings.Builder
	b.WriteString(prologue + "G0 X0 Y0\nG1 F1000 X-1\n")
	for i := range 1<<16 + 1 {
		fmt.Fprintf(&b, "X%d F%d.%d S5\n", i%2, 1+i/10, i%10)
	}
	mustBreak(t, b.String()+"X5 S0\nM5 S0\nM2\n", unknown, gcode.RuleSettings, 1<<16+6, "more than 65,536")
}
