package code_test

import (
	"fmt"
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
// run through all marked modules that touch, short of their ends by half a mark. n
// marks s apart of width w cover (n-1)·s + w, so w/s - 1 of them, rounded, are left
// out where a module stands alone, of an odd number the upper one.
func TestRowsRunThrough(t *testing.T) {
	for _, kind := range code.Kinds() {
		for _, width := range []float64{0.06, 0.1, 0.16, 0.24} {
			for _, light := range []bool{false, true} {
				rowsRunThrough(t, kind, width, light)
			}
		}
	}
}

func rowsRunThrough(t *testing.T, kind code.Kind, width float64, light bool) {
	const spacing = 0.05
	s := encode(t, kind, "0417")
	p, err := s.Place(code.Room{Rect: square(44.03), SpacingMM: spacing, MarkWidthMM: width, Light: light})
	require.NoError(t, err)
	per := int(math.Round(p.ModuleMM / spacing))
	assert.InDelta(t, float64(per), p.ModuleMM/spacing, 1e-9)
	assert.Equal(t, per, p.Rows)
	cols, down := s.Size()
	if kind == code.Code128 {
		per = int(math.Round(p.Area.H() / spacing))
	}
	marked := func(col, row int) bool {
		at := path.Point{X: left(s, p) + (float64(col)+0.5)*p.ModuleMM, Y: p.Area.Centre().Y}
		return at.X > p.Area.Min.X && at.X < p.Area.Max.X && s.Dark(col, row) != light &&
			(row >= 0 && row < down || kind != code.Code128 && row >= -quiet(kind, light) &&
				row < down+quiet(kind, light))
	}
	few := int(math.Round(width/spacing)) - 1
	set := rows(t, p, spacing)
	for k := range set.NumRows() {
		at := int(math.Floor((symbolTop(s, p)-set.At(k, 0).Y)/spacing)) + 20*per
		row, i := at/per-20, at%per
		var want []path.Span
		before := false
		for x := -12; x < cols+12; x++ {
			now := marked(x, row) && (i >= (few+1)/2 || marked(x, row-1)) && (i < per-few/2 || marked(x, row+1))
			switch edge := left(s, p) + float64(x)*p.ModuleMM; {
			case now && !before:
				want = append(want, path.Span{X0: edge + width/2})
			case before && !now:
				want[len(want)-1].X1 = edge - width/2
			}
			before = now
		}
		got := set.Row(k)
		require.Len(t, got, len(want), "%s %g %v row %d", kind, width, light, k)
		for i := range want {
			assert.InDelta(t, want[i].X0, set.At(k, got[i].X0).X, 1e-6)
			assert.InDelta(t, want[i].X1, set.At(k, got[i].X1).X, 1e-6)
		}
	}
}

// quiet is how many light modules stand round a code (ISO/IEC 18004 and 16022, from
// memory; two round a Data Matrix whose light modules are marked).
func quiet(kind code.Kind, light bool) int {
	switch {
	case kind == code.QR:
		return 4
	case light:
		return 2
	}
	return 1
}

func left(s code.Symbol, p code.Placed) float64 {
	cols, _ := s.Size()
	return p.Area.Centre().X - float64(cols)*p.ModuleMM/2
}

func symbolTop(s code.Symbol, p code.Placed) float64 {
	_, down := s.Size()
	if s.Kind == code.Code128 {
		return p.Area.Max.Y
	}
	return p.Area.Centre().Y + float64(down)*p.ModuleMM/2
}

// The room's middle is the code's, with its quiet zone of 4, 1 or 2, or 10 modules at
// the sides. Bars are as long as the room is high, in whole rows.
func TestArea(t *testing.T) {
	for _, c := range []struct {
		kind                code.Kind
		light               bool
		room, spacing, w, h float64 // w and h in modules
	}{
		{kind: code.QR, room: 14.03, spacing: 0.05, w: 29, h: 29},
		{kind: code.QR, light: true, room: 14.03, spacing: 0.05, w: 29, h: 29},
		{kind: code.DataMatrix, room: 3.4, spacing: 0.1, w: 12, h: 12},
		{kind: code.DataMatrix, light: true, room: 3.4, spacing: 0.1, w: 14, h: 14},
		{kind: code.Code128, room: 20.03, spacing: 0.05, w: 77, h: 20 / 0.25},
		{kind: code.Code128, room: 20.7, spacing: 0.1, w: 77, h: 20.7 / 0.2}, // 20.7/0.1 is 206.99999999999997
	} {
		value := map[code.Kind]string{code.QR: "0417", code.DataMatrix: "123456", code.Code128: "0417"}[c.kind]
		s := encode(t, c.kind, value)
		p, err := s.Place(code.Room{Rect: square(c.room), SpacingMM: c.spacing, Light: c.light})
		require.NoError(t, err)
		module := math.Floor(c.room/c.w/c.spacing) * c.spacing
		assert.InDelta(t, module, p.ModuleMM, 1e-9)
		assert.InDelta(t, c.w*module, p.Area.W(), 1e-9, c.kind)
		assert.InDelta(t, c.h*module, p.Area.H(), 1e-9, c.kind)
		assert.InDelta(t, 0, p.Area.Centre().Dist(square(c.room).Centre()), 1e-9)
		require.Len(t, p.Shapes, 2)
		ground := p.Shapes[0]
		assert.Equal(t, path.Paint{R: 1, G: 1, B: 1, Opacity: 1}, ground.Paint)
		assert.Equal(t, path.Paint{Opacity: 1}, p.Shapes[1].Paint)
		lines := 0
		ground.Path.Flatten(1, func(pts []path.Point, closed bool) {
			lines++
			assert.True(t, closed)
			assert.Equal(t, p.Area, path.BoundsOf(pts))
			assert.Len(t, pts, 4)
		})
		assert.Equal(t, 1, lines)
	}
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

// What a code needs is its modules of the least size, and its quiet zone.
func TestRoomNeededByKind(t *testing.T) {
	for _, c := range []struct {
		kind  code.Kind
		light bool
		w, h  float64 // mm, of modules of 0.2 mm
	}{
		{code.QR, false, 0.2 * 29, 0.2 * 29}, {code.QR, true, 0.2 * 29, 0.2 * 29},
		{code.DataMatrix, false, 0.2 * 12, 0.2 * 12}, {code.DataMatrix, true, 0.2 * 14, 0.2 * 14},
		{code.Code128, false, 0.2 * 77, 0.2},
	} {
		value := map[code.Kind]string{code.QR: "0417", code.DataMatrix: "123456", code.Code128: "0417"}[c.kind]
		room := code.Room{Rect: path.Rect{Max: path.Point{X: c.w - 0.01, Y: 40}}, SpacingMM: 0.1, Light: c.light}
		_, err := encode(t, c.kind, value).Place(room)
		var small *code.RoomError
		require.ErrorAs(t, err, &small)
		assert.InDelta(t, c.w, small.W, 1e-9)
		assert.InDelta(t, c.h, small.H, 1e-9)
		assert.InDelta(t, 0.2, small.ModuleMM, 1e-12)
		assert.Equal(t, 0.1, small.SpacingMM)
		assert.ErrorContains(t, err, fmt.Sprintf("needs %.4g x %.4g mm: %.4g x 40 mm is", c.w, c.h, c.w-0.01))
		room.Rect.Max = path.Point{X: c.w, Y: c.h}
		p, err := encode(t, c.kind, value).Place(room)
		require.NoError(t, err, c.kind)
		assert.InDelta(t, 0.2, p.ModuleMM, 1e-12)
		room.Rect.Max.Y = c.h - 0.11
		_, err = encode(t, c.kind, value).Place(room)
		assert.Error(t, err, c.kind)
	}
}

// A mark of half a row's distance makes a module of one row; a spacing may be all that
// a spacing can be, and no other.
func TestLimitsOfRows(t *testing.T) {
	s := encode(t, code.DataMatrix, "123456")
	p, err := s.Place(code.Room{Rect: square(1.2), SpacingMM: 0.1, MarkWidthMM: 0.05})
	require.NoError(t, err)
	assert.InDelta(t, 0.1, p.ModuleMM, 1e-12)
	for _, spacing := range []float64{path.MinSpacing, path.MaxSpacing} {
		p, err := s.Place(code.Room{Rect: square(30 * spacing), SpacingMM: spacing})
		require.NoError(t, err)
		assert.InDelta(t, 2*spacing, p.ModuleMM, 1e-12)
	}
	for _, spacing := range []float64{0.99 * path.MinSpacing, 1.01 * path.MaxSpacing} {
		_, err := s.Place(code.Room{Rect: square(30 * spacing), SpacingMM: spacing})
		assert.ErrorContains(t, err, "spacing")
	}
}

// Bars are as long as a room that is not square is high.
func TestBarsOfAWideRoom(t *testing.T) {
	room := path.Rect{Min: path.Point{X: 3, Y: 7}, Max: path.Point{X: 63, Y: 19}}
	p, err := encode(t, code.Code128, "0417").Place(code.Room{Rect: room, SpacingMM: 0.1})
	require.NoError(t, err)
	assert.InDelta(t, 12, p.Area.H(), 1e-9)
	assert.InDelta(t, 0, p.Area.Centre().Dist(room.Centre()), 1e-9)
}
