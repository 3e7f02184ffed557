package clock

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// overAll is the look-ahead in its plain form, over all segments at once.
func overAll(segs []segment, g emit.Gantry) []float64 {
	v := make([]float64, len(segs)+1)
	for i := 1; i < len(segs); i++ {
		v[i] = min(corner(&segs[i-1], &segs[i], g), v[i-1]+segs[i-1].reach)
	}
	for i := len(segs) - 1; i > 0; i-- {
		v[i] = min(v[i], v[i+1]+segs[i].reach)
	}
	return v
}

// wander returns a random polyline: long straight parts, fine curves, reversals.
func wander(r *rand.Rand, n int, g emit.Gantry) []segment {
	var segs []segment
	at, heading := path.Point{}, 0.0
	for range n {
		step := math.Pow(10, -3+5*r.Float64())
		if r.IntN(3) > 0 {
			step = 0.02
		}
		heading += math.Pow(r.Float64(), 8) * math.Pi
		s, c := math.Sincos(heading)
		mv := emit.Move{Kind: emit.Mark, Speed: 10 + 500*r.Float64(), To: at.Add(path.Point{X: c * step, Y: s * step})}
		segs = append(segs, newSegment(at, mv, g))
		at = mv.To
	}
	return segs
}

// Bounded memory changes no speed by a single bit.
func TestLookaheadEqualsTheOneOverAll(t *testing.T) {
	g := emit.Gantry{
		MaxSpeedMMPerS: [2]float64{500, 300}, AccelMMPerS2: [2]float64{5000, 1500}, RapidMMPerS: 400, CornerErrorMM: 0.02,
	}
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 1))
		segs := wander(r, 1+r.IntN(5000), g)
		want := overAll(segs, g)
		i, longest := 0, 0
		l := lookahead{gantry: g}
		l.done = func(s *segment, exit float64) {
			require.Equal(t, want[i], s.entry, "seed %d, segment %d", seed, i)
			require.Equal(t, want[i+1], exit, "seed %d, segment %d", seed, i)
			i++
		}
		for _, s := range segs {
			l.push(s)
			longest = max(longest, len(l.queue))
		}
		l.stop()
		require.Equal(t, len(segs), i)
	}
}

// L50 V300 A2000 v0=100 v1=50 takes .252083 s (computed).
func TestTrapezoidBetweenSpeeds(t *testing.T) {
	s := segment{length: 50, speed: 300, accel: 2000, reach: 2 * 2000 * 50, entry: 100 * 100}
	require.InDelta(t, 0.252083, s.seconds(50*50), 1e-6)
}
