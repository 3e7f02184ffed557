package route_test

import (
	"slices"
	"testing"

	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

// rowsThenEdge is rows of two spans each, to and fro, and an outline behind them.
func rowsThenEdge(n int) path.Program {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100}}}
	for k := range n {
		y := float64(k) * 0.1
		a := [2]path.Point{{X: 0, Y: y}, {X: 10, Y: y}}
		b := [2]path.Point{{X: 20, Y: y}, {X: 30, Y: y}}
		if k%2 == 1 {
			a, b = [2]path.Point{b[1], b[0]}, [2]path.Point{a[1], a[0]}
		}
		p.Append(path.Stroke{Sweep: int32(k + 1)}, a[:]...)
		p.Append(path.Stroke{Sweep: int32(k + 1)}, b[:]...)
	}
	p.Append(path.Stroke{Kind: path.LineStroke}, path.Point{}, path.Point{X: 30})
	p.Rests = []path.Rest{{Before: 1, For: 1}}
	return p
}

// All strokes are kept as they are, no sweep is torn, the outline stays last, and each of
// the cells, ten rows of 1 mm in all by hand, lies apart from the one before it.
func TestScatter(t *testing.T) {
	was := rowsThenEdge(100)
	got := route.Scatter(was, 10)
	require.Empty(t, got.Rests)
	require.Len(t, got.Strokes, len(was.Strokes))
	texts := func(p path.Program) (all [][]path.Point) {
		for i := range p.Strokes {
			all = append(all, p.PointsOf(i))
		}
		return all
	}
	require.ElementsMatch(t, texts(was), texts(got))
	last := len(got.Strokes) - 1
	require.Equal(t, path.LineStroke, got.Strokes[last].Kind)

	var cells []int // of 1 mm
	for i := 0; i < last; i += 2 {
		require.Equal(t, got.Strokes[i].Sweep, got.Strokes[i+1].Sweep, "a sweep stays whole")
		if cell := int(got.PointsOf(i)[0].Y/1 + 1e-9); len(cells) == 0 || cells[len(cells)-1] != cell {
			cells = append(cells, cell)
		}
		if i > 0 && i%20 != 0 {
			require.Equal(t, got.Strokes[i-2].Sweep+1, got.Strokes[i].Sweep, "a cell keeps its sequence")
		}
	}
	require.Len(t, cells, 10)
	for i := 1; i < 6; i++ { // while there is a choice
		require.Greater(t, max(cells[i]-cells[i-1], cells[i-1]-cells[i]), 2, "%v", cells)
	}
	slices.Sort(cells)
	require.Equal(t, []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, cells)
	require.Equal(t, got, route.Scatter(was, 10), "the same again")
	require.Empty(t, route.Scatter(path.Program{}, 10).Strokes)
	require.Equal(t, was.Strokes, route.Scatter(was, 1).Strokes)
	require.Equal(t, was.Strokes, route.Scatter(was, 0).Strokes)
}
