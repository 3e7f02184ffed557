package hatch_test

import (
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// Random artworks with clips, swaps, groups, masks and gradients have the same boundary in
// tiles of any size as all at once: it holds the same area. TestSeenBoundary holds that
// against what is seen place by place.
func TestTilesOfAnyArtwork(t *testing.T) {
	first, n := seeds(t, 160)
	if testing.Short() {
		n = min(n, 80)
	}
	for seed := first; seed < first+n; seed++ {
		a := &artist{Rand: rand.New(rand.NewPCG(seed, 11)), groups: 1, grid: []float64{0, 1, 0.5}[seed%3]}
		art := a.artwork()
		if seed%4 == 3 { // which takes far longer
			art = a.painterly(art)
		} else {
			for range 3 {
				art.Shapes = append(art.Shapes, a.artwork().Shapes...)
			}
		}
		for i := range art.Shapes { // where one swaps, nothing is left out
			art.Shapes[i].Invert = art.Shapes[i].Invert && seed%8 == 0
		}
		s := hatch.Settings{Tolerance: 1}
		want, err := hatch.Boundary(art, s)
		require.NoError(t, err)
		for _, most := range []int{8, 30} {
			got, err := hatch.BoundaryInTiles(art, s, most)
			require.NoError(t, err)
			require.InDelta(t, areaOf(want), areaOf(got), 1e-4, "FURROW_SEED=%d, tiles of %d points", seed, most)
		}
	}
}

// areaOf is the area within rings, by the shoelace formula.
func areaOf(rings [][]path.Point) (mm2 float64) {
	for _, r := range rings {
		for i, p := range r {
			mm2 += p.Cross(r[(i+1)%len(r)]) / 2
		}
	}
	return mm2
}
