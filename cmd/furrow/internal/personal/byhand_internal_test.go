package personal

import (
	"fmt"
	"strings"
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

// The parts to look at first: of each text the longest, the shortest, and the smallest where any
// is made smaller. A narrow digit makes no short text, and fewer digits do.
func TestExtremesByHand(t *testing.T) {
	part := func(widths ...float64) (p Part) {
		for i, w := range widths {
			text := Text{Pick: fmt.Sprint("#", i), Words: fmt.Sprint("Acer ", strings.Repeat("e", int(w)))}
			text.WidthMM, text.Size, text.Squeeze = w, 1, 1
			p.Texts = append(p.Texts, text)
		}
		return p
	}
	parts := []Part{part(20), part(30), part(10), part(20)}
	require.Equal(t, []int{1, 2}, Extremes(parts))
	parts[3].Texts[0].Size = 0.8
	require.Equal(t, []int{1, 2, 3}, Extremes(parts))
	parts[0].Texts[0].Squeeze = 0.7
	require.Equal(t, []int{1, 2, 0}, Extremes(parts))
	parts[2].Texts[0].Size, parts[2].Texts[0].Squeeze = 0.8, 0.8
	require.Equal(t, []int{1, 2}, Extremes(parts), "each once")
	require.Empty(t, Extremes(parts[1:2]), "none of one")
	require.Empty(t, Extremes([]Part{{}}))
	require.Empty(t, Extremes([]Part{part(20), part(20), part(20)}), "all alike")

	two := []Part{part(20, 8), part(30, 9), part(10, 9), part(20, 7), part(20, 11)}
	require.Equal(t, []int{1, 2, 4, 3}, Extremes(two), "of the second text too")
	for i := range two {
		two[i].Texts[1].Words = fmt.Sprint("No. ", 417+i)
	}
	require.Equal(t, []int{1, 2}, Extremes(two))
	two[3].Texts[1].Squeeze = 0.9
	require.Equal(t, []int{1, 2, 3}, Extremes(two), "a number that is set narrower")
	two[3].Texts[1].Squeeze, two[3].Texts[1].Words = 1, "No. 7"
	require.Equal(t, []int{1, 2, 4, 3}, Extremes(two), "a shorter number")
}
