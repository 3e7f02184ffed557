package work_test

import (
	"errors"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// square is 10 mm wide and high, on a page of 20 mm.
const square = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="5" y="5" width="10" height="10"/></svg>`

// input reads artwork to be marked at 100 mm/s with rows 1 mm apart.
func input(t *testing.T, art, machine string, change func(*job.Job)) work.Input {
	t.Helper()
	speed, power, effort := value.Number(100), value.Number(40), "quick"
	j := job.Job{
		Furrow: 1, Machine: machine, Effort: &effort, Artwork: job.Artwork{File: "art.svg"},
		Fill: job.Fill{Spacing: &value.Spacing{MM: 1}, Speed: &speed, Power: &power},
	}
	if machine == "example-fibre" {
		j.Fill.Frequency = &value.Frequency{Hz: 50_000}
	}
	if change != nil {
		change(&j)
	}
	resolved, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	drawing, err := work.Read(strings.NewReader(art), resolved)
	require.NoError(t, err)
	return work.NewInput(resolved, drawing)
}

// Ten rows of 10 mm, 1 mm apart, 0.5 mm from the edges, in the middle of the field: by
// hand.
func TestMakeByHand(t *testing.T) {
	w, err := work.Make(input(t, square, "example-fibre", nil))
	require.NoError(t, err)
	require.Equal(t, 10, w.Hatched.Rows)
	require.Len(t, w.Program.Strokes, 10)
	require.InDelta(t, 100, w.Clock.MarkMM, 1e-3)
	require.InDelta(t, -5, w.Clock.Marks.Min.X, 1e-3)
	require.InDelta(t, 4.5, w.Clock.Marks.Max.Y, 1e-3)
	require.InDelta(t, 1.0, w.Clock.Mark.Seconds(), 1e-5) // 100 mm at 100 mm/s
}

// Strokes that are laid elsewhere are marked there, in the same time but for the way to
// them, and the first ones stay where they are.
func TestStrokesAreLaidManyTimes(t *testing.T) {
	in := input(t, square, "example-fibre", nil)
	strokes, err := work.Fill(in)
	require.NoError(t, err)
	here, err := work.Plan(in, strokes)
	require.NoError(t, err)
	turned := path.Translate(30, -20).Mul(path.Rotate(90))
	there, err := work.Plan(in, strokes.Moved(turned))
	require.NoError(t, err)
	require.Equal(t, here.Clock.MarkMM, there.Clock.MarkMM)
	require.Equal(t, here.Clock.Mark, there.Clock.Mark)
	require.InDelta(t, 30-4.5, there.Clock.Marks.Min.X, 1e-3) // a row above the other before the turn
	require.InDelta(t, -20+5, there.Clock.Marks.Max.Y, 1e-3)
	again, err := work.Plan(in, strokes)
	require.NoError(t, err)
	require.Equal(t, here.Clock, again.Clock)
}

// What the machine has no room for is told from all else that can go wrong.
func TestOnlyTheMachineMakesWorkUnfit(t *testing.T) {
	wide := value.Length(400)
	large := input(t, square, "example-fibre", func(j *job.Job) { j.Artwork.Width = &wide })
	_, err := work.Make(large)
	var unfit *work.UnfitError
	var failure *fault.Failure
	require.ErrorAs(t, err, &unfit)
	require.ErrorAs(t, err, &failure)
	require.Equal(t, fault.CodeWork, failure.Code)
	require.Contains(t, failure.Hint, "field")

	large.Lenient = true
	w, err := work.Make(large)
	require.NoError(t, err)
	require.Contains(t, w.Warnings[len(w.Warnings)-1].Message+w.Warnings[0].Message, "field")

	fast := value.Number(900)
	_, err = work.Make(input(t, square, "example-co2", func(j *job.Job) { j.Fill.Speed = &fast }))
	require.ErrorAs(t, err, &unfit)

	huge := value.Length(100_000) // past hatch.MaxCoordinate once it is moved there
	_, err = work.Make(input(t, square, "example-fibre", func(j *job.Job) {
		j.Artwork.Width, j.Artwork.At = &huge, &value.Point{X: 2e6}
	}))
	require.Error(t, err)
	require.False(t, errors.As(err, &unfit), "%v", err)

	bare := strings.Replace(square, "<rect", `<rect fill="#fff"`, 1)
	_, err = work.Make(input(t, bare, "example-fibre", nil))
	require.ErrorContains(t, err, "nothing to mark")
	require.False(t, errors.As(err, &unfit))
}

// On a bed with its own zero the work is moved by the least that leaves room for the
// run-up of v²/2a and the margin, to the next tenth of a millimetre; strokes that were
// made before stay.
func TestWorkIsMovedOntoTheBed(t *testing.T) {
	in := input(t, square, "example-co2", func(j *job.Job) { j.Artwork.Margin = nil })
	profile := in.Machine.Profile
	g := *profile.Gantry
	g.Zero, profile.Gantry = "bed", &g
	in.Machine.Profile = profile
	corner := strings.Replace(square, `x="5"`, `x="0"`, 1)
	in2 := input(t, corner, "example-co2", nil)
	in2.Machine = in.Machine
	strokes, err := work.Fill(in2)
	require.NoError(t, err)
	before := strokes.Program.Bounds()
	w, err := work.Plan(in2, strokes)
	require.NoError(t, err)
	require.True(t, w.Shifted)
	least := 100*100/(2*g.AccelMMPerS2[0]) + g.OvertravelMarginMM
	moved := w.Program.Bounds().Min.X - before.Min.X
	require.GreaterOrEqual(t, moved, least-1e-9)
	require.Less(t, moved, least+0.2)
	require.InDelta(t, before.Min.Y, w.Program.Bounds().Min.Y, 1e-9)
	require.Equal(t, before, strokes.Program.Bounds())
	w, err = work.Make(in)
	require.NoError(t, err)
	require.False(t, w.Shifted, "it has room enough")
}

// What the file says before a part stands in the moves, be it the only one.
func TestNoteOfASinglePart(t *testing.T) {
	in := input(t, square, "example-co2", nil)
	strokes, err := work.Fill(in)
	require.NoError(t, err)
	strokes.Parts = []work.Part{{Note: "oak"}}
	w, err := work.Plan(in, strokes)
	require.NoError(t, err)
	require.Len(t, w.Moves.Notes, 1)
	require.Equal(t, "oak", w.Moves.Notes[0].Text)
	require.InDelta(t, 100, w.Clock.MarkMM, 1e-3)
}

// A known mark shrinks the fill by half its width on each side, so that its edge falls on
// the outline.
func TestMarksEdgeFallsOnTheOutline(t *testing.T) {
	width := value.Length(0.2)
	w, err := work.Make(input(t, square, "example-fibre", func(j *job.Job) { j.Fill.MarkWidth = &width }))
	require.NoError(t, err)
	require.InDelta(t, -4.9, w.Clock.Marks.Min.X, 1e-3)
	require.InDelta(t, 4.9, w.Clock.Marks.Max.X, 1e-3)
}
