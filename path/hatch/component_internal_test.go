package hatch

import (
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Plates with holes that hold plates with holes, and so on: each hole goes to the plate it
// was cut into, which is known from how they were made, whatever the sequence of the rings.
func TestHolesGoToTheirComponents(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 40 {
		var want []component
		var add func(x, y, size float64)
		add = func(x, y, size float64) {
			own := component{plate(x, y, x+size, y+size).Path.Points}
			for q := range r.IntN(4) {
				x, y, hole := x+size*(0.1+0.45*float64(q%2)), y+size*(0.1+0.45*float64(q/2)), 0.35*size
				own = append(own, backwards(plate(x, y, x+hole, y+hole).Path.Points))
				if size > 2 {
					add(x+0.1*hole, y+0.1*hole, 0.8*hole)
				}
			}
			want = append(want, own)
		}
		for i := range 3 {
			add(20*float64(i), 0, 15)
		}
		var rings [][]path.Point
		for _, c := range want {
			rings = append(rings, c...)
		}
		r.Shuffle(len(rings), func(i, k int) { rings[i], rings[k] = rings[k], rings[i] })
		require.ElementsMatch(t, sorted(want), sorted(componentsOf(rings)))
	}
	require.Empty(t, componentsOf(nil))
}

// sorted returns components with their rings by their first points.
func sorted(all []component) []component {
	var out []component
	for _, c := range all {
		c = slices.Clone(c)
		slices.SortFunc(c, func(p, q []path.Point) int {
			return slices.Compare([]float64{p[0].X, p[0].Y}, []float64{q[0].X, q[0].Y})
		})
		out = append(out, c)
	}
	return out
}

// A hole that touches the edge round it at the corner it begins with is a hole of it; and
// where a hole lies in nothing, nothing is parted.
func TestHolesThatTouch(t *testing.T) {
	for _, at := range []path.Point{{X: 0, Y: 5}, {X: 10, Y: 5}, {X: 5, Y: 0}, {X: 5, Y: 10}} {
		way := path.Point{X: 5, Y: 5}.Sub(at).Mul(0.4)
		aside := path.Point{X: -way.Y, Y: way.X}
		hole := []path.Point{at, at.Add(way).Add(aside), at.Add(way.Mul(2)), at.Add(way).Sub(aside)}
		require.Negative(t, area(hole))
		outer, other := plate(0, 0, 10, 10).Path.Points, plate(20, 0, 30, 10).Path.Points
		require.Equal(t, []component{{other}, {outer, hole}}, componentsOf([][]path.Point{hole, other, outer}))
	}
	lost := [][]path.Point{plate(0, 0, 1, 1).Path.Points, plate(2, 0, 3, 1).Path.Points,
		backwards(plate(5, 0, 6, 1).Path.Points)}
	require.Equal(t, []component{lost}, componentsOf(lost))
}

// The contours of a drawing are those of its plates one by one, with the centres between
// them: plates that stand apart, in the hole of another, and corner to corner.
func TestContoursOfComponents(t *testing.T) {
	frame := [][]path.Point{plate(0, 0, 10, 10).Path.Points, backwards(plate(1.3, 1.3, 8.7, 8.7).Path.Points)}
	inside := [][]path.Point{plate(3, 3, 4.5, 6).Path.Points}
	corner := [][]path.Point{plate(4.5, 6, 6, 7.25).Path.Points}
	apart := [][]path.Point{round(path.Point{X: 15, Y: 5}, 1.7, 60), backwards(round(path.Point{X: 15, Y: 5}, 0.4, 24))}
	fill := &Group{Setting: path.Setting{SpacingMM: 0.3}, Contours: true}
	contoursOf := func(rings [][]path.Point) []path.Line {
		lines, err := contours(&enclosed{rings: rings}, fill, 0.002)
		require.NoError(t, err)
		return lines
	}
	var want []path.Line
	for _, rings := range [][][]path.Point{frame, inside, corner, apart} {
		want = append(want, contoursOf(rings)...)
	}
	require.ElementsMatch(t, want, contoursOf(slices.Concat(apart, corner, frame, inside)))
}
