package work_test

import (
	"errors"
	"regexp"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"

	"github.com/stretchr/testify/require"
)

var hintFlag = regexp.MustCompile(`--(at|width|rotate|bleed) (\S+)`)

// follow does what a hint says.
func follow(t *testing.T, j *job.Job, hint string) {
	found := hintFlag.FindAllStringSubmatch(hint, -1)
	require.NotEmpty(t, found, hint)
	for _, f := range found {
		var err error
		switch f[1] {
		case "at":
			j.Artwork.At = new(value.Point)
			err = j.Artwork.At.Set(f[2])
		case "width":
			j.Artwork.Height, j.Artwork.Width = nil, new(value.Length)
			err = j.Artwork.Width.Set(f[2])
		case "rotate":
			j.Artwork.Rotate = new(value.Number)
			err = j.Artwork.Rotate.Set(f[2])
		case "bleed":
			j.Blank.Bleed = new(value.Length)
			err = j.Blank.Bleed.Set(f[2])
		}
		require.NoError(t, err)
	}
}

// What a hint says to do is done once, and the work fits.
func TestHintsWorkWhenFollowed(t *testing.T) {
	// A bar of 16 x 2 mm off the middle of a page of 20 mm.
	const bar = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="4" y="1" width="16" height="2"/></svg>`
	width, height, quarter := value.Length(300), value.Length(300), value.Number(90)
	sixty, forty, twenty := value.Length(60), value.Length(10), value.Length(20)
	for name, change := range map[string]func(*job.Job){
		"off the field":        func(j *job.Job) { j.Artwork.At = &value.Point{X: 120, Y: -3} },
		"too large":            func(j *job.Job) { j.Artwork.Width = &width },
		"too large and away":   func(j *job.Job) { j.Artwork.Width, j.Artwork.At = &width, &value.Point{X: 9, Y: 30} },
		"too large, by height": func(j *job.Job) { j.Artwork.Height, j.Artwork.Rotate = &height, &quarter },
		"off the blank": func(j *job.Job) {
			j.Blank.Width, j.Blank.Height, j.Artwork.Width = &forty, &forty, &sixty
		},
		"off the round blank": func(j *job.Job) {
			j.Blank.Width, j.Blank.Height, j.Blank.Shape = &twenty, &twenty, value.Given(job.ShapeRound)
		},
		"off the oval blank": func(j *job.Job) {
			j.Blank.Width, j.Blank.Height, j.Blank.Shape = &twenty, &sixty, value.Given(job.ShapeRound)
			j.Artwork.At = &value.Point{X: 1, Y: 3}
		},
		"off the blank at a place": func(j *job.Job) {
			j.Blank.Width, j.Blank.Height, j.Artwork.At = &sixty, &sixty, &value.Point{X: 31.237, Y: -20}
		},
	} {
		_, err := work.Make(input(t, bar, "example-fibre", change))
		var failure *fault.Failure
		require.True(t, errors.As(err, &failure), name)
		_, err = work.Make(input(t, bar, "example-fibre", func(j *job.Job) {
			change(j)
			follow(t, j, failure.Hint)
		}))
		require.NoError(t, err, "%s: %s: %s", name, failure, failure.Hint)
	}
}

// Work that fits the field, but lies off its middle, is moved there, unless somebody
// said where it goes.
func TestWorkIsMovedIntoTheField(t *testing.T) {
	const far = `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300">
<rect x="10" y="20" width="100" height="50"/></svg>`
	w, err := work.Make(input(t, far, "example-fibre", nil))
	require.NoError(t, err)
	require.InDelta(t, -50, w.Clock.Marks.Min.X, 1e-3) // 100 mm about 0
	require.InDelta(t, 50, w.Clock.Marks.Max.X, 1e-3)
	// The page's middle is 150,150; that of the rectangle 60 from the left, 45 from the top.
	require.Contains(t, w.Warnings, work.Warning{Message: "moved by 90, -105 mm to the middle of the field: slide " +
		"the blank by as much"})
	_, err = work.Make(input(t, far, "example-fibre", func(j *job.Job) { j.Artwork.At = &value.Point{} }))
	require.Error(t, err)
}

// The page lies in the middle of the blank, unless somebody said where it goes.
func TestThePageLiesInTheMiddleOfTheBlank(t *testing.T) {
	w, h, size := value.Length(80), value.Length(60), value.Length(40)
	blank := func(j *job.Job) { j.Blank.Width, j.Blank.Height, j.Artwork.Width = &w, &h, &size }
	made, err := work.Make(input(t, square, "example-co2", blank))
	require.NoError(t, err)
	// A page of 40 mm in a blank of 80 x 60 mm: its corner at 20, 10; half of it is marked.
	require.InDelta(t, 30, made.Clock.Marks.Min.X, 1e-3)
	require.InDelta(t, 50, made.Clock.Marks.Max.X, 1e-3)
	r, ok := made.BlankRect()
	require.True(t, ok)
	require.InDelta(t, 0, r.Min.X, 1e-9)
	require.InDelta(t, 60, r.Max.Y, 1e-9)
	made, err = work.Make(input(t, square, "example-co2", func(j *job.Job) {
		blank(j)
		j.Artwork.At = &value.Point{X: 3}
	}))
	require.NoError(t, err)
	require.InDelta(t, 13, made.Clock.Marks.Min.X, 1e-3)
}

// A page is trimmed to what shows on it: paint that stays bare, and what lies off the
// page, do not count.
func TestTrim(t *testing.T) {
	const sheet = `<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297">
<rect width="210" height="297" fill="#fff"/><rect x="30" y="40" width="80" height="20"/><rect x="-50" width="40" ` +
		`height="9"/></svg>`
	trim, size := true, value.Length(40)
	w, err := work.Make(input(t, sheet, "example-co2", func(j *job.Job) {
		j.Artwork.Trim, j.Artwork.Width = &trim, &size
	}))
	require.NoError(t, err)
	require.InDelta(t, 40, w.Clock.Marks.W(), 1e-3)
	require.InDelta(t, 0, w.Art.Page.Min.X, 1e-9)
	require.InDelta(t, 10, w.Art.Page.H(), 1e-9)
	whole := input(t, sheet, "example-co2", nil)
	require.Contains(t, whole.Drawing.Warnings[len(whole.Drawing.Warnings)-1].Message,
		"the drawing is 80.0 x 20.0 mm, on a page of 210.0 x 297.0 mm; --trim")
}
