package work

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/hatch"
	"furrow/path/route"
)

// Amounts are told as finely as they matter: 20 W at 510 mm/s are 39.2 J/cm2, and 399.2 at
// 100 mm/s and rows 0.0501 mm apart.
func TestAmountsAreRounded(t *testing.T) {
	w := on(t, "example-co2", rows(0.0501))
	w.Alike = []job.Alike{{Machine: *w.Machine, Recipe: settings.Recipe{Recipe: machine.Recipe{ID: "mine",
		SpeedMMPerS: 510, PowerPercent: 50, SpacingMM: 0.1}}}}
	require.Equal(t, []string{"hatch lays down 399 J/cm2, 10 times the 39 of recipe mine: check speed, power and " +
		"spacing"}, told(w.doseWarnings()))
	w.Alike = append(w.Alike, w.Alike[0])
	w.Alike[1].Recipe.ID = "like it"
	require.Contains(t, told(w.doseWarnings())[0], "of recipe mine", "the first of those alike")
	require.Equal(t, []string{"1 span left out (0.5 mm in all): too short to show; --shortest 0mm marks them"},
		told(w.fillWarnings(Strokes{Hatched: hatch.Report{Dust: hatch.Dust{Spans: 1, MM: 0.5}}})))
	require.Equal(t, "--at 1.235,-2.346", atFlag(path.Point{X: 1.23456, Y: -2.34567}))
	require.Contains(t, told(w.rowWarnings(rows(0.00012345678)))[0], "rows 0.000123 mm apart")
	require.Equal(t, "10.123 and 100.246 degrees", AngleWords(hatch.Group{Angles: []float64{10.1234}, Cross: 90.1222}))
	galvo := on(t, "example-fibre", rows(1)).Input
	galvo.Machine.Galvo.FieldMM = [2]float64{100, 60}
	var s Strokes
	s.Program.Append(path.Stroke{}, path.Point{X: 60.126, Y: 70.127}, path.Point{X: 80.126, Y: 80.127})
	require.Equal(t, []string{"moved by -70.13, -75.13 mm to the middle of the field: slide the blank by as much"},
		told(galvo.IntoField(s).Warnings))
}

// An outline's dose is over the narrower width of a beam of 0.08 x 0.12 mm: 5 W at 100 mm/s
// are 62.5 J/cm2, and 3.01 times that 188.1.
func TestDoseOfAnOutlineOfAnUnevenBeam(t *testing.T) {
	w := on(t, "example-diode", rows(0.1))
	require.Equal(t, [2]float64{0.08, 0.12}, w.Machine.Laser.SpotMM)
	w.Moves.Settings = []path.Setting{{SpeedMMPerS: 100}}
	at := path.Point{X: 1.234, Y: 5.678}
	require.Contains(t, w.hotWords(clock.Hottest{At: at, Times: 3.01, Power: 0.5}),
		"X1.23 Y5.68 gets 188.1 J/cm2 instead of 62.5: ")
}

// A shape as wide as the rows are apart is not narrow: a square of 2 mm is 1 mm by its area
// over its edge, and so is a disc of 2 mm, which is followed closely enough to tell.
func TestShapesAsWideAsTheSpacing(t *testing.T) {
	disc := func(r float64) path.Artwork {
		s := path.Shape{Paint: path.Paint{Opacity: 1}}
		s.Path.MoveTo(path.Point{X: r})
		s.Path.ArcTo(path.Point{}, path.Point{X: r}, path.Point{Y: r}, 0, 6.283185307179586, path.Point{X: r})
		return path.Artwork{Page: box(-9, -9, 9, 9), Shapes: []path.Shape{s}}
	}
	in := on(t, "example-co2", rows(1)).Input
	require.Empty(t, in.narrowWarnings(Strokes{Art: shapes(path.Point{X: 2, Y: 2})}))
	require.Empty(t, in.narrowWarnings(Strokes{Art: disc(1.1)}))
	require.Empty(t, in.narrowWarnings(Strokes{Art: shapes(path.Point{X: 5})}), "a line has no width to be filled")
	require.Len(t, in.narrowWarnings(Strokes{Art: disc(0.9)}), 1)
}

// Five shapes are told one by one, and of six the first, with how many more there are.
func TestShapesOneByOne(t *testing.T) {
	sizes := make([]path.Point, 6)
	all := shapes(sizes...).Shapes
	require.Len(t, shapeWarnings("a.svg", all[:5], "thin"), 5)
	many := shapeWarnings("a.svg", all, "thin")
	require.Equal(t, []string{"thin; so with 5 shapes more"}, told(many))
	require.Equal(t, 1, many[0].Line)
}

// A fill by itself is reckoned in focus where nothing else is said.
func TestFactsInFocus(t *testing.T) {
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	require.InDelta(t, 1-0.1/0.15, FactsOf(asFill(rows(0.1).Setting), &m).LineOverlap, 1e-9)
	fibre, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	require.Equal(t, path.Setting{}, SettingOf(job.Fill{}, &fibre), "nothing asked for")
	require.Equal(t, path.Setting{FrequencyHz: 1, PulseNS: fibre.Laser.PulseNS},
		SettingOf(job.Fill{Frequency: &value.Frequency{Hz: 1}}, &fibre))
	require.NotZero(t, fibre.Laser.PulseNS)
}

// Work is cut into cells from two on, and without the report of what it no longer is.
func TestCellsFromTwoOn(t *testing.T) {
	in := on(t, "example-co2", rows(1)).Input
	marks, err := Hatch(in, shapes(path.Point{X: 30, Y: 30}), []hatch.Group{rows(2)})
	require.NoError(t, err)
	require.Equal(t, 15, len(marks.Rows[0].Spans))
	marks, err = Hatch(in, shapes(path.Point{X: 30, Y: 30}), in.Groups)
	require.NoError(t, err)
	require.Equal(t, 30, len(marks.Rows[0].Spans))
	plain, r, err := in.sequence(Strokes{}, marks)
	require.NoError(t, err)
	require.NotZero(t, r)
	for cells, want := range map[int]path.Program{0: plain, 1: plain, 2: route.Scatter(plain, 2)} {
		in.Cells = cells
		got, r, err := in.sequence(Strokes{}, marks)
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, cells < 2, r.Report != (route.Report{}))
	}
	_, err = Hatch(in, shapes(path.Point{X: 30, Y: 30}), []hatch.Group{rows(-1)})
	require.Error(t, err)
}

// Where the page is to fit it takes up what is left of the blank, be that half a millimetre;
// and in a shape that is a thousandth from its own it is not stretched.
func TestScales(t *testing.T) {
	yes, length := true, func(v float64) *value.Length { l := value.Length(v); return &l }
	page := Drawing{Art: path.Artwork{Page: box(0, 0, 20, 10)}}
	for _, size := range []path.Point{{X: 60, Y: 40}, {X: 40, Y: 60}} {
		scale, err := scaleOf(job.Artwork{Fit: &yes, Margin: length(19.75)}, page, path.Scale(1, 1),
			job.Blank{Width: length(size.X), Height: length(size.Y)})
		require.NoError(t, err)
		require.InDelta(t, min((size.X-39.5)/20, (size.Y-39.5)/10), scale, 1e-12)
	}
	for _, size := range []path.Point{{X: 60, Y: 40}, {X: 40, Y: 60}} {
		_, err := scaleOf(job.Artwork{Fit: &yes, Margin: length(20)}, page, path.Scale(1, 1),
			job.Blank{Width: length(size.X), Height: length(size.Y)})
		require.ErrorContains(t, err, "leaves nothing")
	}
	for height, same := range map[float64]bool{20.016: true, 19.984: true, 20.024: false, 19.976: false} {
		_, err := scaleOf(job.Artwork{Width: length(40), Height: length(height)}, page, path.Scale(1, 1), job.Blank{})
		require.Equal(t, same, err == nil, "%g", height)
	}
	require.InDelta(t, 1, mostPast(box(4, 10, 5, 11), box(5, 3, 20, 20)), 1e-9, "past the left side alone")
}

// The width at which work fits is that of the page as it lies: of 100 mm, twice its own.
func TestSmallerOfAWiderPage(t *testing.T) {
	w := on(t, "example-fibre", rows(1))
	wide := value.Length(100)
	w.Job.Artwork.At, w.Job.Artwork.Width, w.Drawing.Art.Page = &value.Point{X: 5}, &wide, box(0, 0, 50, 20)
	hint := w.offField(&emit.FieldError{Field: path.Point{X: 100, Y: 60}, Bounds: box(-60, 0, 140, 40)}).failure.Hint
	require.Contains(t, hint, ": --width 49.5mm --at -17.325,-9.9")
}

// Work that the machine has no room for is refused where it is put in sequence, but for work
// that is only looked at, or that is moved before it is planned; rows of no machine fall on
// no grid.
func TestWhereWorkIsRefused(t *testing.T) {
	in := on(t, "example-fibre", rows(5)).Input
	in.Drawing.Art = shapes(path.Point{X: 500, Y: 20})
	var u *UnfitError
	_, err := Fill(in)
	require.ErrorAs(t, err, &u)
	lenient, aside := in, in
	lenient.Lenient, aside.Aside = true, true
	for _, in := range []Input{lenient, aside} {
		_, err = Fill(in)
		require.NoError(t, err)
	}
	marks, err := Hatch(in, in.Drawing.Art, in.Groups)
	require.NoError(t, err)
	_, err = Sequence(in, marks)
	require.NoError(t, err)
	in.Machine = nil
	require.Empty(t, in.rowWarnings(rows(0.0001)))
}

// The stages of work are heard once each, and an end that was asked for is told.
func TestStagesAreHeardOnce(t *testing.T) {
	in := on(t, "example-co2", rows(1)).Input
	in.Drawing.Art = shapes(path.Point{X: 30, Y: 30}, path.Point{X: 20, Y: 40})
	normal := "normal"
	in.Job.Effort = &normal
	var heard []string
	in.Observe.Stage = func(name string, step func() error) error {
		heard = append(heard, name)
		return step()
	}
	s, err := Fill(in)
	require.NoError(t, err)
	require.Equal(t, []string{"hatch", "sequence"}, heard)
	require.NotContains(t, told(s.Warnings), "interrupted: the sequence is the best found so far, every mark is in it")
	ended, end := context.WithCancel(context.Background())
	end()
	in.Observe.Search = func() (context.Context, func(done, total int), func()) { return ended, nil, func() {} }
	s, err = Fill(in)
	require.NoError(t, err)
	require.Contains(t, told(s.Warnings), "interrupted: the sequence is the best found so far, every mark is in it")
}

// An outline is odd by its own speed.
func TestOutlineThatIsOdd(t *testing.T) {
	w := on(t, "example-fibre", rows(0.05))
	w.Machine.Galvo.MaxSpeedMMPerS = 7000
	w.Groups[0].Outline = hatch.Outline{When: hatch.After, Setting: path.Setting{SpeedMMPerS: 8000, Power: 0.5}}
	w.Fills[0].Spec.OutlineSpeed = value.Given(value.Number(8000))
	require.ErrorContains(t, w.withinMachine(), "hatch outline: speed 8000 mm/s is above the scanner's most")
	require.NotContains(t, w.withinMachine().Error(), "hatch: speed")
}

// Marks that touch the edge of the blank, or leave it by no more than the bleed, are well
// where no margin is asked for; work that is only looked at is told what would be refused.
func TestMarksAtTheEdgeOfTheBlank(t *testing.T) {
	w := on(t, "example-co2", rows(1))
	w.Job.Blank = job.Blank{Width: value.Given(value.Length(60)), Height: value.Given(value.Length(40))}
	w.Job.Artwork.At = &value.Point{}
	require.Equal(t, emit.Blank{Rect: box(0, 0, 60, 40)}, w.Blank())
	w.Clock.Marks = box(0, 0, 60, 40)
	require.NoError(t, w.onBlank())
	w.Job.Blank.Bleed, w.Clock.Marks = value.Given(value.Length(2)), box(-1, 0, 60, 40)
	require.NoError(t, w.onBlank())
	require.Empty(t, w.Warnings)
	w.Clock.Marks = box(-3, 0, 60, 40)
	require.Error(t, w.onBlank())
	require.Empty(t, w.Warnings)
	w.Lenient = true
	require.NoError(t, w.onBlank())
	require.Contains(t, told(w.Warnings)[0], "marks reach past the blank of 60.0 x 40.0 mm")
}

// Rows that go both ways on a gantry of which nothing was measured may stagger.
func TestStaggerIsToldWithAWayOut(t *testing.T) {
	w := on(t, "example-co2", rows(1))
	g := *w.Machine.Gantry
	g.BacklashMM, g.Reversal, g.BeamOnLatencyUS, g.BeamOffLatencyUS = [2]float64{}, nil, 0, 0
	w.Machine.Gantry = &g
	w.Program.Settings = []path.Setting{{SpeedMMPerS: 100, SpacingMM: 1}}
	w.Program.Append(path.Stroke{Kind: path.SpanStroke}, path.Point{}, path.Point{X: 50})
	w.Program.Append(path.Stroke{Kind: path.SpanStroke}, path.Point{X: 50, Y: 1}, path.Point{Y: 1})
	all := told(w.motionWarnings())
	require.NotEmpty(t, all)
	require.Contains(t, all[0], "; use --one-way, or measure it: furrow help stagger")
}
