package better_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"furrow/cmd/furrow/internal/better"
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/heat"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// patches are rectangles and discs here and there on a page of 12 x 9 mm: small, so that
// the map has few cells.
func patches(r *rand.Rand) string {
	var b strings.Builder
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="12mm" height="9mm" viewBox="0 0 40 30">`)
	for range 2 + r.IntN(6) {
		w, h := 2+12*r.Float64(), 2+10*r.Float64()
		x, y := (40-w)*r.Float64(), (30-h)*r.Float64()
		if r.IntN(2) == 0 {
			fmt.Fprintf(&b, `<rect x="%.2f" y="%.2f" width="%.2f" height="%.2f"/>`, x, y, w, h)
		} else {
			fmt.Fprintf(&b, `<ellipse cx="%.2f" cy="%.2f" rx="%.2f" ry="%.2f"/>`, x+w/2, y+h/2, w/2, h/2)
		}
	}
	return b.String() + "</svg>"
}

// warm is the input of a job on a thin plate.
func warm(t *testing.T, art, machine, material string, thickness float64, change func(*job.Job)) work.Input {
	t.Helper()
	speed, power, quick := value.Number(150), value.Number(40), "quick"
	j := job.Job{
		Furrow: 1, Machine: machine, Effort: &quick, Artwork: job.Artwork{File: "art.svg"},
		Blank: job.Blank{
			Material: material, Width: value.Given(value.Length(12)), Height: value.Given(value.Length(9)),
			Thickness: value.Given(value.Length(thickness)),
		},
		Fill: job.Fill{Spacing: &value.Spacing{MM: 0.1}, Speed: &speed, Power: &power},
	}
	if machine == "example-fibre" {
		fast := value.Number(1200)
		j.Fill.Frequency, j.Fill.Speed = &value.Frequency{Hz: 50_000}, &fast
	}
	change(&j)
	resolved, err := job.Resolve(j, job.Request{}, false)
	require.NoError(t, err)
	drawing, err := work.Read(strings.NewReader(art), resolved)
	require.NoError(t, err)
	return work.NewInput(resolved, drawing)
}

func spread(j *job.Job) { on := true; j.Spread = &on }

// marked is what a work marks, whatever the sequence and direction.
func marked(w work.Work) (all []string) {
	for i := range w.Program.Strokes {
		pts := w.Program.PointsOf(i)
		a, b := pts[0], pts[len(pts)-1]
		if b.X < a.X || b.X == a.X && b.Y < a.Y {
			a, b = b, a
		}
		all = append(all, fmt.Sprintf("%.4f %.4f %.4f %.4f", a.X, a.Y, b.X, b.Y))
	}
	slices.Sort(all)
	return all
}

// hottest is the estimate of a work by itself.
func hottest(t *testing.T, w work.Work, stepS float64) float64 {
	e, err := warmth.MappedWith(w, heat.Options{StepS: stepS})
	require.NoError(t, err)
	return e.Most * e.Map.Peak
}

// Random jobs, spread and as they come, on all machines and on plates that spread heat well
// and badly: what is said of either is the estimate of the work done that way, nothing but
// the sequence differs, and what is taken is a twentieth cooler and a quarter longer at most.
// FURROW_MORE asks for more jobs, and -v tells how they fared.
func TestSpreadAgainstThePlainWay(t *testing.T) {
	jobs := 2
	if outside.Strict() {
		jobs = 9
	}
	if n, err := strconv.Atoi(os.Getenv("FURROW_MORE")); err == nil {
		jobs = n
	}
	taken, cooler, longer := 0, 0.0, 0.0
	for seed := range uint64(jobs) {
		r := rand.New(rand.NewPCG(seed, 22))
		machine := []string{"example-fibre", "example-co2", "example-diode"}[seed%3]
		material := []string{"6061", "stainless-304", "birch", "brass"}[r.IntN(4)]
		in := warm(t, patches(r), machine, material, 0.4+1.2*r.Float64(), func(j *job.Job) {
			if spread(j); machine == "example-diode" {
				slow := value.Number(90)
				j.Fill.Speed = &slow
			}
		})
		out, s, err := better.Spreading(in)
		require.NoError(t, err)
		plain, err := work.Make(in)
		require.NoError(t, err)
		require.InEpsilon(t, hottest(t, plain, s.StepS), s.PlainK, 1e-9)
		require.InDelta(t, plain.Clock.Total().Seconds(), s.PlainS, 1e-9)
		w, err := work.Make(out)
		require.NoError(t, err)
		if s.Kept {
			require.Equal(t, plain.Program, w.Program)
			continue
		}
		require.InEpsilon(t, hottest(t, w, s.StepS), s.HottestK, 1e-9)
		require.InDelta(t, w.Clock.Total().Seconds(), s.Seconds, 1e-9)
		require.Equal(t, marked(plain), marked(w), "seed %d", seed)
		require.LessOrEqual(t, s.HottestK, (1-better.WorthCooling)*s.PlainK)
		require.LessOrEqual(t, s.Seconds, (1+better.MostLonger)*s.PlainS)
		taken, cooler, longer = taken+1, cooler+1-s.HottestK/s.PlainK, longer+s.Seconds/s.PlainS-1
	}
	t.Logf("%d of %d jobs spread, on average %.0f %% cooler at the hottest and %.1f %% longer",
		taken, jobs, 100*cooler/float64(max(1, taken)), 100*longer/float64(max(1, taken)))
}

// On a plate so small that heat is everywhere at once no sequence helps, and the plain one
// is kept: 4 x 3 mm of 3 mm aluminium evens out in 0.1 s (by hand, L²/α = 16/69).
func TestSpreadKeepsPlainRows(t *testing.T) {
	art := `<svg xmlns="http://www.w3.org/2000/svg" width="4mm" height="3mm" viewBox="0 0 4 3"><rect x="1" y="1" ` +
		`width="2" height="1"/></svg>`
	in := warm(t, art, "example-co2", "6061", 3, func(j *job.Job) {
		spread(j)
		j.Blank.Width, j.Blank.Height = value.Given(value.Length(4)), value.Given(value.Length(3))
	})
	out, s, err := better.Spreading(in)
	require.NoError(t, err)
	require.True(t, s.Kept)
	require.Zero(t, out.Cells)
	require.Equal(t, in.Groups, out.Groups)
	require.Equal(t, 6, s.Tried, "four ways to interleave rows, and two to cut them into cells")
	require.Contains(t, s.Words(), "kept the plain sequence")
	out, s, err = better.Spreading(warm(t, art, "example-co2", "6061", 3, func(*job.Job) {}))
	require.NoError(t, err)
	require.Nil(t, s)
	require.Zero(t, out.Cells)
	_, _, err = better.Spreading(warm(t, art, "example-co2", "unobtainium", 3, spread))
	require.ErrorContains(t, err, `heat needs the numbers of "unobtainium", which are not known`)
}

// pausing is strokes with pauses for a share of the plain way's hottest rise.
func pausing(t *testing.T, in work.Input, share float64) (plain, with work.Work, p *better.Paused, err error) {
	plain, err = work.Make(in)
	require.NoError(t, err)
	limit := value.Number(share * hottest(t, plain, 0))
	in.Job.PauseAt = &limit
	s, err := work.Fill(in)
	require.NoError(t, err)
	s, p, err = better.Pauses(in, s)
	if err == nil {
		with, err = work.Plan(in, in.IntoField(s))
		require.NoError(t, err)
	}
	return plain, with, p, err
}

// What is said of pauses is the estimate of the work with them, and they hold the limit;
// nothing that is marked changes, and the time grows by the pauses and the few ways that
// are no longer part of a turn.
func TestPausesHoldTheLimit(t *testing.T) {
	jobs, held := 1, 0
	if outside.Strict() {
		jobs = 2
	}
	defer func() { require.GreaterOrEqual(t, held, jobs/2) }()
	for seed := range uint64(jobs) {
		r := rand.New(rand.NewPCG(seed, 23))
		machine := []string{"example-fibre", "example-co2"}[seed%2]
		art := strings.Replace(patches(r), `width="12mm" height="9mm"`, `width="16mm" height="12mm"`, 1)
		in := warm(t, art, machine, "6061", 0.8, func(j *job.Job) {
			j.Blank.Width, j.Blank.Height = value.Given(value.Length(16)), value.Given(value.Length(12))
		})
		if machine == "example-co2" {
			in.Machine = dwelling(*in.Machine)
		}
		plain, with, p, err := pausing(t, in, 0.85)
		require.NoError(t, err, "seed %d", seed)
		if p.StillOver { // the plate as a whole is about as warm as the limit
			require.Less(t, p.HottestK, 1.05*p.LimitK)
			require.Contains(t, p.Words(), "no lower")
			continue
		}
		held++
		require.InEpsilon(t, hottest(t, with, p.StepS), p.HottestK, 1e-9)
		require.LessOrEqual(t, p.HottestK, p.LimitK)
		require.Equal(t, len(with.Program.Rests), p.Pauses)
		require.Equal(t, marked(plain), marked(with))
		require.InDelta(t, p.Seconds, with.Clock.Wait.Seconds(), 1e-6)
		require.InDelta(t, p.Seconds, p.LongerS, 0.2+0.2*float64(p.Pauses))
	}
}

// Looking for a cooler sequence, and for pauses, is one stage each, whatever is tried in it.
func TestStagesOfCooling(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 23))
	in := warm(t, patches(r), "example-fibre", "stainless-304", 0.8, spread)
	var heard []string
	in.Observe.Stage = func(name string, step func() error) error {
		heard = append(heard, name)
		return step()
	}
	out, _, err := better.Spreading(in)
	require.NoError(t, err)
	require.Equal(t, []string{"spread"}, heard)
	require.NoError(t, out.Observe.Run("next", func() error { return nil }))
	require.Equal(t, []string{"spread", "next"}, heard)
	limit := value.Number(0.8 * hottest(t, made(t, in), 0))
	in.Job.PauseAt = &limit
	s, err := work.Fill(in)
	require.NoError(t, err)
	heard = nil
	_, _, err = better.Pauses(in, s)
	require.NoError(t, err)
	require.Equal(t, []string{"pauses"}, heard)
}

func made(t *testing.T, in work.Input) work.Work {
	t.Helper()
	w, err := work.Make(in)
	require.NoError(t, err)
	return w
}

// Pauses that do not hold the limit at once are placed anew for lower ones, as these are once
// and three times; where no lower one can be held, the best so far has to do.
func TestPausesArePlacedAnew(t *testing.T) {
	for _, tt := range []struct {
		seed     uint64
		share    float64
		material string
		over     bool
	}{{1, 0.7, "stainless-304", false}, {3, 0.7, "birch", false}, {1, 0.5, "stainless-304", true}} {
		art := strings.Replace(patches(rand.New(rand.NewPCG(tt.seed, 23))), `width="12mm" height="9mm"`,
			`width="16mm" height="12mm"`, 1)
		in := warm(t, art, "example-fibre", tt.material, 0.8, func(j *job.Job) {
			j.Blank.Width, j.Blank.Height = value.Given(value.Length(16)), value.Given(value.Length(12))
		})
		plain, with, p, err := pausing(t, in, tt.share)
		require.NoError(t, err)
		require.Equal(t, tt.over, p.StillOver, "%+v", tt)
		require.Equal(t, tt.over, p.HottestK > p.LimitK)
		require.InEpsilon(t, hottest(t, with, p.StepS), p.HottestK, 1e-9)
		require.Less(t, p.HottestK, p.WithoutK)
		require.Equal(t, marked(plain), marked(with))
	}
}

// dwelling is the machine with a word for a pause.
func dwelling(m settings.Machine) *settings.Machine {
	c := *m.GCode
	c.Dwell = true
	m.GCode = &c
	return &m
}

func TestPausesThatCannotBe(t *testing.T) {
	art := patches(rand.New(rand.NewPCG(1, 23)))
	in := warm(t, art, "example-co2", "6061", 0.8, func(*job.Job) {})
	_, _, _, err := pausing(t, in, 0.8)
	require.ErrorContains(t, err, "no word for a pause")
	_, _, p, err := pausing(t, in, 1.1) // none is needed
	require.NoError(t, err)
	require.Zero(t, p.Pauses)
	require.Contains(t, p.Words(), "none needed")
	_, _, _, err = pausing(t, warm(t, art, "example-fibre", "6061", 0.8, func(*job.Job) {}), 0.05)
	require.ErrorContains(t, err, "no pauses keep the blank")
	across := "across"
	in.Job.Fixture.Sequence = &across
	_, _, _, err = pausing(t, in, 0.8)
	require.ErrorContains(t, err, "run across parts")
}

// Further looks of an order are spread as the first one was.
func TestCoolingIsDecidedOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 22))
	var c better.Cooling
	first, err := c.Settle(warm(t, patches(r), "example-fibre", "stainless-304", 0.5, spread))
	require.NoError(t, err)
	require.NotNil(t, c.Spread)
	require.False(t, c.Spread.Kept)
	second, err := c.Settle(warm(t, patches(r), "example-fibre", "stainless-304", 0.5, spread))
	require.NoError(t, err)
	require.Equal(t, first.Cells, second.Cells)
	require.Equal(t, first.Groups[0].Skip, second.Groups[0].Skip)
	require.Len(t, c.Lines(), 1)
}
