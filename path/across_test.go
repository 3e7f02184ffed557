package path_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
)

func rowsOf(dir path.Point, spacing float64) path.RowSet {
	return path.RowSet{
		Dir: dir, Spacing: spacing, Origin: path.Point{X: 1, Y: 2},
		Start: []int32{0, 1, 1, 3}, Spans: []path.Span{{X0: 0, X1: 5}, {X0: 1, X1: 2}, {X0: 3, X1: 4}},
	}
}

// places lists both ends of every span, as they lie.
func places(m path.Marks) (all [][2]path.Point) {
	for i := range m.Rows {
		r := &m.Rows[i]
		for k := range r.NumRows() {
			for _, s := range r.Row(k) {
				all = append(all, [2]path.Point{r.At(k, s.X0), r.At(k, s.X1)})
			}
		}
	}
	return all
}

// Three parts side by side: each row holds the spans of all three, by hand.
func TestAcross(t *testing.T) {
	m := path.Marks{Rows: []path.RowSet{rowsOf(path.Point{X: 1}, 0.5)}, Lines: []path.Line{
		{Points: []path.Point{{X: 1}}, Before: 1}, {Points: []path.Point{{Y: 2}}, Before: -1},
	}}
	a := m.Across([]path.Point{{X: 70}, {}, {X: 140}})
	require.Len(t, a.Rows, 1)
	assert.Equal(t, 3, a.Rows[0].NumRows())
	assert.Equal(t, []path.Span{{X0: 0, X1: 5}, {X0: 70, X1: 75}, {X0: 140, X1: 145}}, a.Rows[0].Row(0))
	assert.Empty(t, a.Rows[0].Row(1))
	assert.Len(t, a.Rows[0].Row(2), 6)
	require.Len(t, a.Lines, 6)
	assert.Equal(t, []int{1, -1, 3, -1, 5, -1}, []int{
		a.Lines[0].Before, a.Lines[1].Before, a.Lines[2].Before, a.Lines[3].Before, a.Lines[4].Before,
		a.Lines[5].Before,
	})
	assert.Equal(t, path.Point{X: 71}, a.Lines[0].Points[0])
	assert.Equal(t, path.Point{X: 1}, m.Lines[0].Points[0], "the marks themselves stay as they are")
}

// A part one row up and 3 mm along: row k of it is row k+1 of the first.
func TestAcrossRowsApart(t *testing.T) {
	m := path.Marks{Rows: []path.RowSet{rowsOf(path.Point{X: 1}, 0.5)}}
	a := m.Across([]path.Point{{}, {X: 30, Y: -0.5}})
	require.Len(t, a.Rows, 1)
	assert.Equal(t, path.Point{X: 1, Y: 1.5}, a.Rows[0].Origin)
	assert.Equal(t, []path.Span{{X0: 30, X1: 35}}, a.Rows[0].Row(0))
	assert.Equal(t, []path.Span{{X0: 0, X1: 5}}, a.Rows[0].Row(1))
	assert.Len(t, a.Rows[0].Row(2), 2)
	assert.Len(t, a.Rows[0].Row(3), 2)
}

// Rows that miss each other stay apart; whatever is joined, every span lies where
// it would in a part of its own.
func TestAcrossKeepsEverySpan(t *testing.T) {
	sin, cos := math.Sincos(math.Pi / 6)
	for _, dir := range []path.Point{{X: 1}, {Y: 1}, {X: cos, Y: sin}} {
		m := path.Marks{Rows: []path.RowSet{rowsOf(dir, 0.5)}}
		offsets := []path.Point{{}, {X: 70}, {X: 140, Y: 0.1}, {X: 210}}
		var want [][2]path.Point
		for _, by := range offsets {
			for _, p := range places(m) {
				want = append(want, [2]path.Point{p[0].Add(by), p[1].Add(by)})
			}
		}
		got := places(m.Across(offsets))
		require.Len(t, got, len(want))
		for _, w := range want {
			near := 0
			for _, g := range got {
				if g[0].Dist(w[0]) < 1e-6 && g[1].Dist(w[1]) < 1e-6 {
					near++
				}
			}
			assert.Equal(t, 1, near, "%v", w)
		}
	}
	assert.Empty(t, path.Marks{}.Across([]path.Point{{}}).Rows)
	m := path.Marks{Rows: []path.RowSet{rowsOf(path.Point{X: 1}, 0.5)}}
	assert.Empty(t, m.Across(nil).Rows)
}
