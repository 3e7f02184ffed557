package hatch

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// united is the boundary of what shows of a random tangle, or of overlapping waves.
func united(t *testing.T, art path.Artwork) [][]path.Point {
	s := Settings{Groups: []Group{{Setting: path.Setting{SpacingMM: 0.1}}}}
	f, err := flatten(art, &s)
	require.NoError(t, err)
	united, err := boundary(f, newPainter(f, func(*layer) bool { return true }))
	require.NoError(t, err)
	rings := united.rings
	return rings
}

// Every level of contours lies as deep under the first boundary as it says, within the
// tolerance, however many levels its arcs have been cut to chords.
func TestContoursLieAtTheirDepth(t *testing.T) {
	arts := []path.Artwork{waves(4)}
	for seed := range uint64(6) {
		arts = append(arts, tangle(seed))
	}
	for n, art := range arts {
		rings := united(t, art)
		for _, tolerance := range []float64{0.002, 0.01} {
			const spacing = 0.1
			depth, step, level := 0.0, spacing/2, rings
			for range 12 {
				var err error
				level, _, err = shrink(level, step, tolerance)
				require.NoError(t, err)
				depth, step = depth+step, spacing
				for _, r := range level {
					for i := 0; i < len(r); i += 1 + len(r)/60 {
						q := r[(i+1)%len(r)]
						require.InDelta(t, depth, distance(rings, r[i]), tolerance, "art %d", n)
						require.InDelta(t, depth, distance(rings, between(r[i], q, 0.5)), tolerance, "art %d", n)
					}
				}
			}
		}
	}
}

// What is known to be near a stretch gives the disc that all edges, one by one, give.
func TestDiscsOfAVicinity(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	for seed := range uint64(30) {
		rings := united(t, tangle(seed))
		if len(rings) == 0 {
			continue
		}
		b := newBorder(rings, nil)
		known, met := 0, 0
		for range 100 {
			e := &b.edges[r.IntN(len(b.edges))]
			hi := math.Exp(r.Float64()*4 - 5)
			u := r.Float64()
			p, q := between(e.a, e.b, u), between(e.a, e.b, u+(1-u)*r.Float64())
			if p.Dist(q) < 1e-4 {
				continue
			}
			near, _ := vicinity{border: b}.within(p, q, 2*hi, nil)
			if near.known {
				known++
			}
			got, opposite := near.disc(p, q, hi)
			all := vicinity{border: b, known: true}
			for i := range b.edges {
				all.edges = append(all.edges, int32(i))
			}
			want, across := all.disc(p, q, hi)
			require.InDelta(t, want.r, got.r, 1e-8*hi+1e-9)
			require.Equal(t, across, opposite)
			if want.r > 0 {
				require.GreaterOrEqual(t, distance(rings, got.c), got.r*(1-1e-8)-1e-9, "no edge reaches into it")
			}
			if want.r < hi {
				met++
			}
		}
		require.Greater(t, known, 20)
		require.Greater(t, met, 10)
	}
}
