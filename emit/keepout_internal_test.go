package emit

import (
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Straight moves are cut at each of the four sides of an oblong box, from 10,20 to 40,30.
func TestClipAtEachSide(t *testing.T) {
	box := path.Rect{Min: path.Point{X: 10, Y: 20}, Max: path.Point{X: 40, Y: 30}}
	for _, tt := range []struct{ x0, y0, x1, y1, left, low, right, high float64 }{
		{0, 25, 50, 25, 10, 25, 40, 25}, {50, 25, 0, 25, 10, 25, 40, 25}, // along X
		{15, 0, 15, 50, 15, 20, 15, 30}, {15, 50, 15, 0, 15, 20, 15, 30}, // along Y
		{15, 22, 35, 28, 15, 22, 35, 28},                                  // inside
		{0, 10, 40, 50, 10, 20, 20, 30}, {30, 10, 50, 30, 40, 20, 40, 20}, // in at a corner; through one alone
	} {
		got := clip(path.Point{X: tt.x0, Y: tt.y0}, Move{To: path.Point{X: tt.x1, Y: tt.y1}}, box)
		want := path.Rect{Min: path.Point{X: tt.left, Y: tt.low}, Max: path.Point{X: tt.right, Y: tt.high}}
		require.InDelta(t, 0, got.Min.Dist(want.Min)+got.Max.Dist(want.Max), 1e-9, "%v: %v", tt, got)
	}
	for _, m := range [][4]float64{{0, 31, 50, 31}, {0, 19, 50, 19}, {9, 0, 9, 50}, {41, 0, 41, 50}, {0, 30, 50, 30},
		{0, 15, 20, 45}, {0, 0, 5, 5}} { // beside it, along its edge, past a corner, short of it
		got := clip(path.Point{X: m[0], Y: m[1]}, Move{To: path.Point{X: m[2], Y: m[3]}}, box)
		require.True(t, got.Empty() || got.W() == 0 && got.H() == 0, "%v: %v", m, got)
	}
}
