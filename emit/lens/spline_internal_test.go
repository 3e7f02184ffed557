package lens

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
)

// The slopes of a cubic are those of calculus.
func TestSlopesOfASurface(t *testing.T) {
	a := axes{x: []float64{-2, -1, 0.5, 1, 3}, y: []float64{-3, -1, 0, 2}}
	var values []path.Point
	for _, y := range a.y {
		for _, x := range a.x {
			values = append(values, path.Point{X: x*x*x*y*y + 2*x - y, Y: x*x*y*y*y - x*y + 4})
		}
	}
	s, err := newSurface(a, values)
	require.NoError(t, err)
	for y := -3.5; y < 2.6; y += 0.3 {
		for x := -2.3; x < 3.3; x += 0.3 {
			f, fx, fy := s.at(path.Point{X: x, Y: y})
			for name, d := range map[string][2]path.Point{
				"f":  {f, {X: x*x*x*y*y + 2*x - y, Y: x*x*y*y*y - x*y + 4}},
				"fx": {fx, {X: 3*x*x*y*y + 2, Y: 2*x*y*y*y - y}},
				"fy": {fy, {X: 2*x*x*x*y - 1, Y: 3*x*x*y*y - x}},
			} {
				require.InDelta(t, 0, d[0].Dist(d[1]), 1e-9, "%s at %g, %g", name, x, y)
			}
		}
	}
}
