package better_test

import (
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// stripRows is the time of the strip's 200 rows of 10 mm at a speed, s, but for what does
// not follow the speed: v/a and half a millimetre at both ends, with 5,000 mm/s2 along X.
func stripRows(v float64) float64 { return 200 * (10/v + 2*v/5000 + 2*0.5/v) }

// The quickest speed of rows 10 mm long is √((10 + 2·0.5)·5000/2) = 165.8 mm/s.
const stripQuickest = 165.83124

func compared(t *testing.T, change func(*better.Question)) *better.Entry {
	t.Helper()
	q := question(t)
	if change != nil {
		change(&q)
	}
	c, err := better.Compare(q)
	require.NoError(t, err)
	require.Len(t, c.Machines, 1)
	return c.Machines[0]
}

func speedOf(q *better.Question, v float64) {
	n := value.Number(v)
	q.Asked.Fill.Speed = &n
}

// The curve goes from a quarter of the speed to the top speed of X, 500 mm/s, in equal
// ratios, and follows the rows' time by hand.
func TestCurveByHand(t *testing.T) {
	e := compared(t, func(q *better.Question) { q.AsAsked = true })
	c, ok := e.Curve()
	require.True(t, ok)
	require.Equal(t, "example-co2", c.Name)
	require.False(t, e.Untested, "nothing is said of a recipe")
	require.Equal(t, "not from a recipe", e.Tested)
	require.Equal(t, "quickest", c.Why)
	require.Len(t, c.Points, 121)
	require.InDelta(t, 150./4, c.Points[0].X, 1e-9)
	require.InDelta(t, 500, c.Points[120].X, 1e-6)
	require.InDelta(t, 150, c.Now.X, 1e-9)
	require.InDelta(t, e.Figures.Seconds, c.Now.Y, 1e-9)
	require.InDelta(t, stripQuickest, c.Quickest.X, 0.1)
	ratio := math.Pow(500/37.5, 1./120)
	for i, p := range append(c.Points, c.Quickest) {
		require.InDelta(t, stripRows(p.X)-stripRows(150), p.Y-c.Now.Y, 1e-6, "at %g mm/s", p.X)
		if i > 0 && i < len(c.Points) {
			require.InDelta(t, ratio, p.X/c.Points[i-1].X, 1e-9)
		}
	}
	only := "only"
	e = compared(t, func(q *better.Question) { q.AsAsked, q.Asked.Fill.Outline = true, &only })
	_, ok = e.Curve()
	require.False(t, ok, "an outline has no rows")
}

// A galvo's curve ends where its pulses, or its scanner, do: 0.06 mm x 50 kHz / 2 = 1,500
// mm/s, of the 6,543 of the example.
func TestCurveOfAGalvo(t *testing.T) {
	m, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	for _, tt := range []struct {
		kHz, speed, at float64
		why            string
	}{{50, 800, 1500, "fastest without gaps between pulses"}, {30, 800, 900, "fastest without gaps between pulses"},
		{30, 1000, 1000, ""}} {
		e := compared(t, func(q *better.Question) {
			q.Machines, q.AsAsked, q.Asked.Fill.Frequency = []settings.Machine{m}, true,
				&value.Frequency{Hz: tt.kHz * 1000}
			speedOf(q, tt.speed)
		})
		c, ok := e.Curve()
		require.True(t, ok)
		require.InDelta(t, tt.at, c.Quickest.X, 1e-6)
		require.Equal(t, tt.why, c.Why)
		require.InDelta(t, 6543, c.Points[120].X, 1e-6)
		// 200 rows of 10 mm: what is marked alone follows the speed.
		require.InDelta(t, 2000/6543.-2000/tt.speed, c.Points[120].Y-c.Now.Y, 1e-6)
	}
}

// At 100 mm/s the rows would be quicker at 166: with a dose of 16 W/(100·0.5) mm2/s = 32
// J/cm2 that becomes 19.3, or with 66.4 % of power instead of 40.
func TestWordsOfABetterSpeed(t *testing.T) {
	find := func(sameDose bool) better.Improvement {
		e := compared(t, func(q *better.Question) {
			q.SameDose = sameDose
			speedOf(q, 100)
		})
		for _, b := range e.Better {
			if strings.HasPrefix(b.Change, "rows at 166 mm/s") {
				return b
			}
		}
		require.Fail(t, "no better speed", "%+v", e.Better)
		return better.Improvement{}
	}
	b := find(false)
	require.Equal(t, "rows at 166 mm/s instead of 100", b.Change)
	require.Equal(t, "dose 19.3 instead of 32 J/cm2: prove it on scrap", b.Drawback)
	at := func(v float64) float64 {
		return compared(t, func(q *better.Question) {
			q.AsAsked = true
			speedOf(q, v)
		}).Figures.Seconds
	}
	require.InDelta(t, at(100)-at(166), b.Saved, 1e-6)
	b = find(true)
	require.Equal(t, "rows at 166 mm/s instead of 100, power 66.4 % instead of 40", b.Change)
	require.Equal(t, "same dose", b.Drawback)
}

// zeroOfTheBed lets the machine's zero be its bed's, so that run-ups must lie on the bed.
func zeroOfTheBed(t *testing.T, q *better.Question) {
	t.Helper()
	p := q.Machines[0].Profile
	g := *p.Gantry
	g.Zero, p.Gantry = machine.ZeroBed, &g
	text, err := settings.ProfileTOML(p)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "m.toml")
	require.NoError(t, os.WriteFile(file, text, 0o600))
	q.Machines[0], err = settings.FindMachine(file)
	require.NoError(t, err)
}

// Run-ups of v²/2a and half a millimetre, with 5,000 mm/s2, leave room for 141 mm/s where
// rows begin 2.5 mm from the edge: 166 is too much, and half of the way from 100 is 133.
func TestSpeedThatTheBedHasRoomFor(t *testing.T) {
	e := compared(t, func(q *better.Question) {
		zeroOfTheBed(t, q)
		speedOf(q, 100)
		q.Asked.Artwork.At = &value.Point{X: 2.5, Y: 20}
	})
	require.True(t, slices.ContainsFunc(e.Better, func(b better.Improvement) bool {
		return strings.HasPrefix(b.Change, "rows at 133 mm/s instead of 100")
	}), "%+v", e.Better)
}

// A recipe of the shop's own that was never tried on scrap is told; one that was, or that
// came with the program, is not.
func TestRecipesThatWereNeverTried(t *testing.T) {
	for tested, untested := range map[string]bool{"": true, "tested_on = \"2026-03-01\"\n": false} {
		file := filepath.Join(t.TempDir(), "mine.toml")
		require.NoError(t, os.WriteFile(file, []byte("furrow = 1\nid = \"mine\"\nmachine = \"example-co2\"\n"+
			"name = \"mine\"\npurpose = \"engrave\"\nmaterial = \"slate\"\n"+
			"speed_mm_s = 150\npower_percent = 40\nspacing_mm = 0.5\n"+tested), 0o600))
		e := compared(t, func(q *better.Question) {
			q.AsAsked, q.Asked.Fill, q.Wanted.Use = true, job.Fill{}, []string{"example-co2=" + file}
		})
		require.Equal(t, untested, e.Untested, tested)
		require.Equal(t, "mine", e.Settings)
	}
	e := compared(t, func(q *better.Question) {
		q.AsAsked, q.Asked.Fill, q.Wanted.Use = true, job.Fill{}, []string{"example-co2=example-co2-birch"}
	})
	require.False(t, e.Untested)
	require.Equal(t, "example-co2-birch", e.Settings)
}

// Work that cannot be kept as cool as the job asks for is not done at all, and the reason
// and the remedy are told.
func TestWorkThatCannotBePaused(t *testing.T) {
	q := question(t)
	cool, thick := value.Number(1), value.Length(1)
	q.Job.PauseAt = &cool
	q.Job.Blank = job.Blank{Material: "slate", Width: value.Given(value.Length(20)),
		Height: value.Given(value.Length(110)), Thickness: &thick}
	c, err := better.Compare(q)
	require.NoError(t, err)
	require.Empty(t, c.Machines)
	require.Len(t, c.Unfit, 1)
	require.Equal(t, "no", c.Unfit[0].Fits)
	require.Contains(t, c.Unfit[0].Why, "has no word for a pause")
	require.Contains(t, c.Unfit[0].Hint, "dwell = true")
}

// A machine of which nothing says how to mark the material is not ranked; settings that the
// job has for its own machine are that one's.
func TestMachinesWithoutSettings(t *testing.T) {
	q := question(t)
	speed, power := value.Number(150), value.Number(40)
	q.Job.Machine, q.Job.Fill, q.Asked.Fill = "example-diode", q.Asked.Fill, job.Fill{}
	q.Job.Fill.Speed, q.Job.Fill.Power, q.Wanted.Material = &speed, &power, "granite"
	c, err := better.Compare(q)
	require.NoError(t, err)
	require.Len(t, c.Unranked, 1)
	require.Equal(t, "no recipe for granite: the job's settings are for example-diode", c.Unranked[0].Why)
	q.Job.Fill = job.Fill{}
	c, err = better.Compare(q)
	require.NoError(t, err)
	require.Equal(t, "no recipe for granite", c.Unranked[0].Why, "it has none")
}

// Both of two machines are looked at for what would make them better, a step for each way
// that is tried; of the work on each every stage is heard once, and none of what is tried.
func TestEveryMachineIsLookedAt(t *testing.T) {
	q := question(t)
	diode, err := settings.FindMachine("example-diode")
	require.NoError(t, err)
	q.Machines = append(q.Machines, diode)
	heard, steps := map[string]int{}, 0
	q.Observe = func(machine string) work.Observer {
		return work.Observer{Stage: func(name string, step func() error) error {
			heard[machine+" "+name]++
			return step()
		}}
	}
	q.Step = func() { steps++ }
	c, err := better.Compare(q)
	require.NoError(t, err)
	require.Len(t, c.Machines, 2)
	for _, e := range c.Machines {
		require.NotEmpty(t, e.Better, e.Machine)
		for _, stage := range []string{"read", "hatch", "sequence", "plan", "check", "time"} {
			require.Equal(t, 1, heard[e.Machine+" "+stage], "%s %s", e.Machine, stage)
		}
	}
	require.GreaterOrEqual(t, steps, 4, "rows and part turned, on each")
}

// An outline alone has no rows to be quicker, and no speed of them.
func TestOutlineAlone(t *testing.T) {
	only := "only"
	for _, spacing := range []*value.Spacing{{MM: 0.5}, nil} {
		e := compared(t, func(q *better.Question) { q.Asked.Fill.Outline, q.Asked.Fill.Spacing = &only, spacing })
		require.Zero(t, e.SpeedMMPerS)
		require.False(t, slices.ContainsFunc(e.Better, func(b better.Improvement) bool {
			return strings.HasPrefix(b.Change, "rows at")
		}))
	}
}

// What slows the whole file down is the first advice, with its remedy.
func TestAdviceOfASlowLink(t *testing.T) {
	e := compared(t, func(q *better.Question) { q.AsAsked = true })
	in := e.Work.Input
	g := *in.Machine.GCode
	g.LinkBytesPerS, in.Machine.GCode = 20, &g
	w, err := work.Make(in)
	require.NoError(t, err)
	limit, _, remedy := w.Clock.Warning()
	require.NotEmpty(t, limit)
	all, err := better.Advise(w)
	require.NoError(t, err)
	require.Equal(t, limit+": "+remedy, all[0])
}

// Work that fits if it is moved is told of as it would be there.
func TestWorkThatWouldFitIfMoved(t *testing.T) {
	here := compared(t, func(q *better.Question) { q.AsAsked = true })
	there := compared(t, func(q *better.Question) {
		zeroOfTheBed(t, q)
		q.AsAsked, q.Asked.Artwork.At = true, &value.Point{X: 595, Y: 10}
	})
	require.Equal(t, "yes", here.Fits)
	require.Equal(t, "if moved", there.Fits)
	require.InDelta(t, here.Figures.Seconds, there.Figures.Seconds, 1, "but for the way there")
	require.InDelta(t, 2000, there.Figures.MarkMM, 1e-3)
	// 2 m of marks at 150 mm/s, with 40 % of 40 W.
	require.InDelta(t, 2000/150.*16, here.EnergyJ, 0.5)
	require.InDelta(t, here.EnergyJ/here.Figures.Seconds, here.MeanPowerW, 1e-9)
	require.InDelta(t, 16/(150*0.5)*100, here.DoseJPerCM2, 1e-6)
	require.Equal(t, 150.0, here.SpeedMMPerS)
	require.InDelta(t, stripQuickest, here.Quickest, 0.1)
}

// What hatch advises: the quicker speed with the power of the same dose, slower where that
// is quicker.
func TestAdviceOfASpeed(t *testing.T) {
	e := compared(t, func(q *better.Question) {
		q.AsAsked = true
		speedOf(q, 166)
	})
	all, err := better.Advise(*e.Work)
	require.NoError(t, err)
	require.NotContains(t, strings.Join(all, "\n"), "same dose", "it is as quick as can be")
	for v, want := range map[float64]string{400: "slower is quicker: 166 mm/s at 16.6 %, same dose, saves ",
		60: "150 mm/s at 100 %, same dose, saves "} {
		e := compared(t, func(q *better.Question) {
			q.AsAsked = true
			speedOf(q, v)
		})
		all, err := better.Advise(*e.Work)
		require.NoError(t, err)
		require.Contains(t, strings.Join(all, "\n"), want)
		if v == 60 {
			require.NotContains(t, strings.Join(all, "\n"), "slower is")
		}
	}
}
