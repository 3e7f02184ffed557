package hatch_test

import (
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A thin line is bare where marked and bare are swapped, and whole elsewhere: from 0 to
// 20 mm over a rectangle from 5 to 10, which is marked but for the line.
func TestThinLinesWhereMarksAreSwapped(t *testing.T) {
	line := path.Shape{Paint: path.Paint{Opacity: 1}, Width: 0.05}
	for _, p := range []path.Point{{}, {X: 20}} {
		if p.X == 0 {
			line.Centre.MoveTo(p)
		} else {
			line.Centre.LineTo(p)
		}
	}
	line.Path = box(0, -0.025, 20, 0.025)
	swapped := path.Shape{Path: box(5, -2, 10, 2), Paint: path.Paint{R: 1, G: 1, B: 1, Opacity: 1}, Invert: true}
	fill := hatch.Group{Setting: path.Setting{SpacingMM: 0.25}, MarkWidth: 0.2}
	marks, _, err := hatch.Fill(path.Artwork{Page: path.Rect{Min: path.Point{Y: -5}, Max: path.Point{X: 20, Y: 5}}, Shapes: []path.Shape{swapped, line}},
		hatch.Settings{Groups: []hatch.Group{fill}})
	require.NoError(t, err)
	var got [][2]float64
	for _, l := range marks.Lines {
		require.Len(t, l.Points, 2)
		got = append(got, [2]float64{min(l.Points[0].X, l.Points[1].X), max(l.Points[0].X, l.Points[1].X)})
	}
	require.Len(t, got, 2)
	assert.InDelta(t, 0, got[0][0], 1e-6)
	assert.InDelta(t, 5, got[0][1], 1e-6)
	assert.InDelta(t, 10, got[1][0], 1e-6)
	assert.InDelta(t, 20, got[1][1], 1e-6)
	require.Len(t, marks.Rows, 1)
	assert.InEpsilon(t, 5*4, marks.Rows[0].Length()*0.25, 0.1)
}

// box is a rectangle as a path.
func box(x0, y0, x1, y1 float64) (p path.Path) {
	p.MoveTo(path.Point{X: x0, Y: y0})
	p.LineTo(path.Point{X: x1, Y: y0})
	p.LineTo(path.Point{X: x1, Y: y1})
	p.LineTo(path.Point{X: x0, Y: y1})
	p.Close()
	return p
}
