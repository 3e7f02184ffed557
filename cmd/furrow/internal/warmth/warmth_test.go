package warmth_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// square is 10 mm wide and high, in the middle of a page of 20 mm.
const square = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="5" y="5" width="10" height="10"/></svg>`

// marked is the square on a blank of 20 x 20 x 1 mm: on the galvo 10 rows of 10 mm at
// 100 mm/s with 40 % of 50 W, which is 20 J in a second.
func marked(t *testing.T, machine string, change func(*job.Job)) work.Work {
	t.Helper()
	return drawn(t, square, machine, change)
}

// drawn is marked with other artwork.
func drawn(t *testing.T, art, machine string, change func(*job.Job)) work.Work {
	t.Helper()
	speed, power, effort := value.Number(100), value.Number(40), "quick"
	j := job.Job{
		Furrow: 1, Machine: machine, Effort: &effort, Artwork: job.Artwork{File: "art.svg"},
		Blank: job.Blank{
			Material: "6061", Width: value.Given(value.Length(20)), Height: value.Given(value.Length(20)),
			Thickness: value.Given(value.Length(1)),
		},
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
	w, err := work.Make(work.NewInput(resolved, drawing))
	require.NoError(t, err)
	return w
}

// By hand: 20 J in 20 x 20 x 1 mm of 2700 kg/m3 and 896 J/kgK, which takes 0.96768 J
// for each kelvin, is 20.668 K. What 8 W/m2K takes away in a second is 0.17 % of it at
// most.
func TestWorkedExample(t *testing.T) {
	w := marked(t, "example-fibre", nil)
	e, err := warmth.Mapped(w)
	require.NoError(t, err)
	require.InEpsilon(t, 20.668, e.Mean.Highest, 0.002)
	require.Less(t, e.Mean.Highest, 20.668)
	require.InDelta(t, 20, e.Mean.AbsorbedJ, 0.01)
	require.InDelta(t, 20, e.Map.AbsorbedJ, 0.01, "all of it falls on the plate")
	require.InEpsilon(t, e.Mean.End, e.Map.Ends[len(e.Map.Ends)-1].Mean, 1e-3)

	at := e.Map.PeakAt // the square lies about the middle of the field
	require.True(t, at.X > -5 && at.X < 5 && at.Y > -5 && at.Y < 5, "%v", at)
	require.Greater(t, e.Map.Peak, e.Mean.Highest)
	require.Greater(t, e.Mean.Highest, e.OverRim(), "the bound without a map holds")
	require.True(t, e.Pulsed)

	plain := warmth.Of(w)
	require.Equal(t, e.Mean, plain.Mean)
	require.InEpsilon(t, e.Mean.Highest, plain.OverRim(), 1e-9)
}

// A round plate has a quarter of pi of its square's mass, and gets warmer by that.
func TestRoundPlate(t *testing.T) {
	square := warmth.Of(marked(t, "example-fibre", nil))
	round := warmth.Of(marked(t, "example-fibre", func(j *job.Job) { j.Blank.Shape = value.Given(job.ShapeRound) }))
	require.InEpsilon(t, square.Mean.Highest*4/math.Pi, round.Mean.Highest, 1e-3)
	require.InDelta(t, square.Mean.AbsorbedJ, round.Mean.AbsorbedJ, 1e-9)
}

// The power stays on a gantry of which it is said so, and turning takes time: the
// energy is that of the clock.
func TestGantry(t *testing.T) {
	w := marked(t, "example-co2", func(j *job.Job) { j.Blank.Material, j.Blank.HeatAs = "", "stainless-304" })
	e, err := warmth.Mapped(w)
	require.NoError(t, err)
	require.Equal(t, "stainless-304", e.Material.ID)
	require.False(t, e.Pulsed)
	// 100 mm at 100 mm/s with 40 % of 40 W are 16 J; 20 x 20 x 1 mm of 7900 kg/m3 and 477 J/kgK take 1.5073 J/K.
	require.InEpsilon(t, 16/1.5073, e.Mean.Highest, 0.02)
	require.InDelta(t, 10, e.Map.PeakAt.X, 5.5)
	require.InDelta(t, 10, e.Map.PeakAt.Y, 5.5)
}

// What is taken in comes from the recipe, else from the material, else it is all that
// can be.
func TestAbsorbed(t *testing.T) {
	w := marked(t, "example-fibre", nil)
	e := warmth.Of(w)
	require.Equal(t, "+0 to +21 K on average, as aluminium-6061", e.Lines()[0][1])
	require.Contains(t, e.Lines()[1][1], "not known")
	require.Equal(t, "not known", e.Figures().From)

	own := *w.HeatsAs
	own.Absorbed = &[2]float64{0.25, 0.5}
	w.HeatsAs = &own
	e = warmth.Of(w)
	require.Equal(t, "+5.2 to +10 K on average, as aluminium-6061", e.Lines()[0][1]) // 20.65/4 and /2
	require.InDelta(t, 10.32, e.Figures().MeanK[1], 0.01)

	w.Recipe = &settings.Recipe{Recipe: machine.Recipe{AbsorbedFraction: 0.4}}
	e = warmth.Of(w)
	require.Equal(t, "+8.3 K on average, as aluminium-6061", e.Lines()[0][1])
}

// Where nobody else says, a material takes in its own range, at the wavelengths that it
// holds for: wood near 10 um, whose emissivity that is, and not at 1.06 um.
func TestAbsorbedByWavelength(t *testing.T) {
	wood := func(j *job.Job) { j.Blank.Material = "birch" }
	e := warmth.Of(marked(t, "example-co2", wood))
	require.Equal(t, "material", e.From)
	require.Equal(t, [2]float64{0.8, 1}, [2]float64{e.Least, e.Most})
	e = warmth.Of(marked(t, "example-fibre", wood))
	require.Empty(t, e.From)
	require.Equal(t, [2]float64{0, 1}, [2]float64{e.Least, e.Most})
}

// What a blank lies on takes its share of the heat. By hand, at the end of a second of
// 20 J that come evenly, with T' = P/C - T/tau: tau is 0.96768 J/K over 8, 16 or 268 W/m2K
// on 4 cm2.
func TestLiesOn(t *testing.T) {
	for on, loss := range map[string]float64{"table": 8, "pins": 16, "metal": 268} {
		e := warmth.Of(marked(t, "example-fibre", func(j *job.Job) { j.Blank.LiesOn = &on }))
		tau := 0.96768 / (loss * 4e-4)
		require.InEpsilon(t, 20/0.96768*tau*(1-math.Exp(-1/tau)), e.Mean.Highest, 0.003, on)
	}
}

// 6061 of 100 x 100 x 1 mm held all round bows from 5.24 K, or 13.90 K where it is
// clamped (computed); of 20 mm it is 25 times as much, and 20.7 K are no sign of it.
func TestWarp(t *testing.T) {
	e := warmth.Of(marked(t, "example-fibre", nil))
	require.InDelta(t, 25*5.24, e.FreeK, 0.2)
	require.InDelta(t, 25*13.90, e.ClampedK, 0.4)
	warp := e.Lines()[len(e.Lines())-2]
	require.Equal(t, "warp", warp[0])
	require.Contains(t, warp[1], "no sign of it: at most 21 K")

	thin := value.Given(value.Length(0.3)) // a third as thick: 0.09 of the limit, 3.3 times the rise
	e = warmth.Of(marked(t, "example-fibre", func(j *job.Job) { j.Blank.Thickness = thin }))
	require.Contains(t, e.Lines()[len(e.Lines())-2][1], "may bow: at most 69 K")
}

// An oblong plate bows by its shorter side: of 20 x 40 mm from (1 + 1/4)/2 of what a
// square of 20 mm does where its edges can turn.
func TestWarpOfAnOblong(t *testing.T) {
	for _, size := range [][2]value.Length{{20, 40}, {40, 20}} {
		e := warmth.Of(marked(t, "example-fibre", func(j *job.Job) {
			j.Blank.Width, j.Blank.Height = &size[0], &size[1]
		}))
		require.InDelta(t, 0.625*25*5.24, e.FreeK, 0.2)
		// Clamped: 4/3·(3 + 2r² + 3r⁴)/(1+r²) is 3.9333 at r = 1/2, and 5.3333 for a square.
		require.InDelta(t, 3.9333/5.3333*25*13.90, e.ClampedK, 0.4)
	}
}

// With the map the words tell the hottest place and compare what is warmer on average.
func TestWordsOfAMap(t *testing.T) {
	e, err := warmth.Mapped(marked(t, "example-fibre", nil))
	require.NoError(t, err)
	at, after := e.Map.PeakAt, e.Map.PeakS
	require.Regexp(t, `^\+0 to \+21 K on average, hottest \+\d+ K near X-?\d Y-?\d after (\d\.\d\d s|0:01\.\d), as `+
		`aluminium-6061$`, e.Lines()[0][1])
	require.InDelta(t, 0.95, after, 0.06, "in the last row")
	require.InDelta(t, 4.5, max(at.Y, -at.Y), 1, "which is the first or the last")
	require.Contains(t, e.Lines()[len(e.Lines())-2][1], "no sign of it: on average up to ")
	f := e.Figures()
	require.InDelta(t, e.Map.Peak, f.HottestK[1], 1e-9)
	require.Zero(t, f.HottestK[0])
	require.Equal(t, [2]float64{at.X, at.Y}, *f.HottestAt)
	require.False(t, f.Bound)
	require.Equal(t, []string{"all"}, []string{f.Ends[0].Group})
	require.Equal(t, [2]float64{e.FreeK, e.ClampedK}, *f.BowsK)
	require.Equal(t, "0 to 21", f.Rise())
	var none *warmth.Figures
	require.Equal(t, "-", none.Rise())
	require.Equal(t, "4.5", (&warmth.Figures{MeanK: [2]float64{4.5, 4.5}}).Rise())
	require.Equal(t, "9.9 to 1,235", (&warmth.Figures{MeanK: [2]float64{9.94, 1234.6}}).Rise())
	require.Equal(t, "10", (&warmth.Figures{MeanK: [2]float64{9.95, 9.95}}).Rise())
}

// Without thickness, size or a material nothing is said, and a map is refused with what is
// missing.
func TestUnknown(t *testing.T) {
	for lacking, change := range map[string]func(*job.Job){
		"the blank's thickness":                             func(j *job.Job) { j.Blank.Thickness = nil },
		"the blank's width and height":                      func(j *job.Job) { j.Blank.Width = nil },
		`the numbers of "unobtainium", which are not known`: func(j *job.Job) { j.Blank.Material = "unobtainium" },
		"the blank's material":                              func(j *job.Job) { j.Blank.Material = "" },
		"the blank's thickness and the blank's material": func(j *job.Job) {
			j.Blank.Thickness, j.Blank.Material = nil, ""
		},
		"the blank's width and height and the blank's thickness": func(j *job.Job) {
			j.Blank.Height, j.Blank.Thickness = nil, nil
		},
	} {
		w := marked(t, "example-co2", change)
		e := warmth.Of(w)
		require.Nil(t, e, lacking)
		require.Nil(t, e.Figures())
		_, err := warmth.Mapped(w)
		require.EqualError(t, err, "heat needs "+lacking)
	}
}

// Acrylic of 3 mm is no thin plate for a job of seconds, which is said, and no hint
// is given.
func TestNotThin(t *testing.T) {
	e := warmth.Of(marked(t, "example-co2", func(j *job.Job) {
		j.Blank.Material, j.Blank.Thickness = "acrylic", value.Given(value.Length(3))
	}))
	require.Contains(t, e.Lines()[1][1], "no thin plate")
	for _, l := range e.Lines() {
		require.NotEqual(t, "warp", l[0])
	}
}

// Rows go on by a thickness in a part of the time that is measured along the longer side:
// 1 s on a plate of 1 mm lasts 1/40 s on 20 x 40 mm however it lies, and 1/10 s on one of 4 mm.
func TestThinAlongTheLongerSide(t *testing.T) {
	for _, size := range [][3]value.Length{{20, 400, 1}, {400, 20, 1}, {20, 400, 4}} {
		w := marked(t, "example-fibre", func(j *job.Job) {
			j.Blank.Width, j.Blank.Height, j.Blank.Thickness = &size[0], &size[1], &size[2]
		})
		total := w.Clock.Total().Seconds()
		e := warmth.Of(w)
		require.Contains(t, e.NotThin, fmt.Sprintf(" in %.2g s", total*float64(size[2])/400))
		require.InDelta(t, total, e.Seconds, 1e-9)
	}
}

// Without a machine, or of a material whose numbers make no sense, nothing is reckoned.
func TestWhatNoHeatIsReckonedOf(t *testing.T) {
	w := marked(t, "example-co2", nil)
	r := w.Resolved
	r.Machine = nil
	require.EqualError(t, warmth.Unknown(r), "heat needs the machine")
	odd := *w.HeatsAs
	odd.DensityKgM3 = 0
	w.HeatsAs = &odd
	require.Nil(t, warmth.Of(w))
	_, err := warmth.Mapped(w)
	require.EqualError(t, err, "a blank of this size and thickness is beyond the estimate of its heat")
}

// Of two groups, one above the other, the state of the plate is told where each is done: the
// first has laid down half of the energy.
func TestEndsOfGroups(t *testing.T) {
	const two = `<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">
<rect x="5" y="2" width="10" height="5" fill="#000"/><rect x="5" y="12" width="10" height="5" fill="#f00"/></svg>`
	quick := value.Number(200)
	w := drawn(t, two, "example-fibre", func(j *job.Job) {
		j.Groups = []job.Group{{Pick: "#f00", Fill: job.Fill{Speed: &quick}}}
	})
	e, err := warmth.Mapped(w)
	require.NoError(t, err)
	ends := e.Figures().Ends
	require.Len(t, ends, 2)
	require.Equal(t, "all", ends[1].Group)
	require.NotEmpty(t, e.Groups)
	require.Equal(t, e.Groups[0], ends[0].Group)
	require.NotEqual(t, "all", ends[0].Group)
	require.InDelta(t, w.Clock.Total().Seconds(), ends[1].AtS, 0.01)
	// 5 rows of 10 mm at 20 W are 10 J at 100 mm/s and 5 J at 200: one of them lasts twice as long.
	first := 10.0
	if ends[0].AtS < ends[1].AtS/2 {
		first = 5
	}
	require.InEpsilon(t, first/0.96768, ends[0].MeanK[1], 0.01)
	require.InEpsilon(t, 15/0.96768, ends[1].MeanK[1], 0.01)
}
