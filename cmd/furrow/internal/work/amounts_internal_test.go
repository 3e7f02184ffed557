package work

import (
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
	require.Contains(t, w.hotWords(clock.Hottest{Times: 3.01, Power: 0.5}), "gets 188.1 J/cm2 instead of 62.5: ")
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
	require.Len(t, in.narrowWarnings(Strokes{Art: disc(0.9)}), 1)
}

// Five shapes are told one by one, and of six the first, with how many more there are.
func TestShapesOneByOne(t *testing.T) {
	sizes := make([]path.Point, 6)
	all := shapes(sizes...).Shapes
	require.Len(t, shapeWarnings("a.svg", all[:5], "thin"), 5)
	require.Equal(t, []string{"thin; so with 5 shapes more"}, told(shapeWarnings("a.svg", all, "thin")))
}

// A fill by itself is reckoned in focus where nothing else is said.
func TestFactsInFocus(t *testing.T) {
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	require.InDelta(t, 1-0.1/0.15, FactsOf(asFill(rows(0.1).Setting), &m).LineOverlap, 1e-9)
	require.Equal(t, path.Setting{}, SettingOf(job.Fill{}, &m), "nothing asked for")
}

// Work is cut into cells from two on, and without the report of what it no longer is.
func TestCellsFromTwoOn(t *testing.T) {
	in := on(t, "example-co2", rows(1)).Input
	marks, err := Hatch(in, shapes(path.Point{X: 30, Y: 30}), in.Groups)
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
	page := box(0, 0, 20, 10)
	for _, size := range []path.Point{{X: 60, Y: 40}, {X: 40, Y: 60}} {
		scale, err := scaleOf(job.Artwork{Fit: &yes, Margin: length(19.75)}, page, path.Scale(1, 1),
			job.Blank{Width: length(size.X), Height: length(size.Y)})
		require.NoError(t, err)
		require.InDelta(t, min((size.X-39.5)/20, (size.Y-39.5)/10), scale, 1e-12)
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
