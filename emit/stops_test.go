package emit_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A controller that stops at every change of power cannot mark rows: here it stops at
// both ends of both spans. An outline begins and ends at rest on any controller.
func TestRowsNeedPowerOnTheFly(t *testing.T) {
	stops := gantry(func(_ *machine.Gantry, c *machine.GCode) { c.PowerChange = machine.PowerStops })
	rows := path.Program{Settings: setting(100)}
	row(&rows, 0, false, [2]float64{0, 10}, [2]float64{12, 20})
	m, err := emit.Plan(rows, stops)
	require.NoError(t, err)
	var e *emit.StopError
	require.ErrorAs(t, emit.Check(m, stops), &e)
	require.Equal(t, 4, e.Count)
	require.Equal(t, 2, e.FirstMove())
	require.Contains(t, e.Hint(), "outlines alone")
	require.NoError(t, emit.Check(m, gantry(nil)))

	outline := path.Program{Settings: setting(100)}
	outline.Append(path.Stroke{Kind: path.LineStroke}, pt(0, 0), pt(10, 0), pt(10, 10), pt(0, 0))
	m, err = emit.Plan(outline, stops)
	require.NoError(t, err)
	require.NoError(t, emit.Check(m, stops))
}

// Where the power changes in the midst of a line it stops too.
func TestShadesNeedPowerOnTheFly(t *testing.T) {
	stops := gantry(func(_ *machine.Gantry, c *machine.GCode) { c.PowerChange = machine.PowerStops })
	var e *emit.StopError
	require.ErrorAs(t, emit.Check(moves(to(5, 5), burn(10, 5, 50, 0.5), burn(15, 5, 50, 0.25)), stops), &e)
	require.Equal(t, 1, e.Count)
	require.NoError(t, emit.Check(moves(to(5, 5), burn(10, 5, 50, 0.5), burn(15, 5, 50, 0.5)), stops))
}
