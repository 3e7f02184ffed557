package clock_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// stroll returns random moves of every kind that a file can hold, arcs included.
func stroll(r *rand.Rand, n int) []emit.Move {
	return wander(r, n, func() float64 { return 3 * r.NormFloat64() * r.Float64() * r.Float64() })
}

// wander is stroll with turns of one's own, in radians.
func wander(r *rand.Rand, n int, turn func() float64) []emit.Move {
	var list []emit.Move
	at, heading := path.Point{}, 0.0
	for range n {
		heading += turn()
		sin, cos := math.Sincos(heading)
		step := math.Pow(10, -2+3.5*r.Float64())
		mv := emit.Move{
			Kind: []emit.Kind{emit.Travel, emit.Mark, emit.Mark, emit.Gap}[r.IntN(4)],
			To:   at.Add(path.Point{X: cos, Y: sin}.Mul(step)), Speed: 20 + 300*r.Float64(), Power: 0.5,
		}
		if mv.Kind == emit.Mark && r.IntN(4) == 0 {
			mv.Turn = emit.CounterClockwise
			mv.Centre = at.Add(path.Point{X: -sin, Y: cos}.Mul(step))
			mv.To = mv.Centre.Add(path.Point{X: cos, Y: sin}.Mul(step))
			heading += math.Pi / 2
		}
		list = append(list, mv)
		at = mv.To
	}
	return list
}

func fromSeed(seed uint64) (*rand.Rand, machine.Profile) {
	r := rand.New(rand.NewPCG(seed, 11))
	p := axes(500, 4000)
	p.Gantry.AccelMMPerS2[1] = 1500
	if seed%2 == 1 {
		p.Gantry.JerkMMPerS3 = [2]float64{200_000, 80_000}
	}
	return r, p
}

// slack is what a limit of the jerk may cost or save, relative: acceleration is
// taken to be zero at the ends of legs, which other limits divide otherwise.
func slack(p machine.Profile) float64 {
	if p.Gantry.JerkMMPerS3[0] > 0 {
		return 0.002
	}
	return 1e-8
}

func TestTimeNeverFallsWithAcceleration(t *testing.T) {
	for seed := range uint64(60) {
		r, p := fromSeed(seed)
		m := play(stroll(r, 200)...)
		before := 0.0
		for _, f := range []float64{1, 0.9, 0.5, 0.2, 0.05} {
			q, g := p, *p.Gantry
			g.AccelMMPerS2 = [2]float64{g.AccelMMPerS2[0] * f, g.AccelMMPerS2[1] * f}
			q.Gantry = &g
			s := run(t, m, q).Total().Seconds()
			require.GreaterOrEqual(t, s, before*(1-slack(p)), "seed %d at %g", seed, f)
			before = s
		}
	}
}

// Along axes that are alike. Elsewhere a move in a direction where the machine
// is stronger can let the head brake later, and save more than it takes.
func TestTimeNeverFallsWithAMoveMore(t *testing.T) {
	for seed := range uint64(60) {
		r, p := fromSeed(seed)
		g := p.Gantry
		g.AccelMMPerS2[1], g.JerkMMPerS3[1] = g.AccelMMPerS2[0], g.JerkMMPerS3[0]
		list := wander(r, 60, func() float64 { return float64(r.IntN(4)) * math.Pi / 2 })
		before := 0.0
		for n := range list {
			s := run(t, play(list[:n+1]...), p).Total().Seconds()
			require.GreaterOrEqual(t, s, before*(1-slack(p)), "seed %d, %d moves", seed, n+1)
			before = s
		}
	}
}

// Common practice, no source: doubling the speed, all else equal, never halves
// the time.
func TestDoubleSpeedNeverHalvesTheTime(t *testing.T) {
	for seed := range uint64(40) {
		r, p := fromSeed(seed)
		slow := stroll(r, 100)
		fast := make([]emit.Move, len(slow))
		for i, mv := range slow {
			mv.Speed *= 2
			fast[i] = mv
		}
		require.Greater(t, 2*run(t, play(fast...), p).Total(), run(t, play(slow...), p).Total(), "seed %d", seed)
	}
}

// Parts are whole nanoseconds, none below 0, and add up to the end of the last
// move.
func TestPartsAddUp(t *testing.T) {
	for seed := range uint64(40) {
		r, p := fromSeed(seed)
		var end time.Duration
		length := 0.0
		got, err := clock.Each(play(stroll(r, 300)...), p, func(tm clock.Timed) {
			require.Equal(t, end, tm.Start)
			end = tm.End
			if tm.Turn == emit.Straight {
				length += tm.From.Dist(tm.To)
			} else {
				length += math.Pi / 2 * tm.From.Dist(tm.Centre)
			}
		})
		require.NoError(t, err)
		require.InEpsilon(t, length, got.MarkMM+got.TravelMM+got.OvertravelMM+got.GapMM, 1e-9, "seed %d", seed)
		require.Equal(t, end, got.Total(), "seed %d", seed)
		for _, part := range []int64{int64(got.Mark), int64(got.Overtravel), int64(got.Turn), int64(got.Travel),
			int64(got.Corner)} {
			require.GreaterOrEqual(t, part, int64(0))
		}
		sum := got.Mark + got.Overtravel + got.Turn + got.Travel + got.Corner
		require.Equal(t, sum, got.Total(), "a gantry has no other parts")
	}
}
