package emit_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// rowsBothWays is two rows along dir, the second one backwards unless oneWay.
func rowsBothWays(dir path.Point, speed, spacing float64, oneWay bool) path.Program {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: speed, Power: 0.3, SpacingMM: spacing}}}
	prog.Append(path.Stroke{}, path.Point{}, dir.Mul(10))
	if oneWay {
		prog.Append(path.Stroke{}, path.Point{}, dir.Mul(10))
	} else {
		prog.Append(path.Stroke{}, dir.Mul(10), path.Point{})
	}
	return prog
}

func TestRowWarnings(t *testing.T) {
	x, y, diagonal := path.Point{X: 1}, path.Point{Y: 1}, path.Point{X: 0.6, Y: 0.8}
	unmeasured := gantry(nil)
	backlash := gantry(func(g *machine.Gantry, _ *machine.GCode) { g.BacklashMM[0] = 0.01 })
	table := gantry(func(g *machine.Gantry, _ *machine.GCode) { g.Reversal = []machine.Reversal{{SpeedMMPerS: 100}} })
	stepper := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.StepsPerMM, g.BacklashMM = [2]float64{80, 80}, [2]float64{0.01, 0}
	})
	byHand := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.OvertravelMM, g.BacklashMM = 0.9, [2]float64{0.01, 0}
	})
	twoWays := rowsBothWays(path.Point{X: math.Sqrt(0.5), Y: math.Sqrt(0.5)}, 150, 0.1, true)
	twoWays.Append(path.Stroke{}, path.Point{X: 5, Y: 10 * math.Sqrt(0.75)}, path.Point{})
	for _, tt := range []struct {
		name    string
		prog    path.Program
		profile machine.Profile
		want    string // empty: none
		cause   emit.RowCause
	}{
		{"both ways, nothing measured", rowsBothWays(x, 150, 0.1, false), unmeasured, "up to 0.25 mm", emit.Stagger},
		{"upright, nothing measured", rowsBothWays(y, 150, 0.1, false), unmeasured, "up to 0.25 mm", emit.Stagger},
		{"one way", rowsBothWays(x, 150, 0.1, true), unmeasured, "", emit.Stagger},
		{"backlash measured", rowsBothWays(x, 150, 0.1, false), backlash, "", emit.Stagger},
		{"table measured", rowsBothWays(x, 150, 0.1, false), table, "", emit.Stagger},
		{"5.08 steps", rowsBothWays(x, 150, 0.0635, false), stepper,
			"5.08 motor steps of Y, so rows will lie unevenly; 0.0625 mm", emit.UnevenSteps},
		{"8 steps", rowsBothWays(x, 150, 0.1, false), stepper, "", emit.Stagger},
		{"half a step", rowsBothWays(y, 150, 0.006, false), stepper,
			"0.48 motor steps of X, so rows will lie unevenly; 0.0125 mm", emit.UnevenSteps},
		{"diagonal", rowsBothWays(diagonal, 150, 0.0635, false), stepper, "", emit.Stagger},
		{"1 mm to reach 100 mm/s", rowsBothWays(x, 100, 0.1, false), byHand,
			"less than the 1 mm in which the head reaches 100", emit.ShortOvertravel},
		{"0.81 mm to reach 90 mm/s", rowsBothWays(x, 90, 0.1, false), byHand, "", emit.Stagger},
		{"galvo", rowsBothWays(x, 100, 0.1, false), machine.Examples()[2], "", emit.Stagger},
		{"nothing", path.Program{}, unmeasured, "", emit.Stagger},
		{"there at 45 degrees, back at 60", twoWays, unmeasured, "", emit.Stagger},
	} {
		got := emit.RowWarnings(tt.prog, tt.profile)
		if tt.want == "" {
			require.Empty(t, got, tt.name)
			continue
		}
		require.Len(t, got, 1, tt.name)
		require.Contains(t, got[0].Message, tt.want, tt.name)
		require.Equal(t, tt.cause, got[0].Cause, tt.name)
	}
}
