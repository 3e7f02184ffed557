package tune_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"furrow/emit"
	"furrow/emit/tune"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// The trade's own pair: 76.2 x 127 mm engraved at 400 lines an inch both ways, rows along
// either side, takes 65 min at 100 mm/s and 50 min at 200 mm/s (common practice, no
// source). One acceleration explains both: by hand 3,200 rows of 304.8 m in all leave
// 852 s and 1,476 s for the turns, 2v/a each, so 751 and 867 mm/s2.
func TestTradesOwnPair(t *testing.T) {
	p := assumed(0)
	g := *p.Gantry
	g.AccelMMPerS2, g.AccelAlongPath, g.MaxSpeedMMPerS = [2]float64{850, 850}, true, [2]float64{400, 400}
	p.Gantry = &g
	var runs []tune.Run
	for _, c := range []struct{ speed, minutes float64 }{{100, 65}, {200, 50}} {
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: c.speed, Power: 0.5}}}
		addRows(&prog, 2000, 76.2, func(x, y float64) path.Point { return path.Point{X: x, Y: y} })
		addRows(&prog, 1200, 127, func(x, y float64) path.Point { return path.Point{X: y, Y: x} })
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		runs = append(runs, tune.Run{Moves: m, MeasuredS: 60 * c.minutes})
	}
	fit, err := tune.Fit(p, runs)
	require.NoError(t, err)
	a := fit.Profile.Gantry.AccelMMPerS2[0]
	require.True(t, a > 700 && a < 1100, "%g mm/s2", a)
	for _, r := range fit.Runs {
		require.InEpsilon(t, r.MeasuredS, r.AfterS, 0.05)
	}
}

func addRows(p *path.Program, n int, w float64, at func(x, y float64) path.Point) {
	first := len(p.Strokes)
	for k := range n {
		a, b := at(0, float64(k)*0.0635), at(w, float64(k)*0.0635)
		if k%2 == 1 {
			a, b = b, a
		}
		p.Append(path.Stroke{Sweep: int32(first + k + 1)}, a, b)
	}
}

// A run lasts as long as a watch needs, by what the profile has, and no longer than a person
// waits.
func TestHowLongTrialsLast(t *testing.T) {
	for i := range 3 {
		p := assumed(i)
		for _, trial := range tune.Trials(p, tune.TrialS) {
			want := tune.TrialS
			if trial.Name == "travel" {
				want /= 2
			}
			require.InDelta(t, want, timed(t, trial.Moves, p), 1.5, "%s: %s", p.ID, trial.Name)
		}
	}
}

// By hand: 0.5 mm there and back at 1,000 mm/s2 from rest to rest takes 2·2·√(0.5/1000) =
// 0.0894 s. A watch that reads twice that tells a quarter of the acceleration; Y, which no
// run asks, is not told and stays.
func TestFitByHand(t *testing.T) {
	p := assumed(1)
	x := tune.Trials(p, tune.TrialS)[0]
	fit, err := tune.Fit(p, []tune.Run{{Name: "x", Moves: x.Moves, MeasuredS: 2 * timed(t, x.Moves, p)}})
	require.NoError(t, err)
	require.InEpsilon(t, 250, fit.Profile.Gantry.AccelMMPerS2[0], 0.01)
	text := strconv.FormatFloat(fit.Profile.Gantry.AccelMMPerS2[0], 'g', -1, 64)
	require.LessOrEqual(t, len(text), len("123.4"), "four digits: %s", text)
	require.Equal(t, 0.02, fit.Profile.Gantry.CornerErrorMM, "what is not told stays")
	require.InEpsilon(t, 1000, fit.Profile.Gantry.AccelMMPerS2[1], 1e-6)
	require.Equal(t, [2]float64{1000, 1000}, p.Gantry.AccelMMPerS2, "the profile itself is not changed")
	require.False(t, fit.RestTold, "there is no travel in the run")
	require.True(t, fit.Values[1].Told || fit.Values[0].Told)
	for _, v := range fit.Values {
		require.Equal(t, v.What == "acceleration in X", v.Told, v.What)
	}
}

// What a run does not tell stays to the last digit, a limit that is not there too, and what it
// tells has the three digits that a watch tells, or four.
func TestUntoldValuesStay(t *testing.T) {
	p := assumed(1)
	g := *p.Gantry
	g.AccelMMPerS2, g.CornerErrorMM = [2]float64{1500.4567, 1499.59907}, 0
	p.Gantry = &g
	x := tune.Trials(p, tune.TrialS)[0]
	fit, err := tune.Fit(p, []tune.Run{{Name: "x", Moves: x.Moves, MeasuredS: 0.837 * timed(t, x.Moves, p)}})
	require.NoError(t, err)
	require.Equal(t, 1499.59907, fit.Profile.Gantry.AccelMMPerS2[1])
	require.Zero(t, fit.Profile.Gantry.CornerErrorMM)
	require.InEpsilon(t, 1500/(0.837*0.837), fit.Profile.Gantry.AccelMMPerS2[0], 0.02)
	require.Zero(t, math.Mod(fit.Profile.Gantry.AccelMMPerS2[0], 1), "%g", fit.Profile.Gantry.AccelMMPerS2[0])
	for _, v := range fit.Values {
		require.Equal(t, v.Told, v.After != v.Before, v.What)
	}
}

// Of four readings of one run three agree, and the fourth, half as long again, is left out
// although it pulls the mean a tenth its way. Of two readings that differ neither is: nobody
// knows which is wrong.
func TestOutlierAmongReadings(t *testing.T) {
	p := assumed(0)
	trials := tune.Trials(p, 1)
	var runs []tune.Run
	for _, trial := range trials[:3] {
		runs = append(runs, tune.Run{Name: trial.Name, Moves: trial.Moves, MeasuredS: timed(t, trial.Moves, p)})
	}
	again := func(name string, times float64) tune.Run {
		return tune.Run{Name: name, Moves: trials[0].Moves, MeasuredS: times * runs[0].MeasuredS}
	}
	left := func(runs ...tune.Run) (names []string) {
		fit, err := tune.Fit(p, runs)
		require.NoError(t, err)
		defer func() {
			if names != nil {
				require.InEpsilon(t, 1000, fit.Profile.Gantry.AccelMMPerS2[0], 0.01, "by the others alone")
			}
		}()
		for _, f := range fit.Runs {
			if f.Outlier {
				names = append(names, f.Name)
			}
		}
		return names
	}
	require.Equal(t, []string{"slip"}, left(runs[0], again("two", 1.004), again("slip", 1.5), again("three", 0.997)))
	require.Equal(t, []string{"slip"}, left(append(runs, again("two", 1.004), again("slip", 0.6))...))
	require.Empty(t, left(append(runs, again("other", 1.5))...))
	require.Empty(t, left(runs[0], again("slip", 1.5), runs[1]), "three runs are too few")
	require.Empty(t, left(append(runs, again("two", 1.04))...), "within what a watch may err by")
}

// A run with a slip of the watch is left out by name.
func TestOutlierIsLeftOut(t *testing.T) {
	p := assumed(0)
	var runs []tune.Run
	r := rand.New(rand.NewPCG(1, 2))
	for _, trial := range tune.Trials(p, 1) {
		runs = append(runs, tune.Run{Name: trial.Name, Moves: trial.Moves, MeasuredS: timed(t, trial.Moves, p)})
	}
	for range 4 {
		m, err := emit.Plan(randomJob(r, p), p)
		require.NoError(t, err)
		runs = append(runs, tune.Run{Name: "job", Moves: m, MeasuredS: timed(t, m, p)})
	}
	runs[6].Name, runs[6].MeasuredS = "slip", runs[6].MeasuredS*1.6
	fit, err := tune.Fit(p, runs)
	require.NoError(t, err)
	for _, f := range fit.Runs {
		require.Equal(t, f.Name == "slip", f.Outlier, f.Name)
	}
	require.InEpsilon(t, 1000, fit.Profile.Gantry.AccelMMPerS2[0], 0.01)
	_, err = tune.Fit(p, nil)
	require.Error(t, err)
}

// Runs of one file give what as many files alike would, and the file is read once.
func TestRunsOfOneFileAreReadOnce(t *testing.T) {
	p := assumed(0)
	var alone, together []tune.Run
	read := 0
	for _, trial := range tune.Trials(p, 0.2)[:3] {
		m := trial.Moves
		m.Play = func(yield func(emit.Move, error) bool) {
			read++
			trial.Moves.Play(yield)
		}
		for _, times := range []float64{1.2, 1.21, 1.19} {
			run := tune.Run{Name: trial.Name, Moves: trial.Moves, MeasuredS: times * timed(t, trial.Moves, p)}
			alone = append(alone, run)
			run.Moves, run.File = m, trial.Name
			together = append(together, run)
		}
	}
	want, err := tune.Fit(p, alone)
	require.NoError(t, err)
	got, err := tune.Fit(p, together)
	require.NoError(t, err)
	require.Equal(t, want, got)
	require.Equal(t, 3, read)
}
