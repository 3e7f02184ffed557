package svg_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"strings"
	"testing"
	"unicode/utf16"

	"furrow/path"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// One document with an id that ASCII cannot write, in every encoding.
func TestEncodings(t *testing.T) {
	const text = `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect id="Bäume" width="5" ` +
		`height="5"/></svg>`
	wide := func(big bool) []byte {
		var out []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + text)) {
			if big {
				out = append(out, byte(u>>8), byte(u))
			} else {
				out = append(out, byte(u), byte(u>>8))
			}
		}
		return out
	}
	latin := []byte(`<?xml version="1.0" encoding="ISO-8859-1"?>`)
	for _, r := range text {
		latin = append(latin, byte(r))
	}
	var zipped bytes.Buffer
	z := gzip.NewWriter(&zipped)
	_, err := z.Write([]byte(text))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	for name, data := range map[string][]byte{
		"UTF-8": []byte(text), "byte-order mark": []byte("\ufeff" + text),
		"UTF-16, little end first": wide(false), "UTF-16, big end first": wide(true),
		"UTF-16 without mark": wide(false)[2:],
		"Latin-1":             latin, "gzip": zipped.Bytes(),
	} {
		doc, err := svg.Read(bytes.NewReader(data), svg.Options{})
		require.NoError(t, err, name)
		require.Len(t, doc.Artwork.Shapes, 1, name)
		assert.Equal(t, "Bäume", doc.Artwork.Shapes[0].Source.ID, name)
	}
}

// Drawing programs write styles and namespaces as entities.
func TestEntities(t *testing.T) {
	doc := read(t, `<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd" [
		<!ENTITY ns "http://www.w3.org/2000/svg">
		<!ENTITY red 'fill:&#35;f00'>
		<!ENTITY both "&red;;stroke:none">
		<!ENTITY far SYSTEM "file:///etc/hostname">
	]><svg xmlns="&ns;" width="9" height="9"><rect style="&both;" width="5" height="5"/></svg>`)
	require.Len(t, doc.Artwork.Shapes, 1)
	assert.Equal(t, 1.0, doc.Artwork.Shapes[0].Paint.R)
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].Message, "external entity far is not opened")

	_, err := svg.Read(bytes.NewReader([]byte(`<!DOCTYPE svg [<!ENTITY far SYSTEM "file:///etc/hostname">]>`+
		`<svg>&far;</svg>`)), svg.Options{})
	assert.Error(t, err)
}

// CSS in CDATA and comments, rules that are left out, and where they stand.
func TestStyleSheet(t *testing.T) {
	doc := read(t, "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'><style><![CDATA[\n@import "+
		"'x.css';\n/* rect{fill:red} */\n@media print { rect{fill:red} }\nrect:hover{fill:red} "+
		"rect:has(a){fill:red}\nrect { fill: #00F }]]></style><rect width='5' height='5'/></svg>")
	require.Len(t, doc.Artwork.Shapes, 1)
	assert.Equal(t, [2]float64{0, 1}, [2]float64{doc.Artwork.Shapes[0].Paint.R, doc.Artwork.Shapes[0].Paint.B})
	var got []string
	for _, w := range doc.Warnings {
		got = append(got, w.String())
	}
	assert.Equal(t, []string{
		"line 2: <style>: @import: style sheets in other files are not read",
		"line 5: <style>: selector is ignored: :has is not supported",
	}, got)
}

// A gradient has a mean for who picks by colour, a pattern becomes its tiles, each
// in the shape, and what the file lacks falls back.
func TestServers(t *testing.T) {
	doc := read(t, on(`<linearGradient id="g"><stop offset="0" stop-color="#000"/><stop offset="1" `+
		`stop-color="#fff"/></linearGradient>
		<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><rect width="5" height="10" `+
		`fill="red"/></pattern>
		<rect width="50" height="50" fill="url(#g)"/><rect width="20" height="30" fill="url(#p)"/><rect width="50" `+
		`height="50" fill="url(#none) blue"/>`))
	require.Len(t, doc.Artwork.Shapes, 1+2*3+1)
	fade := doc.Artwork.Shapes[0]
	assert.InDelta(t, 0.5, fade.Paint.R, 1e-9)
	for _, x := range []float64{0, 10, 25, 50} { // grey as far as one has come, of 50 px
		assert.InDelta(t, x/50, fade.Gradient.At(path.Point{X: x * px, Y: 20}).G, 1e-9)
	}
	sum := 0.0
	for _, s := range doc.Artwork.Shapes[1:7] {
		assert.Equal(t, path.Paint{R: 1, Opacity: 1}, s.Paint)
		sum += s.Path.Bounds().W() * s.Path.Bounds().H()
	}
	assert.InDelta(t, 20*30/2*px*px, sum, 1e-6)
	assert.InDelta(t, 1, doc.Artwork.Shapes[7].Paint.B, 1e-9)
	assert.Empty(t, doc.Warnings)
}

// A pattern of too many tiles says so, with its size, and one in itself ends.
func TestPatternLimits(t *testing.T) {
	doc := read(t, on(`<pattern id="p" width=".01" height=".01" patternUnits="userSpaceOnUse"><rect width="5" `+
		`height="10" fill="url(#p)"/></pattern><rect width="90" height="45" fill="url(#p)"/>`))
	assert.Empty(t, doc.Artwork.Shapes)
	require.Len(t, doc.Warnings, 2)
	assert.Contains(t, doc.Warnings[0].Message, "a pattern inside itself")
	assert.Contains(t, doc.Warnings[1].Message, "too many tiles and is left out")
}

// use may not lead back to itself.
func TestUseCycle(t *testing.T) {
	doc := read(t, on(`<g id="a"><rect width="5" height="5"/><use href="#b"/></g><g id="b"><use href="#a"/></g>`))
	assert.NotEmpty(t, doc.Artwork.Shapes)
	require.NotEmpty(t, doc.Warnings)
	assert.Contains(t, doc.Warnings[0].Message, "refers to itself")
}

// XML 1.0, 4.4.2: markup in an internal entity is included where it is referred to.
func TestMarkupInEntities(t *testing.T) {
	doc := read(t, `<!DOCTYPE svg [<!ENTITY dot "<circle r='9' fill='red'/>"><!ENTITY two '&dot;<g `+
		`transform="translate(20)">&dot;</g>'>]>
<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">&two;
<rect id="r" width="9" height="9"/></svg>`)
	require.Len(t, doc.Artwork.Shapes, 3)
	assert.Equal(t, 1.0, doc.Artwork.Shapes[1].Paint.R)
	assert.Equal(t, 3, doc.Artwork.Shapes[2].Source.Line)
}

// Entities that multiply are refused before they fill the memory.
func TestEntitiesOfMarkupThatMultiply(t *testing.T) {
	var b strings.Builder
	b.WriteString(`<!DOCTYPE svg [<!ENTITY e0 "<g/>">`)
	for i := range 30 {
		fmt.Fprintf(&b, `<!ENTITY e%d "<g>&e%d;&e%d;</g>">`, i+1, i, i)
	}
	b.WriteString(`]><svg>&e30;</svg>`)
	_, err := readText(b.String())
	assert.ErrorContains(t, err, "entities expand to more than 16 MB")
}
