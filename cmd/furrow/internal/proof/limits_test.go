package proof_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/path"
)

// gantry is the gantry of the examples with its zero on the bed, changed.
func gantry(t *testing.T, change func(*settings.Machine)) *settings.Machine {
	t.Helper()
	m := find(t, "example-co2")
	g := *m.Gantry
	g.Zero, m.Gantry = machine.ZeroBed, &g
	change(m)
	return m
}

// galvoOfLines is a galvo whose controller takes G-code.
func galvoOfLines(t *testing.T) *settings.Machine {
	t.Helper()
	m := find(t, "example-fibre")
	m.ID, m.GCode = "galvo-of-lines", find(t, "example-co2").GCode
	return m
}

// Every limit has its rule, the line of the first move past it, and a remedy. The file marks
// from 5,5 to 15,5 in line 5, and runs on to 16,5 in line 6.
func TestEveryLimitHasItsRule(t *testing.T) {
	for _, tt := range []struct {
		from, to, rule string
		line           int
		remedy         string
		m              *settings.Machine
	}{
		{"", "", "keep-out", 6, "move the work", gantry(t, func(m *settings.Machine) {
			m.Gantry.KeepOutMM = []machine.Clamp{{15.5, 0, 30, 10}}
		})},
		{"", "", "power", 5, "use more power and raise the speed with it", gantry(t, func(m *settings.Machine) {
			m.Laser.FloorPercent = 51
		})},
		{"F600", "F60000", "speed", 5, "mark at 500 mm/s or less, or along a faster axis",
			gantry(t, func(*settings.Machine) {})},
		{"X5", "X-5", "bed", 4, "it fits when the page is moved by 5, 0 mm", gantry(t, func(*settings.Machine) {})},
		{"X16", "X700", "bed", 6, "else make the work smaller", gantry(t, func(*settings.Machine) {})},
		{"X15 F600 S500", "X10 F600 S500\nX15 S501", "stops", 6, "power_change", gantry(t, func(m *settings.Machine) {
			g := *m.GCode
			g.PowerChange, m.GCode = machine.PowerStops, &g
		})},
		{"X16", "X90", "field", 0, "", galvoOfLines(t)}, // 87.5 mm from its middle
	} {
		r := refusal(t, strings.Replace(byHand, tt.from, tt.to, 1), tt.m)
		require.Len(t, r.Problems, 1, tt.rule)
		require.Equal(t, tt.rule, r.Problems[0].Rule)
		require.Equal(t, tt.line, r.Problems[0].Line, tt.rule)
		require.Contains(t, r.Problems[0].Remedy, tt.remedy)
	}
	both := refusal(t, strings.Replace(byHand, "F600", "F60000", 1), gantry(t, func(m *settings.Machine) {
		m.Laser.FloorPercent = 51
	}))
	require.Len(t, both.Problems, 2)
}

// A zero that is tried is moved by what is lacking, to a thousandth of a mm: 16 mm of way do
// not lie on 600 mm from 590.0004 on.
func TestZeroThatIsTried(t *testing.T) {
	m := gantry(t, func(m *settings.Machine) { m.Gantry.Zero = machine.ZeroByHand })
	f := proved(t, byHand, m)
	hint := func(x, y float64) string {
		var r *proof.Refusal
		require.ErrorAs(t, f.ProveOnBed(value.Point{X: x, Y: y}), &r)
		return r.Hint()
	}
	require.Equal(t, "it fits with --zero-at 583.999,200", hint(590.0004, 200.0004), "never past it by rounding")
	require.NoError(t, f.ProveOnBed(value.Point{X: 583.999, Y: 200}))
	m.Gantry.KeepOutMM = []machine.Clamp{{-8, -10, -0.5, 10}}
	require.Equal(t, "it fits with --zero-at 584,200, and the clamps out of its way", hint(590, 200))
	m.Gantry.KeepOutMM = []machine.Clamp{{-6, -10, 600, 10}}
	require.Contains(t, hint(0, 0), "X0 Y0 itself lies in it")
}

// A list of which no line names the profile is held to the one asked for. One that is not
// corrected for the lens is one to play, where what plays it corrects it, and not else; one
// that is corrected for a lens that the machine has not is neither.
func TestListsThatArePlayed(t *testing.T) {
	plain, lens := find(t, "example-fibre"), find(t, "example-fibre")
	g := *lens.Galvo
	g.FieldOffsetMM, lens.Galvo = [2]float64{1, 0}, &g
	list := func(p machine.Profile) string {
		p.ID = "another"
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.4, FrequencyHz: 50_000}}}
		prog.Append(path.Stroke{}, path.Point{X: 5, Y: 5}, path.Point{X: 25, Y: 5})
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		m.Header.Profile, m.Header.Hash = "", ""
		var b strings.Builder
		require.NoError(t, markvec.Encoder{}.Encode(&b, m))
		return b.String()
	}
	play := func(text string, m *settings.Machine) error {
		_, err := proof.ProveToPlay("a.mvl", strings.NewReader(text), m)
		return err
	}
	require.NoError(t, play(list(plain.Profile), plain))
	require.NoError(t, play(list(plain.Profile), lens))
	require.ErrorContains(t, play(list(lens.Profile), plain), "line 3: corrected true")
	r := refusal(t, list(plain.Profile), lens)
	require.Len(t, r.Problems, 1)
	require.Equal(t, "line 3: corrected false, and lists for example-fibre are corrected true", r.Problems[0].String())
	refusal(t, list(lens.Profile), plain)
	g.LaserOnDelayUS++
	require.ErrorContains(t, play(list(plain.Profile), lens), "line 4: on 89, and that of example-fibre is 90")
}

// Rows of a machine with an overtravel of its own are as long as it says, whatever the
// acceleration has become, and the mirrors of a galvo have no run-up that acceleration is short of.
func TestRowsThatAreNotAsked(t *testing.T) {
	m := find(t, "example-co2")
	g := *m.Gantry
	g.OvertravelMM, m.Gantry = 0.5, &g
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 50, Power: 0.4}}}
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: 105, Y: 5}, path.Point{X: 125, Y: 5})
	plan, err := emit.Plan(prog, m.Profile)
	require.NoError(t, err)
	plan.Header.Time = time.Second
	var b strings.Builder
	require.NoError(t, gcode.Encoder{Profile: m.Controller(), Comments: []string{"furrow 1"}}.Encode(&b, plan))
	g.AccelMMPerS2 = [2]float64{1000, 1000} // 50 mm/s take 1.25 mm
	f := proved(t, b.String(), m)
	_, differs := f.TimeThen()
	require.True(t, differs)

	lines := galvoOfLines(t)
	prog.Settings[0].FrequencyHz = 50_000
	for i := range prog.Points {
		prog.Points[i].X -= 100
	}
	plan, err = emit.Plan(prog, lines.Profile)
	require.NoError(t, err)
	plan.Header.Time = time.Second
	b.Reset()
	require.NoError(t, gcode.Encoder{Profile: lines.Controller(), Comments: []string{"furrow 1"}}.Encode(&b, plan))
	f = proved(t, b.String(), lines)
	_, differs = f.TimeThen()
	require.True(t, differs)
}

// The bleed told of a load is the most of any of its blanks, to a thousandth of a mm; the
// figures have the corners of each.
func TestBlanksThatAreTold(t *testing.T) {
	var f proof.File
	f.Moves.Header.Blanks = []emit.Blank{blank(0, 0, 30, 10, 0), blank(40, 0, 70, 10, 2.2504), blank(80, 0, 90, 10, 1)}
	require.Contains(t, f.Proved(),
		"each mark lies on one of the 3 blanks that the file names, or over its edge by 2.25 mm at most")
	require.Len(t, f.Figures().BlanksMM, 3)
	f.Moves.Header.Blanks = f.Moves.Header.Blanks[1:2]
	require.Contains(t, f.Proved(), "the marks lie on the blank of 30.0 x 10.0 mm, or over its edge by 2.25 mm at most")
}

// Of 25 settings that nothing uses 20 are told.
func TestTwentyProblemsAreTold(t *testing.T) {
	list := written(t, find(t, "example-fibre").Profile)
	before, behind, ok := strings.Cut(list, "use 0\n")
	require.True(t, ok)
	_, values, ok := strings.Cut(before, "setting 0 ")
	require.True(t, ok)
	for i := range 25 {
		before += fmt.Sprintf("setting %d %s", i+1, values)
	}
	r := refusal(t, closedAnew(before+"use 0\n"+behind), nil)
	require.Len(t, r.Problems, 20)
	require.Contains(t, r.Error(), "and perhaps more")
}
