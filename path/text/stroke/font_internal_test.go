package stroke

import (
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Path data is read as it is written: M, L and C with two, two and six numbers, spaced or
// not. Letters stand 94.5 units to the left of where the file has them.
func TestPathData(t *testing.T) {
	got, err := parsePath("M94.5 1L 194.5 2M 104.5 3 L 94.5 5")
	require.NoError(t, err)
	require.Equal(t, [][]path.Point{{{Y: 1}, {X: 100, Y: 2}}, {{X: 10, Y: 3}, {Y: 5}}}, got)
	got, err = parsePath("M 94.5 0 C 94.5 40 134.5 40 134.5 0")
	require.NoError(t, err)
	require.Len(t, got, 1)
	require.Equal(t, path.Point{X: 40}, got[0][len(got[0])-1])
	require.InDelta(t, 30, path.BoundsOf(got[0]).H(), 31.5/20, "three quarters of its handles' height")
	for d, words := range map[string]string{
		"M 1 1 L 2":             `"L" is not understood`,
		"M 1":                   `"M" is not understood`,
		"M 1 1 C 1 1 2 2 3":     `"C" is not understood`,
		"M 1 1 Z":               `"Z" is not understood`,
		"1 1":                   `"1" is not understood`,
		"M 1 1 L 2 2 Z":         `"Z" is not understood`,
		"Z 1 1 1 1":             `"Z" is not understood`,
		"M 1 x":                 "invalid syntax",
		"M x 1":                 "invalid syntax",
		"M 1 1 L 2 2 L 1,1 2,2": "invalid syntax",
	} {
		_, err := parsePath(d)
		require.ErrorContains(t, err, words, d)
	}
	got, err = parsePath("")
	require.NoError(t, err)
	require.Empty(t, got)
}

// A file that is no XML, or whose letter cannot be drawn, is an error that names it.
func TestFontFile(t *testing.T) {
	_, err := parse([]byte(`<svg><defs><font><glyph unicode="Q" d="M 1"/></font></defs></svg>`))
	require.EqualError(t, err, `glyph "Q": "M" is not understood`)
	_, err = parse([]byte(`<svg>`))
	require.Error(t, err)
	f, err := parse([]byte(`<svg><defs><font><glyph unicode="Q" horiz-adv-x="7" d="M 94.5 1 L 95.5 1"/></font></defs>` +
		`</svg>`))
	require.NoError(t, err)
	require.Equal(t, map[rune]glyph{'Q': {7, [][]path.Point{{{Y: 1}, {X: 1, Y: 1}}}}}, f.glyphs)
}

// A letter that reaches out of its room to the left is moved by what is lacking of a unit,
// and is as wide as its own room, or its ink and a unit.
func TestRoomOfAccents(t *testing.T) {
	for _, c := range []struct{ from, to, advance, by, want float64 }{
		{from: 2, to: 6, advance: 9, by: 0, want: 9},
		{from: 1, to: 6, advance: 9, by: 0, want: 9},
		{from: 0.25, to: 6, advance: 9, by: 0.75, want: 9.75},
		{from: -2, to: 6, advance: 9, by: 3, want: 12},
		{from: -2, to: 12, advance: 9, by: 3, want: 16},
		{from: 5, to: 12, advance: 9, by: 0, want: 13},
	} {
		g := glyph{c.advance * unit, [][]path.Point{{{X: c.from * unit}, {X: c.to * unit, Y: unit}}}}.apart()
		require.InDelta(t, c.want*unit, g.advance, 1e-9, "%+v", c)
		require.InDelta(t, (c.from+c.by)*unit, g.bounds().Min.X, 1e-9, "%+v", c)
		require.InDelta(t, (c.to+c.by)*unit, g.bounds().Max.X, 1e-9, "%+v", c)
	}
}

// The foot is the rightmost place on the base line, or what is nearly on it; of letters
// with none to the right of their middle it is the middle. Dots above the height of x go.
func TestFootAndDots(t *testing.T) {
	strokes := func(pts ...path.Point) glyph {
		for i := range pts {
			pts[i] = pts[i].Mul(unit)
		}
		return glyph{strokes: [][]path.Point{pts}}
	}
	require.Equal(t, path.Point{X: 7 * unit}, strokes(path.Point{}, path.Point{X: 7}, path.Point{X: 8, Y: 20}).foot())
	nearly := strokes(path.Point{}, path.Point{X: 7, Y: 0.4}, path.Point{X: 9, Y: 0.6})
	require.Equal(t, path.Point{X: 7 * unit}, nearly.foot())
	require.Equal(t, path.Point{X: 5 * unit}, strokes(path.Point{X: 1}, path.Point{X: 9, Y: 20}).foot())
	require.Equal(t, path.Point{X: 8 * unit}, strokes(path.Point{X: 8, Y: -7}, path.Point{X: 2, Y: 3}).foot(), "below")
	stem, dot, tall := strokes(path.Point{Y: 14}, path.Point{}), strokes(path.Point{Y: 15}, path.Point{Y: 21}),
		strokes(path.Point{Y: 13}, path.Point{Y: 30})
	g := glyph{strokes: slices.Concat(stem.strokes, dot.strokes, tall.strokes)}
	require.Equal(t, [][]path.Point{g.strokes[0], g.strokes[2]}, g.dotless().strokes)
}

// A comma or cedilla hangs from what a letter reaches below the base line, or from that;
// what is put on a letter twice is on neither of the two but its own.
func TestAccentsUnderLetters(t *testing.T) {
	for low, want := range map[float64]float64{-7: -7, -0.02: -0.02, 0: 0, 0.02: 0, 3: 0} {
		letter := glyph{strokes: [][]path.Point{{{Y: low * unit}, {X: 4 * unit, Y: 9 * unit}}}}
		for mark, depth := range map[rune]float64{commaBelow: 5, cedilla: 4.7} {
			got, ok := letter.accent('s', mark)
			require.True(t, ok)
			require.InDelta(t, (want-depth)*unit, got.bounds().Min.Y, 1e-9)
		}
	}
	g := glyph{strokes: make([][]path.Point, 1, 5)}
	g.strokes[0] = []path.Point{{}, {X: 1}}
	acuted, _ := g.accent('e', acute)
	graved, _ := g.accent('e', grave)
	require.Less(t, acuted.strokes[1][0].X, acuted.strokes[1][1].X, "it rises")
	require.Greater(t, graved.strokes[1][0].X, graved.strokes[1][1].X)
}
