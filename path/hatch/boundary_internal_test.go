package hatch

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// tangle draws rings that cross themselves and each other, in layers of which
// some are bare; on a coarse grid sides overlap and corners meet.
func tangle(seed uint64) path.Artwork {
	r := rand.New(rand.NewPCG(seed, 3))
	grid := []float64{0, 1, 0.5, 1e-6}[seed%4]
	var art path.Artwork
	for range 1 + r.IntN(5) {
		var p path.Path
		for range 1 + r.IntN(3) {
			for i := range 3 + r.IntN(8) {
				q := path.Point{X: r.Float64() * 10, Y: r.Float64() * 10}
				if grid > 0 {
					q = path.Point{X: math.Round(q.X/grid) * grid, Y: math.Round(q.Y/grid) * grid}
				}
				if i == 0 {
					p.MoveTo(q)
				} else {
					p.LineTo(q)
				}
			}
			p.Close()
		}
		s := path.Shape{Path: p, Paint: path.Paint{Opacity: 1}, Rule: path.FillRule(r.IntN(2))}
		if r.IntN(3) == 0 {
			s.Paint = path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
		}
		art.Shapes = append(art.Shapes, s)
	}
	return art
}

// The rings of a boundary, filled by either rule, mark what the painter marks:
// rows over both agree. The reference for rows is in reference_test.go.
func TestBoundaryBoundsWhatIsMarked(t *testing.T) {
	n := uint64(1000)
	if testing.Short() {
		n = 100
	}
	for seed := range n {
		art := tangle(seed)
		s := Settings{Groups: []Group{{Setting: path.Setting{SpacingMM: 0.0973}, Angles: []float64{20}}}, Workers: 1}
		f, err := flatten(art, &s)
		require.NoError(t, err)
		j := job{s: &s, w: filler{f: f, workers: 1}}
		p := j.painter(0)
		plainAll, err := boundary(f, p)
		require.NoError(t, err)
		plain := plainAll.rings
		tiledAll, err := tiledBoundary(f, p, 8)
		require.NoError(t, err)
		tiled := tiledAll.rings
		sin, cos := path.SinCos(20)
		dir := path.Point{X: cos, Y: sin}
		grid := newGrid(dir, -4, 13, 0.0973, false)
		want, err := j.w.rows(grid, p, nil)
		require.NoError(t, err)
		for _, g := range []*flat{
			flatRings(plain, path.NonZero), flatRings(plain, path.EvenOdd),
			flatRings(tiled, path.NonZero), flatRings(tiled, path.EvenOdd),
		} {
			w := filler{f: g, workers: 1}
			got, err := w.rows(grid, newPainter(g, func(*layer) bool { return true }), nil)
			require.NoError(t, err)
			require.InDelta(t, want.Length(), got.Length(), 5e-4, "seed %d", seed)
		}
	}
}

// scattered is n triangles of a few mm on a page of 200, in no sequence of place.
func scattered(n int) path.Artwork {
	r := rand.New(rand.NewPCG(9, 3))
	var art path.Artwork
	for range n {
		at := path.Point{X: r.Float64(), Y: r.Float64()}.Mul(190)
		var p path.Path
		p.MoveTo(at)
		for range 2 {
			p.LineTo(at.Add(path.Point{X: r.Float64(), Y: r.Float64()}.Mul(5)))
		}
		p.Close()
		art.Shapes = append(art.Shapes, path.Shape{Path: p, Paint: path.Paint{Opacity: 1}})
	}
	return art
}

// waves is n wavy discs of 450 vertices that overlap a little.
func waves(n int) path.Artwork {
	var art path.Artwork
	for i := range n {
		c := path.Point{X: float64(i%10) * 8, Y: float64(i/10) * 8}
		var p path.Path
		for k := range 450 {
			a := 2 * math.Pi * float64(k) / 450
			s, cos := math.Sincos(a)
			q := c.Add(path.Point{X: cos, Y: s}.Mul(4 + 0.5*math.Sin(float64(3+i%7)*a)))
			if k == 0 {
				p.MoveTo(q)
			} else {
				p.LineTo(q)
			}
		}
		p.Close()
		art.Shapes = append(art.Shapes, path.Shape{Path: p, Paint: path.Paint{Opacity: 1}})
	}
	return art
}

// 45,000 vertices united, and shrunk by half a mark.
func BenchmarkBoundary(b *testing.B) {
	s := Settings{Groups: []Group{{Setting: path.Setting{SpacingMM: 0.1}}}}
	f, err := flatten(waves(100), &s)
	require.NoError(b, err)
	p := newPainter(f, func(*layer) bool { return true })
	united, err := boundary(f, p)
	require.NoError(b, err)
	rings := united.rings
	b.Run("unite", func(b *testing.B) {
		for b.Loop() {
			boundary(f, p)
		}
	})
	b.Run("unite scattered", func(b *testing.B) {
		f, err := flatten(scattered(15_000), &s)
		require.NoError(b, err)
		p := newPainter(f, func(*layer) bool { return true })
		for b.Loop() {
			boundary(f, p)
		}
	})
	b.Run("unite heaps", func(b *testing.B) { // in tiles, as Boundary does
		f := flatRings(heaps(3000, 10), path.NonZero)
		p := newPainter(f, func(*layer) bool { return true })
		for b.Loop() {
			tiledBoundary(f, p, tilePoints)
		}
	})
	b.Run("offset", func(b *testing.B) {
		for b.Loop() {
			offset(rings, -0.05, 0.002)
		}
	})
	b.Run("contours", func(b *testing.B) {
		fill := &Group{Setting: path.Setting{SpacingMM: 0.05}}
		points := 0
		for b.Loop() {
			lines, err := contours(&enclosed{rings: rings}, fill, 0.002)
			require.NoError(b, err)
			points = 0
			for _, l := range lines {
				points += len(l.Points)
			}
		}
		b.ReportMetric(float64(points), "points")
	})
	b.Run("centres", func(b *testing.B) {
		for b.Loop() {
			centres(rings, nil, 0, 0.05, 0.002)
		}
	})
}
