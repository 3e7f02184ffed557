package page

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/grid"
)

// At true size labels stand as close as text of 3 mm lets them on a bed of 10 m, and no closer
// than a thousandth of a page of a kilometre: 1 km in 50,000 labels took minutes.
func TestRulersOfHugePages(t *testing.T) {
	for wide, want := range map[float64]ruling{10_000: {20, 2}, 1_000_000: {1000, 100}} {
		page := path.Rect{Max: path.Point{X: wide, Y: 9}}
		for _, px := range []float64{1, 0.01} { // text of 3 mm in pixels of so many a mm
			s := newSheet(px, 3*px, Light)
			x, y := s.rulers(grid.New(page, px), false)
			require.Equal(t, want, x.ruling, "%g mm at %g", wide, px)
			require.LessOrEqual(t, y.major, want.major)
		}
	}
}
