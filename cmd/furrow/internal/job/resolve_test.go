package job_test

import (
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

func number(v float64) *value.Number { n := value.Number(v); return &n }

func spacing(mm float64) *value.Spacing { return &value.Spacing{MM: mm} }

// full is a fill that lacks nothing on a machine without pulses.
func full(speed float64) job.Fill {
	return job.Fill{Spacing: spacing(0.1), Speed: number(speed), Power: number(40)}
}

func refused(t *testing.T, err error) (message, hint string) {
	t.Helper()
	var f *fault.Failure
	require.ErrorAs(t, err, &f)
	return f.Error(), f.Hint
}

// A value comes from the command line, else the group, else the job, else the recipe; and
// it is told from where.
func TestWhereValuesComeFrom(t *testing.T) {
	r := machine.ExampleRecipes()[0]
	j := job.Job{Furrow: 1, Name: "tag.toml", Recipe: r.ID, Fill: job.Fill{Speed: number(70), Spacing: spacing(0.3)},
		Groups: []job.Group{{Pick: "#a", Fill: job.Fill{Speed: number(60)}}, {Pick: "#b"}}}
	got, err := job.Resolve(j, job.Request{Fill: job.Fill{Spacing: spacing(0.2)}}, false)
	require.NoError(t, err)
	require.Len(t, got.Fills, 3)
	for i, speed := range []float64{70, 60, 70} {
		f := got.Fills[i]
		require.Equal(t, value.Number(speed), *f.Spec.Speed)
		require.Equal(t, []string{"tag.toml", "tag.toml, group 1", "tag.toml"}[i], f.From["speed_mm_s"])
		require.Equal(t, 0.2, f.Spec.Spacing.MM)
		require.Equal(t, "command line", f.From["spacing"])
		require.Equal(t, value.Number(r.PowerPercent), *f.Spec.Power)
		require.Equal(t, "recipe "+r.ID, f.From["power_percent"])
	}
	require.Equal(t, r.Machine, got.Machine.ID, "the recipe's")
	require.Equal(t, r.ID, got.Recipe.ID)
}

// The machine that is asked for, else the job's, else the recipe's; none is needed to draw.
func TestWhichMachine(t *testing.T) {
	gantries := []string{machine.Examples()[0].ID, machine.Examples()[1].ID}
	j := job.Job{Furrow: 1, Machine: gantries[0], Fill: full(100)}
	got, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	require.Equal(t, gantries[0], got.Machine.ID)
	got, err = job.Resolve(j, job.Request{Machine: gantries[1], Fill: full(50)}, false)
	require.NoError(t, err)
	require.Equal(t, gantries[1], got.Machine.ID)
	require.Equal(t, " is for "+gantries[0]+": its spacing, speed_mm_s, power_percent are not taken over", got.NotTaken)
	got, err = job.Resolve(j, job.Request{Machine: gantries[0]}, false)
	require.NoError(t, err)
	require.Empty(t, got.NotTaken, "its own")
	one := job.Job{Furrow: 1, Machine: gantries[0], Fill: job.Fill{Speed: number(1)}}
	got, err = job.Resolve(one, job.Request{Machine: gantries[1], Fill: full(50)}, false)
	require.NoError(t, err)
	require.Equal(t, " is for "+gantries[0]+": its speed_mm_s are not taken over", got.NotTaken)

	_, err = job.Resolve(j, job.Request{Machine: gantries[1]}, false)
	message, hint := refused(t, err)
	require.Equal(t, "no spacing, speed or power", message)
	require.Contains(t, hint, "; or take a recipe")
	require.Contains(t, hint, " are not taken over")

	_, err = job.Resolve(job.Job{Furrow: 1}, job.Request{}, false)
	message, _ = refused(t, err)
	require.Equal(t, "no machine, spacing, speed and power", message)
	_, err = job.Resolve(job.Job{Furrow: 1, Fill: job.Fill{Spacing: spacing(1)}}, job.Request{}, false)
	require.Error(t, err)
	got, err = job.Resolve(job.Job{Furrow: 1, Fill: job.Fill{Spacing: spacing(1)}}, job.Request{}, true)
	require.NoError(t, err)
	require.Nil(t, got.Machine)
	r := machine.ExampleRecipes()[0]
	other := gantries[0]
	if other == r.Machine {
		other = gantries[1]
	}
	_, err = job.Resolve(job.Job{Furrow: 1, Recipe: r.ID, Machine: other}, job.Request{}, false)
	message, _ = refused(t, err)
	require.Equal(t, "recipe "+r.ID+" was made on "+r.Machine+", and the machine is "+other, message)
}

func TestJobsOwnMachine(t *testing.T) {
	r := machine.ExampleRecipes()[0]
	for want, j := range map[string]job.Job{
		"": {}, "example-co2": {Machine: "example-co2", Recipe: r.ID}, r.Machine: {Recipe: r.ID},
		"unheard-of": {Machine: "unheard-of"},
	} {
		require.Equal(t, want, j.OwnMachine())
	}
	require.Empty(t, job.Job{Recipe: "unheard-of"}.OwnMachine())
	require.Equal(t, "mine", job.Job{Machine: "mine", Recipe: r.ID}.MachineName())
}

// Each value that has no sensible default is asked for, all at once, and a frequency of
// pulsed sources alone.
func TestWhatAFillLacks(t *testing.T) {
	only := "only"
	co2, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	fibre, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	hertz := &value.Frequency{Hz: 50_000}
	for _, tt := range []struct {
		f    job.Fill
		m    *settings.Machine
		want string
	}{
		{job.Fill{}, nil, "no spacing"}, {job.Fill{Spacing: spacing(1)}, nil, ""}, {job.Fill{Outline: &only}, nil, ""},
		{full(1), &co2, ""}, {job.Fill{}, &co2, "no spacing, speed or power"},
		{job.Fill{Speed: number(1), Power: number(1)}, &co2, "no spacing"},
		{job.Fill{Spacing: spacing(1), Power: number(1)}, &co2, "no speed"}, {job.Fill{Spacing: spacing(1),
			Speed: number(1)}, &co2, "no power"},
		{job.Fill{Outline: &only, Speed: number(1)}, &co2, "no power"},
		{full(1), &fibre, "no frequency"}, {job.Fill{}, &fibre, "no spacing, speed, power or frequency"},
		{job.Fill{Spacing: spacing(1), Speed: number(1), Power: number(1), Frequency: hertz}, &fibre, ""},
		{job.Fill{Spacing: spacing(1), Speed: number(1), Power: number(1), Frequency: hertz}, &co2,
			"example-co2 is not a pulsed source, so it has no frequency"},
		{job.Fill{Spacing: spacing(1), Speed: number(1), Power: number(1), Pulse: number(9)}, &co2,
			"example-co2 is not a pulsed source, so it has no pulse length"},
		{job.Fill{Spacing: spacing(1), Frequency: hertz}, nil, ""},
	} {
		err := tt.f.Complete(tt.m, " here")
		if tt.want == "" {
			require.NoError(t, err)
			continue
		}
		message, hint := refused(t, err)
		require.Equal(t, tt.want+" here", message)
		require.NotEmpty(t, hint)
	}
	_, hint := refused(t, job.Fill{}.Complete(&fibre, ""))
	require.Equal(t, "add --spacing 0.06mm (the spot's width is a start), --speed in mm/s (example-fibre reaches "+
		"6543), --power in percent "+
		"and --frequency (30kHz to 100kHz); or take a recipe: furrow recipes. Prove it on scrap first", hint)
}

// What depends on the beam of one machine, by the words of the file.
func TestWhatIsOfTheBeam(t *testing.T) {
	_, left := job.Job{Fill: everything()}.Elsewhere()
	require.Equal(t, []string{"spacing", "passes", "mark_width", "focus_offset", "air", "speed_mm_s", "power_percent",
		"frequency",
		"pulse_ns", "outline_speed_mm_s", "outline_power_percent"}, left)
}

// everything is a fill with a value for each key.
func everything() (f job.Fill) {
	yes, n, l, word, angles := true, value.Count(2), value.Length(3), "before", value.Angles{30}
	return job.Fill{
		Spacing: spacing(0.1), Angle: &angles, Cross: number(90), Passes: &n, PassTurn: number(5), OneWay: &yes,
		Stretch:    &yes,
		Interleave: &n, Shortest: &l, CloseGaps: &l, Contours: &yes, Inset: &l, MarkWidth: &l, FocusOffset: &l,
		Air:   &yes,
		Speed: number(1), Power: number(2), Frequency: &value.Frequency{Hz: 3}, Pulse: number(4), Outline: &word,
		Offset:  &l,
		Overlap: &l, OutlineSpeed: number(5), OutlinePower: number(6),
	}
}

// What is asked for of the artwork wins, key by key; a size takes the place of any size.
func TestArtworkThatIsAskedFor(t *testing.T) {
	l := func(v float64) *value.Length { l := value.Length(v); return &l }
	yes, no, x, y, at := true, false, "x", "y", value.Point{X: 1}
	base := job.Artwork{
		File: "tag.svg", Width: l(60), Margin: l(1), Trim: &no, Rotate: number(90), Mirror: &x,
		Selection: job.Selection{Only: []string{"a"}, Skip: []string{"b"}, InvertIn: []string{"c"},
			Fonts: []string{"d"}, Invert: &no, BareAbove: number(0.9)},
	}
	j := job.Job{Furrow: 1, Artwork: base, Fill: full(100), Machine: "example-co2"}
	resolve := func(a job.Artwork) job.Artwork {
		r, err := job.Resolve(j, job.Request{Artwork: a}, false)
		require.NoError(t, err)
		return r.Job.Artwork
	}
	require.Equal(t, base, resolve(job.Artwork{}))
	want := base
	want.Width, want.Height = nil, l(30)
	require.Equal(t, want, resolve(job.Artwork{Height: l(30)}))
	want = base
	want.Width, want.Fit = nil, &yes
	require.Equal(t, want, resolve(job.Artwork{Fit: &yes}))
	want = base
	want.Margin, want.Trim, want.Rotate, want.Mirror, want.At = l(2), &yes, number(45), &y, &at
	require.Equal(t, want, resolve(job.Artwork{Margin: l(2), Trim: &yes, Rotate: number(45), Mirror: &y, At: &at}))
	want = base
	want.Selection = job.Selection{Only: []string{"e"}, Skip: []string{"f"}, InvertIn: []string{"g"},
		Fonts: []string{"h"}, Invert: &yes, BareAbove: number(0.5)}
	require.Equal(t, want, resolve(job.Artwork{Selection: want.Selection}))
	r, err := job.Resolve(j, job.Request{Blank: &value.Point{X: 20, Y: 10}, Bleed: l(2), Tolerance: l(0.1),
		Effort: &x}, false)
	require.NoError(t, err)
	require.Equal(t, job.Blank{Width: l(20), Height: l(10), Bleed: l(2)}, r.Job.Blank)
	require.True(t, r.Job.Blank.Known())
	require.False(t, job.Blank{Width: l(1)}.Known())
	require.False(t, job.Blank{Height: l(1)}.Known())
	require.Equal(t, l(0.1), r.Job.Tolerance)
	require.Equal(t, &x, r.Job.Effort)
	require.Equal(t, "tag.svg", r.Shown())
}

// Names in a job file are seen from its folder, whichever way they are written.
func TestNamesInAJobFile(t *testing.T) {
	name := filepath.Join("orders", "tag.toml")
	j, err := job.Parse(name, []byte(`furrow = 1
machine = "../mine.toml"
recipe = "slate"
[artwork]
file = 'art\tag.svg'
fonts = ["fonts"]
[data]
file = "names.csv"
[fixture]
pockets = "/abs/p.csv"
`))
	require.NoError(t, err)
	require.Equal(t, "mine.toml", j.Machine)
	require.Equal(t, "slate", j.Recipe, "an id")
	require.Equal(t, filepath.Join("orders", "art", "tag.svg"), j.Artwork.File)
	require.Equal(t, []string{filepath.Join("orders", "fonts")}, j.Artwork.Fonts)
	require.Equal(t, filepath.Join("orders", "names.csv"), j.Table.File)
	require.Equal(t, "/abs/p.csv", j.Fixture.Pockets)
	j, err = job.Parse(name, []byte("furrow = 1\nartwork.file = \"a.svg\"\n"))
	require.NoError(t, err)
	require.Empty(t, j.Fixture.Pockets, "none is none")
	require.Empty(t, j.Table.File)
}

// Each thing that a job file cannot say is told by its line and key.
func TestWrongJobFiles(t *testing.T) {
	for text, want := range map[string]string{
		"furrow = 2\n[artwork]\nfile = \"a\"\n": "job.toml:1: furrow: version 2 of " +
			"the job file is not known",
		"furrow = 1\n": "job.toml: artwork.file: no artwork named",
		"keep_out = [[0, 0, 5, 5], [5, 0, 5, 5]]\n": "keep_out: [5 0 5 5] is not left, " +
			"bottom, right, top",
		"keep_out = [[0, 5, 5, 5]]\n":      "is not left, bottom, right, top",
		"blank.material = \"PVC sheet\"\n": "blank.material: ",
		"blank.colour = \"nearly\"\n":      "blank.colour: \"nearly\" is no colour",
		"blank.width = 0\n":                "blank.width: 0 is out of range",
		"price.margin_percent = 1\nprice.mark_up_percent = 1": "price.margin_percent: a mark-up and " +
			"a margin at once",
		"effort = \"much\"\n": "effort: \"much\" is none of none, " +
			"quick, normal, best",
		"[data]\nunique = [\"a\"]\n": "data.unique: there is no file",
		"[[counter]]\nname = \"{\"\n": "counter.name: \"{\" cannot stand in " +
			"a placeholder",
		"[[counter]]\nname = \"n\"\nstep = 0\n": "counter.step: a counter that stands " +
			"still",
		"[[counter]]\nname = \"n\"\nstart = -1\n":             "counter.start: -1 is below 0",
		"[[text]]\npick = \" \"\nvalue = \"a\"\n":             "text.pick: it picks nothing",
		"[[text]]\npick = \"#a\"\nvalue = \"{\"\n":            "text.value: ",
		"[[text]]\npick = \"#a\"\nvalue = \"a\"\nlines = 3\n": "text.lines: 3 lines: use 1 or 2",
		"[[text]]\npick = \"#a\"\nvalue = \"a\"\nfont = \"b\"": "text.font: \"b\" is none of " +
			"single-line",
		"[[code]]\npick = \"#a\"\nvalue = \"a\"\nkind = \"b\"": "code.kind: \"b\" is none of " +
			"data-matrix, qr, code-128",
		"[[code]]\npick = \"#a\"\nvalue = \"a\"\nkind = \"qr\"\ntone = \"x\"": "code.tone: \"x\" is none of " +
			"lighter, darker",
		"[[code]]\npick = \"\"\nvalue = \"a\"\nkind = \"qr\"": "code.pick: it picks nothing",
	} {
		if text[:6] != "furrow" {
			text = "furrow = 1\nartwork.file = \"a.svg\"\n" + text
		}
		_, err := job.Parse("job.toml", []byte(text))
		require.ErrorContains(t, err, want, "%q", text)
	}
	good := "furrow = 1\nartwork.file = \"a.svg\"\nkeep_out = [[0, 0, 5, 5]]\n" +
		"[[text]]\npick = \"#a\"\nvalue = \"{n}\"\nlines = 2\n" +
		"[[code]]\npick = \"#b\"\nvalue = \"{n}\"\nkind = \"qr\"\ntone = \"lighter\"\n" +
		"[[counter]]\nname = \"n\"\nstart = 0\nstep = -1\ndigits = 3\n"
	j, err := job.Parse("job.toml", []byte(good))
	require.NoError(t, err)
	require.True(t, j.Any())
	require.False(t, job.Differing{}.Any())
	require.Equal(t, []string{"#a", "#b"}, j.Places())
	require.Equal(t, "text[0].pick", j.KeyOfPlace("#a"))
	require.Equal(t, "code[0].pick", j.KeyOfPlace("#b"))
	c := j.Count()
	require.Len(t, c, 1)
	require.Equal(t, []int{0, -1, 3}, []int{c[0].Start, c[0].Step, c[0].Digits})
	require.True(t, slices.Contains(job.EffortWords, "best"))
}

// A recipe suits a machine that reaches its speed, and no other; a thousand times what it
// is may be meant a minute.
func TestRecipesSuitMachines(t *testing.T) {
	m, err := settings.FindMachine("example-co2") // 500 and 300 mm/s: 583.095 along both
	require.NoError(t, err)
	r := machine.Recipe{SpeedMMPerS: 583, PowerPercent: 40, SpacingMM: 0.1}
	require.NoError(t, job.Suits(m, r))
	r.SpeedMMPerS = settings.Fastest(m.Profile)
	require.NoError(t, job.Suits(m, r))
	r.SpeedMMPerS = 584
	message, hint := refused(t, job.Suits(m, r))
	require.Equal(t, "584 mm/s exceeds the 583.1 mm/s of example-co2", message)
	require.Equal(t, "speeds are in mm/s: 584 mm/min is 9.733 mm/s", hint)
	r.SpeedMMPerS, r.SpacingMM = 100, 0
	message, _ = refused(t, job.Suits(m, r))
	require.Equal(t, "no spacing", message)
}

// The numbers of a blank's material are found by its own name, else the recipe's, where
// its thickness is known; or by an id that must be one.
func TestHowABlankTakesHeat(t *testing.T) {
	thick := value.Length(2)
	heats := func(b job.Blank) (job.Resolved, error) {
		return job.Resolve(job.Job{Furrow: 1, Name: "job.toml", Machine: "example-co2", Fill: full(100), Blank: b},
			job.Request{}, false)
	}
	for want, b := range map[string]job.Blank{
		"":        {Material: "slate"},
		"slate":   {Material: "Slate", Thickness: &thick},
		"acrylic": {Material: "slate", Thickness: &thick, HeatAs: "acrylic"},
	} {
		r, err := heats(b)
		require.NoError(t, err)
		if want == "" {
			require.Nil(t, r.HeatsAs)
		} else {
			require.Equal(t, want, r.HeatsAs.ID)
		}
	}
	all, err := settings.AllMaterials()
	require.NoError(t, err)
	examples := machine.ExampleRecipes()
	of := examples[slices.IndexFunc(examples, func(r machine.Recipe) bool {
		return settings.MaterialOf(all, r.Material) != nil
	})]
	r, err := job.Resolve(job.Job{Furrow: 1, Name: "job.toml", Recipe: of.ID, Blank: job.Blank{Thickness: &thick}},
		job.Request{}, false)
	require.NoError(t, err)
	require.Equal(t, settings.MaterialOf(all, of.Material), r.HeatsAs, "what its recipe is for")
	r, err = job.Resolve(job.Job{Furrow: 1, Name: "job.toml", Recipe: of.ID,
		Blank: job.Blank{Thickness: &thick, Material: "acrylic"}}, job.Request{}, false)
	require.NoError(t, err)
	require.Equal(t, "acrylic", r.HeatsAs.ID, "what it says itself")
	r, err = heats(job.Blank{Material: "cheese", Thickness: &thick})
	require.NoError(t, err)
	require.Nil(t, r.HeatsAs)
	_, err = heats(job.Blank{HeatAs: "cheese"})
	require.ErrorContains(t, err, `no material has the id "cheese"`)
}

// All slips of a job file are told at once, by line: keys that nobody knows, values of
// another kind, without a unit or out of range, and words that stand for nothing.
func TestAllSlipsOfAJobAtOnce(t *testing.T) {
	_, err := job.Parse("bad.toml", []byte(`furrow = 1
machne = "example-co2"
[blank]
width = "60xx"
height = 90
bleed = "-1mm"
colour = ["red",
  "blue"]
[fill]
spacing = "0.1"
speed_mm_s = "fast"
power_percent = 350
[artwork]
file = "tag.svg"
mirror = "z"
`))
	var told []string
	for _, line := range strings.Split(err.Error(), "; ") {
		told = append(told, line[:min(len(line), len("bad.toml:12"))])
	}
	require.Equal(t, []string{"bad.toml:2:", "bad.toml:4:", "bad.toml:6:", "bad.toml:7:", "bad.toml:10", "bad.toml:11",
		"bad.toml:12", "bad.toml:15"},
		told, err.Error())
}
