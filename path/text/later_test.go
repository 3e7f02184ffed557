package text_test

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"furrow/path/text"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"
)

// A font of a document is found under its family's name also where that was asked for
// before; letters that it lacks are those of the built-in font.
func TestFontsThatComeLater(t *testing.T) {
	fonts := text.NewFonts()
	style := text.Style{Families: "Own", Size: 10}
	assert.Empty(t, fonts.Face(style).Family)
	fonts.EmbedDrawn("Own", 400, false, drawnFont())
	assert.Equal(t, "Own", fonts.Face(style).Family)
	l := set(t, fonts, "fZ", style)
	assert.Equal(t, "Own", l.Glyphs[0].Face.Family)
	assert.Empty(t, l.Glyphs[1].Face.Family)
	assert.Empty(t, l.Lacking)
	assert.Equal(t, []rune("Z"), fonts.Lacking("fZ", style))
}

// What comes before all folders is taken for all that it can be taken for, as it was when a
// text was first set: in a style that the folders have and it has not, of a family that the
// list names behind one that is there. A document's own fonts stand where the list has them.
func TestFontsThatComeBefore(t *testing.T) {
	before := fstest.MapFS{"b.ttf": {Data: gobold.TTF}}
	folders := fstest.MapFS{"r.ttf": {Data: goregular.TTF}, "m.ttf": {Data: gomono.TTF}}
	faceOf := func(families string, own bool) *text.Face {
		fonts := text.NewFonts(folders)
		fonts.Before(before)
		if own {
			require.NoError(t, fonts.Embed("Own", 400, false, gomono.TTF))
		}
		return fonts.Face(text.Style{Families: families})
	}
	require.Equal(t, 400, text.NewFonts(folders).Face(text.Style{Families: "Go"}).Weight())
	require.Equal(t, 700, faceOf("Go", false).Weight())
	require.Equal(t, "Go", faceOf("'Go Mono', Go", false).Family)
	require.Equal(t, "Go Mono", faceOf("'Go Mono'", false).Family, "what it has not is looked for in the folders")
	require.Equal(t, "Own", faceOf("Own, Go", true).Family)
	require.Equal(t, "Go", faceOf("Go, Own", true).Family)
}

// So it is for a letter that the list lacks.
func TestLettersOfFontsThatComeBefore(t *testing.T) {
	bold, err := fs.ReadFile(dejavu(t), "DejaVuSans-Bold.ttf")
	require.NoError(t, err)
	fonts := text.NewFonts(fstest.MapFS{"r.ttf": {Data: goregular.TTF}}, dejavu(t))
	fonts.Before(fstest.MapFS{"b.ttf": {Data: bold}})
	l := set(t, fonts, "aԱ", text.Style{Families: "Go", Size: 10}) // an Armenian letter
	require.Equal(t, 400, l.Glyphs[0].Face.Weight())
	require.Equal(t, 700, l.Glyphs[1].Face.Weight())
}
