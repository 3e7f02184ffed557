package inspect

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func towards(radians float64) path.Point {
	sin, cos := math.Sincos(radians)
	return path.Point{X: cos, Y: sin}
}

// From inside an edge only what stands straight across is seen, to a degree; from an end
// also what lies between the normals of the two edges there, which are turned on the way
// one by one.
func TestWhatAnEdgeSees(t *testing.T) {
	for _, along := range []float64{0, 2, -3} {
		for _, turns := range [][2]float64{{0, 0}, {0.5, -0.9}, {-0.9, 0.3}, {-0.2, -0.4}, {0.6, 0.1}} {
			e := edge{along: towards(along), length: 3, turnA: turns[0], turnB: turns[1]}
			for lean := -1.5; lean < 1.5; lean += 0.0173 {
				u := towards(along + math.Pi/2 + lean)
				for s, turn := range map[float64]float64{0: -turns[0], 1: 0, 1.5: 0, 2: 0, 3: turns[1]} {
					want := false
					for i := range 101 {
						want = want || math.Abs(lean-turn*float64(i)/100) <= math.Pi/180
					}
					require.Equal(t, want, e.sees(u, s), "lean %g at %g of %+v", lean, s, e)
				}
			}
		}
	}
}

// The turn between two edges is told to both, but where a corner sticks out by 40 degrees
// and more; what faces an edge leans by no more than the larger of its turns and a degree.
func TestTurnsOfRings(t *testing.T) {
	at := func(degrees ...float64) (ring []path.Point) { // a ring whose directions are these
		p := path.Point{}
		for _, d := range degrees {
			ring = append(ring, p)
			p = p.Add(towards(d * math.Pi / 180))
		}
		return ring
	}
	edges := newEdges([][]path.Point{at(0, 39, 80, 60, 10, 130)}, false)
	require.Len(t, edges, 6)
	for i, want := range []float64{39, 0, -20, -50} { // 41 to the left is a corner
		require.InDelta(t, want, edges[i].turnB*180/math.Pi, 1e-9, i)
		require.InDelta(t, want, edges[i+1].turnA*180/math.Pi, 1e-9, i)
		require.EqualValues(t, i+1, edges[i].next)
		require.EqualValues(t, i, edges[i+1].prev)
		require.InDelta(t, 1, edges[i].length, 1e-9)
	}
	require.EqualValues(t, 0, edges[5].next)
	require.EqualValues(t, 5, edges[0].prev)
	for i, want := range []float64{40, 21, 51} {
		require.InDelta(t, want, edges[i+1].spread*180/math.Pi, 1e-9, i)
	}
	square := []path.Point{{}, {X: 1}, {X: 1, Y: 1}, {Y: 1}}
	two := newEdges([][]path.Point{square, {{X: 5}, {X: 5, Y: 0.0005}, {X: 5}}, at(0, 39, 80, 60, 10, 130)}, true)
	require.Len(t, two, 10, "nothing of what is no larger than a micrometre")
	require.Equal(t, path.Point{X: 1}, two[0].along, "from its last point to the one before")
	require.EqualValues(t, 4, two[9].next)
	require.InDelta(t, -math.Pi/2, two[0].turnB, 1e-9)
}

// Points less than a micrometre apart are one, over the start of the ring too.
func TestDistinctPoints(t *testing.T) {
	ring := []path.Point{{}, {X: 0.0009}, {X: 2}, {X: 2, Y: 0.0011}, {X: 2, Y: 3}, {X: 0, Y: 0.0009}, {Y: -0.0009}}
	require.Equal(t, []path.Point{{}, {X: 2}, {X: 2, Y: 0.0011}, {X: 2, Y: 3}}, distinct(ring))
	require.Nil(t, distinct([]path.Point{{}, {X: 0.0009}, {X: 2}, {X: 2, Y: 0.0009}}))
	require.Nil(t, distinct(nil))
}

// Edges whose directions are nearly opposite may face each other; none that may is told
// apart, by trying all leans.
func TestOpposedEdges(t *testing.T) {
	for _, spreads := range [][2]float64{{0.02, 0.02}, {0.3, 0.1}, {1, 0.7}} {
		for turn := -math.Pi; turn < math.Pi; turn += 0.01 {
			e := edge{along: towards(0), spread: spreads[0]}
			f := edge{along: towards(math.Pi + turn), spread: spreads[1]}
			if math.Abs(turn) < spreads[0]+spreads[1] {
				require.True(t, e.opposed(&f), "%g", turn)
			}
			if math.Abs(turn) > 1.2*(spreads[0]+spreads[1]) {
				require.False(t, e.opposed(&f), "%g", turn)
			}
		}
	}
}

// Where two edges are nearest, by trying places along both, and what faces what.
func TestFacingEdges(t *testing.T) {
	make := func(a, b path.Point) edge {
		d := b.Sub(a)
		return edge{a: a, b: b, along: d.Mul(1 / d.Len()), length: d.Len(), spread: slack}
	}
	e := make(path.Point{}, path.Point{X: 4})
	for _, f := range []edge{
		make(path.Point{X: 3, Y: 1}, path.Point{X: 1, Y: 1}), make(path.Point{X: 9, Y: 1}, path.Point{X: 5, Y: 2}),
		make(path.Point{X: 9, Y: 3}, path.Point{X: 6, Y: 1}), make(path.Point{X: 3, Y: 1.5}, path.Point{X: -3, Y: 1}),
		make(path.Point{X: 2, Y: 0.5}, path.Point{X: 1, Y: 4}), make(path.Point{X: 2, Y: 5}, path.Point{X: 2, Y: 1}),
		make(path.Point{X: -2, Y: 5}, path.Point{X: -3, Y: 1}),
	} {
		least := math.Inf(1)
		for i := range 401 {
			for k := range 401 {
				least = min(least, e.at(e.length*float64(i)/400).Dist(f.at(f.length*float64(k)/400)))
			}
		}
		s, u, d := e.nearest(&f)
		require.InDelta(t, least, d, 0.02)
		require.InDelta(t, d, e.at(s).Dist(f.at(u)), 1e-12)
		u, s, d = f.nearest(&e)
		require.InDelta(t, least, d, 0.02)
		require.InDelta(t, d, e.at(s).Dist(f.at(u)), 1e-12)
	}
	f := make(path.Point{X: 3, Y: 1}, path.Point{X: 1, Y: 1})
	for reach, ok := range map[float64]bool{0.99: false, 1: true, 2: true} {
		x, is := e.facing(&f, reach)
		require.Equal(t, ok, is, reach)
		if is {
			require.Equal(t, across{width: 1, at: path.Point{X: 2, Y: 0.5}}, x)
			from, to := e.stretch(&f)
			require.Equal(t, []path.Point{{X: 1, Y: 0.5}, {X: 3, Y: 0.5}}, []path.Point{from, to})
		}
	}
	for y, ok := range map[float64]bool{0.005: false, 0.0051: true, -1: false} {
		f := make(path.Point{X: 3, Y: y}, path.Point{X: 1, Y: y})
		_, is := e.facing(&f, 2)
		require.Equal(t, ok, is, y)
	}
	f = make(path.Point{X: 9, Y: 1}, path.Point{X: 4, Y: 1}) // from end to end
	x, is := e.facing(&f, 2)
	require.True(t, is)
	from, to := e.stretch(&f)
	require.Equal(t, []path.Point{{X: 4, Y: 0.5}, {X: 4, Y: 0.5}, {X: 4, Y: 0.5}}, []path.Point{x.at, from, to})
	f = make(path.Point{X: 9, Y: 1}, path.Point{X: 4.5, Y: 1})
	_, is = e.facing(&f, 2)
	require.False(t, is, "not straight across")
}

// A path goes on from where it was closed, and is open again by two segments.
func TestOpenBehindAClose(t *testing.T) {
	var p path.Path
	p.MoveTo(path.Point{})
	p.LineTo(path.Point{X: 2})
	p.LineTo(path.Point{Y: 2})
	p.Close()
	for n, open := range []bool{false, false, true} {
		at, is := openAt(p)
		require.Equal(t, open, is, n)
		if is {
			require.Equal(t, path.Point{X: 5, Y: 1}, at)
		}
		p.LineTo(path.Point{X: 5, Y: float64(n)})
	}
}
