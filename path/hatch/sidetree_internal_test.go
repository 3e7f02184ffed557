package hatch

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// The sides on a line are those that looking at each finds, in the same sequence.
func TestSidesOnALineAgainstAllOfThem(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 15))
	point := func() path.Point { return path.Point{X: r.Float64() * 40, Y: r.Float64() * 30} }
	crossed := 0
	for range 200 {
		var rings []ring
		for range r.IntN(6) {
			var pts []path.Point
			for range 3 + r.IntN(40) {
				pts = append(pts, point())
			}
			rings = append(rings, ring{points: pts})
		}
		a := point()
		sin, cos := math.Sincos(r.Float64() * 7)
		if r.IntN(4) == 0 {
			sin, cos = 0, 1
			if len(rings) > 0 {
				a.Y = rings[0].points[1].Y // through a corner
			}
		}
		g := grid{dir: path.Point{X: cos, Y: sin}}
		crosses := func(from, to path.Point) bool {
			return (g.turn(from.Sub(a)).Y > lean) != (g.turn(to.Sub(a)).Y > lean)
		}
		var want, got [][2]path.Point
		for _, ring := range rings {
			last := ring.points[len(ring.points)-1]
			for _, p := range ring.points {
				if crosses(last, p) {
					want = append(want, [2]path.Point{last, p})
				}
				last = p
			}
		}
		newSideTree(rings).along(a, g.dir, func(from, to path.Point) {
			if crosses(from, to) {
				got = append(got, [2]path.Point{from, to})
			}
		})
		require.Equal(t, want, got)
		crossed += len(want)
	}
	require.Greater(t, crossed, 1000)
}
