package settings

import (
	"bytes"
	"math"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// sample is a struct of settings with a key of every kind.
type sample struct {
	Furrow  int            `toml:"furrow" comment:"version"`
	Name    string         `toml:"name,omitempty" comment:"of the thing"`
	Width   *value.Length  `toml:"width" comment:"across" range:"1 to 9 mm"`
	Percent *value.Number  `toml:"percent" range:"0 to 100 percent"`
	On      *bool          `toml:"on" comment:"or off"`
	Size    [2]float64     `toml:"size,omitempty" comment:"w and h"`
	Skip    []int          `toml:"skip,omitempty"`
	Hidden  int            `toml:"-"`
	Part    part           `toml:"part" comment:"a table"`
	Points  []value.Length `toml:"points,omitempty"`
	Maybe   *part          `toml:"maybe"`
	Parts   []part         `toml:"parts,omitempty" comment:"several"`
}

type part struct {
	X    float64  `toml:"x"`
	Tags []string `toml:"tags,omitempty"`
}

// A key that is set stands there, one that may be left out is a remark, and a list of
// tables without any shows how one is written: by hand.
func TestCommentedByHand(t *testing.T) {
	width, on := value.Length(2.5), false
	var b bytes.Buffer
	require.NoError(t, WriteCommented(&b, sample{Furrow: 1, Width: &width, On: &on, Hidden: 7}))
	require.Equal(t, `# version
furrow = 1
# of the thing
#name =
# across; 1 to 9 mm
width = '2.5mm'
# ; 0 to 100 percent
#percent =
# or off
on = false
# w and h
#size = ["?", "?"]
#skip = ["?", "?"]
#points = ["?", "?"]

[part]
# a table
x = 0.0
#tags = ["?", "?"]

#[[parts]]
# several
#x =
#tags = ["?", "?"]
`, b.String())

	b.Reset()
	require.NoError(t, WriteCommented(&b, &sample{
		Name: "a", Size: [2]float64{1, 2}, Skip: []int{3}, Maybe: &part{X: 1}, Parts: []part{{X: 2}, {X: 3,
			Tags: []string{"b"}}},
	}))
	text := b.String()
	for _, want := range []string{"\nname = 'a'\n", "\nsize = [1.0, 2.0]\n", "\nskip = [3]\n", "\n\n[maybe]\nx = 1.0\n",
		"\n\n[[parts]]\n# several\nx = 2.0\n", "\n\n[[parts]]\n# several\nx = 3.0\ntags = ['b']\n", "#width =\n"} {
		require.Contains(t, text, want)
	}
	var again sample
	require.NoError(t, Decode("x.toml", []byte(text), &again))
	require.Equal(t, []part{{X: 2}, {X: 3, Tags: []string{"b"}}}, again.Parts)
}

// The lines of keys, of those in tables and lists, and of tables where a key is not set.
func TestLinesOfKeys(t *testing.T) {
	data := []byte(`# a file
furrow = 1

[part]
x = 1
tags = [
  "a"]
[[parts]]
x = 2
[[parts]]
tags = ["b"]
x = 3
[maybe]
x = { y = 1,
      z = 2 }
w = [{ v = 1 }, { v = 2 }]
`)
	for key, want := range map[string]int{
		"furrow": 2, "part": 4, "part.x": 5, "part.tags": 6, "part.tags[0]": 6, "part.none": 4, "parts[0].x": 9,
		"parts[1].x": 12,
		"parts[1]":   10, "parts[1].none": 10, "parts.x": 9, "maybe.x.y": 14, "maybe.x.z": 15, "maybe.w[1].v": 16,
		"none": 0, "none.x": 0,
	} {
		require.Equal(t, want, LineOf(data, key), key)
	}
	require.Equal(t, "a.toml:12: parts.x", At("a.toml", data, "parts[1].x"))
	require.Equal(t, "a.toml: none", At("a.toml", data, "none"))
	require.Equal(t, "a.toml:6: part.tags[0]", At("a.toml", data, "part.tags[0]"))
	require.True(t, stands(data, "Parts[1].X"))
	require.False(t, stands(data, "parts[2].x"))
}

// What cannot be read is told by file, line and key, with how it is written.
func TestWhatCannotBeRead(t *testing.T) {
	for text, want := range map[string]string{
		"furrow = 1\nname = 7\n": "x.toml:2: name: it is written as name = \"a word\"",
		"furrow = \"one\"\n":     "x.toml:1: furrow: it is written as furrow = 20",
		"on = 3\n":               "x.toml:1: on: it is written as on = true",
		"size = 3\n":             "x.toml:1: size: it is written as size = [20, 40]",
		"skip = true\n":          "x.toml:1: skip: it is written as skip = [20, 40]",
		"size = [1]\n":           "x.toml:1: size: 1 value, where 2 belong",
		"\nwidth = \"wide\"\n":   "x.toml:2: width: ",
		"[part]\nx = \"a\"\n":    "x.toml:2: part.x: it is written as x = 20",
		"[part]\ntags = 1\n": "x.toml:2: part.tags: it is written as tags = [\"one\", " +
			"\"another\"]",
		"nam = \"a\"\n":      "x.toml:1: unknown key \"nam\"",
		"[part]\nz = 1\n":    "x.toml:2: unknown key \"part.z\"",
		"day = 18.12.2026\n": "x.toml:1: the day is not understood",
		"furrow = 1 2\n":     "x.toml:1: what stands after the value is not understood",
		"[part]\nx = # mm\n": "x.toml:2: x has no value",
		"size = [\"?\", \"?\"]\n": "x.toml:1: size: a sample with question marks: your own values " +
			"take their place; it is written as size = [20, 40]",
		"furrow = one\n":                "x.toml:1: the value is not understood: words stand in quotes",
		"furrow\n":                      "x.toml:1: a key is not followed by = and its value",
		"[part\n":                       "x.toml:1: the name of a table is not closed by ]",
		"points = [\"5mm\", \"far\"]\n": "x.toml:1: points: ",
		"[[parts]]\nx = 1\n[[parts]]\ntags = [7]": "x.toml:4: parts.tags: ",
	} {
		err := Decode("x.toml", []byte(text), &sample{})
		require.ErrorContains(t, err, want, "%q", text)
	}
	_, err := ReadAll("x.toml", strings.NewReader(strings.Repeat("#", maxTOML+1)))
	require.EqualError(t, err, "x.toml: more than 1048576 bytes are too many for a settings file")
	data, err := ReadAll("x.toml", strings.NewReader("\ufeff"+strings.Repeat("#", maxTOML-3)))
	require.NoError(t, err)
	require.Len(t, data, maxTOML-3)
}

func TestHowValuesAreWritten(t *testing.T) {
	for want, v := range map[string]any{
		`"0.5mm"`: value.Length(0), `"50kHz"`: value.Frequency{}, `"20mm,10mm"`: value.Point{}, "[20, 40]": []float64{},
		"[20, 40, 60]": [3]int{}, "[0, 0, 20, 20]": [4]float64{}, "[[0, 0, 20, 20]]": [][4]float64{},
		`["one", "another"]`: []string{},
		`"a word"`:           "", "true": false, "20": 0.5,
	} {
		require.Equal(t, want, valueExample(reflect.TypeOf(v)))
		require.Equal(t, want, valueExample(reflect.PointerTo(reflect.TypeOf(v))))
		require.Equal(t, "key = "+want, exampleOf("key", reflect.TypeOf(v)))
	}
	require.Equal(t, "furrow help files tells", exampleOf("key", nil))
}

// Values are held against the ranges of their tags, in tables and lists too.
func TestValuesAreChecked(t *testing.T) {
	type inner struct {
		N *value.Number `toml:"n" range:"0 to 5"`
	}
	type outer struct {
		Name string        `toml:"name"`
		Some []int         `toml:"some"`
		N    *value.Number `toml:"n" range:"0 to 5"`
		In   inner         `toml:"in"`
		List []inner       `toml:"list"`
	}
	n := func(v float64) *value.Number { n := value.Number(v); return &n }
	check := func(o outer) []*KeyProblem { return CheckValues(reflect.ValueOf(o), "") }
	require.Empty(t, check(outer{N: n(5), In: inner{n(0)}, List: []inner{{}, {n(5)}}}))
	require.Equal(t, []*KeyProblem{{"n", "6 is out of range: use 0 to 5"}}, check(outer{N: n(6)}))
	require.Equal(t, []*KeyProblem{{"n", "NaN is not a number to work with"}}, check(outer{N: n(math.NaN())}))
	var keys []string
	for _, p := range check(outer{N: n(-1), In: inner{n(-1)}, List: []inner{{n(1)}, {n(7)}}}) {
		keys = append(keys, p.Key)
	}
	require.Equal(t, []string{"n", "in.n", "list[1].n"}, keys)
	require.Equal(t, "t.n", CheckValues(reflect.ValueOf(inner{n(9)}), "t")[0].Key)
}

func TestWhatAMachineReaches(t *testing.T) {
	gantry := machine.Profile{Kind: machine.KindGantry, Gantry: &machine.Gantry{BedMM: [2]float64{600, 400},
		MaxSpeedMMPerS: [2]float64{300, 400}}}
	galvo := machine.Profile{Kind: machine.KindGalvo, Galvo: &machine.Galvo{FieldMM: [2]float64{110, 70},
		MaxSpeedMMPerS: 7000}}
	require.Equal(t, []string{"600 x 400 mm bed", "110 x 70 mm field"}, []string{Reach(gantry), Reach(galvo)})
	require.Equal(t, []float64{500, 7000}, []float64{Fastest(gantry), Fastest(galvo)}) // 300, 400, 500
	require.Equal(t, []float64{300, 7000}, []float64{TopSpeed(gantry), TopSpeed(galvo)})
	require.Equal(t, "10.5 W, 10,600 nm", Source(machine.Laser{RatedPowerW: 10.5, WavelengthNM: 10_600}))
	require.Equal(t, "speeds are in mm/s: 6000 mm/min is 100 mm/s", PerMinuteHint(6000, 100))
	require.Empty(t, PerMinuteHint(6001, 100))
	m := Machine{Profile: gantry}
	m.Laser.WavelengthNM = 10_600
	require.Contains(t, m.Cautions()[0], "optical density for 10,600 nm,")
	require.Len(t, m.Cautions(), 3)
	for mode, lines := range map[string]int{machine.PowerSteady: 4, machine.PowerSpeedFollowing: 3} {
		m.GCode = &machine.GCode{PowerMode: mode}
		require.Len(t, m.Cautions(), lines)
	}
}

// Of the galvos that hold the work the smallest comes first; one that holds it turned
// says so, and the one that refused it is not named.
func TestWiderFields(t *testing.T) {
	of := func(id string, w, h float64) Machine {
		return Machine{Profile: machine.Profile{ID: id, Kind: machine.KindGalvo,
			Galvo: &machine.Galvo{FieldMM: [2]float64{w, h}}}}
	}
	all := []Machine{of("wide", 300, 300), of("own", 500, 500), of("high", 70, 200), of("small", 50, 50), of("fits",
		160, 90), {Profile: machine.Profile{ID: "gantry", Kind: machine.KindGantry}}}
	fe := &emit.FieldError{Machine: "own", Bounds: path.Rect{Max: path.Point{X: 150, Y: 60}}}
	require.Equal(t, []string{"high (70 x 200 mm) turned by 90 degrees", "fits (160 x 90 mm)", "wide (300 x 300 mm)"},
		fieldsFor(fe, all))
}

// All that is wrong with a file is told at once, each by its line and in their sequence, and
// what is right is read: here the third value of a list of tables, one of no kind, one out of
// its range, and a key that nobody knows.
func TestAllThatIsWrongIsTold(t *testing.T) {
	var got sample
	err := Decode("x.toml", []byte(`furrow = 3
on = "yes"
percent = 101
width = "2mm"
nam = "a"
[part]
x = [
  "a",
]
tags = ["b"]
[[parts]]
x = 1
[[parts]]
x = 2
[[parts]]
x = true
tags = ["c"]
`), &got)
	var lines []string
	for _, at := range regexp.MustCompile(`x\.toml:(\d+)`).FindAllStringSubmatch(err.Error(), -1) {
		lines = append(lines, at[1])
	}
	require.Equal(t, []string{"2", "3", "5", "7", "16"}, lines, err)
	require.Equal(t, 3, got.Furrow)
	require.Equal(t, value.Length(2), *got.Width)
	require.Equal(t, []string{"b"}, got.Part.Tags)
	require.Len(t, got.Parts, 3)
	require.Equal(t, []string{"c"}, got.Parts[2].Tags)

	many := "[part]\n" + strings.Repeat("[[parts]]\nx = true\n", 25)
	err = Decode("x.toml", []byte(many), &sample{})
	require.Equal(t, 20, strings.Count(err.Error(), "parts.x"), "and no more than a person reads")
}
