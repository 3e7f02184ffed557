package order_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/product"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/emit/gcode"
	"furrow/path"
	"furrow/raster/paper"

	"github.com/stretchr/testify/require"
)

// lines are those of a summary, by their heads.
func lines(text string) map[string]string {
	all := map[string]string{}
	for line := range strings.Lines(text) {
		all[strings.TrimSpace(line[:12])] = strings.TrimSpace(line[12:])
	}
	return all
}

// The facts of an order for programs: two loads that are alike run one file, and the last
// part another.
func TestFiguresOfAnOrder(t *testing.T) {
	change := value.Number(30)
	o, w := made(t, input(t, "example-fibre", 9, func(j *job.Job) { j.Order.Loading = &change }), filepath.Join(t.TempDir(), "out"))
	f := o.Figures(w)
	require.Equal(t, []any{"tree tags", "example-fibre", 9, 4, 3}, []any{f.Order, f.Machine, f.Parts, f.Pockets, f.Loads})
	require.InDelta(t, w.Marking.Seconds(), f.MarkingS, 1e-12)
	require.InDelta(t, 270, f.LoadingS, 1e-12)
	require.Nil(t, f.Heat)
	require.Len(t, f.Files, 2)
	for i, x := range w.Files {
		require.Equal(t, order.FileFigures{Name: x.Name, Runs: 2 - i, Lines: x.Lines, CRC: x.CRC, SHA256: x.SHA256, Seconds: x.Time.Seconds()}, f.Files[i])
	}
	require.Len(t, f.Added, 8)
	for _, none := range [][]string{f.Altered, f.Same, f.TakenAway} {
		require.NotNil(t, none)
		require.Empty(t, none)
	}
	w.Span = figures.Span{}
	f = o.Figures(w)
	require.Zero(t, f.Least+f.Most)
	require.Empty(t, f.Assumed)
	w.Span = figures.Span{Low: 90 * time.Second, High: 2 * time.Minute, Assumed: []string{"the acceleration"}}
	f = o.Figures(w)
	require.Equal(t, []any{90.0, 120.0, []string{"the acceleration"}}, []any{f.Least, f.Most, f.Assumed})
}

// A trial makes every load and writes nothing; it comes to the time of the real thing.
func TestTrial(t *testing.T) {
	in := input(t, "example-fibre", 5, nil)
	_, w := made(t, in, filepath.Join(t.TempDir(), "out"))
	o := plan(t, input(t, "example-fibre", 5, nil))
	dry, err := o.Try()
	require.NoError(t, err)
	require.Equal(t, w.Marking, dry.Marking)
	require.Equal(t, 2, dry.Runs)
	require.Equal(t, w.Files[1].Parts, dry.Files[1].Parts)
	var b bytes.Buffer
	o.DrySummary(&b, dry)
	got := lines(b.String())
	require.Equal(t, "2 loads from 2 files; all of them fit", got["loads"])
	require.Equal(t, "nothing: --dry", got["written"])
	require.Contains(t, got["time"], " marking; loading time not included")
	require.Equal(t, "example fibre galvo: a built-in example, not your machine", got["machine"])
	require.Contains(t, got["fixture"], "4 pockets")
}

// The time that is assumed of each file counts once for each of its loads.
func TestSpansOfLoads(t *testing.T) {
	_, w := made(t, input(t, "example-fibre", 9, func(j *job.Job) {}), filepath.Join(t.TempDir(), "out"))
	var sum figures.Span
	for _, f := range w.Files {
		require.Less(t, f.Span.Low, f.Time)
		require.Greater(t, f.Span.High, f.Time)
		require.Contains(t, f.Span.Assumed, "jump delay")
		sum.Low += time.Duration(len(f.Loads)) * f.Span.Low
		sum.High += time.Duration(len(f.Loads)) * f.Span.High
		sum.Assumed = f.Span.Assumed
	}
	require.Equal(t, sum, w.Span)
}

// What is each part's own stands in the table and the file of the parts, and parts that
// differ are looked at quickly unless somebody says how long.
func TestTextsOfParts(t *testing.T) {
	in := input(t, "example-fibre", 3, func(j *job.Job) { j.Effort = nil })
	for i := range in.Source.Parts {
		in.Source.Parts[i].Look = i
		in.Source.Parts[i].Texts = []paper.Fact{{Label: "species", Text: []string{"oak", "ash", "elm"}[i]}}
	}
	var efforts []string
	in.Settle = func(w work.Input) (work.Input, error) {
		efforts = append(efforts, value.Or(w.Job.Effort, "none said"))
		require.Zero(t, w.Times)
		return w, nil
	}
	var proved []int
	in.Source.Prove = func(look int, s work.Strokes) error {
		proved = append(proved, look)
		require.Len(t, s.Program.Strokes, 10)
		return nil
	}
	in.Numbers, in.Name = []int{2, 3}, "part-2"
	dir := filepath.Join(t.TempDir(), "out")
	o, w := made(t, in, dir)
	require.Subset(t, proved, []int{1, 2})
	for _, e := range efforts {
		require.Equal(t, "quick", e)
	}
	var b bytes.Buffer
	require.NoError(t, o.WriteParts(&b))
	require.Equal(t, "PART  LOAD  POCKET  FILE           SPECIES\n2     1     1       part-2-01.mvl  ash\n3     1     2       part-2-01.mvl  elm\n", b.String())
	data, err := os.ReadFile(filepath.Join(dir, "part-2-parts.csv"))
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(data), "part,load,pocket,file,first_line,predicted_s,species\n2,1,1,part-2-01.mvl,"), string(data))
	require.True(t, strings.HasSuffix(string(data), ",elm\n"))
	b.Reset()
	o.Summary(&b, "out", w)
	got := lines(b.String())
	require.Equal(t, "parts 2, 3 of 3 of 20 x 20 mm", got["parts"])
	require.Empty(t, got["first"], "only some parts")
	o.Source.Table = func(out io.Writer) error {
		_, err := io.WriteString(out, "own")
		return err
	}
	b.Reset()
	require.NoError(t, o.WriteParts(&b))
	require.Equal(t, "own", b.String())

	p, err := o.FirstPicture()
	require.NoError(t, err)
	require.InDelta(t, 20, p.WMM, 0.9, "many side by side need no rulers")
	require.InDelta(t, 20, p.HMM, 0.9)

	same := input(t, "example-fibre", 3, func(j *job.Job) { j.Effort = nil })
	same.Settle = func(w work.Input) (work.Input, error) {
		require.Equal(t, 3, w.Times, "what is marked three times is worth looking at")
		require.Nil(t, w.Job.Effort)
		return w, nil
	}
	plan(t, same)
	broken := errors.New("it cannot be read")
	in.Source.Prove = func(int, work.Strokes) error { return broken }
	_, err = order.Plan(in)
	require.ErrorIs(t, err, broken)
	in.Source.Prove, in.Pause = nil, func(_ work.Input, s work.Strokes) (work.Strokes, error) { return s, broken }
	_, err = order.Plan(in)
	require.ErrorIs(t, err, broken)
	in.Pause, in.Settle = nil, func(w work.Input) (work.Input, error) { return w, broken }
	_, err = order.Plan(in)
	require.ErrorIs(t, err, broken)
	in.Settle, in.Source.Draw = nil, func(int) (work.Drawing, error) { return work.Drawing{}, broken }
	_, err = order.Plan(in)
	require.ErrorIs(t, err, broken)
}

// What there are no parts for is refused.
func TestPartsThatAreNotThere(t *testing.T) {
	in := input(t, "example-fibre", 3, nil)
	in.Numbers = nil
	_, err := order.Plan(in)
	require.EqualError(t, err, "no part to make")
	in.Numbers = []int{2, 4}
	_, err = order.Plan(in)
	require.EqualError(t, err, "there is no part 4: the order has 3")
	for text, want := range map[string][]int{"3": {3}, "1-3": {1, 2, 3}, " 5 , 2 - 3,3": {2, 3, 5}, "5-5": {5}} {
		got, err := order.ParseNumbers(text, 5)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	for text, want := range map[string]string{
		"": `"" is no list of parts`, "x": "is no list", "0": "is no list", "3-2": "is no list", "1-x": "is no list", "6": "there is no part 6: the order has 5",
		"1-6": "there is no part 6: the order has 5", "1,,2": "is no list",
	} {
		_, err := order.ParseNumbers(text, 5)
		require.ErrorContains(t, err, want, text)
	}
}

// The first article counts as accepted when the log says so.
func TestAcceptedFirstArticle(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	made(t, input(t, "example-fibre", 2, nil), dir)
	is, err := order.Accepted(dir)
	require.NoError(t, err)
	require.False(t, is)
	log := filepath.Join(dir, order.LogName)
	require.NoError(t, runlog.Append(log, runlog.Run{Date: "2026-12-01", Machine: "m", What: runlog.Accepted}))
	is, err = order.Accepted(dir)
	require.NoError(t, err)
	require.True(t, is)
	// A second run keeps the log as it stands.
	before, err := os.ReadFile(log)
	require.NoError(t, err)
	made(t, input(t, "example-fibre", 3, nil), dir)
	after, err := os.ReadFile(log)
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
}

// A folder that is another's is refused, and so is what was changed by hand; what is gone
// is made again.
func TestFoldersOfOthers(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, order.CheckFolder(dir), "empty")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "letter.txt"), nil, 0o600))
	var not *product.NotOurs
	require.ErrorAs(t, order.CheckFolder(dir), &not)
	_, err := plan(t, input(t, "example-fibre", 1, nil)).Write(dir, paper.A4, nil)
	require.ErrorAs(t, err, &not)
	require.Error(t, order.CheckFolder(filepath.Join(dir, "no", "where")))
	dir = filepath.Join(dir, "out")
	require.NoError(t, order.CheckFolder(dir))
	made(t, input(t, "example-fibre", 5, nil), dir)
	write := func() error {
		_, err := plan(t, input(t, "example-fibre", 5, nil)).Write(dir, paper.A4, nil)
		return err
	}
	for _, name := range []string{"load-02.mvl", "proof.pdf"} {
		file := filepath.Join(dir, name)
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(file, append(data, '\n'), 0o600))
		require.EqualError(t, write(), name+" in "+dir+" was changed since it was made, and would be overwritten")
		require.NoError(t, os.Remove(file))
		require.NoError(t, write())
		require.FileExists(t, file)
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "order.toml"), []byte("broken"), 0o600))
	require.ErrorContains(t, write(), "order.toml:1")
	_, err = order.Open(dir)
	require.ErrorContains(t, err, "order.toml:1")
}

// Loads that the machine cannot do say which pocket it is, and what would help.
func TestLoadsThatDoNotFit(t *testing.T) {
	try := func(machine string, change func(*job.Job)) error {
		o, err := order.Plan(input(t, machine, 4, change))
		if err == nil {
			_, err = o.Try()
		}
		return err
	}
	gap := func(x, y value.Length) func(*job.Job) {
		return func(j *job.Job) { j.Fixture.Gap = []value.Length{x, y} }
	}
	// 20 mm and 585 make a second column from 605 on a bed of 600 mm.
	err := try("example-co2", gap(585, 5))
	require.ErrorContains(t, err, "load 1: pocket 2: ")
	require.Equal(t, "fewer columns of the fixture, or a smaller pitch; fixture.fill = true lays out as many as fit", hint(t, err))
	err = try("example-co2", gap(5, 385))
	require.ErrorContains(t, err, "load 1: pocket 3: ")
	require.Contains(t, hint(t, err), "fewer rows of the fixture")
	require.Contains(t, hint(t, try("example-co2", gap(585, 385))), "fewer columns and fewer rows of the fixture")
	// About the middle of 175 mm, two blanks 138 mm apart have marks from -87 mm.
	require.NoError(t, try("example-fibre", gap(138, 5)))
	err = try("example-fibre", gap(140, 5))
	require.ErrorContains(t, err, "pocket 1: ")
	require.Contains(t, hint(t, err), "skip it, take fewer columns or rows")
	clamped := func(j *job.Job) { j.KeepOut = append(j.KeepOut, [4]float64{25, 26, 35, 40}) }
	require.ErrorContains(t, try("example-co2", clamped), "load 1: pocket 4: ")
	hold := true
	require.ErrorContains(t, try("example-co2", func(j *job.Job) { j.Fixture.Hold = &hold }), "a gantry's file cannot wait between parts")
	require.ErrorContains(t, try("example-co2", gap(-1, 5)), "pocket 2: its blank of 20 x 20 mm overlaps that of pocket 1 by 1 mm")
	require.ErrorContains(t, try("example-co2", func(j *job.Job) { j.Fixture.Skip = []int{5} }), "there is no pocket 5 to skip")
}

func hint(t *testing.T, err error) string {
	t.Helper()
	var f *fault.Failure
	require.ErrorAs(t, err, &f)
	return f.Hint
}

// On a galvo the machine waits before each part but the first, where it is asked to.
func TestHoldBetweenParts(t *testing.T) {
	hold := true
	for _, want := range []bool{true, false} {
		in := input(t, "example-fibre", 3, func(j *job.Job) {
			if want {
				j.Fixture.Hold = &hold
			}
		})
		o := plan(t, in)
		m, err := o.Make(o.Loads[0])
		require.NoError(t, err)
		holds, marks := 0, 0
		for mv, err := range m.Moves.All() {
			require.NoError(t, err)
			switch mv.Kind {
			case emit.Hold:
				holds++
				require.Positive(t, marks, "not before the first")
			case emit.Mark:
				marks++
			}
		}
		require.Equal(t, map[bool]int{true: 2, false: 0}[want], holds)
	}
}

// A load's file tells where its blanks lie, unless one lies aslant; a gantry's trace runs
// slowly with the beam off.
func TestBlanksAndTraceInFiles(t *testing.T) {
	o := plan(t, input(t, "example-co2", 2, func(j *job.Job) { j.Blank.Bleed = length(0.5) }))
	m, err := o.Make(o.Loads[0])
	require.NoError(t, err)
	require.Len(t, m.Moves.Header.Blanks, 2)
	b := m.Moves.Header.Blanks[1]
	require.InDelta(t, 0, b.Rect.Min.Dist(path.Point{X: 25})+b.Rect.Max.Dist(path.Point{X: 45, Y: 20}), 1e-9)
	require.Equal(t, 0.5, b.Bleed)
	turn := value.Number(30)
	o = plan(t, input(t, "example-co2", 2, func(j *job.Job) { j.Fixture.Turn, j.Fixture.Gap = &turn, []value.Length{5, 5} }))
	m, err = o.Make(o.Loads[0])
	require.NoError(t, err)
	require.Empty(t, m.Moves.Header.Blanks)

	in := input(t, "example-co2", 2, nil)
	in.Trace = true
	dir := filepath.Join(t.TempDir(), "out")
	o, _ = made(t, in, dir)
	data, err := os.ReadFile(filepath.Join(dir, "locate-fixture.nc"))
	require.NoError(t, err)
	require.Contains(t, string(data), "(locating trace of the fixture: beam off throughout)")
	require.Contains(t, string(data), "(pocket 2)")
	moves, err := gcode.Read(bytes.NewReader(data), o.Machine.Controller())
	require.NoError(t, err)
	for mv, err := range moves.All() {
		require.NoError(t, err)
		require.Zero(t, mv.Power)
		if mv.Speed > 0 {
			require.LessOrEqual(t, mv.Speed, 20.0+1e-9)
		}
	}
	old, err := order.Open(dir)
	require.NoError(t, err)
	for _, out := range old.Outputs {
		if out.Name == "locate-fixture.nc" {
			require.Equal(t, strings.Count(string(data), "\n"), out.Lines)
		}
	}
}

// A pocket lies on the file's grid, a micrometre in G-code; a source without pulses has
// none on the sheet.
func TestPocketsOnTheGrid(t *testing.T) {
	o := plan(t, input(t, "example-co2", 4, func(j *job.Job) { j.Fixture.Gap = []value.Length{5.00049, 5.00051} }))
	require.InDelta(t, 25, o.Pockets[3].At.X, 1e-9)
	require.InDelta(t, 25.001, o.Pockets[3].At.Y, 1e-9)
	for _, s := range o.SheetSettings() {
		for _, f := range s.Facts {
			require.NotEqual(t, "Pulses", f.Label)
		}
	}
}

// The picture of a load shows all of its pockets: where they are 40 mm farther apart it is
// as much wider.
func TestPictureOfALoad(t *testing.T) {
	wide := func(gap value.Length) float64 {
		o := plan(t, input(t, "example-co2", 4, func(j *job.Job) { j.Fixture.Gap = []value.Length{gap, 5} }))
		m, err := o.Make(o.Loads[0])
		require.NoError(t, err)
		p, err := o.LoadPicture(m)
		require.NoError(t, err)
		require.Greater(t, p.WMM, 40+float64(gap), "all of the pockets")
		return p.WMM
	}
	require.InDelta(t, 40, wide(100)-wide(60), 3)
}

// A summary tells how warm a part gets by itself, what was done about it, how rows run, on
// which machine, and the caution.
func TestSummaryTellsAllOfIt(t *testing.T) {
	across := "across"
	in := input(t, "example-co2", 4, func(j *job.Job) {
		j.Blank.Thickness, j.Blank.Material, j.Fixture.Sequence = length(1), "6061", &across
	})
	in.Cooled = func() [][2]string { return [][2]string{{"spread", "kept the plain sequence"}} }
	o, w := made(t, in, filepath.Join(t.TempDir(), "out"))
	var b bytes.Buffer
	o.Summary(&b, "out", w)
	got := lines(b.String())
	require.Contains(t, got["heat"], " K on average")
	require.True(t, strings.HasSuffix(got["heat"], ", a part marked by itself"), got["heat"])
	require.Equal(t, 1, strings.Count(b.String(), "a part marked by itself"))
	require.Equal(t, "kept the plain sequence", got["spread"])
	require.Equal(t, w.Across, got["sequence"])
	require.NotEmpty(t, got["sequence"])
	require.Equal(t, "example CO2 gantry: a built-in example, not your machine", got["machine"])
	require.NotEmpty(t, got["caution"])
	require.NotNil(t, o.Figures(w).Heat)
}

// A gantry's file tells how long it takes.
func TestTimeInTheFile(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	o, w := made(t, input(t, "example-co2", 2, nil), dir)
	data, err := os.ReadFile(filepath.Join(dir, "load-01.nc"))
	require.NoError(t, err)
	m, err := gcode.Read(bytes.NewReader(data), o.Machine.Controller())
	require.NoError(t, err)
	require.InDelta(t, w.Files[0].Time.Seconds(), m.Header.Time.Seconds(), 0.01)
}
