package text_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"testing/fstest"
	"unicode"

	"furrow/path"
	"furrow/path/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/gomedium"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/bidi"
)

// goFonts is a folder with the Go family.
func goFonts() fstest.MapFS {
	return fstest.MapFS{
		"a/regular.ttf": {Data: goregular.TTF}, "z/bold.TTF": {Data: gobold.TTF}, "italic.otf": {Data: goitalic.TTF},
		"both.ttc": {Data: gobolditalic.TTF}, "medium.ttf": {Data: gomedium.TTF}, "mono.txt": {Data: gomono.TTF},
		"no.ttf": {Data: []byte("none")},
	}
}

// The weight that is taken where the wanted one is missing, as CSS Fonts 4, 5.2 says
// it: up to 500 first for what is wanted from 400 to 500, then lighter ones, then bolder;
// lighter first below that, bolder first above.
func TestWeightsAsCSSTakesThem(t *testing.T) {
	sequence := func(want int) (list []int) {
		var lighter, bolder, upTo500 []int
		for w := 100; w <= 900; w += 50 {
			switch {
			case want >= 400 && want <= 500 && w >= want && w <= 500:
				upTo500 = append(upTo500, w)
			case w < want || w == want && want < 400:
				lighter = append([]int{w}, lighter...)
			default:
				bolder = append(bolder, w)
			}
		}
		if want > 500 {
			return append(bolder, lighter...)
		}
		return slices.Concat(upTo500, lighter, bolder)
	}
	r := rand.New(rand.NewPCG(7, 7))
	for range 600 {
		fonts, there := text.NewFonts(), []int{}
		for range 1 + r.IntN(5) {
			w := 100 + 50*r.IntN(17)
			there = append(there, w)
			fonts.EmbedDrawn("Own", w, false, drawnFont())
		}
		want := 100 + 50*r.IntN(17)
		if r.IntN(2) == 0 {
			want = []int{399, 400, 401, 500, 501}[r.IntN(5)]
		}
		best := 0
		for _, w := range sequence(want) {
			if slices.Contains(there, w) {
				best = w
				break
			}
		}
		got := fonts.Face(text.Style{Families: "Own", Weight: want}).Weight()
		require.Equal(t, best, got, "%d of %v", want, there)
	}
}

// A slanted font of any weight is nearer than an upright one where it is asked for, and
// an upright one where not.
func TestItalicComesBeforeWeight(t *testing.T) {
	fonts := text.NewFonts()
	fonts.EmbedDrawn("Own", 400, false, drawnFont())
	fonts.EmbedDrawn("Own", 900, true, drawnFont())
	assert.Equal(t, 900, fonts.Face(text.Style{Families: "Own", Italic: true}).Weight())
	assert.Equal(t, 400, fonts.Face(text.Style{Families: "Own", Weight: 900}).Weight())
}

// Fonts are found by family and style, and by their own full and PostScript names; files
// of other names are not looked at.
func TestFontsOfAFolder(t *testing.T) {
	fonts := text.NewFonts(goFonts())
	wide := func(data []byte, words string) float64 {
		own := text.NewFonts()
		require.NoError(t, own.Embed("One", 400, false, data))
		return own.Width(words, text.Style{Families: "One", Size: 10})
	}
	const words = "Quercus robur 417"
	all := map[string]struct {
		style text.Style
		data  []byte
	}{
		"plain":              {text.Style{Families: "Go"}, goregular.TTF},
		"another case":       {text.Style{Families: "  'gO' "}, goregular.TTF},
		"bold":               {text.Style{Families: "Go", Weight: 700}, gobold.TTF},
		"italic":             {text.Style{Families: "Go", Italic: true}, goitalic.TTF},
		"both":               {text.Style{Families: "Go", Italic: true, Weight: 800}, gobolditalic.TTF},
		"full name":          {text.Style{Families: "Go Bold Italic"}, gobolditalic.TTF},
		"PostScript name":    {text.Style{Families: "GoBold"}, gobold.TTF},
		"its own family":     {text.Style{Families: "Go Medium"}, gomedium.TTF},
		"second of the list": {text.Style{Families: "Nobody, Go, Go Medium", Weight: 700}, gobold.TTF},
		"none there":         {text.Style{Families: "Nobody"}, goregular.TTF},
		"none there, bold":   {text.Style{Families: "Nobody", Weight: 600}, gobold.TTF},
		"none there, italic": {text.Style{Families: "Nobody", Italic: true, Weight: 599}, goitalic.TTF},
		"none there, both":   {text.Style{Families: "Nobody", Italic: true, Weight: 600}, gobolditalic.TTF},
		"by another name":    {text.Style{Families: "Go Mono"}, goregular.TTF},
	}
	// and again, with all of them read
	for _, name := range slices.Concat(slices.Sorted(maps.Keys(all)), slices.Sorted(maps.Keys(all))) {
		c := all[name]
		c.style.Size = 10
		assert.InDelta(t, wide(c.data, words), fonts.Width(words, c.style), 1e-9, name)
		assert.False(t, fonts.Face(c.style).Slant, name)
	}
	assert.Equal(t, 700, fonts.Face(text.Style{Families: "Go", Weight: 900}).Weight())
	assert.Equal(t, "Go", fonts.Face(text.Style{Families: "x, Go"}).Family)
	assert.Empty(t, fonts.Face(text.Style{Families: "x"}).Family)
	assert.True(t, text.SameName("DejaVu Sans", "dejavu-SANS"))
	assert.False(t, text.SameName("DejaVu Sans", "DejaVu Sans 2"))
	assert.True(t, text.Generic("Sans-Serif") && text.Generic("system-ui") && !text.Generic("Go"))
}

// Of two folders with a font of one name and style the first one's is taken.
func TestFirstFolderWins(t *testing.T) {
	one, two := fstest.MapFS{"a.ttf": {Data: goregular.TTF}}, fstest.MapFS{"b.ttf": {Data: slices.Clone(goregular.TTF)}}
	fonts := text.NewFonts(one, two)
	require.InDelta(t, text.NewFonts(one).Width("a", text.Style{Families: "Go", Size: 9}),
		fonts.Width("a", text.Style{Families: "Go", Size: 9}), 1e-12)
	none := text.NewFonts(os.DirFS(filepath.Join(t.TempDir(), "none")))
	require.Empty(t, none.Face(text.Style{Families: "Go"}).Family)
	delete(two, "b.ttf")
	fonts = text.NewFonts(two, one)
	delete(one, "a.ttf") // both are empty now, and the built-in font is taken
	assert.Empty(t, fonts.Face(text.Style{Families: "Go"}).Family)
}

// A letter that the list lacks is taken from any font of the folders, in the style that
// is asked for where that has it as well.
func TestOtherFontsInTheirStyle(t *testing.T) {
	fonts := text.NewFonts(fstest.MapFS{"m.ttf": {Data: gomono.TTF}}, dejavu(t))
	for _, c := range []struct {
		weight, got int
		italic      bool
	}{{400, 400, false}, {700, 700, false}, {700, 700, true}} {
		style := text.Style{Families: "Go Mono", Size: 10, Weight: c.weight, Italic: c.italic}
		l := set(t, fonts, "aԱ", style) // an Armenian letter, in all of DejaVu Sans
		assert.Equal(t, c.got, l.Glyphs[1].Face.Weight())
		assert.False(t, l.Glyphs[1].Face.Slant)
		assert.Equal(t, "DejaVu Sans", l.Glyphs[1].Face.Family)
		assert.Empty(t, l.Lacking)
	}
}

// Heights and thicknesses are those that x/image reads, in parts of the em.
func TestMetricsAgainstAnotherReader(t *testing.T) {
	for name, data := range map[string][]byte{"Go": goregular.TTF, "Go Mono": gomono.TTF} {
		f, err := sfnt.Parse(data)
		require.NoError(t, err)
		em := float64(f.UnitsPerEm())
		post := f.PostTable()
		fonts := text.NewFonts(fstest.MapFS{"a.ttf": {Data: data}})
		m := fonts.Face(text.Style{Families: name}).Metrics()
		size := float64(post.UnderlineThickness) / em
		assert.InDelta(t, size, m.UnderlineSize, 1e-9, name)
		assert.InDelta(t, float64(post.UnderlinePosition)/em-size/2, m.Underline, 1e-9, name)
		got, err := f.Metrics(nil, 2048<<6, 0)
		require.NoError(t, err)
		assert.InDelta(t, float64(got.Ascent)/64/2048, m.Ascent, 1e-3, name)
		assert.InDelta(t, float64(got.Descent)/64/2048, m.Descent, 1e-3, name)
		assert.InDelta(t, float64(got.XHeight)/64/2048, m.XHeight, 1e-3, name)
		assert.InDelta(t, float64(got.CapHeight)/64/2048, m.CapHeight, 1e-3, name)
	}
	fonts := text.NewFonts()
	fonts.EmbedDrawn("Own", 400, false, drawnFont())
	m := fonts.Face(text.Style{Families: "Own"}).Metrics() // in usual proportion
	assert.InDeltaSlice(t, []float64{0.7, -0.125, 0.05, 0.225, 0.05},
		[]float64{m.CapHeight, m.Underline, m.UnderlineSize, m.Strike, m.StrikeSize}, 1e-9)
}

// A letter that runs right to left is one by the Unicode data of x/text, and no Latin,
// Greek, Indian or Chinese one is. Of punctuation and signs the tables differ.
func TestRunsBackAgainstUnicode(t *testing.T) {
	for r := rune(0); r < 0x20000; r++ {
		p, n := bidi.LookupRune(r)
		if n == 0 || !unicode.IsLetter(r) && !unicode.Is(unicode.Cf, r) {
			continue
		}
		switch p.Class() {
		case bidi.R, bidi.AL, bidi.RLE, bidi.RLO, bidi.RLI, bidi.LRE, bidi.LRO, bidi.LRI, bidi.FSI, bidi.PDF, bidi.PDI:
			assert.True(t, text.RunsBack(r), "%U", r)
		case bidi.L:
			assert.False(t, text.RunsBack(r), "%U", r)
		}
	}
	for _, r := range "a1 \u0900\u200e\u2029\u202f\u2065\u206a\ufb00\U0001F000" {
		assert.False(t, text.RunsBack(r), "%U", r)
	}
}

// Signs of text that runs back say so, and which letters they stand for: a ligature of
// two between single ones, in a font by hand.
func TestSignsOfTextThatRunsBack(t *testing.T) {
	d := drawnFont()
	d.Glyphs = append(d.Glyphs, text.DrawnGlyph{Text: "גד", Outline: d.Glyphs[0].Outline, Advance: 800})
	fonts := text.NewFonts()
	fonts.EmbedDrawn("Own", 400, false, d)
	l := set(t, fonts, "fאגדבi", text.Style{Families: "Own", Size: 10})
	var got []string
	for _, g := range l.Glyphs {
		got = append(got, fmt.Sprintf("%d+%d %v", g.First, g.Letters, g.Back))
	}
	assert.Equal(t, []string{"0+1 false", "4+1 true", "2+2 true", "1+1 true", "5+1 false"}, got)
}

// Arabic letters join, and lam with alef is one sign of two letters (Unicode, 9.2); a
// point above a letter belongs to it.
func TestArabicAndMarks(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	style := text.Style{Families: "DejaVu Sans", Size: 10}
	l := set(t, fonts, "سلا", style)
	require.Len(t, l.Glyphs, 2)
	assert.Equal(t, []int{1, 2, 0, 1}, []int{l.Glyphs[0].First, l.Glyphs[0].Letters, l.Glyphs[1].First,
		l.Glyphs[1].Letters})
	alone := fonts.Width("س", style)
	assert.NotEqual(t, alone, l.Glyphs[1].Advance, "at the beginning of a word it has another shape")
	for _, words := range []string{"e\u0301", "\u05d0\u05b8"} { // e with an acute, alef with a vowel
		l = set(t, fonts, words, style)
		letters := 0
		for _, g := range l.Glyphs {
			letters += g.Letters
		}
		assert.Equal(t, 2, letters, "%q", words)
		if words[0] == 'e' {
			assert.Len(t, l.Glyphs, 1, "the font has the letter with its accent")
		}
		assert.InDelta(t, fonts.Width(string([]rune(words)[0]), style), l.Width, 1e-9, "%q", words)
		assert.Empty(t, l.Lacking)
	}
}

// The outlines of a line are those of its signs, each where it stands, closed.
func TestPathOfALine(t *testing.T) {
	fonts := text.NewFonts()
	l := set(t, fonts, "oi o", text.Style{Size: 10})
	var want path.Path
	x := 0.0
	for _, g := range l.Glyphs {
		assert.InDelta(t, x, g.At.X, 1e-9)
		p := g.Outline.Transform(path.Translate(g.At.X, g.At.Y))
		want.Verbs, want.Points = append(want.Verbs, p.Verbs...), append(want.Points, p.Points...)
		x += g.Advance
	}
	assert.InDelta(t, x, l.Width, 1e-9)
	assert.Equal(t, want.Verbs, l.Path().Verbs)
	require.Len(t, l.Path().Points, len(want.Points))
	for i, p := range l.Path().Points {
		assert.InDelta(t, 0, want.Points[i].Dist(p), 1e-12)
	}
	loops := 0
	l.Path().Flatten(0.1, func(pts []path.Point, closed bool) {
		loops++
		assert.True(t, closed)
		assert.Greater(t, len(pts), 3)
	})
	assert.Equal(t, 6, loops, "two rings, and a stem with its dot")
	s := l.Shape(path.Paint{R: 1, Opacity: 1})
	assert.Equal(t, path.Paint{R: 1, Opacity: 1}, s.Paint)
	assert.Equal(t, "text", s.Source.Element)
}

// Letters that no font has are told once each, whatever stands between them; spaces and
// marks of direction show nothing and are not.
func TestLackingOnce(t *testing.T) {
	fonts := text.NewFonts()
	l := set(t, fonts, "\ue001a\ue002 \ue001\u200f\u2003\ue002", text.Style{Size: 10})
	assert.Equal(t, []rune{0xe001, 0xe002}, l.Lacking)
	assert.Equal(t, []rune{0xe001, 0xe002}, fonts.Lacking("\ue001a\ue002 \ue001\u200f\u2003\ue002",
		text.Style{Size: 10}))
}

// A mark in another style than its letter is in the font of its own style.
func TestMarksInTheirOwnStyle(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	sans, serif := text.Style{Families: "DejaVu Sans", Size: 10}, text.Style{Families: "DejaVu Serif", Size: 10}
	for _, second := range []text.Style{sans, serif} {
		l, err := fonts.SetRuns(false, text.Run{Text: "q", Style: sans}, text.Run{Text: "\u0301", Style: second})
		require.NoError(t, err)
		require.Len(t, l.Glyphs, 2)
		assert.Equal(t, "DejaVu Sans", l.Glyphs[0].Face.Family)
		assert.Equal(t, second.Families, l.Glyphs[1].Face.Family)
	}
}

// Fonts of folders, of documents and the built-in ones are told apart, however many of each
// were read before.
func TestFontsAreToldApart(t *testing.T) {
	shape := func(f *text.Fonts, s text.Style) path.Path {
		s.Size = 10
		l := set(t, f, "aM", s)
		return l.Path()
	}
	fonts := text.NewFonts(fstest.MapFS{"1.ttf": {Data: gomono.TTF}, "2.ttf": {Data: gomedium.TTF},
		"3.ttf": {Data: gomonobold.TTF}, "4.ttf": {Data: goregular.TTF}})
	plain := text.NewFonts()
	for _, s := range []text.Style{{Families: "Go Mono"}, {Families: "Go Medium"}, {Families: "Go Mono", Weight: 700},
		{Families: "Go"}} {
		assert.NotEmpty(t, fonts.Face(s).Family)
		shape(fonts, s)
	}
	seen := []path.Path{}
	for _, s := range []text.Style{{}, {Weight: 700}, {Italic: true}, {Weight: 700, Italic: true}} {
		s.Families = "Nobody"
		got := shape(fonts, s)
		assert.Equal(t, shape(plain, s), got)
		assert.NotContains(t, seen, got)
		seen = append(seen, got)
	}
	own := text.NewFonts()
	for i, data := range [][]byte{gomono.TTF, nil, gomedium.TTF, nil, goregular.TTF} {
		if data == nil {
			own.EmbedDrawn(fmt.Sprint("f", i), 400, false, drawnFont())
			continue
		}
		require.NoError(t, own.Embed(fmt.Sprint("f", i), 400, false, data))
		alone := text.NewFonts()
		require.NoError(t, alone.Embed("f", 400, false, data))
		assert.Equal(t, shape(alone, text.Style{Families: "f"}), shape(own, text.Style{Families: fmt.Sprint("f", i)}))
	}
	two := text.NewFonts() // what is not asked for is plain, and not anything above it
	two.EmbedDrawn("Own", 500, false, drawnFont())
	two.EmbedDrawn("Own", 400, false, drawnFont())
	assert.Equal(t, 400, two.Face(text.Style{Families: "Own"}).Weight())
}

// A mark over a capital stands higher than over a small letter, by what the font says.
func TestMarksOverCapitals(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	for _, words := range []string{"B\u0301", "q\u0301"} {
		l := set(t, fonts, words, text.Style{Families: "DejaVu Sans", Size: 10})
		require.Len(t, l.Glyphs, 2)
		letter, mark := l.Glyphs[0].Outline.Bounds(), l.Glyphs[1].Outline.Bounds()
		gap := mark.Min.Y + l.Glyphs[1].At.Y - letter.Max.Y
		assert.GreaterOrEqual(t, gap, 0.0, words)
		assert.Less(t, gap, 1.2, words)
	}
}
