package density

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
)

// The classes of directions: 22.5 degrees wide, of which the first begins at 5.1, whichever way a
// mark goes; polylines have their own.
func TestDirectionsByHand(t *testing.T) {
	for deg := 0.0; deg < 360; deg += 0.7 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		want := 7
		for class := range 8 {
			if from := 5.1 + 22.5*float64(class); math.Mod(deg, 180) >= from && math.Mod(deg, 180) < from+22.5 {
				want = class
			}
		}
		require.Equal(t, want, directionOf(pts(3, 4, 3+2*cos, 4+2*sin)), "%g degrees", deg)
	}
	require.Equal(t, 8, directionOf(pts(1, 1)))
	require.Equal(t, 8, directionOf(pts(1, 1, 2, 1, 3, 1)))
}

// How far a mark lies from the rows of a direction, by hand, and the gaps between rows.
func TestGapsByHand(t *testing.T) {
	r, ok := pieceOf(pts(5, 3, 1, 3), path.Point{X: 1})
	require.True(t, ok)
	require.Equal(t, rowPiece{across: 3, from: 1, to: 5}, r)
	r, ok = pieceOf(pts(2, 1, 2, 4), path.Point{Y: 1})
	require.True(t, ok)
	require.Equal(t, rowPiece{across: -2, from: 1, to: 4}, r)
	_, ok = pieceOf(pts(0, 0, 10, 0.0099), path.Point{X: 1})
	require.True(t, ok)
	_, ok = pieceOf(pts(0, 0, 10, 0.0101), path.Point{X: 1})
	require.False(t, ok)

	piece := func(across, from, to float64) rowPiece { return rowPiece{across, from, to} }
	for name, c := range map[string]struct {
		pieces []rowPiece
		want   []float64
	}{
		"rows": {[]rowPiece{piece(0.5, 0, 9), piece(0, 0, 9), piece(0.2, 0, 9)}, []float64{0.2, 0.3}},
		"pieces of a row": {[]rowPiece{piece(0, 0, 4), piece(0.001, 5, 9), piece(0.2, 0, 9)},
			[]float64{0.2, 0.199}},
		"hardly beside":       {[]rowPiece{piece(0, 0, 4), piece(0.2, 2, 6)}, nil},
		"beside":              {[]rowPiece{piece(0, 0, 4), piece(0.2, 1.9, 5.9)}, []float64{0.2}},
		"too far apart":       {[]rowPiece{piece(0, 0, 3), piece(1.01, 0, 9)}, nil},
		"just near enough":    {[]rowPiece{piece(0, 0, 3), piece(1, 0, 9)}, []float64{1}},
		"one behind another":  {[]rowPiece{piece(0, 0, 3), piece(0.1, 5, 9), piece(0.2, 0, 3)}, []float64{0.2}},
		"one over the other":  {[]rowPiece{piece(0, 0, 3), piece(0.002, 0, 3)}, nil},
		"the next one counts": {[]rowPiece{piece(0, 0, 3), piece(0.1, 0, 3), piece(0.2, 0, 3)}, []float64{0.1, 0.1}},
	} {
		got := gapsOf(c.pieces)
		require.Len(t, got, len(c.want), name)
		for i := range got {
			require.InDelta(t, c.want[i], got[i], 1e-12, name)
		}
	}
	for _, c := range []struct {
		p, q []path.Point
		gap  float64
		ok   bool
	}{
		{nil, pts(0, 0, 9, 0), 0, false}, {pts(0, 2, 9, 2), pts(0, 0, 9, 0), 2, true},
		{pts(5, 7, 5, 3), pts(2, 0, 2, 1), 3, true},
		{pts(0, 2, 9, 2.02), pts(0, 0, 9, 0), 2, false}, {pts(0, 0.001, 9, 0.001), pts(0, 0, 9, 0), 0.001, false},
	} {
		gap, ok := rowGap(c.p, c.q)
		require.Equal(t, c.ok, ok, "%v", c)
		require.InDelta(t, c.gap, gap, 1e-9)
	}
}

// The gaps that are most alike, by hand: within a fiftieth and two thousandths of a millimetre,
// and a quarter of all at least.
func TestCommonGapsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		gaps []float64
		want float64
	}{
		"two":                {[]float64{0.2, 0.2}, 0.2},
		"one":                {[]float64{0.2}, 0},
		"none":               {nil, 0},
		"the most":           {[]float64{0.1, 0.5, 0.1, 0.5, 0.5}, 0.5},
		"all within a few":   {[]float64{1, 1.01, 1.02}, 1.01},
		"too far apart":      {[]float64{1, 1.025}, 0},
		"a quarter":          {[]float64{0.3, 0.3, 1, 2, 3, 4, 5, 6}, 0.3},
		"less than that":     {[]float64{0.3, 0.3, 1, 2, 3, 4, 5, 6, 7}, 0},
		"by the grid's step": {[]float64{0.02, 0.0215}, 0.02075},
	} {
		require.InDelta(t, c.want, common(c.gaps), 1e-12, name)
	}
}

// The band of rows that a spacing is told from, by hand: all of up to 40,000, and of 80,000 those
// in the middle half.
func TestBandByHand(t *testing.T) {
	var c rowClass
	for _, across := range []float64{6, 5, 9, 8} {
		c.count(rowPiece{across: across})
	}
	require.Equal(t, []float64{5, 9, 4}, []float64{c.least, c.most, float64(c.n)})
	in := func(n int) (all []float64) {
		c.n = n
		for _, across := range []float64{5, 5.9, 6, 7, 8, 8.1, 9} {
			if c.inBand(rowPiece{across: across}) {
				all = append(all, across)
			}
		}
		return all
	}
	require.Len(t, in(4), 7)
	require.Len(t, in(40_000), 7)
	require.Equal(t, []float64{6, 7, 8}, in(80_000))
}
