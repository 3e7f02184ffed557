package hatch

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// blob returns a ring of random corners round a place, marked inside.
func blob(r *rand.Rand, c path.Point, lo, hi float64) (ring []path.Point) {
	n := 3 + r.IntN(20)
	for i := range n {
		sin, cos := math.Sincos((float64(i) + 0.8*r.Float64()) * 2 * math.Pi / float64(n))
		at := lo + (hi-lo)*r.Float64()
		ring = append(ring, path.Point{X: c.X + at*cos, Y: c.Y + at*sin})
	}
	return ring
}

func blobs(r *rand.Rand) (rings [][]path.Point) {
	for i := range 1 + r.IntN(12) {
		rings = append(rings, blob(r, path.Point{X: 10 * float64(i%4), Y: 10 * float64(i/4)}, 2, 2+2.9*r.Float64()))
	}
	return rings
}

// distance is that from c to the nearest of all edges.
func distance(rings [][]path.Point, c path.Point) float64 {
	least := math.Inf(1)
	for _, ring := range rings {
		for i, a := range ring {
			d := ring[(i+1)%len(ring)].Sub(a)
			t := min(1, max(0, c.Sub(a).Dot(d)/d.Dot(d)))
			least = min(least, c.Dist(a.Add(d.Mul(t))))
		}
	}
	return least
}

// Of chosen edges alone the others count for nothing, and keep their numbers.
func TestBorderOfChosenEdges(t *testing.T) {
	square := []path.Point{{}, {X: 4}, {X: 4, Y: 4}, {Y: 4}}
	away := []path.Point{{X: 10}, {X: 14}, {X: 12, Y: 3}}
	b := newBorder([][]path.Point{square, away}, []bool{true, false, true, false, false, true, true})
	require.Len(t, b.edges, 4)
	var numbers [][2]int32
	for _, e := range b.edges {
		numbers = append(numbers, [2]int32{e.number, e.next})
	}
	require.Equal(t, [][2]int32{{0, 1}, {2, 3}, {5, 6}, {6, 4}}, numbers)
	require.Equal(t, 8+2*math.Hypot(2, 3), lengthOf([][]path.Point{square, away}, []bool{true, false, true, false, false, true, true}))
	d, _ := vicinity{border: b}.disc(path.Point{X: 3.8}, path.Point{X: 4}, 1.9)
	require.Equal(t, 1.9, d.r, "the right side is not there")
}

// The disc at the middle of an edge is the greatest inside that touches it there: no
// edge comes nearer to its centre, and it is as large as is asked for, or touches
// another place as well.
func TestDiscsTouchAndHoldNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	whole, opposed, known := 0, 0, 0
	for range 60 {
		rings := blobs(r)
		b := newBorder(rings, nil)
		for _, e := range b.edges {
			p, q := e.a.Lerp(e.b, 0.4), e.a.Lerp(e.b, 0.6)
			m := p.Lerp(q, 0.5)
			hi := 0.2 + 3*r.Float64()
			near, _ := vicinity{border: b}.within(p, q, []float64{2 * hi, 0}[r.IntN(2)], nil) // known, or not
			if near.known {
				known++
			}
			d, opposite := near.disc(p, q, hi)
			require.InDelta(t, d.r, d.c.Dist(m), 1e-9)
			require.GreaterOrEqual(t, distance(rings, d.c), d.r*(1-1e-6), "nothing lies in it")
			n, _ := normal(p, q)
			require.InDelta(t, d.r, d.c.Sub(m).Dot(n), 1e-9, "to the left of its edge")
			if d.r == hi {
				whole++
				require.False(t, opposite)
				continue
			}
			larger := m.Add(n.Mul(d.r * 1.001))
			require.Less(t, distance(rings, larger), d.r*1.001-1e-12, "a larger one holds some edge")
			if opposite {
				opposed++
				far := math.Inf(1) // of the touching places the one on the other side
				for _, f := range b.edges {
					if q := nearestOn(d.c, f.a, f.b); q.Dist(d.c) < d.r*(1+1e-6) {
						far = min(far, q.Sub(d.c).Dot(m.Sub(d.c))/(d.r*d.r))
					}
				}
				require.Less(t, far, -0.5+1e-3, "at 120 degrees or more")
			}
		}
	}
	require.Greater(t, whole, 100)
	require.Greater(t, opposed, 30)
	require.Greater(t, known, 100)
}

// An edge is alone where nothing but its neighbours at blunt corners comes near.
func TestEdgesAlone(t *testing.T) {
	// A square of 10 mm with a tooth of 50 degrees on its right side.
	ring := []path.Point{{}, {X: 10}, {X: 10, Y: 4}, {X: 14, Y: 4 + 4*math.Tan(25*math.Pi/180)},
		{X: 10, Y: 4 + 8*math.Tan(25*math.Pi/180)}, {X: 10, Y: 10}, {Y: 10}}
	b := newBorder([][]path.Point{ring}, nil)
	alone := func(number int, from, to, d float64) bool {
		e := &b.edges[number]
		p, q := e.a.Lerp(e.b, from), e.a.Lerp(e.b, to)
		whole := vicinity{border: b}
		near, _ := whole.within(p, q, d, nil)
		require.Equal(t, whole.alone(e, p, q, d), near.alone(e, p, q, d))
		return near.alone(e, p, q, d)
	}
	require.True(t, alone(0, 0, 1, 3.9), "the bottom, with its neighbours at right angles")
	require.False(t, alone(0, 0, 1, 4.1), "the tooth is 4 mm off")
	require.True(t, alone(0, 0, 0.5, 4.1), "half of it is farther")
	require.False(t, alone(2, 0.9, 1, 0.1), "the tip of the tooth meets too sharp a corner")
	require.True(t, alone(2, 0.4, 0.6, 0.5), "but its middle is far enough from the other side")
	require.True(t, alone(5, 0, 1, 2))
	require.False(t, alone(5, 0, 1, 10.1), "the bottom is as far as that")
	for deg, ok := range map[float64]bool{59: false, 61: true, 90: true, 150: true} { // between the sides of a wedge
		sin, cos := math.Sincos(deg * math.Pi / 180)
		wedge := newBorder([][]path.Point{{{X: 20}, {}, {X: 20 * cos, Y: 20 * sin}, {X: 15, Y: 25}}}, nil)
		e := &wedge.edges[0]
		require.Equal(t, ok, vicinity{border: wedge}.alone(e, e.a.Lerp(e.b, 0.95), e.b, 0.1), "%g degrees", deg)
	}
}

// A disc is near a trail where a quarter of it touches a piece of before, whatever the
// squares that these lie in.
func TestTrailsAgainstAllPieces(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 1))
	near, far := 0, 0
	for range 40 {
		tr := newTrail()
		at, radius := path.Point{}, 0.1+r.Float64()
		var pieces [][2]path.Point
		var discs []disc
		for range 60 {
			// neighbouring discs differ in radius by no more than their distance
			to := at.Add(path.Point{X: 2*r.Float64() - 1, Y: 2*r.Float64() - 1}.Mul(radius))
			radius = max(0.05, radius+(2*r.Float64()-1)*0.5*to.Dist(at))
			d := disc{c: to, r: radius}
			tr.add(at, d)
			pieces, discs = append(pieces, [2]path.Point{at, to}), append(discs, d)
			at = to
		}
		require.Equal(t, 60, tr.len())
		for range 60 {
			before := r.IntN(61)
			like := discs[r.IntN(60)]
			d := disc{c: like.c.Add(path.Point{X: r.Float64() - 0.5, Y: r.Float64() - 0.5}.Mul(like.r)), r: like.r}
			want := false
			for _, p := range pieces[:before] {
				want = want || d.c.Dist(nearestOn(d.c, p[0], p[1])) < d.r/4
			}
			got := tr.near(d, before)
			if got {
				require.True(t, want, "what is told to be near is")
			}
			switch {
			case want && got:
				near++
			case !want:
				far++
			}
		}
	}
	require.Greater(t, near, 300)
	require.Greater(t, far, 300)
	tr := newTrail()
	tr.add(path.Point{X: -3}, disc{c: path.Point{X: 9}, r: 1}) // far longer than wide
	require.True(t, tr.near(disc{c: path.Point{X: 3, Y: 0.24}, r: 1}, 1))
	require.False(t, tr.near(disc{c: path.Point{X: 3, Y: 0.26}, r: 1}, 1))
	require.False(t, tr.near(disc{c: path.Point{X: 3, Y: 0.24}, r: 1}, 0), "not before it")
}
