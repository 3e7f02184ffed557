package hatch

import (
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A chain reaches from the lowest row of its points to the highest.
func TestChainsReachTheirEnds(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 50 {
		ring := make([]path.Point, 3+r.IntN(20))
		for i := range ring {
			ring[i] = path.Point{X: 10 * r.Float64(), Y: 10 * r.Float64()}
		}
		var w filler
		f := flatRings([][]path.Point{ring}, path.NonZero)
		g := newGrid(path.Point{X: 1}, 0, 10, 0.5, false)
		w.chains.build(f, &g)
		rows := w.chains.rowsOf(0)
		crossed := int32(0)
		for i := range w.chains.chains {
			ch := &w.chains.chains[i]
			at := []int32{rows[ch.foot]}
			for i, n := ch.foot, int32(len(rows)); i != ch.end; {
				i = (i + stepOf(ch.tag) + n) % n
				at = append(at, rows[i])
			}
			from, to := w.chains.reach(ch)
			require.Equal(t, slices.Min(at), from)
			require.Equal(t, slices.Max(at), to)
			require.True(t, slices.IsSorted(at))
			crossed += to - from
		}
		for i, k := range rows {
			last := rows[(i+len(rows)-1)%len(rows)]
			crossed -= max(k-last, last-k)
		}
		require.Zero(t, crossed, "every side that crosses a row is in one chain")
	}
}

// The paint bends at each stop and where it begins anew, to and fro in turn.
func TestWherePaintBends(t *testing.T) {
	stops := []path.Stop{{Offset: 0.125}, {Offset: 0.25}}
	for _, c := range []struct {
		spread path.Spread
		lo, hi float64
		want   []float64
	}{
		{path.Reflect, 0.1, 3.9, []float64{0, 0.125, 0.25, 1, 1.75, 1.875, 2, 2.125, 2.25, 3, 3.75, 3.875}},
		{path.Repeat, -1.9, 1.1, []float64{-2, -1.875, -1.75, -1, -0.875, -0.75, 0, 0.125, 0.25, 1, 1.125, 1.25}},
		{path.Pad, -4, 7, []float64{0, 0.125, 0.25, 1}},
	} {
		var got []float64
		eachOffset(&path.Gradient{Spread: c.spread, Stops: stops}, c.lo, c.hi, func(t float64) { got = append(got, t) })
		slices.Sort(got)
		got = slices.Compact(got)
		for _, want := range c.want {
			require.Contains(t, got, want, "%v", c.spread)
		}
		for _, t2 := range got {
			if t2 > c.lo && t2 < c.hi && !(c.spread == path.Pad && t2 > 1) {
				require.Contains(t, c.want, t2, "%v", c.spread)
			}
		}
	}
}

// A summit lies where the parabola through three probes does, and only where it may lie
// beyond the threshold and the probe between does not.
func TestSummitsOfParabolas(t *testing.T) {
	for _, c := range []struct {
		top, height, bend float64
		ok                bool
	}{
		{0.3, 0.01, -1, true}, {-0.4, 0.2, -2, true}, {0.25, -0.01, 1, true}, {-0.25, -0.03, 0.5, true},
		{0.3, 0.2, -1, false}, {-0.4, 0.4, -2, false}, {0.1, -0.1, 1, false}, // at zero it is beyond already
		{0.25, 0.0625, -1, false}, {0.25, -0.0625, 1, false}, // and here on the threshold
		{1.5, 1, -1, false}, {-1.5, -1, 1, false}, // no summit between
	} {
		at := func(x float64) probe { return probe{x: x, margin: c.height + c.bend*(x-c.top)*(x-c.top)} }
		x, ok := summit(at(-1), at(0), at(1))
		require.Equal(t, c.ok, ok, "%+v", c)
		if ok {
			require.InDelta(t, c.top, x, 1e-12)
		}
	}
}
