package machine_test

import (
	"testing"

	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Rows to the right are forward, whatever they do besides, and of upright rows those
// upwards; a measured table moves the others alone, against their direction.
func TestForward(t *testing.T) {
	g := machine.Gantry{Reversal: []machine.Reversal{{SpeedMMPerS: 100, OffsetMM: 0.2}}}
	for dir, forward := range map[path.Point]bool{
		{X: 1}: true, {X: -1}: false, {Y: 1}: true, {Y: -1}: false, {X: 0.6, Y: -0.8}: true, {X: -0.6, Y: 0.8}: false,
		{X: 1e-9, Y: -1}: false, {X: -1e-9, Y: 1}: true,
	} {
		require.Equal(t, forward, machine.Forward(dir), dir)
		want := machine.Lead{}
		if !forward {
			want = machine.Lead{On: -0.2, Off: -0.2}
		}
		require.Equal(t, want, g.Lead(dir, 100), dir)
	}
}
