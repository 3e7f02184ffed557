package personal

import (
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
)

// Quarter turns are exact, and other angles what they are.
func TestAngles(t *testing.T) {
	for _, degrees := range []float64{0, 90, 180, -90, 45, 1} {
		require.Equal(t, degrees, angle(path.Rotate(degrees).Mul(path.Scale(3, 3))), "%g", degrees)
	}
	for _, degrees := range []float64{30.5, -12.25, 0.001} {
		require.InDelta(t, degrees, angle(path.Rotate(degrees)), 1e-9)
		require.NotEqual(t, float64(int(degrees)), angle(path.Rotate(degrees)))
	}
	require.Equal(t, 180.0, angle(path.Scale(-1, 1)), "mirrored")
}

// The parts to look at first: the longest text, the shortest, and the smallest where any is
// made smaller.
func TestExtremesByHand(t *testing.T) {
	part := func(widths ...float64) (p Part) {
		for _, w := range widths {
			text := Text{}
			text.WidthMM, text.Size, text.Squeeze = w, 1, 1
			p.Texts = append(p.Texts, text)
		}
		return p
	}
	parts := []Part{part(20), part(30), part(10), part(20, 15)}
	require.Equal(t, []int{1, 2}, Extremes(parts))
	parts[3].Texts[1].Size = 0.8
	require.Equal(t, []int{1, 2, 3}, Extremes(parts))
	parts[0].Texts[0].Squeeze = 0.7
	require.Equal(t, []int{1, 2, 0}, Extremes(parts))
	parts[2].Texts[0].Size, parts[2].Texts[0].Squeeze = 0.8, 0.8
	require.Equal(t, []int{1, 2}, Extremes(parts), "each once")
	require.Equal(t, []int{0}, Extremes(parts[:1]))
	require.Nil(t, Extremes([]Part{{}}))
	require.Equal(t, []int{0}, Extremes([]Part{part(20), part(20), part(20)}), "the first of those alike")
}
