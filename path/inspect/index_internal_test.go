package inspect

import (
	"math"
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

// apartFrom is how far a cell of the grid is from an edge, by trying places along it.
func apartFrom(e *edge, cell path.Rect) float64 {
	least := math.Inf(1)
	for i := range 41 {
		p := e.at(e.length * float64(i) / 40)
		x := max(cell.Min.X-p.X, 0, p.X-cell.Max.X)
		y := max(cell.Min.Y-p.Y, 0, p.Y-cell.Max.Y)
		least = min(least, math.Hypot(x, y))
	}
	return least
}

// Edges are in few more cells than lie within half the reach of them, and the grid has
// about four cells an edge and a thousand, as far as cells may be as small.
func TestEdgesAreInFewCells(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 7))
	for _, reach := range []float64{0.5, 2} {
		need, have := 0, 0
		for range 4 {
			var edges []edge
			box := path.EmptyRect()
			for range 20 {
				a := path.Point{X: 90*r.Float64() - 20, Y: 45*r.Float64() + 3}
				b := a.Add(path.Point{X: r.NormFloat64(), Y: r.NormFloat64()}.Mul(9 * r.Float64()))
				d := b.Sub(a)
				edges = append(edges, edge{a: a, b: b, along: d.Mul(1 / d.Len()), length: d.Len()})
				box = box.Include(a).Include(b)
			}
			x := newIndex(edges, box, reach)
			grown := box.Grow(reach)
			require.Equal(t, grown.Min, x.origin)
			require.InDelta(t, math.Ceil(grown.W()/x.cell), x.nx, 0)
			require.InDelta(t, math.Ceil(grown.H()/x.cell), x.ny, 0)
			if x.cell > reach {
				require.InEpsilon(t, 4*20+1024, grown.W()*grown.H()/(x.cell*x.cell), 1e-9)
			}
			have += len(x.ids)
			for c := range x.nx * x.ny {
				corner := x.origin.Add(path.Point{X: float64(c % x.nx), Y: float64(c / x.nx)}.Mul(x.cell))
				cell := path.Rect{Min: corner, Max: corner.Add(path.Point{X: x.cell, Y: x.cell})}
				for i := range edges {
					if apartFrom(&edges[i], cell) < reach/2 {
						need++
					}
				}
			}
		}
		t.Log(reach, need, have)
		require.GreaterOrEqual(t, have, need-4)
		require.LessOrEqual(t, float64(have), 1.12*float64(need))
	}
}
