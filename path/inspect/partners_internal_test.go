package inspect

import (
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Where two edges face each other is found as a plain map finds it.
func TestPartnersAgainstAMap(t *testing.T) {
	const edges = 40
	rng := rand.New(rand.NewPCG(7, 1))
	var found []across
	plain := map[[2]int32]int{}
	for range 300 {
		e, f := rng.Int32N(edges), rng.Int32N(edges)
		if _, is := plain[[2]int32{min(e, f), max(e, f)}]; e != f && !is {
			plain[[2]int32{min(e, f), max(e, f)}] = len(found)
			found = append(found, across{e: e, f: f})
		}
	}
	p := newPartners(found, edges)
	for e := range int32(edges) {
		for f := range int32(edges) {
			want, is := plain[[2]int32{e, f}]
			if !is {
				want = -1
			}
			require.Equal(t, want, p.of(e, f))
		}
	}
}

// What is about as narrow as the narrowest is what all that stand across comes to without
// the wider: between random boxes, looked for far beyond the mark.
func TestAboutAsNarrow(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 9))
	var rings [][]path.Point
	box := path.EmptyRect()
	for i := range 200 {
		x, y := float64(i%20)*2+rng.Float64(), float64(i/20)*2+rng.Float64()
		ring := []path.Point{{X: x, Y: y}, {X: x + 0.8, Y: y}, {X: x + 0.8, Y: y + 0.8}, {X: x, Y: y + 0.8}}
		rings, box = append(rings, ring), box.Union(path.BoundsOf(ring))
	}
	r := ruler{newEdges(rings, true), box, 0.001}
	x := newIndex(r.edges, r.box, 1)
	var want []across
	all := r.within(x, 1, true)
	for _, y := range all {
		if y.width <= 1.25*all[0].width {
			want = append(want, y)
		}
	}
	require.Greater(t, len(all), len(want))
	require.Equal(t, want, r.within(x, 1, false))

	w := r.measure(0.1)
	require.InDelta(t, all[0].width, w.Least.Width, 1e-12)
	require.Empty(t, w.Thin)
}
