package svg_test

import (
	"encoding/base64"
	"encoding/binary"
	"io/fs"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/gomonobold"
	"golang.org/x/image/font/gofont/gomonoitalic"
	"golang.org/x/image/font/gofont/goregular"
)

// setIn returns what is drawn of a text and how it is set.
func setIn(t *testing.T, dir fs.FS, attrs string) ([]path.Shape, path.Document) {
	t.Helper()
	doc, err := svg.Read(strings.NewReader(on(`<text y="50" font-size="20" `+attrs+`>Oak</text>`)),
		svg.Options{Fonts: []fs.FS{dir}})
	require.NoError(t, err)
	return doc.Artwork.Shapes, doc
}

// Fonts are known by their name tables, whatever the files are called.
func TestFontNames(t *testing.T) {
	file := func(data []byte) *fstest.MapFile { return &fstest.MapFile{Data: data} }
	dir := fstest.MapFS{
		"a/1.ttf": file(gomono.TTF), "a/2.TTF": file(gomonobold.TTF), "3.otf": file(gomonoitalic.TTF),
		"broken.ttf": file([]byte("\x00\x01\x00\x00")), "pair.ttc": file(collection(goregular.TTF, gobold.TTF)),
	}
	shape := func(attrs, used string) []path.Shape {
		shapes, doc := setIn(t, dir, attrs)
		assert.Empty(t, doc.Warnings, attrs)
		require.Len(t, doc.Fonts, 1, attrs)
		assert.Equal(t, used, doc.Fonts[0].Used, attrs)
		return shapes
	}
	mono := shape(`font-family="Go Mono"`, "Go Mono")
	bold := shape(`font-family="'go mono'" font-weight="bold"`, "go mono")
	assert.NotEqual(t, mono, bold)
	assert.Equal(t, bold, shape(`font-family="Go Mono" font-weight="600"`, "Go Mono"))
	assert.Equal(t, mono, shape(`font-family="Go Mono" font-weight="500"`, "Go Mono"))
	assert.Equal(t, mono, shape(`font-family="Go Mono" font-weight="200"`, "Go Mono"))
	assert.Equal(t, bold, shape(`font-family="GoMono-Bold"`, "GoMono-Bold"))
	italic := shape(`font-family="Go Mono" font-style="italic"`, "Go Mono")
	assert.NotEqual(t, mono, italic)
	both, doc := setIn(t, dir, `font-family="Go Mono" font-style="oblique" font-weight="bold"`) // style comes first
	assert.Equal(t, italic, both)
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, "no cut of Go Mono as bold as 700 is at hand; set in one of 400", doc.Warnings[0].Message)
	_, doc = setIn(t, dir, `font-family="Go Mono" font-stretch="condensed"`)
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, "Go Mono has no width of 75 %; set in its own", doc.Warnings[0].Message)
	regular := shape(`font-family="Go"`, "Go")
	assert.NotEqual(t, regular, mono)
	assert.NotEqual(t, regular, shape(`font-family="Go" font-weight="bold"`, "Go")) // the second of the collection
}

// collection joins fonts to a TTC file, version 1 (OpenType, "The font file").
func collection(fonts ...[]byte) []byte {
	out := append([]byte("ttcf\x00\x01\x00\x00"), 0, 0, 0, byte(len(fonts)))
	at := len(out) + 4*len(fonts)
	for _, f := range fonts {
		out = binary.BigEndian.AppendUint32(out, uint32(at))
		at += len(f)
	}
	for _, f := range fonts {
		start := uint32(len(out))
		out = append(out, f...)
		for i := range int(binary.BigEndian.Uint16(f[4:])) {
			offset := out[start+uint32(12+16*i+8):]
			binary.BigEndian.PutUint32(offset, binary.BigEndian.Uint32(offset)+start)
		}
	}
	return out
}

// The families that CSS names by kind are those of the system, as are the next
// ones of a list; the warning names what was asked for.
func TestGenericFamilies(t *testing.T) {
	if _, err := os.Stat(dejavu); err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	dir := os.DirFS(dejavu)
	for asked, used := range map[string]string{
		"sans-serif": "DejaVu Sans", "serif": "DejaVu Serif", "Monospace": "DejaVu Sans Mono",
		"system-ui":               "DejaVu Sans",
		"DejaVu Sans Mono, serif": "DejaVu Sans Mono", "DejaVuSans": "DejaVuSans",
	} {
		_, doc := setIn(t, dir, `font-family="`+asked+`"`)
		assert.Empty(t, doc.Warnings, asked)
		assert.Equal(t, []path.Font{{Asked: asked, Used: used}}, doc.Fonts)
	}
	_, doc := setIn(t, dir, `font-family="Nowhere, serif"`)
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].Message, "the font asked for (Nowhere) is not at hand; set in DejaVu Serif")
	_, doc = setIn(t, dir, `font-family="'serif'"`) // in quotes it is a name
	assert.Contains(t, doc.Warnings[0].Message, "built-in")
	_, doc = setIn(t, dir, ``)
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].Message, "names no font; set in DejaVu Serif")
}

// Letter-spacing keeps the kerning, and adds to every letter.
func TestLetterSpacing(t *testing.T) {
	if _, err := os.Stat(dejavu); err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	right := func(attrs string) float64 {
		doc, err := svg.Read(strings.NewReader(on(`<text y="50" font-size="20" font-family="DejaVu `+
			`Sans" `+attrs+`>AVATO</text>`)), svg.Options{Fonts: []fs.FS{os.DirFS(dejavu)}})
		require.NoError(t, err)
		return doc.Artwork.Bounds().Max.X / px
	}
	plain := right("")
	assert.InDelta(t, plain, right(`letter-spacing="1e-9"`), 1e-3)
	assert.InDelta(t, plain+4*3, right(`letter-spacing="3"`), 1e-3)
	assert.InDelta(t, plain+4*2, right(`letter-spacing=".1em"`), 1e-3)
}

// A font inside the document is that of its family, in TrueType and in WOFF2, and
// comes before one of the same name in the folders.
func TestFontInTheDocument(t *testing.T) {
	width := func(css, family string) float64 {
		text := on(`<style>` + css + `</style><text y="50" font-size="20" font-family="` + family + `">ill</text>`)
		doc, err := svg.Read(strings.NewReader(text),
			svg.Options{Fonts: []fs.FS{fstest.MapFS{"a.ttf": {Data: goregular.TTF}}}})
		require.NoError(t, err)
		assert.Empty(t, doc.Warnings)
		return doc.Artwork.Bounds().W()
	}
	face := func(family string, data []byte) string {
		return `@font-face{font-family:"` + family + `";src:local("x"),url("data:font/x;base64,` +
			base64.StdEncoding.EncodeToString(data) + `")}`
	}
	mono := width(face("Tag", gomono.TTF), "Tag")
	assert.Greater(t, mono, 1.5*width("", "Go"))
	assert.InDelta(t, mono, width(face("Go", gomono.TTF), "Go"), 1e-9)
}

// Faces of a family in the document are told apart by style and weight; what a face does
// not say is upright and regular (CSS Fonts 4, 11.3).
func TestFacesInTheDocument(t *testing.T) {
	face := func(more string, data []byte) string {
		return `@font-face{font-family:Tag;` + more + `src:url(data:font/ttf;base64,` +
			base64.StdEncoding.EncodeToString(data) + `)}`
	}
	faces := "<style>" + face("font-style:italic;", gomonoitalic.TTF) + face("", gomono.TTF) +
		face("font-weight:700;", gomonobold.TTF) + "</style>"
	dir := fstest.MapFS{}
	for name, data := range map[string][]byte{"a": gomono.TTF, "b": gomonobold.TTF, "c": gomonoitalic.TTF} {
		dir[name+".ttf"] = &fstest.MapFile{Data: data}
	}
	for _, attrs := range []string{"", `font-style="italic"`, `font-weight="bold"`} {
		doc := read(t, on(faces+`<text y="50" font-size="20" font-family="Tag" `+attrs+`>Oak</text>`))
		assert.Empty(t, doc.Warnings, attrs)
		want, _ := setIn(t, dir, `font-family="Go Mono" `+attrs)
		assert.Equal(t, want[0].Path, doc.Artwork.Shapes[0].Path, attrs)
	}
}

// The font of the npm package bootstrap-icons is there in WOFF and in WOFF2.
func TestPackedFontsInTheDocument(t *testing.T) {
	var shapes [][]path.Shape
	for _, file := range outside.Files(t, "bootstrap-icons/font/fonts/bootstrap-icons.woff*", 2) {
		data, err := os.ReadFile(file)
		require.NoError(t, err)
		doc := read(t, on(`<style>@font-face{font-family:I;src:url(data:font/woff;base64,`+
			base64.StdEncoding.EncodeToString(data)+`)}</style><text y="50" font-family="I">&#xf102;</text>`))
		assert.Empty(t, doc.Warnings, file)
		shapes = append(shapes, doc.Artwork.Shapes)
	}
	require.Len(t, shapes[0], 1)
	assert.Greater(t, shapes[0][0].Path.Bounds().W(), 3*px)
	assert.Equal(t, shapes[0][0].Path, shapes[1][0].Path)
}

// BenchmarkFontIndex reads the names of the fonts of the system.
func BenchmarkFontIndex(b *testing.B) {
	dir := os.DirFS("/usr/share/fonts")
	text := on(`<text font-family="Nowhere">x</text>`)
	for b.Loop() {
		_, err := svg.Read(strings.NewReader(text), svg.Options{Fonts: []fs.FS{dir}})
		require.NoError(b, err)
	}
}
