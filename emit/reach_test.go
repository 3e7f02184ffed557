package emit_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Two rows of 20 mm at 100 mm/s. With 1,000 mm/s2 a run-up is 5 mm long, and half a
// millimetre of margin goes with it (arithmetic).
func TestReachOfRows(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.AccelMMPerS2, g.OvertravelMarginMM = [2]float64{1000, 1000}, 0.5
		g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
	})
	prog := path.Program{Settings: setting(100)}
	row(&prog, 30, false, [2]float64{10, 30})
	row(&prog, 31, true, [2]float64{10, 30})
	r, err := emit.Reach(prog, p)
	require.NoError(t, err)
	require.InDelta(t, 4.5, r.Min.X, 1e-9)
	require.InDelta(t, 35.5, r.Max.X, 1e-9)
	require.InDelta(t, 30, r.Min.Y, 1e-9)
	require.InDelta(t, 31, r.Max.Y, 1e-9)
}

func TestReachOfNothing(t *testing.T) {
	r, err := emit.Reach(path.Program{}, gantry(nil))
	require.NoError(t, err)
	require.True(t, r.Empty())
}

// The user's own lines: a stop and a wait of 1.5 s before the first movement, a wait
// of 2 s and a stop behind the last, on one line.
func TestOwnLinesArePartOfThePlan(t *testing.T) {
	p := gantry(func(_ *machine.Gantry, c *machine.GCode) {
		c.StartLines, c.EndLines = []string{"M8"}, []string{"M9", "G4 P2 M0"}
	})
	prog := path.Program{Settings: setting(100)}
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(1, 2), pt(3, 4))
	require.Equal(t, []emit.Move{
		{Kind: emit.Travel, To: pt(1, 2)}, {Kind: emit.Mark, To: pt(3, 4), Speed: 100, Power: 0.35},
		{Kind: emit.Wait, To: pt(3, 4), WaitUS: 2_000_000}, {Kind: emit.Hold, To: pt(3, 4)},
	}, planned(t, prog, p))
}
