package clock

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// overAll is the look-ahead in its plain form, over all legs at once.
func overAll(legs []leg, corners []float64) []float64 {
	v := make([]float64, len(legs)+1)
	for i := 1; i < len(legs); i++ {
		v[i] = min(corners[i], legs[i-1].after(v[i-1]))
	}
	for i := len(legs) - 1; i > 0; i-- {
		v[i] = min(v[i], legs[i].after(v[i+1]))
	}
	return v
}

// wander returns a random polyline: long straight parts, fine curves, reversals.
func wander(r *rand.Rand, n int, g machine.Gantry, jerk float64) (legs []leg, segs []segment, corners []float64) {
	at, heading := path.Point{}, 0.0
	for range n {
		step := math.Pow(10, -3+5*r.Float64())
		if r.IntN(3) > 0 {
			step = 0.02
		}
		heading += math.Pow(r.Float64(), 8) * math.Pi
		s, c := math.Sincos(heading)
		mv := emit.Move{Kind: emit.Mark, Speed: 10 + 500*r.Float64(), To: at.Add(path.Point{X: c * step, Y: s * step})}
		segs = append(segs, segment{})
		segs[len(segs)-1].set(at, &mv, &g)
		legs = append(legs, newLeg(&segs[len(segs)-1], jerk))
		limit := 0.0
		if n := len(segs); n > 1 {
			k := controller{gantry: &g}
			limit = k.corner(&segs[n-2], &segs[n-1])
		}
		corners = append(corners, limit)
		at = mv.To
	}
	return legs, segs, corners
}

// Bounded memory changes no speed by a single bit.
func TestLookaheadEqualsTheOneOverAll(t *testing.T) {
	g := machine.Gantry{
		MaxSpeedMMPerS: [2]float64{500, 300}, AccelMMPerS2: [2]float64{5000, 1500}, RapidMMPerS: 400,
		CornerErrorMM: 0.02,
	}
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 1))
		jerk := []float64{0, 20_000}[seed%2]
		legs, segs, corners := wander(r, 1+r.IntN(5000), g, jerk)
		want := overAll(legs, corners)
		i, longest := 0, 0
		l := lookahead{}
		l.done = func(s *leg, moves []segment, exit float64) {
			require.Equal(t, want[i], s.entry, "seed %d, leg %d", seed, i)
			require.Equal(t, segs[i].move, moves[0].move)
			require.Equal(t, want[i+1], exit, "seed %d, leg %d", seed, i)
			i++
		}
		for k, s := range legs {
			l.segs = append(l.segs, segs[k])
			l.push(s, corners[k])
			longest = max(longest, len(l.queue))
		}
		l.stop()
		require.Equal(t, len(legs), i)
	}
}

// L50 V300 A2000 v0=100 v1=50 takes .252083 s (computed).
func TestTrapezoidBetweenSpeeds(t *testing.T) {
	require.InDelta(t, 0.252083, trapezoid(50, 300, 2000, 100*100, 50*50), 1e-6)
}
