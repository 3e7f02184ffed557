package order_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/gcode"
	"furrow/emit/markvec"
	"furrow/path"
	"furrow/raster/paper"

	"github.com/stretchr/testify/require"
)

// Four blanks of 20 mm with 5 mm between them are 45 mm wide, and lie about the middle
// of a galvo's field; a fifth part makes a second load.
func TestPartsLieInTheirPockets(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	o, w := made(t, input(t, "example-fibre", 5, nil), dir)
	corners := [][2]float64{{-22.5, -22.5}, {2.5, -22.5}, {-22.5, 2.5}, {2.5, 2.5}}
	for i, p := range o.Pockets {
		require.Equal(t, i+1, p.Number)
		require.InDelta(t, 0, p.At.Dist(path.Point{X: corners[i][0], Y: corners[i][1]}), 1e-9)
	}
	for n, parts := range map[int]int{1: 4, 2: 1} {
		data, err := os.ReadFile(filepath.Join(dir, fmt.Sprintf("load-%02d.mvl", n)))
		require.NoError(t, err)
		m, err := markvec.Read(bytes.NewReader(data))
		require.NoError(t, err)
		prog, err := m.Program()
		require.NoError(t, err)
		all := bounds(t, prog)
		require.Len(t, all, parts)
		for i, b := range all {
			lies(t, b, corners[i][0], corners[i][1])
		}
		f := w.Files[n-1]
		require.Equal(t, fmt.Sprintf("load-%02d.mvl", n), f.Name)
		require.Equal(t, strings.Count(string(data), "\n"), f.Lines)
		require.Equal(t, fmt.Sprintf("%x", sha256.Sum256(data)), f.SHA256)
		require.True(t, strings.HasSuffix(string(data), " "+f.CRC+"\n"))
		require.Len(t, f.Parts, parts)
		sum := time.Duration(0)
		lines := strings.Split(string(data), "\n")
		for i, took := range f.Parts {
			sum += took
			require.Equal(t, fmt.Sprintf("# part %d pocket %d", 4*(n-1)+i+1, i+1), lines[f.First[i]-1])
			// Ten rows of 10 mm at 100 mm/s, and no more than a tenth of that between them.
			require.InDelta(t, 1.05, took.Seconds(), 0.05)
		}
		require.Equal(t, f.Time, sum, "all of the time is some part's")
	}
	require.Equal(t, w.Files[0].Time+w.Files[1].Time, w.Marking)
	require.Zero(t, w.Loading)
	require.Equal(t, 2, w.Runs)
}

// A page of 20 x 20 mm lies in the middle of the field, and so of a blank of 20 x 30 mm: 5 mm
// above its lower edge, in whatever pocket.
func TestPartsOfOblongBlanks(t *testing.T) {
	o := plan(t, input(t, "example-fibre", 2, func(j *job.Job) { j.Blank.Height = length(30) }))
	m, err := o.Make(o.Loads[0])
	require.NoError(t, err)
	prog, err := m.Moves.Program()
	require.NoError(t, err)
	for i, b := range bounds(t, prog) {
		at := o.Pockets[i].At
		lies(t, b, at.X, at.Y+5)
	}
}

// On a gantry pocket 1 lies at X0 Y0, or where it is said to; rows run up from their left.
func TestPocketsOfAGantry(t *testing.T) {
	for _, first := range [][]value.Length{nil, {30, 40}} {
		dir := filepath.Join(t.TempDir(), "out")
		o, w := made(t, input(t, "example-co2", 3, func(j *job.Job) { j.Fixture.First = first }), dir)
		x, y := 0.0, 0.0
		if first != nil {
			x, y = 30, 40
		}
		data, err := os.ReadFile(filepath.Join(dir, "load-01.nc"))
		require.NoError(t, err)
		m, err := gcode.Read(bytes.NewReader(data), o.Machine.Controller())
		require.NoError(t, err)
		prog, err := m.Program()
		require.NoError(t, err)
		for i, b := range bounds(t, prog) {
			at := [][2]float64{{0, 0}, {25, 0}, {0, 25}}[i]
			// The beam comes and goes 300 us late at 100 mm/s: its commands lie 0.03 mm before.
			require.InDelta(t, x+at[0]+2, b.Min.X, 0.031)
			require.InDelta(t, x+at[0]+12, b.Max.X, 0.031)
			require.InDelta(t, y+at[1]+4.5, b.Min.Y, 1e-3)
			require.InDelta(t, y+at[1]+13.5, b.Max.Y, 1e-3)
		}
		require.Contains(t, string(data), "(whole "+strconv.Itoa(w.Files[0].Lines)+" lines crc "+w.Files[0].CRC+")")
		require.Contains(t, string(data), "(tree tags, parts 1 to 3)")
	}
}

// Parts that look alike share a file, which tells the pockets alone; each load has its
// own time and its own parts to change.
func TestLoadsThatAreAlikeShareAFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	change := value.Number(30)
	o, w := made(t, input(t, "example-fibre", 9, func(j *job.Job) { j.Order.Loading = &change }), dir)
	require.Len(t, o.Loads, 3)
	require.Len(t, w.Files, 2)
	require.Len(t, w.Files[0].Loads, 2)
	require.Len(t, w.Files[1].Loads, 1)
	require.Equal(t, 2*w.Files[0].Time+w.Files[1].Time, w.Marking)
	require.Equal(t, 9*30*time.Second, w.Loading)
	data, err := os.ReadFile(filepath.Join(dir, "load-01.mvl"))
	require.NoError(t, err)
	require.Contains(t, string(data), "\n# pocket 4\n")
	require.Contains(t, string(data), "# tree tags, 4 parts, run 2 times\n")
	require.NotContains(t, string(data), "# part ")

	f, err := os.Open(filepath.Join(dir, "parts.csv"))
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"part", "load", "pocket", "file", "first_line", "predicted_s"}, rows[0])
	require.Len(t, rows, 10)
	for i, r := range rows[1:] {
		file := w.Files[i/8]
		require.Equal(t, []string{strconv.Itoa(i + 1), strconv.Itoa(i/4 + 1), strconv.Itoa(i%4 + 1), file.Name,
			strconv.Itoa(file.First[i%4]), fmt.Sprintf("%.3f", file.Parts[i%4].Seconds())}, r)
	}
	var b bytes.Buffer
	require.NoError(t, o.WriteParts(&b))
	require.True(t, strings.HasPrefix(b.String(), "PART  LOAD  POCKET  FILE\n1     1     1       load-01.mvl\n"),
		b.String())
	require.Equal(t, 10, strings.Count(b.String(), "\n"))
}

// The summary says in words what was made, and a second run that nothing changed; one of
// fewer parts takes the load away that is no more.
func TestSummaryOfAnOrder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	customer, change := "arboretum", value.Number(30)
	day := value.Date{}
	require.NoError(t, day.UnmarshalText([]byte("2026-12-18")))
	tell := func(parts int) map[string]string {
		o, w := made(t, input(t, "example-fibre", parts, func(j *job.Job) {
			j.Order.Customer, j.Order.Loading, j.Order.Due = &customer, &change, &day
			j.Blank.Thickness, j.Blank.Material = length(1.5), "slate"
		}), dir)
		var b bytes.Buffer
		o.Summary(&b, "out", w)
		lines := map[string]string{}
		for line := range strings.Lines(b.String()) {
			lines[strings.TrimSpace(line[:12])] = strings.TrimSpace(line[12:])
		}
		return lines
	}
	got := tell(5)
	for head, want := range map[string]string{
		"order": "tree tags", "for": "arboretum", "due": "2026-12-18", "parts": "5 parts of 20 x 20 x 1.5 mm, slate",
		"fixture": "4 pockets; the lower-left corner of pocket 1 at X-22.5 Y-22.5 mm", "loads": "2 loads from 2 files",
		"folder": "out: new, 8 files",
	} {
		require.Equal(t, want, got[head], head)
	}
	require.Contains(t, got["time"], " marking and 2:30 loading: ")
	require.Contains(t, got["first"], "look at the first part")
	require.Regexp(t, `^0:0\d\.\d, \d+ lines, crc [0-9a-f]{8}$`, got["load-01.mvl"])
	require.Equal(t, "out: nothing changed", tell(5)["folder"])
	require.Equal(t, "out: rewritten order.toml, parts.csv, proof.pdf, sheet.pdf; removed load-02.mvl",
		tell(4)["folder"])
	got = tell(1)
	require.Equal(t, "1 part of 20 x 20 x 1.5 mm, slate", got["parts"])
	require.Empty(t, got["first"])
}

// A run of single parts leaves what others made; its own papers have its name.
func TestRunsOfSinglePartsStandBeside(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	_, all := made(t, input(t, "example-fibre", 5, nil), dir)
	in := input(t, "example-fibre", 5, nil)
	in.Numbers, in.Name = []int{3}, "part-3"
	o, w := made(t, in, dir)
	require.Equal(t, "part-3-01.mvl", w.Files[0].Name)
	for _, name := range []string{"load-01.mvl", "load-02.mvl", "parts.csv", "sheet.pdf", "part-3-01.mvl",
		"part-3-parts.csv", "part-3-sheet.pdf", "runs.csv"} {
		require.FileExists(t, filepath.Join(dir, name))
	}
	old, err := order.Open(dir)
	require.NoError(t, err)
	var names []string
	for _, out := range old.Outputs {
		names = append(names, out.Name)
	}
	require.Equal(t, []string{"load-01.mvl", "load-02.mvl", "part-3-01.mvl", "part-3-parts.csv", "part-3-proof.pdf",
		"part-3-sheet.pdf", "parts.csv", "proof.pdf", "sheet.pdf"}, names)
	require.Equal(t, all.Files[0].SHA256, old.Outputs[0].SHA256)
	data, err := os.ReadFile(filepath.Join(dir, order.RecordName))
	require.NoError(t, err)
	require.Equal(t, len(names), strings.Count(string(data), "\n[[output]]\n"), "a table of its own for each")
	require.Equal(t, all.Files[0].Lines, old.Outputs[0].Lines)
	var b bytes.Buffer
	o.Summary(&b, dir, w)
	require.Contains(t, b.String(), "parts        part 3 of 5 of 20 x 20 mm\n")
	file, err := old.FileOfLoad(2)
	require.NoError(t, err)
	require.Equal(t, "load-02.mvl", file)
	_, err = old.FileOfLoad(0)
	require.EqualError(t, err, "the order has 2 loads")
	_, err = old.FileOfLoad(3)
	require.Error(t, err)
}

// What is kept is read again as it was, and refused where it is not; what has changed
// since is told.
func TestKeptInputs(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	in := input(t, "example-fibre", 1, nil)
	o := plan(t, in)
	kept := []order.Kept{
		{Role: order.JobFile, Name: filepath.Join(filepath.Dir(dir), "tags.toml"), Data: []byte("furrow = 1\n")},
		{Role: order.Artwork, Name: filepath.Join(filepath.Dir(dir), "art", "a.svg"), Data: []byte(square)},
		{Role: order.Profile, Name: "a.svg", BuiltIn: true, Data: []byte("id = 1\n")},
		{Role: order.Rates, Name: "-", BuiltIn: true, Data: []byte("rate = 1\n")},
	}
	_, err := o.Write(dir, paper.A4, kept)
	require.NoError(t, err)
	for name, data := range map[string]string{"job.toml": "furrow = 1\n", "kept/a.svg": square,
		"kept/a-2.svg": "id = 1\n", "kept/rates": "rate = 1\n"} {
		got, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		require.Equal(t, data, string(got))
	}
	old, err := order.Open(dir)
	require.NoError(t, err)
	in1, ok := old.Input(order.Artwork)
	require.True(t, ok)
	require.Equal(t, "../art/a.svg", in1.Name)
	_, ok = old.Input(order.Data)
	require.False(t, ok)
	back, err := old.Kept()
	require.NoError(t, err)
	require.Equal(t, kept, back)

	now := append([]order.Kept{}, kept...)
	require.Empty(t, order.Changed(kept, now))
	now[1].Data = []byte("<svg/>")
	now[2].Data = nil
	require.Equal(t, []order.Change{
		{Role: order.Artwork, There: true, Words: "artwork " + kept[1].Name + " has changed"},
		{Role: order.Profile, Words: "profile a.svg is gone"},
		{Role: order.Rates, Words: "rates - is gone"},
	}, order.Changed(kept, now[:3]))

	require.NoError(t, os.WriteFile(filepath.Join(dir, "kept", "a.svg"), []byte("<svg/>"), 0o600))
	_, err = old.Kept()
	require.EqualError(t, err, filepath.Join(dir, "kept", "a.svg")+" is not as it was kept")
	old.Inputs[0].Kept = "../job.toml"
	_, err = old.Kept()
	require.ErrorContains(t, err, "is no name inside the folder")
	_, err = order.Open(t.TempDir())
	require.ErrorContains(t, err, "holds no order.toml")
}

func TestNumbersOfParts(t *testing.T) {
	for text, want := range map[string][]int{"7": {7}, "7,12-14": {7, 12, 13, 14}, " 3 - 4 , 1,3": {1, 3, 4},
		"14": {14}, "5-5": {5}} {
		got, err := order.ParseNumbers(text, 14)
		require.NoError(t, err, text)
		require.Equal(t, want, got)
	}
	for text, want := range map[string]string{
		"": "is no list", "0": "is no list", "a": "is no list", "4-3": "is no list", "1-": "is no list",
		"-3": "is no list",
		"15": "there is no part 15: the order has 14", "3-15": "there is no part 15",
	} {
		_, err := order.ParseNumbers(text, 14)
		require.ErrorContains(t, err, want, text)
	}
}

// What an order cannot be is said before anything is made.
func TestOrdersThatCannotBe(t *testing.T) {
	yes := true
	for want, in := range map[string]order.Input{
		"a gantry's file cannot wait between parts": input(t, "example-co2", 2,
			func(j *job.Job) { j.Fixture.Hold = &yes }),
		"every pocket is skipped": input(t, "example-co2", 2,
			func(j *job.Job) { j.Fixture.Skip = []int{1, 2, 3, 4} }),
		"there is no pocket 5 to skip": input(t, "example-co2", 2,
			func(j *job.Job) { j.Fixture.Skip = []int{5} }),
		"overlaps that of pocket": input(t, "example-co2", 2, func(j *job.Job) {
			j.Fixture.Gap,
				j.Fixture.Pitch = nil, []value.Length{25, 19}
		}),
	} {
		_, err := order.Plan(in)
		require.ErrorContains(t, err, want)
	}
	in := input(t, "example-co2", 2, nil)
	in.Numbers = nil
	_, err := order.Plan(in)
	require.EqualError(t, err, "no part to make")
	in.Numbers = []int{3}
	_, err = order.Plan(in)
	require.EqualError(t, err, "there is no part 3: the order has 2")
	o := plan(t, input(t, "example-fibre", 4, func(j *job.Job) {
		j.Fixture.Gap = []value.Length{80,
			5}
	})) // 120 of 175 mm
	_, err = o.Make(o.Loads[0])
	require.NoError(t, err)
	o = plan(t, input(t, "example-fibre", 4, func(j *job.Job) { j.Fixture.Gap = []value.Length{150, 5} }))
	_, err = o.Make(o.Loads[0])
	require.ErrorContains(t, err, "pocket 1: ")
}

// A fixture that is filled takes as many blanks as the field has room for: what is
// marked, and not the blanks, has to lie in it.
func TestFilledFixtures(t *testing.T) {
	yes := true
	fill := func(j *job.Job) { j.Fixture = job.Fixture{Fill: &yes, Gap: []value.Length{5, 5}} }
	o := plan(t, input(t, "example-fibre", 100, fill))
	// 175 mm take seven blanks of 20 mm with 5 mm between them: 170 mm.
	require.Len(t, o.Pockets, 49)
	require.Len(t, o.Loads, 3)
	require.Len(t, o.Loads[2].Seats, 2)
	require.InDelta(t, -85, o.Pockets[0].At.X, 1e-9)
	require.InDelta(t, 65, o.Pockets[48].At.Y, 1e-9)
}

// The proof shows every look of the order, also of parts that are not made now.
func TestProofShowsWhatAnotherRunMakes(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	in := input(t, "example-fibre", 3, nil)
	drawn, draw := map[int]int{}, in.Source.Draw
	for i := range in.Source.Parts {
		in.Source.Parts[i].Look = i
	}
	in.Source.Draw = func(look int) (work.Drawing, error) {
		drawn[look]++
		return draw(look)
	}
	in.Numbers = []int{2}
	_, w := made(t, in, dir)
	require.Len(t, w.Files, 1)
	require.Len(t, w.Files[0].Parts, 1)
	require.Equal(t, map[int]int{0: 1, 1: 1, 2: 1}, drawn)
	data, err := os.ReadFile(filepath.Join(dir, "proof.pdf"))
	require.NoError(t, err)
	require.True(t, bytes.HasPrefix(data, []byte("%PDF-")))
	require.Equal(t, 3, bytes.Count(data, []byte("/Subtype /Image"))+bytes.Count(data, []byte("/Subtype/Image")))
}
