package tune_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/tune"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A trial stays in the field or on half of the bed, whichever side of that is the short
// one, and a gantry's begins and ends where it was.
func TestTrialsStayInTheMachine(t *testing.T) {
	for _, size := range [][2]float64{{100, 40}, {40, 100}, {175, 175}} {
		galvo := byhand.Fibre()
		galvo.Galvo.FieldMM = size
		for _, tr := range tune.Trials(galvo, 1) {
			box := path.EmptyRect()
			for mv, err := range tr.Moves.All() {
				require.NoError(t, err)
				box = box.Include(mv.To)
			}
			half := path.Point{X: size[0] / 2, Y: size[1] / 2}
			require.LessOrEqual(t, box.Max.X, half.X, tr.Name)
			require.GreaterOrEqual(t, box.Min.X, -half.X, tr.Name)
			require.LessOrEqual(t, box.Max.Y, half.Y, tr.Name)
			require.GreaterOrEqual(t, box.Min.Y, -half.Y, tr.Name)
			require.Positive(t, box.W()+box.H(), tr.Name)
			require.Equal(t, path.Point{X: size[0], Y: size[1]}, tr.Moves.Header.Field)
		}
		gantry := machine.Examples()[0]
		g := *gantry.Gantry
		g.BedMM, gantry.Gantry = [2]float64{size[0] + 10, size[1] + 10}, &g
		for _, tr := range tune.Trials(gantry, 1) {
			box, last := path.EmptyRect(), path.Point{X: 1}
			for mv, err := range tr.Moves.All() {
				require.NoError(t, err)
				require.Zero(t, mv.Power, "the beam stays off")
				require.NotEqual(t, emit.Mark, mv.Kind)
				box, last = box.Include(mv.To), mv.To
			}
			require.Zero(t, last, tr.Name)
			require.LessOrEqual(t, max(box.W(), box.H()), max(15.0, max(size[0], size[1])+10), tr.Name)
		}
	}
}
