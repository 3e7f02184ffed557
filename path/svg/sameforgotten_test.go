package svg_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/pick"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Lines along parts of a text, letters of no width, and places that hold whatever a text
// is stretched to (SVG 2, 11).
func TestPartsOfTexts(t *testing.T) {
	shapes := func(inner string) []path.Shape {
		return read(t, on(`<text y="50" font-size="20">`+inner+`</text>`)).Artwork.Shapes
	}
	list := shapes(`ab<tspan text-decoration="underline">cd</tspan>ef`)
	require.Len(t, list, 4, "three pieces, and the line before the second")
	line, letters := list[1].Path.Bounds(), list[2].Path.Bounds()
	assert.InDelta(t, letters.W(), line.W(), 3*px)
	assert.InDelta(t, letters.Centre().X, line.Centre().X, px)
	assert.Len(t, shapes(`ab<tspan>cd</tspan>ef`), 3)
	both := read(t, on(`<text y="50" font-size="20" text-decoration="overline">a<tspan `+
		`text-decoration="underline">b</tspan></text>`)).Artwork.Shapes
	assert.Len(t, both, 5, "a, b, a line over each and one under the second")
	const flat = `<font horiz-adv-x="0"><font-face font-family="Own" units-per-em="100"/>` +
		`<glyph unicode="A" d="M0 0H50V50H0z"/></font><text x="10" y="50" font-size="20" font-family="Own" `
	for _, more := range []string{``, `textLength="40"`, `textLength="40" lengthAdjust="spacingAndGlyphs"`} {
		doc := read(t, on(flat+more+`>AA</text>`))
		require.Len(t, doc.Artwork.Shapes, 1, more)
		assert.Empty(t, doc.Warnings, more)
		assert.InDelta(t, 10*px, doc.Artwork.Bounds().Min.X, 1e-9, more)
		assert.InDelta(t, 10*px, doc.Artwork.Bounds().W(), 1e-9, more)
	}
	requireLooks(t, pair{`<text x="5" y="50" font-size="20" textLength="80">mm<tspan x="60">m</tspan></text>`,
		`<text x="5" y="50" font-size="20">mm</text><text x="60" y="50" font-size="20">m</text>`})
	right := func(words, spacing string) float64 {
		return shapes(`<tspan letter-spacing="` + spacing + `">` + words + `</tspan>`)[0].Path.Bounds().Max.X
	}
	for words, spaces := range map[string]float64{"x": 0, "xx": 1, "qx": 1, "q&#x301;x": 1, "q&#x301;&#x301;x": 1} {
		assert.InDelta(t, right(words, "0")+7*px*spaces, right(words, "7"), 1e-9, "marks are of their letter: %s", words)
	}
	own := `<font horiz-adv-x="50"><font-face font-family="Own" units-per-em="100"/>` +
		`<glyph unicode="A" d="M0 0H50V50H0z"/></font><text x="10" y="50" font-size="20" font-family="Own">`
	assert.InDelta(t, 20*px, read(t, on(own+`&#xE000;A</text>`)).Artwork.Bounds().Min.X, 1e-9,
		"what the font has no sign for is as wide as its signs are")
	for _, anchor := range []string{"start", "middle"} {
		doc := read(t, on(`<text font-size="20" text-anchor="`+anchor+`"><textPath path="M10 10z">a</textPath></text>`))
		assert.Empty(t, doc.Artwork.Shapes)
		assert.NotContains(t, strings.Join(messages(doc), "\n"), "further than")
	}
	lighter := `<font horiz-adv-x="10"><font-face font-family="Own" font-weight="%d"/>` +
		`<glyph unicode="A" d="M0 0H%dV50H0z"/></font>`
	doc := read(t, on(fmt.Sprintf(lighter, 100, 100)+fmt.Sprintf(lighter, 101, 200)+fmt.Sprintf(lighter, 99, 300)+
		`<g font-weight="500"><text y="50" font-size="100" font-family="Own" font-weight="lighter">A</text></g>`))
	assert.InDelta(t, 10*px, doc.Artwork.Bounds().W(), 1e-9)
}

// Small things in large units: markers, radii, patterns beside the origin, and directions of
// less than a unit.
func TestSmallPartsInLargeUnits(t *testing.T) {
	large := func(inner string) string { return `<g transform="scale(50)">` + inner + `</g>` }
	mark := func(attributes, d string) string {
		return `<marker id="m" markerUnits="userSpaceOnUse" ` + attributes + `><rect width=".6" height=".4"/></marker>` +
			large(`<path d="`+d+`" fill="none" marker-mid="url(#m)"/>`)
	}
	far := read(t, on(`<pattern id="p" width=".2" height=".2" patternUnits="userSpaceOnUse"><rect width=".1" `+
		`height=".1"/></pattern><rect x="3000" y="5000" width="4" height="4" fill="url(#p)"/>`))
	assert.Len(t, far.Artwork.Shapes, 400)
	faint := read(t, on(`<filter id="f"><feColorMatrix values="1 0 0 0 0 0 1 0 0 0 0 0 1 0 0 0 0 0 .5 0"/></filter>`+
		`<rect width="9" height="9" fill-opacity=".5" filter="url(#f)"/>`))
	require.Len(t, faint.Artwork.Shapes, 1)
	assert.InDelta(t, 0.25, faint.Artwork.Shapes[0].Paint.Opacity, 1e-12)
	requireSame(t, []pair{ // CSS Transforms 1, 12: the tangent of 45° is 1, of 63.43° 2
		{`<rect width="9" height="5" transform="skewX(45)"/>`, `<path d="M0 0H9L14 5H5z"/>`},
		{`<rect width="9" height="5" transform="skewY(45)"/>`, `<path d="M0 0L9 9V14L0 5z"/>`},
		{`<rect width="9" height="5" style="transform:skew(45deg,63.43494882292201deg)"/>`,
			`<path d="M0 0L9 18L14 23L5 5z"/>`},
		{`<rect width="9" height="5" style="transform:skew(45deg)"/>`, `<path d="M0 0H9L14 5H5z"/>`},
	})
	requirePainted(t, []pair{
		{mark(`markerWidth=".6" markerHeight=".4"`, "M0 0L1 1L.5 .5"), `<rect x="50" y="50" width="30" height="20"/>`},
		{mark(`markerWidth="1" markerHeight="1" orient="auto"`, "M.2 .2h.5v.5"),
			`<g transform="translate(35 10) rotate(45)"><rect width="30" height="20"/></g>`},
		{`<rect width="60" height="10" rx="5" ry="8"/>`, `<rect width="60" height="10" rx="5" ry="5"/>`},
		{`<rect width="10" height="60" rx="8" ry="5"/>`, `<rect width="10" height="60" rx="5" ry="5"/>`},
		{`<pattern id="p" width=".25" height=".25"><rect width="5" height="5"/></pattern><rect x="15" y="22" width="40" ` +
			`height="40" fill="url(#p)"/>`,
			`<pattern id="p" patternUnits="userSpaceOnUse" x="5" y="2" width="10" height="10"><rect width="5" ` +
				`height="5"/></pattern><rect x="15" y="22" width="40" height="40" fill="url(#p)"/>`},
		{`<linearGradient id="g" gradientTransform="scale(0)"><stop/><stop offset="1" stop-color="red"/></linearGradient>` +
			`<rect width="50" height="50" fill="url(#g) red"/>`, ``}, // it is there, so that nothing stands for it
		{`<linearGradient id="g"/><rect width="50" height="50" fill="url(#g) red"/>`, ``}, // SVG 2, 14.2.4
		{`<path d="M10 10H80" stroke="red" stroke-width="8" stroke-dasharray="calc(-5px) 10" stroke-linecap="square"/>`,
			`<path d="M10 10H80" stroke="red" stroke-width="8" stroke-dasharray="0 10" stroke-linecap="square"/>`},
		{`<pattern id="p" width="9" height="9" patternTransform="scale(0)"><rect width="5" height="5"/></pattern>` +
			`<rect width="50" height="50" fill="url(#p) red"/>`, ``},
	})
	k := 25.4 / 96
	least := exactly(t, func(x float64) float64 { return x * math.Sqrt(math.Abs(-k*k)) }, 0.01, 0.01/k)
	for deviation, told := range map[float64]int{least: 1, math.Nextafter(least, 0): 0} { // a hundredth of a millimetre
		doc := read(t, on(fmt.Sprintf(`<rect width="9" height="9" style="filter:blur(%.17gpx)"/>`, deviation)))
		assert.Len(t, doc.Warnings, told)
	}
	soft := read(t, on(`<filter id="f"><feGaussianBlur stdDeviation="0 5"/></filter><rect width="9" height="9" `+
		`filter="url(#f)"/>`))
	require.Len(t, soft.Warnings, 1)
	assert.Contains(t, soft.Warnings[0].Message, "it is blurred")
	for inner, n := range map[string]int{
		`<marker id="m"><path d="M0 0H2V2z" marker-start="url(#m)"/></marker><path d="M9 9H20V20z" ` +
			`marker-start="url(#m)"/>`: 2,
		`<g style="isolation:isolate"><rect width="9" height="9"/><rect x="20" width="9" height="9"/></g>`: 2,
	} {
		shapes := read(t, on(inner)).Artwork.Shapes
		assert.Len(t, shapes, n, inner)
		for _, s := range shapes {
			assert.Nil(t, s.In, inner)
		}
	}
	doc, err := readText(`<svg xmlns="http://www.w3.org/2000/svg"><path d="M10 10H50" stroke="red" fill="none" ` +
		`stroke-dasharray="5%"/></svg>`) // of nothing
	require.NoError(t, err)
	require.Len(t, doc.Artwork.Shapes, 1)
	assert.InDelta(t, 40*px, doc.Artwork.Bounds().W(), 1e-9)
}

// What is wrong in a sheet is told and the rules beside it hold; a place too far is none; an
// image knows nothing of the use that draws it; a dot has a centre too.
func TestWrongBesideRight(t *testing.T) {
	const rect = `<rect width="30" height="20"/>`
	red := drawn(read(t, on(`<rect width="30" height="20" fill="red"/>`)).Artwork)
	for _, wrong := range []string{"}", "a{:}", "a{fill red}", "a{3:x}", "a{b:)}", "@glitter x;", "a>{b:c}", "a,{b:c}",
		"{}", "a:is(){b:c}", "a:is(b{c:d}"} {
		doc := read(t, on(`<style>rect{fill:red}`+wrong+`</style>`+rect))
		assert.Equal(t, red, drawn(doc.Artwork), wrong)
		assert.NotEmpty(t, doc.Warnings, wrong)
	}
	for _, attribute := range []string{"x", "y", "dx", "dy"} {
		for _, far := range []string{"2e12", "-2e12", "1e12", "1 2e12"} {
			doc := read(t, on(`<text font-family="Go" `+attribute+`="`+far+`">ab</text>`))
			assert.Contains(t, strings.Join(messages(doc), "\n"), attribute+" is ignored", far)
		}
	}
	image := `<defs><g id="u">` + drawing(`width="20" height="10"`, `<rect width="20" height="10" fill="context-fill"/>`+
		`<rect width="5" height="5"/>`) + `</g></defs><use href="#u" fill="red"/>`
	requireSame(t, []pair{{image, `<rect width="5" height="5"/>`}})
	for _, name := range []string{"background", "background-color"} {
		doc := read(t, strings.Replace(on(rect), "<svg ", `<svg `+name+`="red" `, 1))
		assert.Empty(t, doc.Warnings, name)
	}
	dots := read(t, on(`<path d="M10 10H30" stroke="red" stroke-linecap="round" stroke-dasharray="0 10" fill="none"/>`))
	require.Len(t, dots.Artwork.Shapes, 1)
	assert.Equal(t, []path.Verb{path.MoveTo, path.LineTo, path.MoveTo, path.LineTo}, dots.Artwork.Shapes[0].Centre.Verbs)
}

// Whose fault a thing is, and where: the image whose drawing has it, the character of path
// data, a place without a size, which may lie anywhere.
func TestWhoIsTold(t *testing.T) {
	doc := read(t, on(drawing(`id="photo" width="20" height="10"`, `<sparkle/>`)))
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, "image#photo", doc.Warnings[0].Element)
	for d, at := range map[string]int{"M1 1L5 5 x": 10, "x": 1, "M1 1L5 5,": 9, "M1 1L5": 7, "M1 1A5 5 0 2 0 9 9": 12} {
		doc = read(t, on(`<path d="`+d+`"/>`))
		require.Len(t, doc.Warnings, 1, d)
		assert.Contains(t, doc.Warnings[0].Message, fmt.Sprintf("at character %d;", at), d)
	}
	for _, mode := range []string{"hue", "saturation", "color", "luminosity"} {
		assert.Len(t, read(t, on(`<rect width="9" height="9" style="mix-blend-mode:`+mode+`"/>`)).Warnings, 1, mode)
	}
	for _, place := range []string{`x="50" y="50"`, `x="500" y="50"`} {
		doc = read(t, on(`<foreignObject `+place+`/>`))
		require.Len(t, doc.Warnings, 1, place)
		assert.Zero(t, doc.Warnings[0].At, place)
	}
	doc, err := svg.Read(strings.NewReader(on(`<rect width="0" height="5"/><rect width="5" height="0"/>`+"\n"+
		`<rect id="r" width="5" height="5"/>`)), svg.Options{Pick: pick.Options{Places: []string{"rect"}}})
	require.NoError(t, err)
	require.Len(t, doc.Places, 3)
	frames := 0
	for _, p := range doc.Places {
		if p.Frame != nil {
			frames++
			assert.Equal(t, path.Source{Element: "rect", ID: "r", Line: 2}, p.Source)
			assert.InDelta(t, 5*px, p.Frame.W, 1e-9)
		}
	}
	assert.Equal(t, 1, frames)
	_, err = svg.Read(strings.NewReader(on("")), svg.Options{Pick: pick.Options{Places: []string{""}}})
	assert.Error(t, err)
	_, err = readText("\x1f\x8bxx")
	var e *svg.Error
	require.ErrorAs(t, err, &e)
	assert.Error(t, e.Unwrap())
}
