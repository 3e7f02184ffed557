package inspect

import (
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Every place within half the reach of an edge finds the edge in its cell, however the
// edge lies: of random edges of all lengths and reaches from much less than a cell up.
func TestEdgesAreFoundFromAllPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 6))
	for range 60 {
		reach := 0.05 + 8*r.Float64()*r.Float64()
		var edges []edge
		box := path.EmptyRect()
		for range 1 + r.IntN(60) {
			a := path.Point{X: 60*r.Float64() - 20, Y: 25*r.Float64() + 3}
			b := a.Add(path.Point{X: r.NormFloat64(), Y: r.NormFloat64()}.Mul(20 * r.Float64() * r.Float64()))
			if r.IntN(6) == 0 {
				b.Y = a.Y
			}
			if r.IntN(6) == 0 {
				b.X = a.X + 1e-9
			}
			d := b.Sub(a)
			edges = append(edges, edge{a: a, b: b, along: d.Mul(1 / d.Len()), length: d.Len()})
			box = box.Include(a).Include(b)
		}
		x := newIndex(edges, box, reach)
		require.NotNil(t, x)
		require.GreaterOrEqual(t, x.cell, reach)
		for i := range edges {
			e := &edges[i]
			for range 60 {
				off := path.Point{X: r.NormFloat64(), Y: r.NormFloat64()}
				p := e.at(e.length * r.Float64()).Add(off.Mul(0.4999 * reach * r.Float64() / off.Len()))
				require.True(t, slices.Contains(x.in(x.cellOf(p)), int32(i)), "edge %v to %v from %v, reach %g",
					e.a, e.b, p, reach)
			}
		}
		pairs := 0
		for c := range x.nx * x.ny {
			for k := range x.in(c) {
				pairs += k
			}
		}
		require.InDelta(t, float64(pairs), x.pairs(), 1e-6)
	}
}
