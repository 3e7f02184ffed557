package work

import (
	"errors"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/emit"
	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

func box(x0, y0, x1, y1 float64) path.Rect {
	return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
}

// A shift goes to the next tenth of a millimetre, away from 0.
func TestShiftsAreRoundedOutwards(t *testing.T) {
	for mm, want := range map[float64]float64{1.01: 1.1, 1: 1, -1.01: -1.1, -1: -1, 0.3: 0.3, 0: 0, 2.19: 2.2} {
		require.InDelta(t, want, roundOutwards(mm), 1e-12)
	}
	blank := box(0, 0, 60, 40)
	for marks, want := range map[path.Rect]float64{
		box(-1.234, 0, 5, 5): 1.24, box(0, -2, 5, 5): 2, box(0, 0, 63.5, 5): 3.5, box(0, 0, 5, 44.001): 4.01,
		box(-1, -1, 62, 41): 2,
	} {
		require.InDelta(t, want, mostPast(marks, blank), 1e-9)
	}
}

// A speed that no axis has may be meant in mm/min: above what two axes make together, 583
// mm/s of 500 and 300.
func TestSpeedsThatMayBePerMinute(t *testing.T) {
	for speed, want := range map[float64]string{
		600: "speeds are in mm/s: 600 mm/min is 10 mm/s", 580: "", 36_000: "",
		34_980: "speeds are in mm/s: 34980 mm/min is 583 mm/s",
	} {
		w := on(t, "example-co2", rows(1))
		w.Program.Settings = []path.Setting{{SpeedMMPerS: 100}, {SpeedMMPerS: speed}}
		e := &UnfitError{fault.Workf("too fast")}
		require.Equal(t, e, w.perMinute(e))
		require.Equal(t, want, e.failure.Hint, speed)
	}
}

// Work off a field of 100 x 60 mm that fits it, or turned, is told where it would: about
// 40,20 and placed at 5,0 it goes to -35,-20, and turned, when 35,20 becomes -20,35, to
// 20,-35.
func TestHintsOfWorkOffTheField(t *testing.T) {
	hint := func(b path.Rect, change func(*job.Artwork)) string {
		w := on(t, "example-fibre", rows(1))
		w.Job.Artwork.At = &value.Point{X: 5}
		w.Drawing.Art.Page = box(0, 0, 50, 20)
		if change != nil {
			change(&w.Job.Artwork)
		}
		return w.offField(&emit.FieldError{Field: path.Point{X: 100, Y: 60}, Bounds: b}).failure.Hint
	}
	require.Contains(t, hint(box(20, 0, 60, 40), nil), ": --at -35,-20")
	require.Contains(t, hint(box(30, -20, 50, 60), nil), ": --rotate 90 --at 20,-35")
	require.Contains(t, hint(box(30, -20, 50, 60), func(a *job.Artwork) { a.Rotate = value.Given(value.Number(300)) }),
		": --rotate 30 --at 20,-35")
	// 200 mm of the work make a page of 50 mm 24.7 mm wide, so that a row more has room.
	require.Contains(t, hint(box(-60, 0, 140, 40), nil), ": --width 24.7mm --at -17.29,-9.88")
	require.Contains(t, hint(box(-20, -30, 80, 90), nil), ": --width 24.5mm --at -12.25,-14.7")
	fit := true
	require.NotContains(t, hint(box(-60, 0, 140, 40), func(a *job.Artwork) { a.Fit = &fit }), "--")
	w := on(t, "example-fibre", rows(1))
	require.Empty(t, w.offField(errors.New("no field")).failure.Hint)
}

// Work is slid into the field where it fits as it lies, nobody says where it goes, and it
// is out.
func TestWhatIsSlidIntoTheField(t *testing.T) {
	strokes := func(x, y float64) (s Strokes) {
		s.Program.Append(path.Stroke{}, path.Point{X: x, Y: y}, path.Point{X: x + 20, Y: y + 10})
		return s
	}
	in := on(t, "example-fibre", rows(1)).Input
	in.Machine.Galvo.FieldMM = [2]float64{100, 60}
	s := in.IntoField(strokes(60, 40))
	require.Equal(t, box(-10, -5, 10, 5), s.Program.Bounds())
	require.Equal(t, []string{"moved by -70, -45 mm to the middle of the field: slide the blank by as much"},
		told(s.Warnings))
	require.Empty(t, in.IntoField(strokes(10, 0)).Warnings)
	var long Strokes
	long.Program.Append(path.Stroke{}, path.Point{}, path.Point{X: 120})
	require.Equal(t, long, in.IntoField(long))
	in.Job.Artwork.At = &value.Point{}
	require.Equal(t, strokes(60, 40), in.IntoField(strokes(60, 40)))
	gantry := on(t, "example-co2", rows(1)).Input
	require.Equal(t, strokes(60, 40), gantry.IntoField(strokes(60, 40)))
}

// What the machine has no room for is told from what cannot be planned.
func TestWhatIsUnfit(t *testing.T) {
	var u *UnfitError
	require.ErrorAs(t, unplanned(&emit.FieldError{Field: path.Point{X: 10, Y: 10}, Bounds: box(0, 0, 20, 5)}), &u)
	require.NotEmpty(t, u.failure.Hint)
	require.ErrorAs(t, unplanned(&emit.CoverError{}), &u)
	require.False(t, errors.As(unplanned(errors.New("broken")), &u))
	// It is told before a better sequence is looked for.
	var far path.Program
	far.Append(path.Stroke{}, path.Point{}, path.Point{X: 500})
	require.ErrorAs(t, on(t, "example-fibre", rows(1)).fits(Strokes{}, far), &u)
	// Without a machine there are strokes, and no moves.
	w, err := Plan(Input{}, Strokes{Warnings: []Warning{{Message: "a"}}})
	require.NoError(t, err)
	require.Equal(t, []string{"a"}, told(w.Warnings))
	require.Nil(t, w.Moves.Play)
}

// The file says where the blank lies and how far marks may run over it.
func TestBlankInTheFile(t *testing.T) {
	w := on(t, "example-co2", rows(1))
	require.Equal(t, emit.Blank{}, w.Blank())
	w.Job.Blank = job.Blank{Width: value.Given(value.Length(60)), Height: value.Given(value.Length(40)),
		Bleed: value.Given(value.Length(2))}
	w.Art.Page = box(0, 0, 60, 40)
	require.Equal(t, emit.Blank{Rect: box(0, 0, 60, 40), Bleed: 2}, w.Blank())
	w.Job.Artwork.At = &value.Point{X: 3}
	w.Art.Page = box(3, 4, 23, 14)
	require.Equal(t, box(0, 0, 60, 40), w.Blank().Rect)
	g := *w.Machine.Gantry
	g.Zero = "bed"
	w.Machine.Gantry = &g
	require.Equal(t, box(3, 4, 63, 44), w.Blank().Rect, "zero is the bed's")
	w.Machine = nil
	require.Equal(t, box(0, 0, 60, 40), w.Blank().Rect)
}

// What a fill's shortest way is looked for without a machine, and with as many marks as
// there are for the bound.
func TestSequenceOfMarks(t *testing.T) {
	in := on(t, "example-co2", rows(1)).Input
	marks := path.Marks{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.5}}}
	for i := range 3 {
		y := float64(5 * i)
		marks.Lines = append(marks.Lines, path.Line{Points: []path.Point{{Y: y}, {X: 10, Y: y}}, Before: -1})
	}
	p, err := Sequence(in, marks)
	require.NoError(t, err)
	require.Len(t, p.Strokes, 3)
	in.Machine = nil
	rounds := Rounds(0)
	in.Bound = &rounds
	_, r, err := in.sequence(Strokes{Hatched: hatch.Report{}}, marks)
	require.NoError(t, err)
	require.InDelta(t, 10, r.Report.Cost, 1e-9, "two steps of 5 mm")
	require.LessOrEqual(t, r.Report.Bound, 10+1e-9)
	require.Greater(t, r.Report.Bound, 9.0)
}
