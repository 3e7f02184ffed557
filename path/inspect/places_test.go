package inspect_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/inspect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// regular returns a polygon of n corners on a circle of 5 mm.
func regular(n int) (ring []path.Point) {
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.3) / float64(n))
		ring = append(ring, path.Point{X: 5 * cos, Y: 5 * sin})
	}
	return ring
}

// At the corners of a polygon nothing stands straight across, unless they are so many
// that it is a disc. Opposite sides of an even polygon do, whatever the turn.
func TestPolygonsThatAreDiscs(t *testing.T) {
	for _, n := range []int{3, 4, 5, 6, 7, 8, 10, 11, 12, 16, 30, 301, 601} {
		r, err := inspect.Look(filled([][]path.Point{regular(n)}), inspect.Options{MarkWidth: 0.02})
		require.NoError(t, err)
		inner := 5 * math.Cos(math.Pi/float64(n))
		switch {
		case n%2 == 0:
			require.NotNil(t, r.Bridges.Least, n)
			assert.InDelta(t, 2*inner, r.Bridges.Least.Width, 1e-3, n)
		case n > 300:
			require.NotNil(t, r.Bridges.Least, n)
			assert.InDelta(t, 10, r.Bridges.Least.Width, 5e-3, n)
		default:
			assert.Nil(t, r.Bridges.Least, n)
		}
		assert.Nil(t, r.Gaps.Least, n)
		assert.GreaterOrEqual(t, r.Gaps.Reach, 4*inner, "looked at all of it: %d", n)
	}
}

// Gaps of more than 5 µm are gaps.
func TestTouchingTo5Um(t *testing.T) {
	for um, gap := range map[int]bool{2: false, 4: false, 6: true, 9: true} {
		r := look(t, fmt.Sprintf(`<path d="M2 2h5v5H2zM7.00%d 2h5v5h-5z"/>`, um), inspect.Options{MarkWidth: 0.2})
		require.Len(t, r.Gaps.Thin, map[bool]int{true: 1}[gap], um)
		if gap {
			assert.InDelta(t, float64(um)/1000, r.Gaps.Thin[0].Width, 2e-4)
		}
	}
}

// wedge is two bars of 6 mm whose sides stand 0.1 mm apart at the left and lean away
// from each other by some degrees.
func wedge(degrees float64) string {
	rise := 6 * math.Tan(degrees*math.Pi/180)
	return fmt.Sprintf(`<path d="M2 8h6v2H2zM2 7.9L8 %gV5H2z"/>`, 7.9-rise)
}

// Sides that lean by two degrees, a degree of each, are still parallel; by more they
// are a notch, which is a thin place at its two corners alone.
func TestLeaningSides(t *testing.T) {
	for _, degrees := range []float64{0, 0.5, 1, 1.5, 1.9, 4, 8, 20} {
		r := look(t, wedge(degrees), inspect.Options{MarkWidth: 0.15})
		require.Len(t, r.Gaps.Thin, 1, degrees)
		gap := r.Gaps.Thin[0]
		assert.InDelta(t, 0.1, gap.Width, 2e-3, degrees)
		assert.InDelta(t, map[bool]float64{true: 6}[degrees < 2], gap.Length, 0.5, degrees)
		if degrees == 0 {
			assert.InDelta(t, 0, gap.At.Dist(path.Point{X: 5, Y: 12.05}), 1e-3, "in the middle")
		} else {
			assert.InDelta(t, 2, gap.At.X, 0.2, "where it is narrowest: %g", degrees)
		}
	}
}

// Only the overlapping stretch of two sides is as near as that.
func TestStretch(t *testing.T) {
	for _, shift := range []float64{-3, -1, 0, 2, 3.5} {
		r := look(t, fmt.Sprintf(`<path d="M5 8h5v3H5zM%g 7.9h4V5h-4z"/>`, 5+shift), inspect.Options{MarkWidth: 0.15})
		from, to := max(5, 5+shift), min(10, 9+shift)
		require.Len(t, r.Gaps.Thin, 1, shift)
		assert.InDelta(t, to-from, r.Gaps.Thin[0].Length, 1e-6, shift)
		assert.InDelta(t, (from+to)/2, r.Gaps.Thin[0].At.X, 1e-6, shift)
		assert.InDelta(t, 12.05, r.Gaps.Thin[0].At.Y, 1e-6, shift)
	}
}

// What lies in a gap parts it: the line in the middle has a gap on each side, and the
// outer sides do not see each other.
func TestNothingBetween(t *testing.T) {
	r := look(t, `<path d="M2 2h16v4H2zM2 6.1h16v.2H2zM2 6.42h16v4H2z"/>`, inspect.Options{MarkWidth: 0.5})
	require.Len(t, r.Gaps.Thin, 2)
	assert.InDelta(t, 0.1, r.Gaps.Thin[0].Width, 1e-6)
	assert.InDelta(t, 0.12, r.Gaps.Thin[1].Width, 1e-6)
	require.Len(t, r.Bridges.Thin, 1)
	assert.InDelta(t, 0.2, r.Bridges.Thin[0].Width, 1e-6)
	assert.InDelta(t, 16, r.Bridges.Thin[0].Length, 1e-6)
}

// Every one of many places is told, the narrowest first, however they lie in the grid
// that finds them: teeth of a comb, each gap a little wider, at several angles.
func TestManyPlaces(t *testing.T) {
	const teeth = 30
	var d strings.Builder
	x := 1.0
	for i := range teeth + 1 {
		fmt.Fprintf(&d, "M%g 3h.3v%gh-.3z", x, 4+float64(i%3))
		x += 0.3 + 0.1 + float64(i)/1000
	}
	for _, degrees := range []float64{0, 90, 17, 45, 133} {
		r := look(t, fmt.Sprintf(`<path transform="rotate(%g 10 10)" d="%s"/>`, degrees, d.String()),
			inspect.Options{MarkWidth: 0.2})
		require.Len(t, r.Gaps.Thin, teeth, degrees)
		for i, gap := range r.Gaps.Thin {
			assert.InDelta(t, 0.1+float64(i)/1000, gap.Width, 2e-4, "%g %d", degrees, i)
		}
		assert.Empty(t, r.Bridges.Thin)
		assert.InDelta(t, 0.3, r.Bridges.Least.Width, 1e-4)
		assert.Equal(t, 0.4, r.Bridges.Reach, "twice the mark is where it was found")
		assert.Equal(t, 0.2, r.Gaps.Reach)
	}
}
