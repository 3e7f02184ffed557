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
		"plain":     `<text x="5" y="40" font-family="DejaVu Sans" font-size="30">Ash, fi</text><text x="5" y="80" font-family="DejaVu Sans" font-weight="bold" font-size="20">Willow</text>`,
		"anchors":   `<g font-family="DejaVu Sans" font-size="20"><text x="50" y="30" text-anchor="middle">Oak</text><text x="95" y="60" text-anchor="end">Yew</text><text x="10" y="90"> a <tspan fill="red" font-size="30">b</tspan> c </text></g>`,
		"positions": `<text font-family="DejaVu Sans" font-size="24" x="10" y="30">abc<tspan x="10" y="80" dx="5">de</tspan></text>`,
		"stroked":   `<text font-family="DejaVu Sans" font-size="50" x="5" y="60" fill="none" stroke="black" stroke-width="2">Fir</text>`,
		"clip":      `<clipPath id="c"><text font-family="DejaVu Sans" font-weight="bold" font-size="60" x="0" y="70">Ivy</text></clipPath><rect width="100" height="100" clip-path="url(#c)"/>`,
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

func TestTextPathWarns(t *testing.T) {
	doc := read(t, on(`<path id="p" d="M0 0H9"/><text>a<textPath href="#p">b</textPath></text>`))
	assert.Contains(t, doc.Warnings[0].String(), "textPath is not supported")
}

// A font file that is damaged must neither panic nor draw.
func TestDamagedFont(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(dir+"/Broken-Regular.ttf", bytes.Repeat([]byte("\x00\x01\x00\x00"), 999), 0o600))
	doc, err := svg.Read(strings.NewReader(on(`<text y="20" font-family="Broken">x</text>`)), svg.Options{Fonts: []fs.FS{os.DirFS(dir)}})
	require.NoError(t, err)
	assert.Len(t, doc.Warnings, 1)
}
