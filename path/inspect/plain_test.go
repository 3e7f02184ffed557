package inspect_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/inspect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// star returns a polygon round c whose corners lie between two radii.
func star(r *rand.Rand, c path.Point, lo, hi float64) (ring []path.Point) {
	n := 3 + r.IntN(9)
	for i := range n {
		sin, cos := math.Sincos((float64(i) + 0.8*r.Float64()) * 2 * math.Pi / float64(n))
		at := lo + (hi-lo)*r.Float64()
		ring = append(ring, path.Point{X: c.X + at*cos, Y: c.Y + at*sin})
	}
	return ring
}

// filled returns the rings as shapes of black.
func filled(rings [][]path.Point) (art path.Artwork) {
	for _, ring := range rings {
		s := path.Shape{Paint: path.Paint{Opacity: 1}}
		s.Path.MoveTo(ring[0])
		for _, p := range ring[1:] {
			s.Path.LineTo(p)
		}
		s.Path.Close()
		art.Shapes = append(art.Shapes, s)
	}
	return art
}

// segment is an edge of a ring.
type segment struct{ a, b path.Point }

func segments(rings [][]path.Point) (all []segment) {
	for _, ring := range rings {
		for i, p := range ring {
			all = append(all, segment{p, ring[(i+1)%len(ring)]})
		}
	}
	return all
}

// nearest returns the point of the segment that is nearest to p.
func (s segment) nearest(p path.Point) path.Point {
	d := s.b.Sub(s.a)
	t := p.Sub(s.a).Dot(d) / d.Dot(d)
	return s.a.Add(d.Mul(min(max(t, 0), 1)))
}

// closest returns where two segments that do not cross stand closest.
func (s segment) closest(o segment) (p, q path.Point) {
	best := math.Inf(1)
	for _, c := range [][2]path.Point{{s.a, o.nearest(s.a)}, {s.b, o.nearest(s.b)}, {s.nearest(o.a), o.a},
		{s.nearest(o.b), o.b}} {
		if d := c[0].Dist(c[1]); d < best {
			best, p, q = d, c[0], c[1]
		}
	}
	return p, q
}

// insideAny counts crossings of the ray to the right of p.
func insideAny(rings [][]path.Point, p path.Point) bool {
	odd := false
	for _, s := range segments(rings) {
		if (s.a.Y > p.Y) != (s.b.Y > p.Y) && p.X < s.a.X+(p.Y-s.a.Y)*(s.b.X-s.a.X)/(s.b.Y-s.a.Y) {
			odd = !odd
		}
	}
	return odd
}

// facing returns pairs of points at which two segments may stand straight across from
// each other: where they are closest and, of sides that lean to each other by less than
// 2.1 degrees, all along.
func (s segment) facing(o segment) (pairs [][2]path.Point) {
	p, q := s.closest(o)
	pairs = append(pairs, [2]path.Point{p, q})
	along, back := s.b.Sub(s.a), o.a.Sub(o.b)
	if along.Dot(back) > math.Cos(2.1*math.Pi/180)*along.Len()*back.Len() {
		for i := range 21 {
			p := s.a.Add(along.Mul(float64(i) / 20))
			pairs = append(pairs, [2]path.Point{p, o.nearest(p)})
		}
	}
	return pairs
}

// leastByHand is the definition on the package's page, tried on every pair of edges:
// the least distance of two points of the boundary whose disc, of the given part of
// their distance, holds nothing else of it. A distance of 5 µm is none.
func leastByHand(rings [][]path.Point, inside bool, part float64) float64 {
	all, least := segments(rings), math.Inf(1)
	for i, s := range all {
		for _, o := range all[i+1:] {
			for _, c := range s.facing(o) {
				d, mid := c[0].Dist(c[1]), c[0].Add(c[1]).Mul(0.5)
				if d <= 0.005 || d >= least || insideAny(rings, mid) != inside {
					continue
				}
				free := true
				for _, e := range all {
					free = free && e.nearest(mid).Dist(mid) >= part*d/2-1e-9
				}
				if free {
					least = d
				}
			}
		}
	}
	return least
}

// The narrowest bridge and gap of random polygons are those that comparing every edge
// with every other finds. Sides that lean to each other a little count as parallel, so
// a place that is not quite one may be narrower, with a disc that is free but for a little.
func TestLeastAgainstThePlainWay(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 8))
	exact, both := 0, 0
	for range 150 {
		var rings [][]path.Point
		for i := range 1 + r.IntN(6) {
			c := path.Point{X: 10 * float64(i%3), Y: 10 * float64(i/3)}
			rings = append(rings, star(r, c, 1, 1+3.99*r.Float64()))
		}
		got, err := inspect.Look(filled(rings), inspect.Options{MarkWidth: 0.02 + 0.1*r.Float64()})
		require.NoError(t, err)
		for inside, w := range map[bool]inspect.Widths{true: got.Bridges, false: got.Gaps} {
			want, loose := leastByHand(rings, inside, 1), leastByHand(rings, inside, 0.965)
			if both++; want-loose < 1e-6 || want == loose {
				exact++
			}
			if math.IsInf(loose, 1) {
				assert.Nil(t, w.Least, "%v %v", inside, rings)
				continue
			}
			if w.Least == nil {
				assert.Equal(t, math.Inf(1), want, "%v %v", inside, rings)
				continue
			}
			assert.LessOrEqual(t, w.Least.Width, want+1e-3, "%v %v", inside, rings)
			assert.GreaterOrEqual(t, w.Least.Width, loose-1e-3, "%v %v %v", w.Least, inside, rings)
			assert.Equal(t, inside, insideAny(rings, w.Least.At))
		}
	}
	t.Log(exact, both)
	assert.Greater(t, exact, both*3/4, "in most the two bounds are one")
}
