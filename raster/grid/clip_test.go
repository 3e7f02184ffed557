package grid_test

import (
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/raster/grid"

	"github.com/stretchr/testify/require"
)

// What is cut to a rectangle is what of very many places on the line lies in it.
func TestClipByTryingPlaces(t *testing.T) {
	r := path.Rect{Min: path.Point{X: -1, Y: 2}, Max: path.Point{X: 4, Y: 5}}
	rng := rand.New(rand.NewPCG(2, 2))
	for i := range 3000 {
		v := func() float64 { return float64(rng.IntN(13)) - 4 } // many of them on the edges
		a, b := path.Point{X: v(), Y: v()}, path.Point{X: v(), Y: v()}
		if i%3 == 0 {
			a.X += rng.Float64()
			b.Y += rng.Float64()
		}
		got := path.EmptyRect()
		const n = 6000
		for k := range n + 1 {
			if p := a.Lerp(b, float64(k)/n); r.Grow(1e-9).Include(p) == r.Grow(1e-9) {
				got = got.Include(p)
			}
		}
		p, q, ok := grid.Clip(a, b, r)
		if want := got.W() + got.H(); want < 1e-2 { // nothing, or a corner
			require.True(t, !ok || p.Dist(q) < 1e-2, "%v %v", a, b)
			continue
		}
		require.True(t, ok, "%v %v", a, b)
		cut := path.EmptyRect().Include(p).Include(q)
		for _, d := range []float64{cut.Min.X - got.Min.X, cut.Min.Y - got.Min.Y, cut.Max.X - got.Max.X,
			cut.Max.Y - got.Max.Y} {
			require.InDelta(t, 0, d, 5e-3, "%v %v", a, b)
		}
		require.GreaterOrEqual(t, q.Sub(p).Dot(b.Sub(a)), 0.0, "the same way")
	}
	_, _, ok := grid.Clip(path.Point{X: 4, Y: 0}, path.Point{X: 4, Y: 9}, r)
	require.True(t, ok, "along an edge")
	_, _, ok = grid.Clip(path.Point{X: 4.1, Y: 0}, path.Point{X: 4.1, Y: 9}, r)
	require.False(t, ok)
}

// A brush says how wide it is, and a dot is seen wherever it reaches into the grid.
func TestBrushAtTheBorder(t *testing.T) {
	g := grid.Grid{W: 20, H: 10, TopLeft: path.Point{X: 0, Y: 10}, PxPerMM: 1}
	b := grid.NewBrush(g, 3)
	require.Equal(t, 3.0, b.Width())
	for _, tt := range []struct {
		at   path.Point
		seen bool
	}{
		{path.Point{X: -1, Y: 5}, true}, {path.Point{X: -2, Y: 5}, false}, {path.Point{X: 21, Y: 5}, true},
		{path.Point{X: 22, Y: 5}, false}, {path.Point{X: 5, Y: 11}, true}, {path.Point{X: 5, Y: 12}, false},
		{path.Point{X: 5, Y: -1}, true}, {path.Point{X: 5, Y: -2}, false}, {path.Point{X: 5, Y: 5}, true},
	} {
		sum := float32(0)
		b.Dot(tt.at, func(_, _ int, cover []float32) {
			for _, c := range cover {
				sum += c
			}
		})
		require.Equal(t, tt.seen, sum > 0, "%v", tt.at)
	}
}

// A level or upright mark covers of each pixel the product of what it covers of it along
// both sides.
func TestLevelMarksByTheProduct(t *testing.T) {
	g := grid.Grid{W: 12, H: 30, TopLeft: path.Point{X: 0, Y: 30}, PxPerMM: 1}
	rng := rand.New(rand.NewPCG(4, 2))
	along := func(lo, hi float64, px int) float64 { return max(0, min(hi, float64(px+1))-max(lo, float64(px))) }
	for range 400 {
		width := 0.3 + 3*rng.Float64()
		b := grid.NewBrush(g, width)
		p := path.Point{X: -4 + 20*rng.Float64(), Y: -4 + 38*rng.Float64()}
		q, level := p, rng.IntN(2) == 0
		if level {
			q.X = -4 + 20*rng.Float64()
		} else {
			q.Y = -4 + 38*rng.Float64()
		}
		box := path.BoundsOf([]path.Point{p, q})
		if level {
			box.Min.Y, box.Max.Y = box.Min.Y-width/2, box.Max.Y+width/2
		} else {
			box.Min.X, box.Max.X = box.Min.X-width/2, box.Max.X+width/2
		}
		got := make([]float32, g.W*g.H)
		b.Mark(p, q, func(y, x int, cover []float32) {
			for i, c := range cover {
				got[y*g.W+x+i] += c
			}
		})
		for y := range g.H {
			for x := range g.W {
				want := along(box.Min.X, box.Max.X, x) * along(30-box.Max.Y, 30-box.Min.Y, y)
				require.InDelta(t, want, got[y*g.W+x], 1e-5, "%v to %v, %g wide, at %d, %d", p, q, width, x, y)
			}
		}
	}
}
