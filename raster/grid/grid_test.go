package grid_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"furrow/path"
	"furrow/raster/grid"
)

func square(side float64) path.Rect { return path.Rect{Max: path.Point{X: side, Y: side}} }

// covered returns the covered area of each pixel of one mark.
func covered(g grid.Grid, width float64, a, b path.Point) []float64 {
	sum := make([]float64, g.W*g.H)
	grid.NewBrush(g, width).Mark(a, b, func(y, x int, cover []float32) {
		for i, c := range cover {
			sum[y*g.W+x+i] += float64(c)
		}
	})
	return sum
}

func total(v []float64) (sum float64) {
	for _, x := range v {
		sum += x
	}
	return sum
}

func TestMarkCoversPixelsExactly(t *testing.T) {
	g := grid.New(square(4), 1)
	got := covered(g, 1, path.Point{X: 0.5, Y: 2.25}, path.Point{X: 2.25, Y: 2.25})
	assert.Equal(t, []float64{
		0, 0, 0, 0,
		0.375, 0.75, 0.1875, 0,
		0.125, 0.25, 0.0625, 0,
		0, 0, 0, 0,
	}, got)
	upright := covered(g, 0.5, path.Point{X: 2, Y: 3.5}, path.Point{X: 2, Y: 4})
	assert.Equal(t, []float64{0, 0.125, 0.125, 0}, upright[:4])
}

// A diamond with its corners in the middle of the sides of a 2 x 2 square covers
// half of each pixel: plain geometry.
func TestMarkAtAnAngle(t *testing.T) {
	g := grid.New(square(2), 1)
	for _, v := range covered(g, math.Sqrt2, path.Point{X: 0.5, Y: 0.5}, path.Point{X: 1.5, Y: 1.5}) {
		assert.InDelta(t, 0.5, v, 1e-6)
	}
}

// The covered area of a mark inside the grid is its length times its width, and
// each pixel's share agrees with counting 64 x 64 samples in it.
func TestMarkAgreesWithSampling(t *testing.T) {
	const seed = 8
	rnd := rand.New(rand.NewPCG(seed, seed))
	g := grid.New(square(12), 1)
	for range 60 {
		p := func() path.Point { return path.Point{X: 3 + 6*rnd.Float64(), Y: 3 + 6*rnd.Float64()} }
		a, b, width := p(), p(), 0.05+3*rnd.Float64()
		got := covered(g, width, a, b)
		assert.InEpsilon(t, a.Dist(b)*width, total(got), 1e-4, "seed %d: %v %v %v", seed, a, b, width)
		for i, v := range got {
			want := sampled(a, b, width, float64(i%g.W), float64(g.H-1-i/g.W))
			assert.InDelta(t, want, v, 0.03, "seed %d: %v %v %v", seed, a, b, width)
		}
	}
}

func sampled(a, b path.Point, width, x, y float64) float64 {
	const n = 64
	d := b.Sub(a)
	in := 0
	for i := range n * n {
		q := path.Point{X: x + (float64(i%n)+0.5)/n, Y: y + (float64(i/n)+0.5)/n}.Sub(a)
		along, across := q.Dot(d)/d.Len(), q.Cross(d)/d.Len()
		if along >= 0 && along <= d.Len() && math.Abs(across) <= width/2 {
			in++
		}
	}
	return float64(in) / (n * n)
}

// What sticks out of the grid is cut off, however far it goes.
func TestMarkBeyondTheGrid(t *testing.T) {
	g := grid.New(square(10), 2)
	for name, c := range map[string]struct {
		a, b path.Point
		area float64 // in pixels
	}{
		"along x":    {path.Point{X: -1e9, Y: 5}, path.Point{X: 1e9, Y: 5}, 20 * 2},
		"along y":    {path.Point{X: 5, Y: 1e12}, path.Point{X: 5, Y: -1}, 20 * 2},
		"diagonal":   {path.Point{X: -1e6, Y: -1e6}, path.Point{X: 1e6, Y: 1e6}, 4 * (10*math.Sqrt2 - 0.5)},
		"outside":    {path.Point{X: -5, Y: 11}, path.Point{X: 20, Y: 30}, 0},
		"half in":    {path.Point{X: 0, Y: 10}, path.Point{X: 10, Y: 10}, 20},
		"a point":    {path.Point{X: 5, Y: 5}, path.Point{X: 5, Y: 5}, 0},
		"not finite": {path.Point{X: math.NaN(), Y: 5}, path.Point{X: 5, Y: 5}, 0},
		"infinite":   {path.Point{X: math.Inf(1), Y: 5}, path.Point{X: 5, Y: 5}, 0},
	} {
		got := total(covered(g, 1, c.a, c.b))
		assert.InDelta(t, c.area, got, 1e-3, name)
	}
}

func TestDotHasTheAreaOfADisc(t *testing.T) {
	g := grid.New(square(10), 5)
	sum := 0.0
	grid.NewBrush(g, 2).Dot(path.Point{X: 5.03, Y: 4.9}, func(_, _ int, cover []float32) {
		for _, c := range cover {
			sum += float64(c)
		}
	})
	assert.InEpsilon(t, math.Pi, sum/(g.PxPerMM*g.PxPerMM), 1e-5)
}

func TestDotsBeyondTheGrid(t *testing.T) {
	g := grid.New(square(10), 2)
	b := grid.NewBrush(g, 3)
	for _, p := range []path.Point{{X: -1.4, Y: 5}, {X: 11, Y: 11}, {X: 5, Y: -1}, {X: 1e300, Y: 5},
		{X: math.NaN(), Y: 5}, {X: 5, Y: math.Inf(1)}} {
		sum := 0.0
		b.Dot(p, func(_, _ int, cover []float32) {
			for _, c := range cover {
				sum += float64(c)
			}
		})
		assert.LessOrEqual(t, sum/(g.PxPerMM*g.PxPerMM), math.Pi/4*9/2, "at %v", p)
	}
}

func TestGridCoversTheRectangle(t *testing.T) {
	g := grid.New(path.Rect{Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 4, Y: 3.05}}, 10)
	assert.Equal(t, [2]int{30, 11}, [2]int{g.W, g.H})
	assert.Equal(t, path.Point{X: 0, Y: 0}, g.Pixel(path.Point{X: 1, Y: 3.05}))
	assert.InDelta(t, 1.95, g.Rect().Min.Y, 1e-12)
	one := grid.New(path.Rect{}, 10)
	assert.Equal(t, [2]int{1, 1}, [2]int{one.W, one.H}, "a grid of nothing is one pixel")
}

func FuzzMark(f *testing.F) {
	f.Add(0.0, 0.0, 5.0, 5.0, 1.0)
	f.Add(-1e300, 3.0, 1e300, 4.0, 0.1)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, width float64) {
		if !(width > 0 && width < 100) {
			return
		}
		g := grid.New(square(8), 2)
		for _, v := range covered(g, width, path.Point{X: ax, Y: ay}, path.Point{X: bx, Y: by}) {
			if !(v >= 0 && v <= 1.0001) {
				t.Fatalf("a pixel is covered %g times", v)
			}
		}
	})
}
