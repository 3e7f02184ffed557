package svg_test

import (
	"fmt"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ownFont is a font of squares and a tall ligature, 1000 units to the em; more is put in.
func ownFont(more string) string {
	return `<font id="o" horiz-adv-x="500"><font-face font-family="Own" units-per-em="1000" ascent="800" ` +
		`descent="-200"/>` +
		`<missing-glyph horiz-adv-x="300" d="M0 0H100V100H0z"/>` +
		`<glyph unicode="fi" horiz-adv-x="900" d="M0 0H800V700H0z"/>` +
		`<glyph unicode="f" glyph-name="f,eff" d="M0 0H400V700H0z"/><glyph unicode="i" d="M0 0H200V700H0z"/>` +
		`<glyph unicode="A" glyph-name="a" d="M0 0H400V400H0z"/>` + more + `</font>`
}

// boxes returns the boxes of the contours that a document draws, in px, down from the
// top, as "left top right bottom".
func boxes(doc path.Document) (list []string) {
	for _, s := range doc.Artwork.Shapes {
		s.Path.Flatten(0.01, func(pts []path.Point, _ bool) {
			b := path.BoundsOf(pts)
			list = append(list, fmt.Sprintf("%.3g %.3g %.3g %.3g", b.Min.X/px, 100-b.Max.Y/px, b.Max.X/px,
				100-b.Min.Y/px))
		})
	}
	return list
}

// SVG 1.1, 20: glyphs stand with Y up at their advances, the first that fits is taken,
// and kerning brings a pair nearer. All of it by hand, at 100 units to 10 px.
func TestFontElements(t *testing.T) {
	for text, want := range map[string][]string{
		`<text x="5" y="50" font-size="100">A</text>`:                                  {"5 10 45 50"},
		`<text y="90" font-size="100">AA</text>`:                                       {"0 50 40 90", "40 50 80 90"},
		`<text y="90" font-size="50" style="font-kerning:none">AA</text>`:              {"0 70 20 90", "25 70 45 90"},
		`<text y="90" font-size="50">fiA</text>`:                                       {"0 55 40 90", "45 70 65 90"},
		`<text y="90" font-size="50" letter-spacing="1">fi</text>`:                     {"0 55 20 90", "26 55 36 90"},
		`<text y="90" font-size="50">Af</text>`:                                        {"0 70 20 90", "15 55 35 90"},
		`<text x="90" y="90" font-size="50" text-anchor="end">A</text>`:                {"65 70 85 90"},
		`<text y="10" font-size="50" dominant-baseline="text-before-edge">A</text>`:    {"0 30 20 50"},
		`<text y="90" font-size="50" font-weight="bold">A</text>`:                      {"0 70 20 90"},
		`<text y="90" font-size="50" font-family="Alias, Own">A</text>`:                {"0 70 20 90"},
		`<text y="90" font-size="50" font-family="Nothing, 'Own'" rotate="0">i</text>`: {"0 55 10 90"},
	} {
		kerns := `<hkern u1="U+41" g2="a" k="100"/><hkern g1="a" u2="U+60-66,x" k="200"/><hkern u1="A" u2="A" k="999"/>`
		style := `<style>@font-face{font-family:Alias;src:url(#o) format("svg")}</style>`
		doc := read(t, on(style+ownFont(kerns)+`<g font-family="Own">`+text+`</g>`))
		assert.Equal(t, want, boxes(doc), text)
		if !assert.LessOrEqual(t, len(doc.Warnings), 1, text) || len(doc.Warnings) == 1 {
			assert.Contains(t, doc.Warnings[0].Message, "(Nothing) is not at hand; set in Own")
		}
	}
}

// A letter that the font lacks is taken from another, and where none has it, from the
// sign that the font has for such.
func TestFontElementLacks(t *testing.T) {
	doc := read(t, on(ownFont("")+`<text y="90" font-size="50" font-family="Own">&#xf8f0;A</text>`))
	assert.Equal(t, []string{"0 85 5 90", "15 70 35 90"}, boxes(doc))
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].Message, "no font has")

	doc = read(t, on(ownFont("")+`<text y="90" font-size="50" font-family="Own">AH</text>`))
	assert.Greater(t, len(boxes(doc)), 1)
	assert.Equal(t, []string{"its font has no 'H' (U+0048): taken from the built-in Go font"}, messages(doc))

	doc = read(t, on(ownFont(`<glyph unicode="B"><circle r="300"/>`+
		`</glyph>`)+`<text y="90" font-size="50" font-family="Own">A</text>`))
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].Message, "what is drawn in a glyph beside its d is left out")
}

// A glyph is drawn up to an error in its path, which is told; a kern that does not say by
// how much is none.
func TestFontElementsWithErrors(t *testing.T) {
	doc := read(t, on(ownFont(`<glyph unicode="B" d="M0 0H100V100H0z oops"/><hkern u1="B" u2="B"/>`)+
		`<text y="90" font-size="50" font-family="Own">BB</text>`))
	assert.Equal(t, []string{"0 85 5 90", "25 85 30 90"}, boxes(doc))
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, path.PathData, doc.Warnings[0].Kind)
	assert.Equal(t, "glyph", doc.Warnings[0].Element)
}

// A font that tells no heights has them in usual proportion: 0.8 of the em above.
func TestFontElementWithoutHeights(t *testing.T) {
	doc := read(t, on(`<font horiz-adv-x="500"><font-face font-family="Own"/><glyph unicode="A" d="M0 `+
		`0H400V400H0z"/></font>`+
		`<text y="10" font-size="50" font-family="Own" dominant-baseline="text-before-edge">A</text>`))
	assert.Equal(t, []string{"0 30 20 50"}, boxes(doc))
}

// A font of no size, or without a name, sets nothing.
func TestFontElementsThatAreNone(t *testing.T) {
	for _, font := range []string{
		`<font/>`, `<font><font-face/><glyph unicode="A" d="M0 0H9V9z"/></font>`,
		`<font><font-face font-family="Own" units-per-em="0"/><glyph unicode="A" d="M0 0H9V9z"/></font>`,
	} {
		doc := read(t, on(font+`<text y="90" font-size="50" font-family="Own">A</text>`))
		require.NotEmpty(t, doc.Warnings, font)
		assert.Contains(t, doc.Warnings[0].Message, "(Own) is not at hand")
	}
}

// Ranges name letters as CSS 2 has them, and faces tell weight and style.
func TestFontElementRangesAndFaces(t *testing.T) {
	for u, kerned := range map[string]bool{
		"U+41": true, "u+0041": true, "U+4?": true, "U+40-42": true, "U+41-41": true, "A": true,
		"x,A": true, "A,": true,
		"U+42": false, "U+42-50": false, "U+3?": false, "U+": false, "a": false, "": false, "U+40-": false,
	} {
		doc := read(t, on(ownFont(`<hkern u1="`+u+`" u2="A" k="100"/>`)+`<text y="90" font-size="50" `+
			`font-family="Own">AA</text>`))
		want := "25 70 45 90"
		if kerned {
			want = "20 70 40 90"
		}
		assert.Equal(t, want, boxes(doc)[1], u)
	}
	face := func(attrs, d string) string {
		return `<font horiz-adv-x="500"><font-face font-family="Own" ` + attrs + `/><glyph unicode="A" d="` +
			d + `"/></font>`
	}
	fonts := face(`font-weight="400"`, "M0 0H100V100H0z") + face(`font-weight="bold, 900"`, "M0 0H200V200H0z") +
		face(`font-weight="400" font-style="italic"`, "M0 0H300V300H0z")
	for style, want := range map[string]string{
		"": "0 85 5 90", `font-weight="bold"`: "0 80 10 90", `font-style="italic"`: "0 75 15 90",
		`font-weight="500"`: "0 85 5 90",
	} {
		doc := read(t, on(fonts+`<text y="90" font-size="50" font-family="Own" `+style+`>A</text>`))
		assert.Equal(t, []string{want}, boxes(doc), style)
		assert.Empty(t, doc.Warnings, style)
	}
}
