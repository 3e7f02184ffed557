package code_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/path/code"
	"furrow/path/hatch"
)

func square(side float64) path.Rect {
	return path.Rect{Min: path.Point{X: 3, Y: 7}, Max: path.Point{X: 3 + side, Y: 7 + side}}
}

func rows(t *testing.T, p code.Placed, spacing float64) path.RowSet {
	t.Helper()
	art := path.Artwork{Page: p.Area, Shapes: p.Shapes}
	fill := hatch.Group{Setting: path.Setting{SpacingMM: spacing}}
	marks, _, err := hatch.Fill(art, hatch.Settings{Groups: []hatch.Group{fill}})
	require.NoError(t, err)
	require.Len(t, marks.Rows, 1)
	return marks.Rows[0]
}

// TestRowsRunThrough holds the rows of a placed code against its modules, one by
// one: each row of modules is the same whole number of rows of marks, whose spans
// run through all dark modules that touch, short of their ends by half a mark.
func TestRowsRunThrough(t *testing.T) {
	const spacing, width = 0.05, 0.06
	for _, kind := range code.Kinds() {
		s := encode(t, kind, "0417")
		p, err := s.Place(code.Room{Rect: square(14.03), SpacingMM: spacing, MarkWidthMM: width})
		require.NoError(t, err)
		per := p.ModuleMM / spacing
		assert.InDelta(t, math.Round(per), per, 1e-9)
		set := rows(t, p, spacing)
		cols, _ := s.Size()
		left := p.Area.Centre().X - float64(cols)*p.ModuleMM/2
		top := symbolTop(s, p)
		for k := range set.NumRows() {
			row := 0
			if kind != code.Code128 {
				row = int((top - set.At(k, 0).Y) / p.ModuleMM)
			}
			var want []path.Span
			for x := range cols {
				if s.Dark(x, row) && !s.Dark(x-1, row) {
					want = append(want, path.Span{X0: left + float64(x)*p.ModuleMM + width/2})
				}
				if s.Dark(x, row) && !s.Dark(x+1, row) {
					want[len(want)-1].X1 = left + float64(x+1)*p.ModuleMM - width/2
				}
			}
			got := set.Row(k)
			if !assert.Len(t, got, len(want), "%s row %d", kind, k) {
				return
			}
			for i := range want {
				assert.InDelta(t, want[i].X0, set.At(k, got[i].X0).X, 1e-6)
				assert.InDelta(t, want[i].X1, set.At(k, got[i].X1).X, 1e-6)
			}
		}
	}
}

func symbolTop(s code.Symbol, p code.Placed) float64 {
	_, down := s.Size()
	if s.Kind == code.Code128 {
		return p.Area.Max.Y
	}
	return p.Area.Centre().Y + float64(down)*p.ModuleMM/2
}

// A module of two marks' width is the least, in whole rows: 0.12 mm of 0.05 mm rows
// are three, 0.15 mm. A 10 x 10 Data Matrix with its quiet zone needs twelve.
func TestRoomNeeded(t *testing.T) {
	s := encode(t, code.DataMatrix, "123456")
	room := code.Room{Rect: square(1.79), SpacingMM: 0.05, MarkWidthMM: 0.06}
	_, err := s.Place(room)
	var small *code.RoomError
	require.ErrorAs(t, err, &small)
	assert.InDelta(t, 12*0.15, small.W, 1e-9)
	assert.InDelta(t, 12*0.15, small.H, 1e-9)
	assert.ErrorContains(t, err, "data-matrix needs 1.8 x 1.8 mm: 1.79 x 1.79 mm is too small")
	room.Rect = square(1.8)
	p, err := s.Place(room)
	require.NoError(t, err)
	assert.InDelta(t, 0.15, p.ModuleMM, 1e-12)
}

func TestPlaceRefuses(t *testing.T) {
	s := encode(t, code.QR, "x")
	for _, r := range []code.Room{
		{Rect: square(20)},
		{Rect: square(20), SpacingMM: math.NaN()},
		{Rect: square(20), SpacingMM: 0.1, MarkWidthMM: -1},
		{Rect: path.EmptyRect(), SpacingMM: 0.1},
		{Rect: path.Rect{Max: path.Point{X: math.NaN(), Y: 5}}, SpacingMM: 0.1},
	} {
		_, err := s.Place(r)
		assert.Error(t, err)
	}
	_, err := code.Symbol{}.Place(code.Room{Rect: square(20), SpacingMM: 0.1})
	assert.Error(t, err)
}
