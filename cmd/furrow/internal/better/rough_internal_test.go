package better

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path/hatch"
)

// The rough estimate of rows knows no outlines and no insets, and takes wider rows of a
// large page for as many as there are: 10 mm wide strips in rows 0.5 mm apart, 25 and 350
// mm high, are 50 and 700 rows.
func TestRoughRows(t *testing.T) {
	per := map[int]float64{}
	for _, height := range []int{25, 350} {
		w := stripWork(t, height)
		b := done{w}
		plain, err := b.rows().seconds(none, 0)
		require.NoError(t, err)
		// 10 mm at 150 mm/s, v/a and half a millimetre at both ends, what the beam's delay takes,
		// and at most a step to the next row from rest to rest, at 1,500 mm/s2.
		per[height] = plain / float64(2*height)
		alone := 10/150. + 2*150/5000. + 1/150. + 0.0006
		require.Greater(t, per[height], alone, "%d mm", height)
		require.Less(t, per[height], alone+2*math.Sqrt(0.5/1500), "%d mm", height)
		b.Groups[0].Outline, b.Groups[0].Inset, b.Groups[0].Contours = hatch.Outline{When: hatch.After,
			Setting: b.Groups[0].Setting}, 2, true
		same, err := b.rows().seconds(none, 0)
		require.NoError(t, err)
		require.InDelta(t, plain, same, 1e-9)
	}
	require.InEpsilon(t, per[25], per[350], 0.02)
	_, scale, err := done{stripWork(t, 350)}.rows().rough(none)
	require.NoError(t, err)
	require.Equal(t, 2.0, scale, "350/0.5 = 700 rows by the diagonal, of 400")
}
