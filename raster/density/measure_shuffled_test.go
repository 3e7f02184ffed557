package density_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/density"
)

// Rows tell their spacing in whatever sequence they are marked: every fourth first, or
// at random.
func TestSpacingOfRowsOutOfSequence(t *testing.T) {
	const rows = 80
	orders := map[string][]int{"shuffled": rand.New(rand.NewPCG(1, 0)).Perm(rows)}
	for i := range rows {
		orders["as they lie"] = append(orders["as they lie"], i)
		orders["every fourth"] = append(orders["every fourth"], i%20*4+i/20)
	}
	for name, order := range orders {
		prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.3}}}
		for _, k := range order {
			for _, x := range []float64{0, 30} { // two shapes beside each other, half a row apart
				y := float64(k)*0.1 + x/600
				prog.Append(path.Stroke{}, path.Point{X: x, Y: y}, path.Point{X: x + 10, Y: y})
			}
		}
		found := density.MeasureRows(prog)
		require.Len(t, found, 1, name)
		assert.InDelta(t, 0.1, found[0].SpacingMM, 1e-9, name)
	}
}
