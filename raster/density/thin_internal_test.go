package density

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/page"
)

// overtravelled is the beam-off movement of n rows, 0.1 mm apart: a run-out and a
// run-up of 6 mm with the step between, turned by some angle.
func overtravelled(n int, degrees float64) (lines [][]path.Point) {
	turn := path.Rotate(degrees)
	for i := range n {
		y := float64(i) * 0.1
		line := []path.Point{{X: 0, Y: y}, {X: 6, Y: y}, {X: 6, Y: y + 0.1}, {X: 0, Y: y + 0.1}}
		for j, p := range line {
			line[j] = turn.Apply(p)
		}
		lines = append(lines, line)
	}
	return lines
}

func lengthOfAll(lines [][]path.Point) (sum float64) {
	for _, pts := range lines {
		sum += lengthOf(pts)
	}
	return sum
}

// Of 100 rows over 10 mm, run-outs and run-ups 1 mm apart stay, in any direction, and all
// the steps, which show how far they reach.
func TestThinnedKeepsSomeOfManyLines(t *testing.T) {
	for _, degrees := range []float64{0, 30, 45, 120} {
		kept, all := thinned(overtravelled(100, degrees), 1)
		assert.False(t, all)
		long := lengthOfAll(kept) - 100*0.1
		assert.Greater(t, long, 9.9*6, "%g degrees", degrees)
		assert.Less(t, long, 11.1*2*6, "%g degrees: at a row, a run-out or a run-up or both", degrees)
	}
}

// Gaps inside rows, shorter than lines may be apart, go and stay with their rows.
func TestThinnedTakesShortGapsWithTheirRows(t *testing.T) {
	var lines [][]path.Point
	for _, runs := range overtravelled(100, 0) {
		y := runs[2].Y
		lines = append(lines, runs, []path.Point{{X: 10, Y: y}, {X: 10.5, Y: y}},
			[]path.Point{{X: 12, Y: y}, {X: 12.5, Y: y}})
	}
	kept, all := thinned(lines, 1)
	assert.False(t, all)
	gaps := 0
	for _, pts := range kept {
		if pts[0].X >= 10 {
			gaps++
		}
	}
	assert.InDelta(t, 2*10, gaps, 2, "of 200, those of one row in ten")
}

func TestThinnedKeepsWhatStandsAlone(t *testing.T) {
	for name, lines := range map[string][][]path.Point{
		"nothing":       nil,
		"no length":     {{{X: 1, Y: 1}, {X: 1, Y: 1}}},
		"a zigzag":      {{{}, {X: 9, Y: 1}, {Y: 2}, {X: 9, Y: 3}}},
		"one behind":    {{{}, {X: 4}}, {{X: 5}, {X: 9}}},
		"lines apart":   overtravelled(1, 0),
		"short lines":   {{{}, {X: 0.5}}, {{Y: 0.1}, {X: 0.5, Y: 0.1}}},
		"far from each": {{{}, {X: 9}}, {{Y: 2}, {X: 9, Y: 2}}},
	} {
		kept, all := thinned(lines, 0.1)
		if name == "short lines" {
			kept, all = thinned(lines, 1)
		}
		assert.True(t, all, name)
		assert.Equal(t, lines, kept, name)
	}
}

// The legend says when lines are left out.
func TestLegendSaysThatTravelIsThinned(t *testing.T) {
	for label, rows := range map[string]int{"beam-off movement, thinned where it is dense": 100,
		"beam-off movement": 0} {
		o := Options{Show: ShowTravel, Size: 900, Travel: append(overtravelled(rows, 30),
			[]path.Point{{}, {X: 9, Y: 2}})}
		d, err := newDrawing(twoMarks(path.Point{Y: 10}, false), o)
		require.NoError(t, err)
		d.travel()
		assert.Contains(t, d.spec.Keys, page.Key{Pattern: page.Dotted, Colour: page.Light.Mid, Label: label})
	}
}
