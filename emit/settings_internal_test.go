package emit

import (
	"testing"

	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Each power of a setting is listed once, as it first comes; strokes without a length do
// not count.
func TestUsedPowers(t *testing.T) {
	p := path.Program{Settings: []path.Setting{{Power: 0.5}, {Power: 0.2}, {Power: 0.9}}}
	to := path.Point{X: 1}
	for _, s := range []struct {
		set   uint16
		power float64
		to    path.Point
	}{{0, 0, to}, {0, 0.5, to}, {0, 0.7, to}, {1, 0, to}, {0, 0.7, to}, {0, 0, to}, {1, 0.3, to},
		{2, 0, path.Point{}}} {
		p.Append(path.Stroke{Setting: s.set, Power: s.power}, path.Point{}, s.to)
	}
	require.Equal(t, [][]float64{{0.5, 0.7}, {0.2, 0.3}, nil}, usedPowers(&p, machine.GalvoStepsPerMM))
}
