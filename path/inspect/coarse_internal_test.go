package inspect

import (
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// zigzags is shapes of so many corners in all, which no tolerance takes away.
func zigzags(corners int) (art path.Artwork) {
	const each = 10_000
	for range corners / each {
		var p path.Path
		p.MoveTo(path.Point{})
		for i := range each - 1 {
			p.LineTo(path.Point{X: float64(i + 1), Y: float64(i % 2 * 10)})
		}
		art.Shapes = append(art.Shapes, path.Shape{Path: p})
	}
	return art
}

// A mark of 0.1 mm asks for 0.0005 mm, and has 0.004 where there are a million corners and
// more; between them it grows with the square of their number.
func TestToleranceOfVeryManyCorners(t *testing.T) {
	for corners, want := range map[int]float64{10_000: 0.0005, 340_000: 0.0005, 500_000: 0.001, 1_100_000: 0.004} {
		got := tolerance(zigzags(corners), 0.1)
		require.InEpsilon(t, want, got, 0.01, "%d corners", corners)
		r := Report{MarkWidth: 0.1, Within: 2 * got}
		require.Equal(t, want > 0.0005, r.Coarse(), "%d corners", corners)
	}
}

// Of a bar, as of most artwork, widths are good to a hundredth of the mark's.
func TestWidthsAreGoodToAHundredth(t *testing.T) {
	var p path.Path
	for i, q := range []path.Point{{}, {X: 5}, {X: 5, Y: 1}, {Y: 1}} {
		if i == 0 {
			p.MoveTo(q)
			continue
		}
		p.LineTo(q)
	}
	p.Close()
	art := path.Artwork{Page: path.Rect{Max: path.Point{X: 9, Y: 9}}}
	art.Shapes = []path.Shape{{Path: p, Paint: path.Paint{Opacity: 1}}}
	r, err := Look(art, Options{MarkWidth: 0.2})
	require.NoError(t, err)
	require.InDelta(t, 0.002, r.Within, 1e-12)
	require.False(t, r.Coarse())
	r.Within *= 1.01
	require.True(t, r.Coarse())
}
