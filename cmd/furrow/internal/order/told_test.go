package order_test

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"image"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/order"
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
	o, w := made(t, input(t, "example-fibre", 9, func(j *job.Job) { j.Order.Loading = &change }),
		filepath.Join(t.TempDir(), "out"))
	f := o.Figures(w)
	require.Equal(t, []any{"tree tags", "example-fibre", 9, 4, 3}, []any{f.Order, f.Machine, f.Parts,
		f.Pockets, f.Loads})
	require.InDelta(t, w.Marking.Seconds(), f.MarkingS, 1e-12)
	require.InDelta(t, 270, f.LoadingS, 1e-12)
	require.Nil(t, f.Heat)
	require.Len(t, f.Files, 2)
	for i, x := range w.Files {
		require.Equal(t, order.FileFigures{Name: x.Name, Runs: 2 - i, Lines: x.Lines, CRC: x.CRC, SHA256: x.SHA256,
			Seconds: x.Time.Seconds()}, f.Files[i])
	}
	require.Len(t, f.Added, 8)
	var b bytes.Buffer
	o.Summary(&b, "out", w)
	require.Regexp(t, ` crc [0-9a-f]{8}, run 2 times$`, lines(b.String())["load-01.mvl"])
	require.Regexp(t, ` crc [0-9a-f]{8}$`, lines(b.String())["load-02.mvl"])
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

// What a job leaves open is settled by the order's first part, whichever parts are made.
func TestSettledAsTheFirstPart(t *testing.T) {
	in := input(t, "example-fibre", 3, func(j *job.Job) { j.Fill.Angle = &value.Angles{} })
	draw := in.Source.Draw
	var drawn, settled []int
	in.Source.Draw = func(look int) (work.Drawing, error) {
		drawn = append(drawn, look)
		return draw(0)
	}
	for i := range in.Source.Parts {
		in.Source.Parts[i].Look = i
	}
	in.Settle = func(w work.Input) (work.Input, error) {
		settled = append(settled, drawn[len(drawn)-1])
		return w, nil
	}
	in.Numbers = []int{3}
	_, err := order.Plan(in)
	require.NoError(t, err)
	require.Equal(t, []int{0, 2}, settled)
	settled, in.Numbers = nil, []int{1, 3}
	_, err = order.Plan(in)
	require.NoError(t, err)
	require.Equal(t, []int{0}, settled)
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
	require.Equal(t, "PART  LOAD  POCKET  FILE           SPECIES\n2     1     1       part-2-01.mvl  ash\n"+
		"3     1     2       part-2-01.mvl  elm\n", b.String())
	data, err := os.ReadFile(filepath.Join(dir, "part-2-parts.csv"))
	require.NoError(t, err)
	require.True(t, strings.HasPrefix(string(data),
		"part,load,pocket,file,first_line,predicted_s,species\n2,1,1,part-2-01.mvl,"), string(data))
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
		var said bytes.Buffer
		o.DrySummary(&said, order.Written{})
		require.Equal(t, want, strings.Contains(said.String(), "waits for the operator before each part but the first"))
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

// A load's file tells where its blanks lie, aslant too; a gantry's trace runs slowly with the
// beam off.
func TestBlanksAndTraceInFiles(t *testing.T) {
	o := plan(t, input(t, "example-co2", 2, func(j *job.Job) { j.Blank.Bleed = length(0.5) }))
	m, err := o.Make(o.Loads[0])
	require.NoError(t, err)
	require.Len(t, m.Moves.Header.Blanks, 2)
	b := m.Moves.Header.Blanks[1]
	require.InDelta(t, 0, b.Rect.Min.Dist(path.Point{X: 25})+b.Rect.Max.Dist(path.Point{X: 45, Y: 20}), 1e-9)
	require.Equal(t, 0.5, b.Bleed)
	plain := plan(t, input(t, "example-co2", 2, nil))
	m, err = plain.Make(plain.Loads[0])
	require.NoError(t, err)
	require.Equal(t, []float64{0, 0}, []float64{m.Moves.Header.Blanks[0].Bleed, m.Moves.Header.Blanks[1].Bleed})
	turn := value.Number(30)
	o = plan(t, input(t, "example-co2", 2, func(j *job.Job) {
		j.Fixture.Turn, j.Fixture.Gap = &turn, []value.Length{5, 5}
	}))
	m, err = o.Make(o.Loads[0])
	require.NoError(t, err)
	require.Len(t, m.Moves.Header.Blanks, 2) // 20·(cos 30 + sin 30) = 27.3205 mm wide, and 5 between
	for i, b := range m.Moves.Header.Blanks {
		require.InDelta(t, 30, b.Turn, 0)
		middle := path.Point{X: 27.3205/2 + float64(i)*32.3205, Y: 27.3205 / 2}
		require.InDelta(t, 0, b.Rect.Centre().Dist(middle), 0.002) // on the file's grid
	}

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
	i := slices.IndexFunc(old.Outputs, func(out order.Output) bool { return out.Name == "locate-fixture.nc" })
	require.NotEqual(t, -1, i)
	require.Equal(t, strings.Count(string(data), "\n"), old.Outputs[i].Lines)
	require.Equal(t, fmt.Sprintf("%x", sha256.Sum256(data)), old.Outputs[i].SHA256)
	require.Contains(t, string(data), "crc "+old.Outputs[i].CRC)

	// A clamp that stands on the blank's upper edge is in the way of the trace alone.
	in = input(t, "example-co2", 2, func(j *job.Job) { j.KeepOut = append(j.KeepOut, [4]float64{30, 19, 40, 24}) })
	_, err = plan(t, in).Write(filepath.Join(t.TempDir(), "out"), paper.A4, nil)
	require.NoError(t, err)
	in.Trace = true
	_, err = plan(t, in).Write(filepath.Join(t.TempDir(), "out"), paper.A4, nil)
	require.ErrorContains(t, err, "the trace of the fixture: ")
}

// A pocket lies on the file's grid, a micrometre in G-code; a source without pulses has
// none on the sheet.
func TestPocketsOnTheGrid(t *testing.T) {
	odd := func(j *job.Job) { j.Fixture.Gap = []value.Length{5.00049, 5.00051} }
	o := plan(t, input(t, "example-co2", 4, odd))
	require.InDelta(t, 25, o.Pockets[3].At.X, 1e-9)
	require.InDelta(t, 25.001, o.Pockets[3].At.Y, 1e-9)
	// A list's is a tenth of that. The middle of both lies at 0,0, so that each is half of 25.00049 from it.
	galvo := plan(t, input(t, "example-fibre", 4, odd))
	require.InDelta(t, 25.00049/2-10, galvo.Pockets[3].At.X, 1e-4)
	for _, p := range galvo.Pockets {
		for _, mm := range []float64{p.At.X, p.At.Y} {
			require.InDelta(t, math.Round(mm*1e4), mm*1e4, 1e-6)
		}
	}
	require.NotEqual(t, math.Round(1e3*galvo.Pockets[3].At.X), 1e3*galvo.Pockets[3].At.X, "and no coarser")
	// One blank lies where the job has it: its corner at X0 Y0, or its middle in the middle of the field.
	for machine, at := range map[string]path.Point{"example-co2": {}, "example-fibre": {X: -10, Y: -10}} {
		one := plan(t, input(t, machine, 1, func(j *job.Job) { j.Fixture = job.Fixture{} }))
		require.Equal(t, []fixture.Pocket{{Number: 1, At: at}}, one.Pockets)
	}
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
	// It says of which file it is.
	o := plan(t, input(t, "example-co2", 4, nil))
	m, err := o.Make(o.Loads[0])
	require.NoError(t, err)
	named := func(file string) image.Image {
		m.File = file
		p, err := o.LoadPicture(m)
		require.NoError(t, err)
		img, err := p.Image()
		require.NoError(t, err)
		return img
	}
	require.Equal(t, named("load-01.nc"), named("load-01.nc"))
	require.NotEqual(t, named("load-01.nc"), named("load-02.nc"))
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
