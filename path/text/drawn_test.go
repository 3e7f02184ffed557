package text_test

import (
	"testing"

	"furrow/path"
	"furrow/path/text"

	"github.com/stretchr/testify/assert"
)

// drawnFont is a font of squares on 1000 units, whose sides tell its glyphs apart.
func drawnFont() text.Drawn {
	square := func(side float64) path.Path {
		var p path.Path
		p.MoveTo(path.Point{})
		p.LineTo(path.Point{X: side})
		p.LineTo(path.Point{X: side, Y: side})
		p.LineTo(path.Point{Y: side})
		p.Close()
		return p
	}
	return text.Drawn{
		Em: 1000, Ascent: 700, Descent: 300,
		Glyphs: []text.DrawnGlyph{
			{Text: "ffi", Outline: square(900), Advance: 1000}, {Text: "f", Outline: square(300), Advance: 400},
			{Text: "i", Outline: square(100), Advance: 200}, {Text: "א", Outline: square(500), Advance: 600},
			{Text: "ב", Outline: square(600), Advance: 700}, {Text: "f", Outline: square(999), Advance: 999},
		},
		Missing: text.DrawnGlyph{Outline: square(50), Advance: 150},
		Kerns:   map[[2]int]float64{{1, 2}: 100, {2, 2}: -50, {3, 4}: 60},
	}
}

// Where glyphs stand, their sides and the whole width, by hand, at 10 to the em.
func TestDrawnFonts(t *testing.T) {
	fonts := text.NewFonts()
	fonts.EmbedDrawn("Own", 400, false, drawnFont())
	type stand struct{ at, side float64 }
	for words, want := range map[string]struct {
		style  text.Style
		stands []stand
		width  float64
	}{
		"f":             {stands: []stand{{0, 3}}, width: 4},             // the first of two
		"fi":            {stands: []stand{{0, 3}, {3, 1}}, width: 5},     // a tenth nearer
		"ii":            {stands: []stand{{0, 1}, {2.5, 1}}, width: 4.5}, // and further off
		"if":            {stands: []stand{{0, 1}, {2, 3}}, width: 6},     // another pair
		"fffi":          {stands: []stand{{0, 3}, {4, 9}}, width: 14},    // the longest that comes first
		"ff":            {stands: []stand{{0, 3}, {4, 3}}, width: 8},     // the ligature is longer
		"אב":            {stands: []stand{{0, 6}, {7, 5}}, width: 12.4},  // right to left, and nearer
		"\ue000\ue000f": {stands: []stand{{0, 0.5}, {1.5, 0.5}, {3, 3}}, width: 7},
		"f\ue000":       {stands: []stand{{0, 3}, {4, 0.5}}, width: 5.5}, // no font has it
		"ffi": {style: text.Style{NoLigatures: true, NoKerning: true},
			stands: []stand{{0, 3}, {4, 3}, {8, 1}}, width: 10},
	} {
		style := want.style
		style.Families, style.Size = "Own", 10
		l := set(t, fonts, words, style)
		var got []stand
		for _, g := range l.Glyphs {
			got = append(got, stand{g.At.X, g.Outline.Bounds().W()})
		}
		if assert.Len(t, got, len(want.stands), words) {
			for i := range got {
				assert.InDelta(t, want.stands[i].at, got[i].at, 1e-9, words)
				assert.InDelta(t, want.stands[i].side, got[i].side, 1e-9, words)
			}
		}
		assert.InDelta(t, want.width, l.Width, 1e-9, words)
	}
}

// Metrics are the font's where it tells them, and in usual proportion elsewhere; an
// upright font is slanted where an italic one is asked for.
func TestDrawnFontsMeasures(t *testing.T) {
	fonts := text.NewFonts()
	fonts.EmbedDrawn("Own", 700, false, drawnFont())
	face := fonts.Face(text.Style{Families: "Own", Size: 10, Italic: true})
	assert.Equal(t, "Own", face.Family)
	assert.Equal(t, 700, face.Weight())
	assert.False(t, face.SmallCaps())
	assert.False(t, face.Stretches())
	assert.True(t, face.Slant)
	m := face.Metrics()
	assert.InDelta(t, 0.7, m.Ascent, 1e-9)
	assert.InDelta(t, 0.3, m.Descent, 1e-9)
	assert.InDelta(t, 0.5, m.XHeight, 1e-9)
	l := set(t, fonts, "f", text.Style{Families: "Own", Size: 10, Italic: true})
	assert.InDelta(t, 3+0.2*3, l.Glyphs[0].Outline.Bounds().W(), 1e-9) // slanted by a fifth

	d := drawnFont()
	d.Ascent, d.Descent = 0, 0
	fonts.EmbedDrawn("Bare", 400, true, d)
	face = fonts.Face(text.Style{Families: "Bare", Size: 10, Italic: true})
	assert.False(t, face.Slant)
	assert.InDelta(t, 0.8, face.Metrics().Ascent, 1e-9)
	assert.InDelta(t, 0.2, face.Metrics().Descent, 1e-9)
	d.Ascent = 600
	fonts.EmbedDrawn("Flat", 400, true, d)
	assert.InDelta(t, 0.6, fonts.Face(text.Style{Families: "Flat"}).Metrics().Ascent, 1e-9)
	assert.Zero(t, fonts.Face(text.Style{Families: "Flat"}).Metrics().Descent)
	assert.Equal(t, []rune("x"), fonts.Lacking("fxi", text.Style{Families: "Bare", Size: 10}))
}
