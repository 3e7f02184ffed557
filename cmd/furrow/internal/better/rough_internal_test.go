package better

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/path"
	"furrow/path/hatch"
)

// The rough estimate of rows knows no outlines and no insets, and takes wider rows of a
// large page for as many as there are: 10 mm wide strips in rows 0.5 mm apart, 25 and 350
// mm high, are 50 and 700 rows.
func TestRoughRows(t *testing.T) {
	per := map[int]float64{}
	for _, height := range []int{25, 350} {
		w := stripWork(t, height)
		b := done{w}
		plain, err := b.rows().seconds(none, 0)
		require.NoError(t, err)
		// 10 mm at 150 mm/s, v/a and half a millimetre at both ends, what the beam's delay takes,
		// and at most a step to the next row from rest to rest, at 1,500 mm/s2.
		per[height] = plain / float64(2*height)
		alone := 10/150. + 2*150/5000. + 1/150. + 0.0006
		require.Greater(t, per[height], alone, "%d mm", height)
		require.Less(t, per[height], alone+2*math.Sqrt(0.5/1500), "%d mm", height)
		b.Groups[0].Outline, b.Groups[0].Inset, b.Groups[0].Contours = hatch.Outline{When: hatch.After,
			Setting: b.Groups[0].Setting}, 2, true
		same, err := b.rows().seconds(none, 0)
		require.NoError(t, err)
		require.InDelta(t, plain, same, 1e-9)
	}
	require.InEpsilon(t, per[25], per[350], 0.02)
	_, scale, err := done{stripWork(t, 350)}.rows().rough(none)
	require.NoError(t, err)
	require.Equal(t, 2.0, scale, "350/0.5 = 700 rows by the diagonal, of 400")
	_, scale, err = done{stripWork(t, 25)}.rows().rough(none)
	require.NoError(t, err)
	require.Equal(t, 1.0, scale, "50 rows are all looked at")
}

// What is an outline alone has no rows to be reckoned, and needs no spacing: rows of the bar
// take as long with an outline of another beside them as without.
func TestRoughRowsBesideAnOutlineAlone(t *testing.T) {
	only, without := "only", "none"
	seconds := func(elements string) float64 {
		w, err := work.Make(drawing(t, elements, func(j *job.Job) {
			j.Groups = []job.Group{{Pick: "#a", Fill: j.Fill}}
			j.Groups[0].Fill.Outline = &without
			j.Fill.Outline, j.Fill.Spacing = &only, nil
		}))
		require.NoError(t, err)
		s, err := done{w}.rows().seconds(none, 0)
		require.NoError(t, err)
		all, err := done{w}.rows().each()
		require.NoError(t, err)
		require.Len(t, all, 1)
		require.Equal(t, 1, all[0].group)
		return s
	}
	alone := seconds(bar("a", 0))
	require.Greater(t, alone, 15*0.5)
	require.InEpsilon(t, alone, seconds(bar("a", 0)+`<rect x="5" y="40" width="50" height="3"/>`), 1e-9)
}

// What the rows of each group take adds up to what all of them take, with the steps between
// rows that are as fine as asked for: of 350 mm in rows of 10 mm, half a millimetre apart.
func TestRowsOfEachGroup(t *testing.T) {
	b := done{stripWork(t, 350)}
	all, err := b.rows().each()
	require.NoError(t, err)
	require.Len(t, all, 1)
	sum, err := b.rows().seconds(none, 0)
	require.NoError(t, err)
	require.InEpsilon(t, sum, all[0].seconds, 1e-9)
	require.InDelta(t, 7000, all[0].mm, 20)
	require.Equal(t, 150.0, all[0].at)
}

// A square of 10 mm has four corners and an edge of 40 mm: 400 mm of rows, marked twice, are
// five times round it, and 20 mm less than once, which counts as once.
func TestPointsOfContours(t *testing.T) {
	b := doneOn(t, "example-co2", path.Setting{SpacingMM: 0.5}, hatch.Group{Passes: 2}, hatch.Group{})
	square := path.Shape{Group: 1}
	for i, at := range []path.Point{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}, {}} {
		if i == 0 {
			square.Path.MoveTo(at)
		} else {
			square.Path.LineTo(at)
		}
	}
	b.Art.Shapes = []path.Shape{square, {Path: square.Path}}
	once := b.contourPoints(ownRows{group: 1, mm: 20})
	require.InDelta(t, 4.5, once, 0.5, "with or without the last")
	require.InDelta(t, 5*once, b.contourPoints(ownRows{group: 1, mm: 400}), 1e-9)
	require.InDelta(t, 10*once, b.contourPoints(ownRows{group: 0, mm: 400}), 1e-9, "marked once")
	require.Zero(t, b.contourPoints(ownRows{group: 2, mm: 400}), "nothing is of it")
}

// How hot contours get is told where that is half as much again as was asked for, and more
// than rows do.
func TestHotterContours(t *testing.T) {
	at := func(times float64) (b done) {
		b.Clock.Hottest.Times = times
		return b
	}
	for _, tt := range []struct {
		rows, contours float64
		want           string
	}{
		{1, 2.04, " and up to 2 times the dose where the head slows down"}, {1, 1.49, ""}, {2, 2, ""}, {2.5, 2, ""},
		{1, 1.5, " and up to 1.5 times the dose where the head slows down"},
	} {
		contours := at(tt.contours)
		require.Equal(t, tt.want, at(tt.rows).hotter(&contours))
	}
}

// Rows are thin where the beam is on for half of the time at most.
func TestThinRows(t *testing.T) {
	require.True(t, ownRows{mm: 100, at: 100, seconds: 2}.thin())
	require.False(t, ownRows{mm: 100, at: 100, seconds: 1.99}.thin())
}

// A part that takes a fraction of a second has a mean power too.
func TestMeanPowerOfAQuickPart(t *testing.T) {
	w, err := work.Make(drawing(t, `<rect width="3" height="0.2"/>`, nil))
	require.NoError(t, err)
	require.Less(t, w.Clock.Total().Seconds(), 1.0)
	var e Entry
	require.NoError(t, e.measure(w))
	require.InDelta(t, e.EnergyJ/w.Clock.Total().Seconds(), e.MeanPowerW, 1e-9)
	require.Positive(t, e.MeanPowerW)
}

// A single row has a better speed as well as many have: of 50 mm at 10 mm/s.
func TestAdviceOfOneRow(t *testing.T) {
	w, err := work.Make(drawing(t, `<rect x="5" y="5" width="50" height="0.2"/>`, func(j *job.Job) {
		j.Fill.Speed = value.Given(value.Number(10))
	}))
	require.NoError(t, err)
	require.Equal(t, 1, w.Hatched.Spans)
	all, err := Advise(w)
	require.NoError(t, err)
	require.Contains(t, strings.Join(all, ""), "25 mm/s at 100 %, same dose")
}
