package text_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// dejavu returns the fonts of Debian's fonts-dejavu-core.
func dejavu(t testing.TB) fs.FS {
	const dir = "/usr/share/fonts/truetype/dejavu"
	if _, err := os.Stat(dir); err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	return os.DirFS(dir)
}

func set(t *testing.T, f *text.Fonts, s string, style text.Style) text.Line {
	t.Helper()
	l, err := f.Set(s, style)
	require.NoError(t, err)
	return l
}

// Advances and bounds are those that another reader of fonts gives, x/image's, at a
// size of as many pixels as the em has units.
func TestAgainstAnotherReader(t *testing.T) {
	f, err := sfnt.Parse(goregular.TTF)
	require.NoError(t, err)
	em := float64(f.UnitsPerEm())
	fonts := text.NewFonts()
	var b sfnt.Buffer
	for _, r := range "AgQ&ß%Ж" {
		id, err := f.GlyphIndex(&b, r)
		require.NoError(t, err)
		box, advance, err := f.GlyphBounds(&b, id, fixed.Int26_6(f.UnitsPerEm())<<6, font.HintingNone)
		require.NoError(t, err)
		l := set(t, fonts, string(r), text.Style{Size: em})
		assert.InDelta(t, float64(advance)/64, l.Width, 0.02, "%c", r)
		got := l.Path().Bounds()
		assert.InDelta(t, float64(box.Min.X)/64, got.Min.X, 0.02, "%c", r)
		assert.InDelta(t, -float64(box.Max.Y)/64, got.Min.Y, 0.02, "%c", r)
		assert.InDelta(t, float64(box.Max.X)/64, got.Max.X, 0.02, "%c", r)
		assert.InDelta(t, -float64(box.Min.Y)/64, got.Max.Y, 0.02, "%c", r)
	}
}

// The width of a text grows with its size, and is the sum of its letters' advances
// but for kerning, which DejaVu has between A and V.
func TestKerning(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	style := text.Style{Families: "DejaVu Sans", Size: 10}
	sum := fonts.Width("A", style) + fonts.Width("V", style)
	kerned := fonts.Width("AV", style)
	assert.Less(t, kerned, sum-0.3)
	style.NoKerning = true
	assert.InDelta(t, sum, fonts.Width("AV", style), 1e-9)
	assert.InDelta(t, 2*kerned, fonts.Width("AV", text.Style{Families: "DejaVu Sans", Size: 20}), 1e-9)
}

// A ligature stands for several letters, unless it is not wanted.
func TestLigature(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	l := set(t, fonts, "afib", text.Style{Families: "DejaVu Sans", Size: 10})
	require.Len(t, l.Glyphs, 3)
	assert.Equal(t, []int{1, 2}, []int{l.Glyphs[1].First, l.Glyphs[1].Letters})
	l = set(t, fonts, "afib", text.Style{Families: "DejaVu Sans", Size: 10, NoLigatures: true})
	assert.Len(t, l.Glyphs, 4)
}

// A word of Hebrew in English stands in the sequence in which it is seen, with its
// last letter first and a number within it from left to right (Unicode Standard
// Annex 9, worked by hand).
func TestRightToLeft(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	l := set(t, fonts, "a אב 12 ג b", text.Style{Families: "DejaVu Sans", Size: 10})
	var seen []int
	for _, g := range l.Glyphs {
		seen = append(seen, g.First)
	}
	assert.Equal(t, []int{0, 1, 8, 7, 5, 6, 4, 3, 2, 9, 10}, seen)
	l, err := fonts.SetRuns(true, text.Run{Text: "ab ", Style: text.Style{Families: "DejaVu Sans", Size: 10}},
		text.Run{Text: "אב", Style: text.Style{Families: "DejaVu Sans", Size: 10}})
	require.NoError(t, err)
	seen = seen[:0]
	for _, g := range l.Glyphs {
		seen = append(seen, g.First)
	}
	assert.Equal(t, []int{4, 3, 2, 0, 1}, seen)
}

// What a font lacks is taken from the next of the list, then from any.
func TestLackingLetters(t *testing.T) {
	fonts := text.NewFonts(fstest.MapFS{"m.ttf": {Data: gomono.TTF}}, dejavu(t))
	style := text.Style{Families: "Go Mono, DejaVu Serif", Size: 10}
	assert.Equal(t, []rune("בא"), fonts.Lacking("xבאא x", text.Style{Families: "Go Mono", Size: 1}))
	l := set(t, fonts, "aԱ", style)
	require.Len(t, l.Glyphs, 2)
	assert.Equal(t, []string{"Go Mono", "DejaVu Serif"}, []string{l.Glyphs[0].Face.Family, l.Glyphs[1].Face.Family})
	l = set(t, fonts, "aא", style) // in DejaVu Sans alone
	assert.Equal(t, "DejaVu Sans", l.Glyphs[1].Face.Family)
	assert.Empty(t, l.Lacking)
	l = set(t, fonts, "a\U0001F9FF\u200d ", style)
	assert.Equal(t, []rune{0x1F9FF}, l.Lacking)
}

func TestEmpty(t *testing.T) {
	l := set(t, text.NewFonts(), "", text.Style{})
	assert.Empty(t, l.Glyphs)
	assert.Empty(t, l.Path().Points)
	assert.Zero(t, l.Width)
	assert.Empty(t, l.Shape(path.Paint{}).Path.Verbs)
	l = set(t, text.NewFonts(), "x", text.Style{})
	assert.Zero(t, l.Width)
}

func TestEmbed(t *testing.T) {
	fonts := text.NewFonts()
	require.Error(t, fonts.Embed("Broken", 400, false, []byte("\x00\x01\x00\x00")))
	require.NoError(t, fonts.Embed("Tag Mono", 400, false, gomono.TTF))
	assert.Equal(t, "tag mono", fonts.Face(text.Style{Families: "tag mono, serif"}).Family, "as it was asked for")
	s := text.Style{Families: "Tag Mono", Size: 10}
	assert.InDelta(t, fonts.Width("i", s), fonts.Width("M", s), 1e-9)
}

// FuzzFont feeds damaged fonts: whatever they are, text is set or refused.
func FuzzFont(f *testing.F) {
	f.Add(gomono.TTF[:4096], "fi")
	f.Add(bytes.Repeat([]byte("\x00\x01\x00\x00"), 99), "a")
	f.Fuzz(func(t *testing.T, data []byte, s string) {
		fonts := text.NewFonts(fstest.MapFS{"a.ttf": {Data: data}})
		if fonts.Embed("F", 400, false, data) != nil || len(s) > 1000 {
			return
		}
		l, err := fonts.Set(s, text.Style{Families: "F", Size: 10})
		if err == nil {
			l.Path()
		}
	})
}

// lines are 10,000 texts of 20 letters, all unlike.
func lines() (list []string) {
	for i := range 10_000 {
		list = append(list, fmt.Sprintf("Nr. %05d Quercus %03d", i, i*7919%1000))
	}
	return list
}

// BenchmarkSet makes shapes of 10,000 lines of 20 letters.
func BenchmarkSet(b *testing.B) {
	list := lines()
	require.Len(b, strings.Split(list[0], ""), 21)
	for b.Loop() {
		fonts := text.NewFonts()
		for _, s := range list {
			l, err := fonts.Set(s, text.Style{Families: "Go", Size: 4})
			require.NoError(b, err)
			l.Shape(path.Paint{Opacity: 1})
		}
	}
}

// BenchmarkNames reads the names of the system's fonts.
func BenchmarkNames(b *testing.B) {
	dir := os.DirFS("/usr/share/fonts")
	for b.Loop() {
		text.NewFonts(dir).Face(text.Style{Families: "none", Size: 4})
	}
}
