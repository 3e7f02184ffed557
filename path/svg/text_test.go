package svg_test

import (
	"bytes"
	"io/fs"
	"os"
	"strings"
	"testing"

	"furrow/path/outside"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const dejavu = "/usr/share/fonts/truetype/dejavu"

// Text in a font that librsvg finds as well must be painted alike.
func TestTextAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	if _, err := os.Stat(dejavu); err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	dirs := svg.Options{}
	dirs.Fonts = append(dirs.Fonts, os.DirFS(dejavu))
	for name, inner := range map[string]string{
		"plain": `<text x="5" y="40" font-family="DejaVu Sans" font-size="30">Ash, fi</text><text x="5" y="80" ` +
			`font-family="DejaVu Sans" font-weight="bold" font-size="20">Willow</text>`,
		"anchors": `<g font-family="DejaVu Sans" font-size="20"><text x="50" y="30" ` +
			`text-anchor="middle">Oak</text><text x="95" y="60" text-anchor="end">Yew</text><text x="10" y="90"> a ` +
			`<tspan fill="red" font-size="30">b</tspan> c </text></g>`,
		"positions": `<text font-family="DejaVu Sans" font-size="24" x="10" y="30">abc<tspan x="10" y="80" ` +
			`dx="5">de</tspan></text>`,
		"stroked": `<text font-family="DejaVu Sans" font-size="50" x="5" y="60" fill="none" stroke="black" ` +
			`stroke-width="2">Fir</text>`,
		"underline": `<g font-family="DejaVu Sans" font-size="20"><text x="5" y="25" ` +
			`text-decoration="underline">Maple</text><text x="5" y="55" fill="red" ` +
			`text-decoration="line-through">Hazel</text></g>`,
		"clip": `<clipPath id="c"><text font-family="DejaVu Sans" font-weight="bold" font-size="60" x="0" ` +
			`y="70">Ivy</text></clipPath><rect width="100" height="100" clip-path="url(#c)"/>`,
	} {
		t.Run(name, func(t *testing.T) {
			doc, err := svg.Read(strings.NewReader(on(inner)), dirs)
			require.NoError(t, err)
			assert.Empty(t, doc.Warnings)
			ours := paint(doc.Artwork, 400)
			theirs, err := rsvg([]byte(on(inner)), 400, 400)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, agreement(ours, theirs), 0.97) // librsvg hints advances to its pixels
		})
	}
}

func TestFontFallback(t *testing.T) {
	doc := read(t, on(`<text id="t" x="5" y="40" font-family="'Nowhere Sans', serif">Oak</text>`))
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, "text#t", doc.Warnings[0].Element)
	assert.Contains(t, doc.Warnings[0].Message, "Nowhere Sans")
	assert.NotEmpty(t, doc.Artwork.Shapes)
}

func TestTextPathWithoutPath(t *testing.T) {
	doc := read(t, on(`<text>a<textPath href="#p">b</textPath></text>`))
	assert.Contains(t, doc.Warnings[0].String(), "which is not in the file")
}

// Letters of one font are shaped together across elements (CSS Text 3, 7.3), so that
// they stand as in one.
func TestKerningAcrossElements(t *testing.T) {
	if _, err := os.Stat(dejavu); err != nil {
		outside.Missing(t, "the DejaVu fonts (fonts-dejavu-core)")
	}
	right := func(inner string) float64 {
		text := on(`<text y="50" font-size="20" font-family="DejaVu Sans">` + inner + `</text>`)
		doc, err := svg.Read(strings.NewReader(text), svg.Options{Fonts: []fs.FS{os.DirFS(dejavu)}})
		require.NoError(t, err)
		return doc.Artwork.Bounds().Max.X
	}
	assert.InDelta(t, right("AVATo"), right(`A<tspan fill="red">V</tspan>A<tspan>T</tspan>o`), 1e-9)
	assert.Greater(t, right(`<tspan font-kerning="none">AVATo</tspan>`), right("AVATo")+0.5)
}

// A textLength is that of the letters from the first to the last (SVG 2, 11.5).
func TestTextLength(t *testing.T) {
	width := func(attrs string) float64 {
		doc := read(t, on(`<text y="50" font-size="20" `+attrs+`>HoooH</text>`))
		return doc.Artwork.Bounds().W() / px
	}
	bearings := 2*20*0.1 + 1 // at most, of H on both sides
	assert.InDelta(t, 90, width(`textLength="90"`), bearings)
	assert.InDelta(t, 30, width(`textLength="30"`), bearings)
	assert.InDelta(t, 90, width(`textLength="90" lengthAdjust="spacingAndGlyphs"`), 2*bearings)
}

// A letter that there is in no font is named.
func TestLettersThatNoFontHas(t *testing.T) {
	doc := read(t, on(`<text y="50" font-family="Go">a&#x1f9ff;</text>`))
	assert.Contains(t, doc.Warnings[len(doc.Warnings)-1].String(), "no font has '\U0001f9ff' (U+1F9FF)")
}

// A font file that is damaged must neither panic nor draw.
func TestDamagedFont(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(dir+"/Broken-Regular.ttf", bytes.Repeat([]byte("\x00\x01\x00\x00"), 999), 0o600))
	doc, err := svg.Read(strings.NewReader(on(`<text y="20" font-family="Broken">x</text>`)),
		svg.Options{Fonts: []fs.FS{os.DirFS(dir)}})
	require.NoError(t, err)
	assert.Len(t, doc.Warnings, 1)
}
