package text

import (
	"testing"

	"furrow/path"

	"github.com/go-text/typesetting/language"
	"github.com/stretchr/testify/require"
)

// Pieces are alike where nothing of them differs.
func TestPiecesAlike(t *testing.T) {
	one, other := &Face{}, &Face{}
	p := piece{first: 3, last: 5, face: one, style: Style{Size: 2}, script: language.Latin, level: 1}
	q := p
	q.first, q.last = 5, 7
	require.True(t, p.like(q))
	for _, change := range []func(){
		func() { q.face = other }, func() { q.style.Size = 3 }, func() { q.script = language.Hebrew },
		func() { q.level = 2 },
	} {
		q = p
		change()
		require.False(t, p.like(q), "%+v", q)
	}
}

// What several scripts share is of the letter before it, or else of the first one behind
// it, and of none Latin.
func TestScriptsByHand(t *testing.T) {
	hebrew, latin, greek, arabic := language.Hebrew, language.Latin, language.Greek, language.Arabic
	for text, want := range map[string][]language.Script{
		"":             {},
		"1 2":          {latin, latin, latin},
		"1א2":          {hebrew, hebrew, hebrew},
		"aα 1":         {latin, greek, greek, greek},
		"(α)b.":        {greek, greek, greek, latin, latin},
		"س\u064b1":     {arabic, arabic, arabic}, // a vowel is inherited
		"\ue000a":      {latin, latin},           // and what has no script yet
		"\u0301\u05d0": {hebrew, hebrew},
	} {
		require.Equal(t, want, scriptsOf([]rune(text)), "%q", text)
	}
}

// Features are what a style asks for, and nothing else.
func TestFeaturesOfStyles(t *testing.T) {
	for _, c := range []struct {
		style Style
		want  map[string]uint32
	}{
		{Style{}, map[string]uint32{}},
		{Style{NoLigatures: true}, map[string]uint32{"liga": 0, "clig": 0}},
		{Style{NoKerning: true}, map[string]uint32{"kern": 0}},
		{Style{SmallCaps: true, NoKerning: true}, map[string]uint32{"smcp": 1, "kern": 0}},
	} {
		got := map[string]uint32{}
		for _, f := range c.style.features() {
			got[f.Tag.String()] = f.Value
		}
		require.Equal(t, c.want, got)
	}
}

// Signs stand where those before have led, moved by what each says, in parts of the em.
func TestSignsAreAdded(t *testing.T) {
	d := &Drawn{Em: 1000, Glyphs: []DrawnGlyph{{Text: "a", Advance: 500}}}
	p := &piece{first: 2, last: 6, face: newDrawnFace(d, fontFile{}, faceKey{}), style: Style{Size: 20}}
	l := Line{Width: 3}
	l.add([]sign{
		{id: 1, dx: 0.1, dy: -0.2, advance: 0.5, cluster: 2}, {id: 1, dx: -0.05, dy: 0.3, cluster: 2},
		{id: 1, advance: 0.25, cluster: 4},
	}, p)
	require.InDelta(t, 18, l.Width, 1e-12)
	var at []path.Point
	for _, g := range l.Glyphs {
		at = append(at, g.At)
	}
	require.Len(t, at, 3)
	for i, want := range []path.Point{{X: 5, Y: -4}, {X: 12, Y: 6}, {X: 13}} {
		require.InDelta(t, 0, want.Dist(at[i]), 1e-12)
	}
	require.Equal(t, []int{2, 0, 2}, []int{l.Glyphs[0].Letters, l.Glyphs[1].Letters, l.Glyphs[2].Letters})
	require.Equal(t, []int{2, 2, 4}, []int{l.Glyphs[0].First, l.Glyphs[1].First, l.Glyphs[2].First})
}

// A font on which the shaper panics is an error that names it, and the next text is set.
func TestFontsThatCannotBeDrawn(t *testing.T) {
	f := NewFonts()
	_, err := f.shaper.shape([]rune("a"), &piece{last: 1, face: &Face{Family: "Broken"}})
	require.ErrorContains(t, err, `the font "Broken" cannot be drawn: `)
	l, err := f.Set("a", Style{Size: 1})
	require.NoError(t, err)
	require.Positive(t, l.Width)
}

// Kinds of families lead to these, in this sequence, in whatever words the kind is named.
func TestFamiliesOfKinds(t *testing.T) {
	for kind, families := range map[string][]string{
		"sans-serif": {"Liberation Sans", "Helvetica Neue", "Segoe UI"}, "serif": {"Liberation Serif", "Georgia"},
		"monospace": {"Liberation Mono", "Menlo", "Consolas"}, "system-ui": {"Segoe UI"}, "ui-sans-serif": {"Segoe UI"},
		"ui-rounded": {"Segoe UI"}, "ui-serif": {"Georgia"}, "ui-monospace": {"Consolas"},
	} {
		for _, family := range families {
			f := NewFonts()
			f.EmbedDrawn(family, 400, false, Drawn{Em: 1})
			require.Equal(t, family, f.Face(Style{Families: kind}).Family, kind)
		}
	}
}

// Outlines are kept up to a number of points, and drawn again beyond.
func TestOutlinesKept(t *testing.T) {
	var square path.Path
	square.MoveTo(path.Point{})
	square.LineTo(path.Point{X: 1})
	square.LineTo(path.Point{X: 1, Y: 1})
	square.LineTo(path.Point{Y: 1})
	square.Close()
	f := newDrawnFace(&Drawn{Em: 1, Missing: DrawnGlyph{Outline: square}}, fontFile{}, faceKey{})
	f.points = maxKept - 8
	for i, kept := range []int{1, 2, 2, 2} {
		got := f.glyph(0, float64(i+1))
		require.Equal(t, path.Point{X: float64(i + 1), Y: float64(i + 1)}, got.Bounds().Max)
		require.Len(t, f.glyphs, kept)
	}
}

// Each letter is of the first font of the list that has it, whatever its neighbours are of.
func TestLettersOfTheFirstFont(t *testing.T) {
	f := NewFonts()
	f.EmbedDrawn("One", 400, false, Drawn{Em: 1, Glyphs: []DrawnGlyph{{Text: "f"}, {Text: "i"}}})
	f.EmbedDrawn("Two", 400, false, Drawn{Em: 1, Glyphs: []DrawnGlyph{{Text: "x"}, {Text: "f"}, {Text: "i"}}})
	l, err := f.Set("fxfxi", Style{Families: "One, Two", Size: 1})
	require.NoError(t, err)
	var of []string
	for _, g := range l.Glyphs {
		of = append(of, g.Face.Family)
	}
	require.Equal(t, []string{"One", "Two", "One", "Two", "One"}, of)
	f.EmbedDrawn("Marks", 400, false, Drawn{Em: 1, Glyphs: []DrawnGlyph{{Text: "\u0301"},
		{Text: "\u200d"}, {Text: "z"}}})
	f.EmbedDrawn("All", 400, false, Drawn{Em: 1, Glyphs: []DrawnGlyph{{Text: "e"}, {Text: "\u0301"}, {Text: "\u200d"}}})
	for _, mark := range []string{"\u0301", "\u200d"} { // which is of its letter's font where that has it
		l, err := f.Set("e"+mark+"z"+mark, Style{Families: "Marks, All", Size: 1})
		require.NoError(t, err)
		var of []string
		for _, g := range l.Glyphs {
			of = append(of, g.Face.Family)
		}
		require.Equal(t, []string{"All", "All", "Marks", "Marks"}, of)
	}
	require.Equal(t, []rune("é"), f.Lacking("fé", Style{Families: "One"}))
}

// Pieces are turned round level by level, from the highest to the lowest odd one (Unicode
// Standard Annex 9, L2), by hand.
func TestSequencesOfLevels(t *testing.T) {
	for _, c := range []struct {
		levels string
		want   []int
	}{
		{"000", []int{0, 1, 2}}, {"111", []int{2, 1, 0}}, {"010", []int{0, 1, 2}}, {"0110", []int{0, 2, 1, 3}},
		{"1221", []int{3, 1, 2, 0}}, {"0330", []int{0, 2, 1, 3}}, {"1223", []int{1, 2, 3, 0}}, {"02", []int{0, 1}},
		{"0122", []int{0, 2, 3, 1}}, {"22", []int{0, 1}}, {"", nil},
	} {
		var list []piece
		for i, l := range c.levels {
			list = append(list, piece{first: i, level: int8(l - '0')})
		}
		reorder(list)
		var got []int
		for _, p := range list {
			got = append(got, p.first)
		}
		require.Equal(t, c.want, got, c.levels)
	}
}
