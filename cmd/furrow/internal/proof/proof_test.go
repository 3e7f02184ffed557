package proof_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/emit/machine"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// byHand marks 10 mm from 5, 5 at 10 mm/s and half of 1,000.
const byHand = "G21 G17 G90 G94\nM5 S0\nM3 S0\nG0 X5 Y5\nG1 X15 F600 S500\nX16 S0\nM5 S0\nM2\n"

func find(t *testing.T, id string) *settings.Machine {
	t.Helper()
	m, err := settings.FindMachine(id)
	require.NoError(t, err)
	return &m
}

// written is the file of a row of 20 mm at 100 mm/s on a machine, with the program's name.
func written(t *testing.T, p machine.Profile) string {
	t.Helper()
	set := path.Setting{SpeedMMPerS: 100, Power: 0.4}
	if p.IsGalvo() {
		set.FrequencyHz = 50_000
	}
	prog := path.Program{Settings: []path.Setting{set}}
	prog.Append(path.Stroke{}, path.Point{X: 5, Y: 5}, path.Point{X: 25, Y: 5})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	var b strings.Builder
	if p.IsGalvo() {
		err = markvec.Encoder{Comments: []string{"furrow 0.1.0"}}.Encode(&b, m)
	} else {
		err = gcode.Encoder{Profile: p.Controller(), Comments: []string{"furrow 0.1.0"}}.Encode(&b, m)
	}
	require.NoError(t, err)
	return b.String()
}

func proved(t *testing.T, text string, asked *settings.Machine) proof.File {
	t.Helper()
	f, err := proof.Prove("a.nc", strings.NewReader(text), asked)
	require.NoError(t, err)
	return f
}

func refusal(t *testing.T, text string, asked *settings.Machine) *proof.Refusal {
	t.Helper()
	_, err := proof.Prove("a.nc", strings.NewReader(text), asked)
	var r *proof.Refusal
	require.ErrorAs(t, err, &r)
	return r
}

func gaps(f proof.File) (all []string) {
	for _, g := range f.NotProved() {
		all = append(all, string(g.Needs)+": "+g.What)
	}
	return all
}

const (
	grammar = "every line follows the grammar; units, feed and modes are set before the first move"
	beamOff = "the beam is off in every travel move, between strokes and at the end; nothing follows the end"
	whole   = "the file is whole: no line is lost, doubled or changed since it was written"
	scrap   = ": that the settings suit the material: prove them on scrap"
)

// What is proved of a file, and what is not, by what is known of its machine.
func TestWhatIsProved(t *testing.T) {
	none := proved(t, byHand, nil)
	require.Equal(t, []string{grammar, beamOff}, none.Proved())
	require.Equal(t, []string{": " + proof.CannotBeWhole, "machine: time, speeds, power and bed: no machine profile",
		scrap}, gaps(none))
	require.False(t, none.Timed)
	require.Equal(t, figures.GCode, none.Format)
	require.Zero(t, none.Figures().Seconds)
	require.Empty(t, none.Figures().Time)
	require.InDelta(t, 10, none.Figures().MarkMM, 1e-9)

	co2 := find(t, "example-co2")
	known := proved(t, byHand, co2)
	require.Equal(t, []string{grammar, beamOff, "speeds, power and size are within example-co2"}, known.Proved())
	require.Equal(t, []string{": " + proof.CannotBeWhole, "zero: that the travel lies on the bed: zero is set by hand",
		": that it was made for this profile: the file names none", scrap}, gaps(known))
	require.True(t, known.Timed)
	require.InDelta(t, 1, known.Figures().Time["mark_s"], 1e-9) // 10 mm at 10 mm/s
	require.Equal(t, "example-co2", known.Figures().Machine)
	require.Greater(t, known.Span.High, known.Span.Low, "an example is assumed")
	require.Equal(t, known.Span.High.Seconds(), known.Figures().Most)

	own := proved(t, written(t, co2.Profile), nil)
	require.Equal(t, []string{grammar, beamOff, whole, "speeds, power and size are within example-co2",
		"made for example-co2, whose profile is the same in all that alters the marks or their safety"}, own.Proved())
	require.Equal(t, []string{"zero: that the travel lies on the bed: zero is set by hand", scrap}, gaps(own))

	require.NoError(t, own.ProveOnBed(value.Point{X: 50, Y: 60}))
	require.Contains(t, own.Proved(), "the travel lies on the bed with X0 Y0 at 50,60")
	require.Equal(t, []string{scrap}, gaps(own))
	err := own.ProveOnBed(value.Point{X: 595, Y: 60}) // the bed is 600 mm wide
	require.ErrorContains(t, err, "a.nc: with X0 Y0 at 595,60: line ")

	fibre := find(t, "example-fibre")
	list := proved(t, written(t, fibre.Profile), nil)
	require.Equal(t, figures.Markvec, list.Format)
	require.Equal(t, []string{"every line follows the grammar; counts and check sum match; all vectors lie in the " +
		"field",
		"every vector has a length, every setting is used",
		"the beam is on in marks and dots only; nothing follows the end",
		"speeds, power and size are within example-fibre",
		"made for example-fibre, whose profile is the same in all that alters the marks or their safety"},
		list.Proved())
	require.Equal(t, []string{scrap}, gaps(list))
	stranger := fibre.Profile
	stranger.ID = "of-another-shop"
	other := proved(t, written(t, stranger), nil)
	require.Nil(t, other.Machine)
	require.True(t, other.Timed, "a list has its own delays")
	require.Equal(t, "of-another-shop", other.Figures().Machine)
	require.Equal(t, []string{"machine: speeds and power: no machine profile", scrap}, gaps(other))
	g := *stranger.Galvo
	g.FieldOffsetMM, stranger.Galvo = [2]float64{1, 0}, &g
	require.Contains(t, gaps(proved(t, written(t, stranger), nil)),
		"machine: where the marks fall: the places are corrected for a lens")
}

// A file for another machine, or for one that has changed since, is refused with what
// would help.
func TestFilesOfAnotherMachine(t *testing.T) {
	co2, other, fibre := find(t, "example-co2"), find(t, "example-co2"), find(t, "example-fibre")
	other.ID = "of-another-shop"
	for _, tt := range []struct {
		text          string
		asked         *settings.Machine
		rule, message string
	}{
		{byHand, fibre, "machine", "the file is G-code, and example-fibre, a galvo, takes a mark-vector list"},
		{written(t, fibre.Profile), co2, "machine",
			"the file is a mark-vector list, and example-co2, a gantry, takes G-code"},
		{written(t, co2.Profile), other, "machine", "made for another machine: example-co2, not of-another-shop"},
	} {
		r := refusal(t, tt.text, tt.asked)
		require.Len(t, r.Problems, 1)
		require.Equal(t, tt.rule, r.Problems[0].Rule)
		require.EqualError(t, r, "a.nc: "+tt.message)
		require.Equal(t, tt.asked, r.Machine)
	}
	require.Equal(t, "run it on example-co2, or check it with --machine example-co2", refusal(t, written(t,
		co2.Profile), other).Hint())
	changed := *co2
	g := *co2.Gantry
	g.BeamOnLatencyUS++
	changed.Gantry = &g
	r := refusal(t, written(t, co2.Profile), &changed)
	require.Equal(t, "profile", r.Problems[0].Rule)
	require.EqualError(t, r, fmt.Sprintf("a.nc: the profile of example-co2 has changed since, in what alters the "+
		"marks or their safety (%s then, %s now)",
		co2.Hash(), changed.Hash()))
}

// A file of which the machine cannot do a move is refused with the line; a file's every
// broken rule has its own.
func TestRefusalsHaveTheirLine(t *testing.T) {
	co2 := find(t, "example-co2")
	r := refusal(t, strings.Replace(byHand, "F600", "F60000", 1), co2)
	require.Equal(t, "speed", r.Problems[0].Rule)
	require.Equal(t, 5, r.Problems[0].Line, "1,000 mm/s, where X has 500")
	r = refusal(t, strings.Replace(byHand, "G1 X15", "G1 X700", 1), co2)
	require.Equal(t, "bed", r.Problems[0].Rule)
	r = refusal(t, strings.Replace(byHand, "X16 S0", "G0 X16", 1), co2)
	require.Equal(t, 6, r.Problems[0].Line)
	require.Contains(t, r.Error(), "line 6: S is 500 in a G0")
	require.NotEmpty(t, r.Hint())
	r = refusal(t, "G21 G17 G90 G94\nM5 S0\nM2\n", co2)
	require.Equal(t, "moves", r.Problems[0].Rule)
	require.Equal(t, "write the file again", r.Hint())
	problems := make([]proof.Problem, proof.AuditLimit)
	require.True(t, strings.HasSuffix((&proof.Refusal{Problems: problems}).Error(), "\nand perhaps more"))
	require.NotContains(t, (&proof.Refusal{Problems: problems[1:]}).Error(), "perhaps")
	require.Equal(t, "line 3 and 2 more: a", proof.Problem{Line: 3, More: 2, Message: "a"}.String())
	require.Equal(t, "a", proof.Problem{More: 2, Message: "a"}.String())
	list := written(t, find(t, "example-fibre").Profile)
	r = refusal(t, strings.Replace(list, "\nM ", "\nX ", 1), nil)
	require.Positive(t, r.Problems[0].Line)
	require.Equal(t, figures.Markvec, r.Format)
}

// The rows of a file no longer reach their speed where the acceleration has become less.
func TestRowsThatNoLongerReachTheirSpeed(t *testing.T) {
	co2 := find(t, "example-co2")
	set := path.Setting{SpeedMMPerS: 400, Power: 0.4}
	prog := path.Program{Settings: []path.Setting{set}}
	prog.Append(path.Stroke{Sweep: 1}, path.Point{X: 105, Y: 5}, path.Point{X: 125, Y: 5})
	prog.Append(path.Stroke{Sweep: 2}, path.Point{X: 125, Y: 6}, path.Point{X: 105, Y: 6})
	m, err := emit.Plan(prog, co2.Profile)
	require.NoError(t, err)
	m.Header.Time = time.Second
	var b strings.Builder
	require.NoError(t, gcode.Encoder{Profile: co2.Controller(), Comments: []string{"furrow 0.1.0"}}.Encode(&b, m))
	f := proved(t, b.String(), co2)
	then, differs := f.TimeThen()
	require.Equal(t, time.Second, then)
	require.True(t, differs)
	weak := *co2
	g := *co2.Gantry
	g.AccelMMPerS2 = [2]float64{1000, 1000} // 400 mm/s take 80 mm in place of 16
	weak.Gantry = &g
	require.Equal(t, co2.Hash(), weak.Hash(), "which alters the time alone")
	r := refusal(t, b.String(), &weak)
	require.Equal(t, "full-speed", r.Problems[0].Rule)
	require.Equal(t, 1, r.Problems[0].More, "the other row")
	lines := strings.Split(b.String(), "\n")
	require.Contains(t, lines[r.Problems[0].Line-1], "S400", "the line of the mark")
	g.OvertravelMM = 20
	_, err = proof.Prove("a.nc", strings.NewReader(b.String()), &weak)
	require.Error(t, err, "another profile, whatever its rows do")
}

// Artwork and settings are told from files of a controller.
func TestWhatIsNoFileOfAController(t *testing.T) {
	for name, text := range map[string]string{"a.svg": "<svg/>", "b": "\xef\xbb\xbf  <?xml?>",
		"c.TOML": "furrow = 1\n"} {
		_, err := proof.Prove(name, strings.NewReader(text), nil)
		var f *fault.Failure
		require.ErrorAs(t, err, &f)
		require.ErrorContains(t, err, name+" is ")
		require.NotEmpty(t, f.Hint)
	}
	_, err := proof.Prove("a.nc", strings.NewReader("G21\nsomething else\n"), nil)
	require.Error(t, err)
	require.True(t, errors.As(err, new(*proof.Refusal)))
	// Only looked at, a file may lack what is needed to run it.
	f, err := proof.Look("a.nc", strings.NewReader("M3\nG0 X1 Y1\nG1 X3 S500 F60\n"), nil)
	require.NoError(t, err)
	require.InDelta(t, 2, f.Report.MarkMM, 1e-9)
	_, err = proof.Look("a.nc", strings.NewReader("M3\nG0 X1 Y1\nG1 X3 S500 F60\n"), find(t, "example-fibre"))
	require.ErrorContains(t, err, "a galvo, takes a mark-vector list")
	_, err = proof.Look("a.nc", strings.NewReader("M5\n"), nil)
	require.ErrorContains(t, err, "it holds no move")
}
