package text_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/png"
	"io/fs"
	"slices"
	"testing"
	"testing/fstest"

	"furrow/path/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// table is one of a font's tables (OpenType 1.9, "Organization of an OpenType font").
type table struct {
	tag  string
	data []byte
}

func tablesOf(font []byte) (all []table) {
	for i := range int(binary.BigEndian.Uint16(font[4:])) {
		entry := font[12+16*i:]
		at, n := binary.BigEndian.Uint32(entry[8:]), binary.BigEndian.Uint32(entry[12:])
		all = append(all, table{string(entry[:4]), font[at : at+n]})
	}
	return all
}

// truetype writes tables as a TrueType font that begins at a place of its file. Check
// sums and the search fields are 0, which readers pass over.
func truetype(tables []table, begins int) []byte {
	head := binary.BigEndian.AppendUint16([]byte{0, 1, 0, 0}, uint16(len(tables)))
	head = append(head, make([]byte, 6+16*len(tables))...)
	out := slices.Clone(head)
	for i, t := range tables {
		entry := out[12+16*i:]
		copy(entry, t.tag)
		binary.BigEndian.PutUint32(entry[8:], uint32(begins+len(out)))
		binary.BigEndian.PutUint32(entry[12:], uint32(len(t.data)))
		out = append(out, t.data...)
		out = append(out, make([]byte, -len(out)&3)...)
	}
	return out
}

// woff writes tables as WOFF 1.0 (W3C, 2012, 3 to 5), none of them compressed.
func woff(tables []table) []byte {
	out := make([]byte, 44+20*len(tables))
	copy(out, "wOFF\x00\x01\x00\x00")
	binary.BigEndian.PutUint16(out[12:], uint16(len(tables)))
	size := 12 + 16*len(tables)
	for i, t := range tables {
		entry := out[44+20*i:]
		copy(entry, t.tag)
		for k, v := range []int{len(out), len(t.data), len(t.data)} {
			binary.BigEndian.PutUint32(entry[4+4*k:], uint32(v))
		}
		sum, padded := uint32(0), append(slices.Clone(t.data), make([]byte, -len(t.data)&3)...)
		if t.tag == "head" { // reckoned with the check sum of the whole font as 0
			copy(padded[8:], []byte{0, 0, 0, 0})
		}
		for k := 0; k < len(padded); k += 4 {
			sum += binary.BigEndian.Uint32(padded[k:])
		}
		binary.BigEndian.PutUint32(entry[16:], sum)
		out = append(out, t.data...)
		out = append(out, make([]byte, -len(out)&3)...)
		size += (len(t.data) + 3) &^ 3
	}
	binary.BigEndian.PutUint32(out[8:], uint32(len(out)))
	binary.BigEndian.PutUint32(out[16:], uint32(size))
	return out
}

// with returns the Go font with one more table, in the sequence of tags.
func with(tag string, data []byte) []byte {
	all := append(tablesOf(goregular.TTF), table{tag, data})
	slices.SortFunc(all, func(a, b table) int { return slices.Compare([]byte(a.tag), []byte(b.tag)) })
	return truetype(all, 0)
}

// axes is a table of axes that run from -100 to 1000 (OpenType 1.9, fvar).
func axes(tags ...string) []byte {
	out := []byte{0, 1, 0, 0, 0, 16, 0, 2, 0, byte(len(tags)), 0, 20, 0, 0, 0, byte(4 + 4*len(tags))}
	for _, tag := range tags {
		out = append(out, tag...)
		for _, v := range []int32{-100, 0, 1000} {
			out = binary.BigEndian.AppendUint32(out, uint32(v<<16))
		}
		out = append(out, 0, 0, 1, 0)
	}
	return out
}

func embedded(t *testing.T, data []byte) *text.Fonts {
	t.Helper()
	fonts := text.NewFonts()
	require.NoError(t, fonts.Embed("Own", 400, false, data))
	return fonts
}

// A variable font has the weight that is asked for, a width if it has that axis, and a
// slant of its own if it has either axis for it.
func TestAxes(t *testing.T) {
	for _, c := range []struct {
		axes   []string
		weight int
		wide   bool
		slant  bool
	}{
		{nil, 400, false, true}, {[]string{"wght"}, 650, false, true}, {[]string{"wdth"}, 400, true, true},
		{[]string{"ital"}, 400, false, false}, {[]string{"slnt"}, 400, false, false},
		{[]string{"opsz"}, 400, false, true},
		{[]string{"wght", "wdth", "slnt"}, 650, true, false},
	} {
		face := embedded(t, with("fvar", axes(c.axes...))).Face(text.Style{Families: "Own", Weight: 650, Italic: true})
		assert.Equal(t, c.weight, face.Weight(), c.axes)
		assert.Equal(t, c.wide, face.Stretches(), c.axes)
		assert.Equal(t, c.slant, face.Slant, c.axes)
		if !slices.Contains(c.axes, "opsz") { // which is left as it is
			require.Len(t, text.Varied(face), len(c.axes))
		}
		want := map[string]float64{"wght": 0.65, "wdth": 0.1, "ital": 0.001, "slnt": -0.12, "opsz": 0}
		for i, at := range text.Varied(face) {
			assert.InDelta(t, want[c.axes[i]], at, 1e-4, c.axes)
		}
		upright := embedded(t, with("fvar", axes(c.axes...))).Face(text.Style{Families: "Own"})
		assert.False(t, upright.Slant, c.axes)
	}
}

// A font says by a feature that it has small capitals (OpenType 1.9, GSUB).
func TestSmallCapitals(t *testing.T) {
	for tag, has := range map[string]bool{"smcp": true, "c2sc": false} {
		gsub := []byte{0, 1, 0, 0, 0, 10, 0, 12, 0, 24, 0, 0, 0, 1}
		gsub = append(append(gsub, tag...), 0, 8, 0, 0, 0, 0, 0, 0)
		assert.Equal(t, has, embedded(t, with("GSUB", gsub)).Face(text.Style{Families: "Own"}).SmallCaps(), tag)
	}
	assert.False(t, embedded(t, goregular.TTF).Face(text.Style{Families: "Own"}).SmallCaps())
}

// A font of the web is the font that is packed in it.
func TestWOFF(t *testing.T) {
	fonts := embedded(t, woff(tablesOf(goregular.TTF)))
	s := text.Style{Families: "Own", Size: 10}
	assert.Equal(t, "Own", fonts.Face(s).Family)
	got, want := set(t, fonts, "Aß", s), set(t, text.NewFonts(), "Aß", s)
	assert.Equal(t, want.Path(), got.Path())
	assert.Error(t, fonts.Embed("Cut", 400, false, woff(tablesOf(goregular.TTF))[:900]))
}

// A text may begin with a sign that belongs to the letter before it; text that runs back
// within such that does not, within such that does, reads its letters back as well.
func TestMarksFirstAndDeepEmbedding(t *testing.T) {
	l := set(t, text.NewFonts(), "\u0301a", text.Style{Size: 10})
	assert.Len(t, l.Glyphs, 2)
	d := drawnFont()
	d.Glyphs = append(d.Glyphs, text.DrawnGlyph{Text: "גד", Outline: d.Glyphs[0].Outline, Advance: 800})
	fonts := text.NewFonts()
	fonts.EmbedDrawn("Own", 400, false, d)
	l = set(t, fonts, "\u202bא\u202af\u202bבגד\u202c\u202c\u202c", text.Style{Families: "Own", Size: 10})
	stands := map[int]int{}
	for _, g := range l.Glyphs {
		if g.Back {
			stands[g.First] = g.Letters
		}
	}
	assert.Equal(t, 2, stands[6], "the ligature")
	assert.Equal(t, 1, stands[5])
}

func TestNamesAreFolded(t *testing.T) {
	assert.True(t, text.SameName("AZ az-09 É", "azAZ 0 9É"))
	for _, other := range []string{"a", "b", "Z1", "é"} {
		assert.False(t, text.SameName("Z", other))
	}
	for r := rune(0); r < 0x100; r++ {
		letter := r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= 0x80
		assert.Equal(t, letter, !text.SameName("x"+string(r), "x"), "%q", r)
	}
}

// Small capitals are the letters that the font puts in place of small ones: here A for a
// (OpenType 1.9, GSUB, a lookup of type 1, format 1).
func TestSmallCapitalsAreSet(t *testing.T) {
	f, err := sfnt.Parse(goregular.TTF)
	require.NoError(t, err)
	small, err := f.GlyphIndex(nil, 'a')
	require.NoError(t, err)
	capital, err := f.GlyphIndex(nil, 'A')
	require.NoError(t, err)
	delta := uint16(capital) - uint16(small)
	gsub := []byte{0, 1, 0, 0, 0, 10, 0, 30, 0, 44}
	gsub = append(gsub, 0, 1, 'D', 'F', 'L', 'T', 0, 8, 0, 4, 0, 0, 0, 0, 0xff, 0xff, 0, 1, 0, 0) // scripts
	gsub = append(gsub, 0, 1, 's', 'm', 'c', 'p', 0, 8, 0, 0, 0, 1, 0, 0)                         // features
	gsub = append(gsub, 0, 1, 0, 4, 0, 1, 0, 0, 0, 1, 0, 8)                                       // lookups
	gsub = append(gsub, 0, 1, 0, 6, byte(delta>>8), byte(delta), 0, 1, 0, 1, byte(small>>8), byte(small))
	fonts := embedded(t, with("GSUB", gsub))
	s := text.Style{Families: "Own", Size: 10}
	plain, big := set(t, fonts, "a", s), set(t, fonts, "A", s)
	s.SmallCaps = true
	got := set(t, fonts, "a", s)
	assert.Equal(t, big.Path(), got.Path())
	assert.NotEqual(t, plain.Path(), got.Path())
}

// Kinds of families lead to fonts of the folders, unless they are in quotes.
func TestKindsOfFamilies(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	for kind, family := range map[string]string{"sans-serif": "DejaVu Sans", "Serif": "DejaVu Serif",
		"monospace": "DejaVu Sans Mono", "ui-monospace": "DejaVu Sans Mono"} {
		assert.Equal(t, family, fonts.Face(text.Style{Families: kind}).Family)
		assert.Empty(t, fonts.Face(text.Style{Families: `"` + kind + `"`}).Family)
	}
	assert.Equal(t, "DejaVu Serif", fonts.Face(text.Style{}).Family, "as browsers do")
}

// A font of the folders reads letters back at any depth; a space has no outline.
func TestDepthAndSpaces(t *testing.T) {
	fonts := text.NewFonts(dejavu(t))
	l := set(t, fonts, "\u202bא\u202af\u202bבג\u202c\u202c\u202c", text.Style{Families: "DejaVu Sans", Size: 10})
	var back []int
	for _, g := range l.Glyphs {
		if g.First == 5 || g.First == 6 {
			back = append(back, g.First)
		}
	}
	assert.Equal(t, []int{6, 5}, back)
	l = set(t, text.NewFonts(), "a b", text.Style{Size: 10})
	assert.True(t, l.Glyphs[1].Outline.Empty())
	assert.Positive(t, l.Glyphs[1].Advance)
}

// A collection is fonts one behind the other (OpenType 1.9, "Font collections"), each of
// which is found by its own name.
func TestCollections(t *testing.T) {
	out := []byte{'t', 't', 'c', 'f', 0, 1, 0, 0, 0, 0, 0, 2, 0, 0, 0, 20, 0, 0, 0, 0}
	out = append(out, truetype(tablesOf(goregular.TTF), 20)...)
	binary.BigEndian.PutUint32(out[16:], uint32(len(out)))
	out = append(out, truetype(tablesOf(gomono.TTF), len(out))...)
	fonts := text.NewFonts(fstest.MapFS{"both.ttc": {Data: out}})
	for name, data := range map[string][]byte{"Go": goregular.TTF, "Go Mono": gomono.TTF} {
		s := text.Style{Families: name, Size: 10}
		assert.Equal(t, name, fonts.Face(s).Family)
		want := set(t, embedded(t, data), "iM", text.Style{Families: "Own", Size: 10})
		got := set(t, fonts, "iM", s)
		assert.Equal(t, want.Path(), got.Path())
	}
	l := set(t, fonts, "\u2713", text.Style{Families: "none", Size: 10}) // a check mark, in neither
	assert.Equal(t, []rune{0x2713}, l.Lacking)
}

// Where a whole line runs right to left, a sign behind its words stands at the left of
// them, whatever the words are (Unicode Standard Annex 9, by hand).
func TestSignsBehindWordsInALineThatRunsBack(t *testing.T) {
	l, err := text.NewFonts().SetRuns(true, text.Run{Text: "ab!", Style: text.Style{Size: 10}})
	require.NoError(t, err)
	var seen []int
	for _, g := range l.Glyphs {
		seen = append(seen, g.First)
	}
	assert.Equal(t, []int{2, 0, 1}, seen)
}

// names is a table of a family, a style, a full name and that for PostScript (OpenType 1.9,
// name; for Windows, in UTF-16).
func names(family, style string) []byte {
	out := []byte{0, 0, 0, 4, 0, 54}
	words := []byte{}
	ids := []int{1, 2, 4, 6}
	for i, s := range []string{family, style, family + " " + style, "Taxus" + style} {
		for _, v := range []int{3, 1, 0x409, ids[i], 2 * len(s), len(words)} {
			out = binary.BigEndian.AppendUint16(out, uint16(v))
		}
		for _, c := range s {
			words = append(words, 0, byte(c))
		}
	}
	return append(out, words...)
}

// named is a font by another name.
func named(font []byte, family, style string) []byte {
	all := slices.Clone(tablesOf(font))
	for i := range all {
		if all[i].tag == "name" {
			all[i].data = names(family, style)
		}
	}
	return truetype(all, 0)
}

// The style of a font is what its name says; where that says nothing, it is plain.
func TestStylesByName(t *testing.T) {
	for style, want := range map[string]int{"Regular": 400, "Bold": 700, "Light": 300, "Black": 900, "Thin": 100,
		"Medium": 500} {
		fonts := text.NewFonts(fstest.MapFS{"a.ttf": {Data: named(goregular.TTF, "Yew", style)}})
		face := fonts.Face(text.Style{Families: "Yew"})
		assert.Equal(t, "Yew", face.Family, style)
		assert.Equal(t, want, face.Weight(), style)
	}
	data, err := fs.ReadFile(dejavu(t), "DejaVuSans.ttf")
	require.NoError(t, err)
	fonts := text.NewFonts(fstest.MapFS{"a.ttf": {Data: named(data, "Yew", "Whatever")}})
	assert.Empty(t, fonts.Face(text.Style{Families: "Yew"}).Family, "of no style that is known")
	for _, name := range []string{"Yew Whatever", "TaxusWhatever"} {
		face := fonts.Face(text.Style{Families: name})
		assert.Equal(t, name, face.Family)
		assert.Equal(t, 400, face.Weight())
	}
	l := set(t, fonts, "Ա", text.Style{Families: "none", Size: 1}) // for a letter that it alone has
	assert.Equal(t, "Yew", l.Glyphs[0].Face.Family)
	assert.Equal(t, 400, l.Glyphs[0].Face.Weight())
}

// sbix is a table of pictures of 16 pixels for one glyph (OpenType 1.9, sbix).
func sbix(t *testing.T, glyphs, pictured int) []byte {
	var picture bytes.Buffer
	require.NoError(t, png.Encode(&picture, image.NewGray(image.Rect(0, 0, 16, 16))))
	out := []byte{0, 1, 0, 1, 0, 0, 0, 1, 0, 0, 0, 12, 0, 16, 0, 72}
	at := 4 + 4*(glyphs+1)
	for i := range glyphs + 1 {
		out = binary.BigEndian.AppendUint32(out, uint32(at))
		if i == pictured {
			at += 8 + picture.Len()
		}
	}
	out = append(out, 0, 0, 0, 0, 'p', 'n', 'g', ' ')
	return append(out, picture.Bytes()...)
}

// A letter that is a picture is drawn by the outline that it has beside it; one that has none
// is taken from another font.
func TestLettersThatArePictures(t *testing.T) {
	f, err := sfnt.Parse(goregular.TTF)
	require.NoError(t, err)
	id, err := f.GlyphIndex(nil, 'a')
	require.NoError(t, err)
	pictures := sbix(t, f.NumGlyphs(), int(id))
	both := embedded(t, with("sbix", pictures))
	style := text.Style{Families: "Own", Size: 10}
	l := set(t, both, "ab\u4e00", style)
	assert.Equal(t, []rune{0x4e00}, l.Lacking)
	plain := set(t, text.NewFonts(), "ab", text.Style{Size: 10})
	for i := range 2 {
		assert.Equal(t, "Own", l.Glyphs[i].Face.Family)
		assert.Equal(t, plain.Glyphs[i].Outline, l.Glyphs[i].Outline)
	}
	all := slices.DeleteFunc(append(tablesOf(goregular.TTF), table{"sbix", pictures}), func(t table) bool {
		return t.tag == "glyf" || t.tag == "loca"
	})
	slices.SortFunc(all, func(a, b table) int { return slices.Compare([]byte(a.tag), []byte(b.tag)) })
	alone := text.NewFonts()
	require.NoError(t, alone.Embed("Own", 400, false, truetype(all, 0)))
	l = set(t, alone, "a", style)
	assert.Empty(t, l.Glyphs[0].Face.Family, "the built-in font")
	assert.Equal(t, plain.Glyphs[0].Outline, l.Glyphs[0].Outline)
}
