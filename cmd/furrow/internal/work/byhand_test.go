package work_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func mm(v float64) *value.Length { l := value.Length(v); return &l }

func rect(x0, y0, x1, y1 float64) path.Rect {
	return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
}

// oblong is a page of 20 x 10 mm with a dot of ink at its lower left, 2 x 1 mm.
const oblong = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10"><rect x="1" ` +
	`y="8" width="2" height="1"/></svg>`

// The page's place, and that of the ink of 1,1 to 3,2 mm on it, as it is sized, mirrored,
// turned and put on its blank.
func TestPlacesByHand(t *testing.T) {
	quarter, x, y, yes := value.Number(90), "x", "y", true
	blank := job.Blank{Width: mm(60), Height: mm(40)}
	for name, tt := range map[string]struct {
		art       job.Artwork
		blank     job.Blank
		machine   string
		page, ink path.Rect
	}{
		"as it is": {page: rect(0, 0, 20, 10), ink: rect(1, 1, 3, 2)},
		"wider":    {art: job.Artwork{Width: mm(40)}, page: rect(0, 0, 40, 20), ink: rect(2, 2, 6, 4)},
		"higher":   {art: job.Artwork{Height: mm(30)}, page: rect(0, 0, 60, 30), ink: rect(3, 3, 9, 6)},
		"both": {art: job.Artwork{Width: mm(10), Height: mm(5)}, page: rect(0, 0, 10, 5),
			ink: rect(0.5, 0.5, 1.5, 1)},
		"mirrored in x": {art: job.Artwork{Mirror: &x}, page: rect(0, 0, 20, 10), ink: rect(17, 1, 19, 2)},
		"mirrored in y": {art: job.Artwork{Mirror: &y}, page: rect(0, 0, 20, 10), ink: rect(1, 8, 3, 9)},
		"turned":        {art: job.Artwork{Rotate: &quarter}, page: rect(0, 0, 10, 20), ink: rect(8, 1, 9, 3)},
		"mirrored and turned": {art: job.Artwork{Mirror: &x, Rotate: &quarter}, page: rect(0, 0, 10, 20),
			ink: rect(8, 17, 9, 19)},
		"at a place": {art: job.Artwork{At: &value.Point{X: 5, Y: -7}}, page: rect(5, -7, 25, 3),
			ink: rect(6, -6, 8, -5)},
		"in the field": {machine: "example-fibre", page: rect(-10, -5, 10, 5), ink: rect(-9, -4, -7, -3)},
		"at a place in it": {machine: "example-fibre", art: job.Artwork{At: &value.Point{X: 5, Y: -7}},
			page: rect(-5, -12, 15, -2), ink: rect(-4, -11, -2, -10)},
		"on a blank": {blank: blank, page: rect(20, 15, 40, 25), ink: rect(21, 16, 23, 17)},
		"on a blank, placed": {blank: blank, art: job.Artwork{At: &value.Point{}}, page: rect(0, 0, 20, 10),
			ink: rect(1, 1, 3, 2)},
		"to fit": {blank: blank, art: job.Artwork{Fit: &yes}, page: rect(0, 5, 60, 35), ink: rect(3, 8,
			9, 11)},
		"to fit, with margins": {blank: blank, art: job.Artwork{Fit: &yes, Margin: mm(10)}, page: rect(10, 10, 50,
			30), ink: rect(12, 12, 16, 14)},
		"to fit, turned": {blank: blank, art: job.Artwork{Fit: &yes, Rotate: &quarter}, page: rect(20, 0, 40,
			40), ink: rect(36, 2, 38, 6)},
		"to fit, its blank placed": {blank: blank, art: job.Artwork{Fit: &yes, At: &value.Point{X: 100}},
			page: rect(100, 5, 160, 35), ink: rect(103, 8, 109, 11)},
	} {
		if tt.machine == "" {
			tt.machine = "example-co2"
		}
		in := input(t, oblong, tt.machine, func(j *job.Job) {
			tt.art.File, j.Artwork, j.Blank = "art.svg", tt.art, tt.blank
		})
		art, err := work.Place(in)
		require.NoError(t, err, name)
		for what, two := range map[string][2]path.Rect{"page": {tt.page, art.Page}, "ink": {tt.ink, work.Drawn(art,
			0.96)}} {
			for _, d := range []path.Point{two[0].Min.Sub(two[1].Min), two[0].Max.Sub(two[1].Max)} {
				require.InDelta(t, 0, d.Len(), 1e-9, "%s, %s: %v", name, what, two[1])
			}
		}
		m, err := in.Placing()
		require.NoError(t, err)
		require.InDelta(t, 0, path.BoundsOf([]path.Point{m.Apply(path.Point{}), m.Apply(path.Point{X: 20,
			Y: 10})}).Min.Dist(tt.page.Min), 1e-9, name)
	}
}

func TestSizesThatCannotBe(t *testing.T) {
	yes := true
	for want, j := range map[string]job.Job{
		"a page of 20.0 x 10.0 mm does not become 30 x 30 mm": {Artwork: job.Artwork{Width: mm(30), Height: mm(30)}},
		"fit and a width or height at once":                   {Artwork: job.Artwork{Fit: &yes, Width: mm(30)}},
		"fit needs the size of the blank":                     {Artwork: job.Artwork{Fit: &yes}},
		"a margin needs the size of the blank":                {Artwork: job.Artwork{Margin: mm(1)}},
		"a margin of 20 mm leaves nothing of a blank of 60.0 x 40.0 mm": {
			Artwork: job.Artwork{Fit: &yes, Margin: mm(20)}, Blank: job.Blank{Width: mm(60), Height: mm(40)}},
	} {
		in := input(t, oblong, "example-co2", nil)
		in.Job.Artwork, in.Job.Blank = j.Artwork, j.Blank
		_, err := work.Place(in)
		var f *fault.Failure
		require.ErrorAs(t, err, &f, want)
		require.ErrorContains(t, err, want)
		require.NotEmpty(t, f.Hint)
	}
}

// The blank lies at X0 Y0 of a gantry, about the middle of a field, or where the page goes.
func TestWhereBlanksLie(t *testing.T) {
	blank := job.Blank{Width: mm(60), Height: mm(40)}
	at := &value.Point{X: 5, Y: 7}
	for _, tt := range []struct {
		machine string
		at      *value.Point
		turned  bool
		want    path.Rect
	}{
		{"example-co2", nil, false, rect(70, 80, 130, 120)}, {"example-co2", at, false, rect(0, 0, 60, 40)},
		{"example-co2", at, true, rect(0, 0, 40, 60)},
		{"example-fibre", at, false, rect(-30, -20, 30, 20)}, {"example-fibre", nil, true, rect(80, 70, 120, 130)},
	} {
		in := input(t, oblong, tt.machine, func(j *job.Job) { j.Blank, j.Artwork.At = blank, tt.at })
		in.Turned = tt.turned
		r, ok := in.BlankRound(rect(90, 95, 110, 105))
		require.True(t, ok)
		require.Equal(t, tt.want, r, "%+v", tt)
	}
	in := input(t, oblong, "example-co2", func(j *job.Job) { j.Blank.Width = mm(60) })
	_, ok := in.BlankRound(rect(0, 0, 1, 1))
	require.False(t, ok, "half a size")
}

// What is told of shapes off the page: each of two, of more the largest with their number
// and area: 6 mm2 of the first and 4 of each other.
func TestShapesOffThePageAreSummed(t *testing.T) {
	for n, want := range map[int]int{1: 1, 2: 2, 3: 1, 9: 1} {
		art := `<svg xmlns="http://www.w3.org/2000/svg" width="40mm" height="10mm" viewBox="0 0 40 10"><rect ` +
			`width="9" height="9"/>
<rect id="big" y="20" width="2" height="3"/>`
		for i := range n - 1 {
			art += fmt.Sprintf("\n<rect x=\"%d\" y=\"30\" width=\"2\" height=\"2\"/>", 3*i)
		}
		w, err := work.Make(input(t, art+"</svg>", "example-co2", nil))
		require.NoError(t, err)
		var told []string
		for _, line := range work.Told(w.Warnings) {
			if strings.Contains(line, "lies off the page") {
				told = append(told, line)
			}
		}
		require.Len(t, told, want, "%d shapes", n)
		require.Contains(t, told[0], "line 2: <rect#big>: lies off the page, and is not marked")
		require.Equal(t, n > 2, strings.Contains(told[0],
			fmt.Sprintf("page: %d elements within %d mm2; the largest: ", n, 4*n+2)))
	}
}

// A drawing is small where it takes less than half of the page both ways.
func TestSmallDrawings(t *testing.T) {
	for _, tt := range []struct {
		w, h float64
		told bool
	}{{9.9, 4.9, true}, {10.01, 4.9, false}, {9.9, 5.01, false}, {2, 5.01, false}, {10.01, 1, false}} {
		art := fmt.Sprintf(`<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="10mm" viewBox="0 0 20 10">`+
			`<rect x="3" y="2" width="%g" height="%g"/></svg>`, tt.w, tt.h)
		in := input(t, art, "example-co2", nil)
		found := work.DrawingWarnings(in.Job.Artwork, in.Drawing.Art)
		require.Equal(t, tt.told, len(found) == 1, "%+v", tt)
		if tt.told {
			require.Equal(t, "the drawing is 9.9 x 4.9 mm, on a page of 20.0 x 10.0 mm; --trim leaves the rest of "+
				"the page out", found[0].Message)
		}
		in.Job.Artwork.At = &value.Point{}
		require.Empty(t, work.DrawingWarnings(in.Job.Artwork, in.Drawing.Art))
		yes := true
		in.Job.Artwork.Trim = &yes
		trimmed := work.Trimmed(in.Job.Artwork, in.Drawing.Art).Page
		require.InDelta(t, tt.w, trimmed.W(), 1e-9)
		require.InDelta(t, 3, trimmed.Min.X, 1e-9)
	}
}

// Work that leaves the field but fits its middle is moved there, as far as it was off, and
// that is told.
func TestHowFarWorkIsMovedIntoTheField(t *testing.T) {
	// 10 x 10 mm of ink at the lower left of a page of 400 x 300 mm, whose middle is the field's.
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="400mm" height="300mm" viewBox="0 0 400 300"><rect ` +
		`y="290" width="10" height="10"/></svg>`
	in := input(t, art, "example-fibre", nil)
	w, err := work.Make(in)
	require.NoError(t, err)
	require.InDelta(t, 0, w.Clock.Marks.Centre().Len(), 1e-3)
	told := ""
	for _, x := range w.Warnings {
		if strings.HasPrefix(x.Message, "moved by ") {
			told = x.Message
		}
	}
	require.Equal(t, "moved by 195, 145 mm to the middle of the field: slide the blank by as much", told)
}

// Marks past the blank are refused beyond the bleed, with what would be needed; nearer to
// its edge than the margin they are told.
func TestMarksPastTheBlank(t *testing.T) {
	made := func(change func(*job.Job)) (work.Work, error) {
		return work.Make(input(t, square, "example-co2", func(j *job.Job) {
			j.Blank, j.Artwork.At = job.Blank{Width: mm(14), Height: mm(30)}, &value.Point{}
			change(j)
		}))
	}
	_, err := made(func(*job.Job) {})
	require.ErrorContains(t, err, "marks reach past the blank of 14.0 x 30.0 mm: 1.00 mm right")
	var unfit *work.UnfitError
	require.ErrorAs(t, err, &unfit)
	var f *fault.Failure
	require.ErrorAs(t, err, &f)
	require.Contains(t, f.Hint, "--bleed 1mm")
	_, err = made(func(j *job.Job) { j.Blank.Bleed = mm(0.9) })
	require.Error(t, err)
	_, err = made(func(j *job.Job) { j.Blank.Bleed = mm(1) })
	require.NoError(t, err)
	w, err := made(func(j *job.Job) { j.Blank.Width, j.Artwork.Margin = mm(16), mm(2) })
	require.NoError(t, err)
	last := w.Warnings[len(w.Warnings)-1].Message
	require.Contains(t, fmt.Sprint(w.Warnings),
		"marks reach past the margin of 2 mm on the blank of 16.0 x 30.0 mm: 1.00 mm right", last)
	w, err = made(func(j *job.Job) { j.Blank.Width, j.Artwork.Margin = mm(17), mm(2) })
	require.NoError(t, err)
	require.NotContains(t, fmt.Sprint(w.Warnings), "margin")
}

// How often the bound is improved: as asked, or by ten million marks, from 30 to 1,000.
func TestRounds(t *testing.T) {
	var r work.Rounds
	require.NoError(t, r.Set("7"))
	require.Equal(t, 7, r.For(1_000_000))
	require.NoError(t, r.Set("auto"))
	for marks, want := range map[int]int{0: 1000, 10_000: 1000, 20_000: 500, 100_000: 100, 1_000_000: 30} {
		require.Equal(t, want, r.For(marks), "%d marks", marks)
	}
	require.Error(t, r.Set("0"))
	require.Error(t, r.Set("often"))
}

// What a contour-parallel fill does not use is told, and rows closer than the file's grid.
func TestFillsThatAreTold(t *testing.T) {
	yes, zero, quarter, angles, level := true, value.Number(0), value.Number(90), value.Angles{30}, value.Angles{0, 0}
	const unused = "angle, cross and pass-turn are not used"
	for _, tt := range []struct {
		change func(*job.Job)
		told   string
	}{
		{func(j *job.Job) { j.Fill.Contours = &yes }, ""}, {func(j *job.Job) {
			j.Fill.Contours, j.Fill.Cross = &yes,
				&zero
		}, ""},
		{func(j *job.Job) { j.Fill.Contours, j.Fill.Cross = &yes, &quarter }, unused},
		{func(j *job.Job) { j.Fill.Contours, j.Fill.PassTurn = &yes, &quarter }, unused},
		{func(j *job.Job) { j.Fill.Contours, j.Fill.Angle = &yes, &angles }, unused},
		{func(j *job.Job) { j.Fill.Contours, j.Fill.Angle = &yes, &level }, ""},
		{func(j *job.Job) { j.Fill.Angle = &angles }, ""},
	} {
		w, err := work.Make(input(t, square, "example-co2", tt.change))
		require.NoError(t, err)
		require.Equal(t, tt.told != "", strings.Contains(fmt.Sprint(w.Warnings), unused))
	}
}

// The marked length times the spacing is the area of the ink.
func TestMarkedLengthIsAreaOverSpacing(t *testing.T) {
	for _, spacing := range []float64{0.5, 1, 2} {
		w, err := work.Make(input(t, square, "example-co2",
			func(j *job.Job) { j.Fill.Spacing = &value.Spacing{MM: spacing} }))
		require.NoError(t, err)
		require.InDelta(t, 100/spacing, w.Clock.MarkMM, 1e-3)
		require.InDelta(t, 100/spacing/100, w.Clock.Mark.Seconds(), 1e-5)
		require.Equal(t, int(math.Round(10/spacing)), w.Hatched.Rows)
	}
}
