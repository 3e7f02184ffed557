package settings

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// Where text is put in: behind an empty line, above the remarks of what follows, and in
// place of a sample.
func TestWhereTablesGo(t *testing.T) {
	require.Equal(t, "b\n", string(insert(nil, 0, []byte("b\n"))))
	require.Equal(t, "a\n\nb\n", string(insert([]byte("a"), 1, []byte("b\n"))))
	require.Equal(t, "a\n\nb\n", string(insert([]byte("a\n"), 2, []byte("b\n"))))
	require.Equal(t, "a\n\nb\nc", string(insert([]byte("a\n\nc"), 3, []byte("b\n"))))
	require.Equal(t, "a\r\n\r\nb\r\nc", string(insert([]byte("a\r\nc"), 3, []byte("b\r\n"))))
	for text, want := range map[string]int{"a\n# x\n# y\nb": 2, "a\nb": 2, "# x\nb": 0, "a\n# x\n\nb": 7} {
		require.Equal(t, want, aboveRemarks([]byte(text), len(text)-1), "%q", text)
	}
	from, to, ok := sampleOf([]byte("a\n#[[x.y]]\n# s\n#k = 1\n\nb"), "x.y")
	require.True(t, ok)
	require.Equal(t, [2]int{2, 23}, [2]int{from, to})
	_, _, ok = sampleOf([]byte("a\n#[[x.y]]"), "x.z")
	require.False(t, ok)
	require.Equal(t, []int{0, 2, 5}, []int{startOfLine([]byte("a\nbc\nd"), 1), startOfLine([]byte("a\nbc\nd"), 4),
		startOfLine([]byte("a\nbc\nd"), 5)})
	require.Equal(t, []int{2, 5, 6}, []int{endOfLine([]byte("a\nbc\nd"), 0), endOfLine([]byte("a\nbc\nd"), 2),
		endOfLine([]byte("a\nbc\nd"), 5)})
}

// A remark that stands for a key is found with what says that it is left out, but not in
// the sample of a list's table.
func TestRemarksThatStandForKeys(t *testing.T) {
	for text, want := range map[string]string{
		"a = 1\n#k = 2\nb": "#k = 2\n", "# left out: none\n#k = 2\nb": "# left out: none\n#k = 2\n",
		"# said\n#k =": "#k =",
		"#kk = 2\n":    "", "# k = 2\n": "", "\n#[[t]]\n#k = 2\n": "", "#[[t]]\n#x = 1\n\n#k = 2\n": "#k = 2\n",
	} {
		from, to, ok := remarkOf([]byte(text), "k")
		require.Equal(t, want != "", ok, "%q", text)
		require.Equal(t, want, text[from:to], "%q", text)
	}
}

// Keys part before their last word; tables that are one line take none; what is not known
// is refused.
func TestEditsThatCannotBe(t *testing.T) {
	for key, want := range map[string][2]string{"a": {"", "a"}, "a.b": {"a", "b"}, "a.b[0].c": {"a.b[0]", "c"}} {
		table, name := cutKey(key)
		require.Equal(t, want, [2]string{table, name})
	}
	_, err := Edit([]byte(handWritten), profileType, "gantry.nothing", "1")
	require.EqualError(t, err, `there is no key "gantry.nothing"`)
	_, err = AddTable([]byte("gantry = { reversal = [{ speed_mm_s = 1, offset_mm = 2 }] }"), "gantry.reversal",
		machine.Reversal{}, 1)
	require.ErrorContains(t, err, "gantry.reversal is written as a list in one line")
	_, err = AddTable([]byte("furrow = 1\n"), "gantry.reversal", machine.Reversal{}, 0)
	require.EqualError(t, err, "there is no [gantry] to add to")
	require.Equal(t, handWritten, string(RemoveTable([]byte(handWritten), "gantry.reversal", 0)))
	got, err := Edit([]byte("[Gantry]\nZERO = \"bed\" # x\n[laser]\n"), profileType, "gantry.zero", `"by-hand"`)
	require.NoError(t, err)
	require.Equal(t, "[Gantry]\nZERO = \"by-hand\" # x\n[laser]\n", string(got), "as the decoder reads it")
	got, err = Edit([]byte("[gantry]\n\n[laser]\nm2 = 1\n\n# more\n"), profileType, "laser.rated_power_w", "40")
	require.NoError(t, err)
	require.Regexp(t, `^\[gantry\]\n\n\[laser\]\nm2 = 1\n(# [^\n]*\n)?rated_power_w = 40\n\n# more\n$`, string(got))
	got, err = Edit([]byte("name = \"a\"\n[laser]\n"), profileType, "id", `"b"`)
	require.NoError(t, err)
	require.Regexp(t, "^name = \"a\"\n(# [^\n]*\n)?id = \"b\"\n\\[laser\\]\n$", string(got))
}

// The grid of a correction lies beside the profile, unless its name says where.
func TestCorrectionsOfAField(t *testing.T) {
	dir := t.TempDir()
	p := machine.Examples()[2]
	galvo := *p.Galvo
	galvo.CorrectionCSV, p.Galvo, p.ID = "grid.csv", &galvo, "mine"
	text, err := ProfileTOML(p)
	require.NoError(t, err)
	file := filepath.Join(dir, "mine.toml")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	m := Machine{Profile: p, File: file}
	require.Equal(t, filepath.Join(dir, "grid.csv"), m.CorrectionFile())
	m.Galvo.CorrectionCSV = filepath.Join(dir, "other.csv")
	require.Equal(t, filepath.Join(dir, "other.csv"), m.CorrectionFile())
	m.Galvo.CorrectionCSV = ""
	require.Empty(t, m.CorrectionFile())
	gantry := Machine{Profile: machine.Examples()[0]}
	require.Empty(t, gantry.CorrectionFile())

	_, err = FindMachine(file)
	require.ErrorContains(t, err, "galvo.correction_csv: no file "+filepath.Join(dir, "grid.csv"))
	grid := filepath.Join(dir, "grid.csv")
	require.NoError(t, os.WriteFile(grid, []byte("not a grid"), 0o600))
	_, err = FindMachine(file)
	require.ErrorContains(t, err, grid+": ")
	text = []byte("point,commanded_x_mm,commanded_y_mm,measured_x_mm,measured_y_mm\n")
	require.NoError(t, os.WriteFile(grid, text, 0o600))
	_, err = FindMachine(file)
	require.EqualError(t, err, grid+" holds no points")
	for i := range 16 {
		x, y := 40*(i%4)-60, 40*(i/4)-60
		text = fmt.Appendf(text, "%d,%d,%d,%g,%d\n", i+1, x, y, 1.01*float64(x), y)
	}
	require.NoError(t, os.WriteFile(grid, text, 0o600))
	found, err := FindMachine(file)
	require.NoError(t, err)
	require.Len(t, found.Galvo.Samples, 16)
}

// What a recipe is called, and when it was tried.
func TestWordsOfRecipes(t *testing.T) {
	r := Recipe{Recipe: machine.Recipe{ID: "slate", Name: "slate", Material: "black slate"}}
	require.Equal(t, "slate, black slate, invented example", r.Words())
	r.File = "slate.toml"
	require.Equal(t, "slate, black slate, never tested", r.Words())
	r.TestedOn, r.Name, r.From = "2026-03-01", "slate, deep", "patch C4 of card.toml"
	require.Equal(t, "slate (slate, deep), black slate, tested 2026-03-01, patch C4 of card.toml", r.Words())
	r.File = ""
	require.Equal(t, "slate, black slate, invented example, patch C4 of card.toml", r.Words())
	require.True(t, SameMaterial("Birch  plywood", "birch plywood "))
	require.True(t, SameMaterial("birch", ""))
	require.False(t, SameMaterial("birch", "birch plywood"))
	_, err := FindRecipe("pvc")
	require.ErrorContains(t, err, "pvc gives off hydrogen chloride")
	_, err = FindRecipe("example-co2-brich")
	require.EqualError(t, err, `unknown recipe "example-co2-brich"`)
	_, err = FindMachine("")
	require.EqualError(t, err, "no machine named")
	_, err = FindMachine("nowhere/machine")
	require.ErrorContains(t, err, "nowhere/machine")
	_, err = FindMachine("example-co3")
	require.EqualError(t, err, `unknown machine "example-co3"`)
	m, err := FindMachine("example-co2")
	require.NoError(t, err)
	require.Equal(t, "example CO2 gantry: a built-in example, not your machine", m.NameWords())
	m.File = "mine.toml"
	require.Equal(t, "example CO2 gantry", m.NameWords())
}

// A first key and a first table are found as any other; a table at the very start goes.
func TestFirstOfAFile(t *testing.T) {
	got, err := Edit([]byte("name = \"a\"\n"), profileType, "name", `"b"`)
	require.NoError(t, err)
	require.Equal(t, "name = \"b\"\n", string(got))
	require.Equal(t, "[laser]\n", string(RemoveTable([]byte("[[measured]]\nkey = \"a\"\n[laser]\n"), "measured", 0)))
}

// Chosen keys are written as remarks where they are not set, and no others; what cannot be
// written is an error.
func TestChosenKeys(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, WriteChosen(&b, sample{Name: "x"}, []string{"width", "part.tags"}))
	require.Equal(t, "# of the thing\nname = 'x'\n# across; 1 to 9 mm\n"+
		"#width =\n\n[part]\n# a table\n#tags = [\"?\", \"?\"]\n", b.String())
	b.Reset()
	require.NoError(t, WriteChosen(&b, sample{}, nil))
	require.Empty(t, b.String())
	type odd struct {
		A chan int `toml:"a"`
		B int      `toml:"b"`
	}
	require.Error(t, WriteCommented(&b, odd{A: make(chan int)}))
	type outer struct {
		In odd `toml:"in"`
	}
	require.Error(t, WriteCommented(&b, outer{odd{A: make(chan int)}}))
	require.NoError(t, Refused("a.toml", nil))
	require.NoError(t, Refused("a.toml", nil, nil, nil))
	require.EqualError(t, Refused("a.toml", []byte("\nb = 1\n"), nil, &KeyProblem{"b", "is odd"},
		&KeyProblem{"c", "too"}), "a.toml:2: b: is odd; a.toml: c: too")
}

// What a profile lacks is told as missing, with what it means; what is wrong as it is.
func TestWhatAProfileLacks(t *testing.T) {
	text, err := ProfileTOML(machine.Examples()[0])
	require.NoError(t, err)
	without := strings.Replace(string(text), "bed_mm = [600.0, 400.0]\n", "", 1)
	require.NotEqual(t, string(text), without)
	_, err = ParseMachine("m.toml", []byte(without))
	require.Regexp(t, `^m\.toml:\d+: gantry\.bed_mm: is missing: `, err.Error())
	_, err = ParseMachine("m.toml", []byte(strings.Replace(string(text), "bed_mm = [600.0, 400.0]",
		"bed_mm = [0.0, 400.0]", 1)))
	require.NotContains(t, err.Error(), "is missing")
	require.Equal(t, "p", problemOf(nil, &machine.KeyError{Key: "gantry.bed_mm", Problem: "p"}))
	require.Equal(t, "p", problemOf([]byte("a = 1"), &machine.KeyError{Key: "nowhere.bed_mm", Problem: "p"}))
	require.Equal(t, "p", problemOf([]byte("a = 1"), &machine.KeyError{Key: "gantry.reversal[0].speed", Problem: "p"}))
	require.Equal(t, "p", problemOf([]byte("a = 1"), &machine.KeyError{Key: "name", Problem: "p"}))
	// A slip is told with what it may be, or with what there is.
	for slip, hint := range map[string]string{"[gantry]\nzeros = 1\n": `did you mean "zero"?`,
		"[link]\nqqqqqq = 1\n": "known here are port, "} {
		err := Decode("m.toml", []byte(slip), &machine.Profile{})
		var f *fault.Failure
		require.ErrorAs(t, err, &f)
		require.Contains(t, f.Hint, hint)
	}
	var many strings.Builder
	for i := range 7 {
		fmt.Fprintf(&many, "slip%d = 1\n", i)
	}
	err = Decode("m.toml", []byte(many.String()), &machine.Profile{})
	require.ErrorContains(t, err, "m.toml: 2 more unknown keys")
	require.Equal(t, 6, strings.Count(err.Error(), "m.toml"))
}

// A value is read as its type reads text, behind a pointer and in a list too.
func TestTextsOfTypes(t *testing.T) {
	problem := func(text string, of reflect.Type) (err error) {
		for k := range keysIn([]byte("a = " + text)) {
			err = readText(k.value, of)
		}
		return err
	}
	for _, of := range []reflect.Type{reflect.TypeFor[value.Length](), reflect.TypeFor[*value.Length]()} {
		require.NoError(t, problem(`"5mm"`, of))
		require.Error(t, problem(`"wide"`, of))
	}
	for _, of := range []reflect.Type{reflect.TypeFor[[]value.Length](), reflect.TypeFor[*[]value.Length](),
		reflect.TypeFor[[2]value.Length]()} {
		require.NoError(t, problem(`["5mm", "6mm"]`, of))
		require.Error(t, problem(`["5mm", "wide"]`, of))
	}
	require.NoError(t, problem(`"wide"`, reflect.TypeFor[string]()))
	require.NoError(t, problem(`["wide"]`, reflect.TypeFor[string]()))
	err := problem(`"wide"`, reflect.TypeFor[*value.Length]())
	require.Equal(t, "part.b", refusedKey([]byte("a = 1\n[part]\nb = \"wide\"\n"), reflect.TypeFor[struct {
		Part struct {
			B *value.Length `toml:"b"`
		} `toml:"part"`
	}](), fmt.Errorf("toml: %w", err)))
	require.Empty(t, refusedKey([]byte("b = \"wide\"\n"), reflect.TypeFor[struct {
		B *value.Length `toml:"b"`
	}](), errors.New("other")))
}
