package path_test

import (
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// bar is two spans of one sweep and an outline, laid out by hand below.
func bar() path.Program {
	p := path.Program{Settings: []path.Setting{{Name: "fill", SpeedMMPerS: 100, Power: 0.5}}, ToleranceMM: 0.01}
	p.Append(path.Stroke{Sweep: 1}, path.Point{}, path.Point{X: 2})
	p.Append(path.Stroke{Sweep: 1, Power: 0.25}, path.Point{X: 4}, path.Point{X: 6})
	p.Append(path.Stroke{Kind: path.LineStroke}, path.Point{X: 6}, path.Point{X: 6, Y: 1}, path.Point{Y: 1})
	return p
}

func TestLaidOut(t *testing.T) {
	p := bar()
	q, err := p.LaidOut([]path.Matrix{path.Translate(10, 20), path.Translate(30, 40).Mul(path.Rotate(90))})
	require.NoError(t, err)
	require.Equal(t, p.Settings, q.Settings)
	require.Equal(t, 0.01, q.ToleranceMM)
	require.Equal(t, []path.Point{
		{X: 10, Y: 20}, {X: 12, Y: 20}, {X: 14, Y: 20}, {X: 16, Y: 20}, {X: 16, Y: 20}, {X: 16, Y: 21}, {X: 10, Y: 21},
		{X: 30, Y: 40}, {X: 30, Y: 42}, {X: 30, Y: 44}, {X: 30, Y: 46}, {X: 30, Y: 46}, {X: 29, Y: 46}, {X: 29, Y: 40},
	}, q.Points)
	require.Equal(t, []path.Stroke{
		{First: 0, Len: 2, Sweep: 1}, {First: 2, Len: 2, Sweep: 1, Power: 0.25},
		{First: 4, Len: 3, Kind: path.LineStroke},
		{First: 7, Len: 2, Sweep: 2}, {First: 9, Len: 2, Sweep: 2, Power: 0.25},
		{First: 11, Len: 3, Kind: path.LineStroke},
	}, q.Strokes)
	require.Equal(t, bar(), p, "the program itself stays as it is")
	require.Equal(t, []float64{0.5, 0.25, 0.5}, []float64{q.PowerOf(3), q.PowerOf(4), q.PowerOf(5)})
}

func TestLaidOutNowhereOrNothing(t *testing.T) {
	p := bar()
	q, err := p.LaidOut(nil)
	require.NoError(t, err)
	require.Empty(t, q.Strokes)
	var none path.Program
	q, err = none.LaidOut([]path.Matrix{path.Identity, path.Identity})
	require.NoError(t, err)
	require.Empty(t, q.Points)
}

func TestLaidOutTooOften(t *testing.T) {
	var p path.Program
	p.Append(path.Stroke{Sweep: 1 << 16}, make([]path.Point, 1<<10)...)
	_, err := p.LaidOut(make([]path.Matrix, 1<<15)) // 2^31 sweeps, one more than the numbers there are
	require.ErrorContains(t, err, "sweeps")
	p.Append(path.Stroke{}, make([]path.Point, 1<<16)...)
	_, err = p.LaidOut(make([]path.Matrix, 1<<15))
	require.ErrorContains(t, err, "points")
}
