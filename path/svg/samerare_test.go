package svg_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// CSS 2.2, 4.2: a value that is none leaves what was said before it.
func TestValuesThatAreNone(t *testing.T) {
	groups := func(art path.Artwork) (n int) {
		for _, s := range art.Shapes {
			for g := s.In; g != nil; g = g.In {
				n++
			}
		}
		return n
	}
	for _, c := range []struct{ property, value, on string }{
		{"fill", "red", "shape"}, {"stroke", "red", "shape"}, {"fill-opacity", ".5", "shape"},
		{"fill-rule", "evenodd", "shape"}, {"stroke-opacity", "50%", "shape"}, {"stroke-width", "3", "shape"},
		{"stroke-dasharray", "5 2", "shape"}, {"stroke-linecap", "round", "line"}, {"stroke-linejoin", "bevel", "line"},
		{"stroke-miterlimit", "1.1", "line"}, {"font-weight", "bold", "text"}, {"font-size", "11px", "text"},
		{"letter-spacing", "3px", "text"}, {"text-anchor", "middle", "text"}, {"dominant-baseline", "hanging", "text"},
		{"text-transform", "uppercase", "text"}, {"opacity", ".5", "shape"}, {"isolation", "isolate", "shape"},
		{"mix-blend-mode", "multiply", "shape"}, {"baseline-shift", "3px", "text"},
	} {
		say := func(style string) path.Artwork {
			return read(t, on(strings.ReplaceAll(shown[c.on], "%s", `style="`+style+`"`))).Artwork
		}
		want := say(c.property + ":" + c.value)
		for _, none := range []string{"maybe", "7 of 9", "#", "url(", "-"} {
			got := say(c.property + ":" + c.value + ";" + c.property + ":" + none)
			assert.Equal(t, drawn(want), drawn(got), "%s: %s", c.property, none)
			assert.Equal(t, groups(want), groups(got), "%s: %s", c.property, none)
		}
	}
	rect := func(attributes string) string {
		return `<rect x="10" y="10" width="60" height="50" ` + attributes + `/>`
	}
	for _, p := range []pair{
		{rect(`rx="bad" ry="10"`), rect(`ry="10"`)}, {rect(`rx="px" ry="10"`), rect(`ry="10"`)},
		{rect(`rx="1e999px" ry="10"`), rect(`ry="10"`)}, {rect(`fill="url(#no) url(#no)"`), rect("")},
		{rect(`fill="url(#no) bogus"`), rect("")}, {rect(`fill="url(#no) lime"`), rect(`fill="lime"`)},
		{rect(`style="transform:scale(2) translate(3foo)"`), rect("")}, {rect(`transform="scale(1 2 3 4 5 6 7)"`), rect("")},
		{`<g fill="lime">` + rect(`style="fill:red;fill:var(--no)"`) + `</g>`, rect(`fill="lime"`)},
		{rect(`style="clip-path:rect(20px 40px 10px 5px)"`), ``}, {rect(`style="clip-path:rect(5px 10px 20px 40px)"`), ``},
		{`<style>:is(){fill:red}</style>` + rect(""), rect("")},
		{rect(`style="fill:red;fill:!important"`), rect(`fill="red"`)},
		{rect(`style="fill:red;clip-path:(1px)"`), rect(`fill="red"`)},
	} {
		got, want := read(t, on(p.markup)).Artwork, read(t, on(p.plain)).Artwork
		a, b := paint(got, 50), paint(want, 50)
		assert.Equal(t, b.rgb, a.rgb, p.markup)
	}
	assert.Empty(t, read(t, on(`<style>rect:not(`+strings.Repeat("a ", 4)+`a){fill:red}</style>`)).Warnings)
	assert.Len(t, read(t, on(`<style>rect:not(`+strings.Repeat("a ", 5)+`a){fill:red}</style>`)).Warnings, 1)
}

// Small boxes, odd units and words at the edge of what they mean.
func TestRareWords(t *testing.T) {
	rect := func(attributes string) string { return `<rect width="50" height="40" ` + attributes + `/>` }
	line := func(attributes string) string {
		return `<path d="M10 10H80" fill="none" stroke="red" ` + attributes + `/>`
	}
	weights := squareFont("a", 10, `<font-face font-family="Own" font-weight="100"/>`, "") +
		squareFont("b", 20, `<font-face font-family="Own" font-weight="500"/>`, "") +
		squareFont("c", 30, `<font-face font-family="Own" font-weight="900"/>`, "")
	text := func(style string) string { return weights + `<text y="60" style="` + style + `">A</text>` }
	var pairs []pair
	for _, weight := range []string{"1", "100", "450", "700", "1000", "bold"} {
		pairs = append(pairs, pair{text("font:" + weight + " 100px/2 Own"),
			text("font-size:100px;font-family:Own;font-weight:" + weight)})
	}
	for weight, size := range map[string]string{"1": "10", "450": "20", "1000": "30"} { // CSS Fonts 4, 5.2
		pairs = append(pairs, pair{text("font-size:100px;font-family:Own;font-weight:" + weight),
			`<path d="M0 60h` + size + `v-` + size + `h-` + size + `z"/>`})
	}
	small := `<font horiz-adv-x="1"><font-face font-family="Small" units-per-em="1"/>` +
		`<glyph unicode="A" d="M0 0H.4V.5H0z"/></font>`
	spaces := func(style, text string) string {
		return `<g style="white-space:pre"><text y="40" font-size="20" style="` + style + `">` + text + `</text></g>`
	}
	for _, space := range []string{"&#9;", "&#10;", "&#13;"} {
		pairs = append(pairs, pair{rect(`style="clip-path:inset(1px` + space + `2px` + space + `3px)"`),
			rect(`style="clip-path:inset(1px 2px 3px 2px)"`)})
	}
	requireSame(t, append(pairs, []pair{
		{small + `<text x="10" y="80" font-size="100" font-family="Small">A</text>`, `<path d="M10 80h40v-50h-40z"/>`},
		{line(""), line(`stroke-width="1"`)}, {line(`stroke-linecap=" round "`), line(`stroke-linecap="round"`)},
		{rect(`display=" none "`), ``}, {rect(`fill-rule=" evenodd "`), rect(`fill-rule="evenodd"`)},
		{line(`stroke-width="8" stroke-dasharray="10" stroke-dashoffset="9.5"`),
			`<path d="M10 10H10.5M20.5 10H30.5M40.5 10H50.5M60.5 10H70.5" fill="none" stroke="red" stroke-width="8"/>`},
		{line(`stroke-width="8" stroke-dasharray="10" stroke-dashoffset="-.5"`),
			`<path d="M10.5 10H20.5M30.5 10H40.5M50.5 10H60.5M70.5 10H80" fill="none" stroke="red" stroke-width="8"/>`},
		{`<g transform="scale(50)"><circle cx="1" cy="1" r=".4"/></g>`, `<circle cx="50" cy="50" r="20"/>`},
		{`<path d="M10 10A0 20 0 0 1 60 60H10z"/>`, `<path d="M10 10L60 60H10z"/>`},
		{`<path d="M10 10A20 0 0 0 1 60 60H10z"/>`, `<path d="M10 10L60 60H10z"/>`},
		{`<svg width="80" height="40">` + rect(`style="transform:translate(10%,25%)"`) + `</svg>`,
			`<svg width="80" height="40">` + rect(`transform="translate(8 10)"`) + `</svg>`},
		{`<style>:is( rect ,circle ){fill:red}</style>` + rect(""), rect(`fill="red"`)},
		{`<style>rect:is( rect , .b ){fill:red}</style>` + rect(""), rect(`fill="red"`)},
	}...))
	for style, plain := range map[string]string{"normal": "a b", "pre-line": "a b", "nowrap": "a b", "pre-wrap": "a  b"} {
		got, want := read(t, on(spaces("white-space:"+style, "a  b"))), read(t, on(spaces("", plain)))
		assert.Equal(t, drawn(want.Artwork), drawn(got.Artwork), style)
	}
	requirePainted(t, []pair{
		{`<clipPath id="c" clip-rule="evenodd"><path d="M10 10H90V90H10z M30 30H70V70H30z"/></clipPath>` +
			`<rect width="100" height="100" clip-path="url(#c)"/>`,
			`<path fill-rule="evenodd" d="M10 10H90V90H10z M30 30H70V70H30z"/>`},
		{`<clipPath id="c"><rect width="20" height="20"/><rect x="40" width="20" height="20" visibility="hidden"/>` +
			`</clipPath>` + `<rect width="100" height="100" clip-path="url(#c)"/>`, `<rect width="20" height="20"/>`},
		{`<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>` +
			`<g clip-path="url(#c)"><rect width="20" height="40"/><rect x="60" width="20" height="40" ` +
			`visibility="hidden"/></g>`, `<rect width="20" height="40"/>`},
		{`<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="10" viewBox="0 0 .5 .8" ` +
			`preserveAspectRatio="none" refX="center" refY="center"><rect width=".5" height=".8"/></marker>` +
			`<path d="M50 50H60" fill="none" marker-start="url(#m)"/>`, `<rect x="40" y="45" width="20" height="10"/>`},
		{`<pattern id="p" width="20" height="10" patternUnits="userSpaceOnUse" viewBox="0 0 .5 .8" ` +
			`preserveAspectRatio="none"><rect width=".25" height=".8"/></pattern><rect width="40" height="20" ` +
			`fill="url(#p)"/>`, `<rect width="10" height="20"/><rect x="20" width="10" height="20"/>`},
		{`<pattern id="p" width="50" height="50" patternUnits="userSpaceOnUse" overflow="visible"><rect x="-10" ` +
			`width="20" height="20"/></pattern><rect width="80" height="20" fill="url(#p)"/>`,
			`<rect width="10" height="20"/><rect x="40" width="20" height="20"/>`},
		{`<pattern id="p" width="50" height="50" patternUnits="userSpaceOnUse" overflow="scroll"><rect x="-10" ` +
			`width="20" height="20"/></pattern><rect width="80" height="20" fill="url(#p)"/>`,
			`<rect width="10" height="20"/><rect x="50" width="10" height="20"/>`},
		{`<filter id="f" x="-1" y="-1" width="3" height="3" primitiveUnits="objectBoundingBox"><feOffset dx=".5" ` +
			`dy=".25"/></filter><rect x="21" y="20" width="20" height="40" filter="url(#f)"/>`,
			`<rect x="31" y="30" width="20" height="40"/>`},
		{`<filter id="f" x="-1" y="-1" width="3" height="3"><feColorMatrix values="1 0 0 0 0 0 1 0 0 0 0 0 1 0 0 ` +
			`0 0 0 .5 0"/></filter><rect x="20" y="20" width="20" height="40" stroke="red" stroke-width="10" ` +
			`filter="url(#f)"/>`,
			`<g opacity=".5"><rect x="20" y="20" width="20" height="40" stroke="red" stroke-width="10"/></g>`},
		{`<mask id="m" x="0" y="0" width="1" height=".5"><rect width="99" height="99" fill="white"/></mask>` +
			`<rect x="10" y="10" width="40" height="20" mask="url(#m)"/>`, `<rect x="10" y="10" width="40" height="10"/>`},
	})
}

// Filter Effects 1, 12: of the functions of colour none but opacity() makes it fainter.
func TestFunctionsKeepOpacity(t *testing.T) {
	for _, f := range []string{"sepia(1)", "sepia(.3)", "grayscale(1)", "grayscale(.3)", "saturate(.4)", "invert(.2)",
		"brightness(.5)", "contrast(.5)", "hue-rotate(30deg)"} {
		art := read(t, on(`<rect width="9" height="9" fill="#808080" fill-opacity=".5" style="filter:`+f+`"/>`)).Artwork
		require.Len(t, art.Shapes, 1, f)
		assert.InDelta(t, 0.5, art.Shapes[0].Paint.Opacity, 1e-12, f)
		assert.Nil(t, art.Shapes[0].In, f)
	}
}

// Round shapes by their areas and lengths: π·a·b for an ellipse, 2·π·r round a circle.
func TestRoundShapesByHand(t *testing.T) {
	for markup, want := range map[string][2]float64{
		`<circle cx="50" cy="50" r="30"/>`:                     {900 * math.Pi, 60 * math.Pi},
		`<ellipse cx="50" cy="50" rx="30" ry="30"/>`:           {900 * math.Pi, 60 * math.Pi},
		`<rect width="60" height="50" rx="12"/>`:               {3000 - (4-math.Pi)*144, 2*(36+26) + 24*math.Pi},
		`<path d="M20 50A5 5 0 0 1 80 50z"/>`:                  {450 * math.Pi, 30*math.Pi + 60}, // radii too small
		`<path d="M20 50A30 30 0 0 1 80 50z"/>`:                {450 * math.Pi, 30*math.Pi + 60},
		`<path d="M50 20A30 30 0 1 1 20 50L50 50z"/>`:          {675 * math.Pi, 45*math.Pi + 60},
		`<path d="M20 50A3 3 90 1 0 80 50A1 1 0 0 0 20 50z"/>`: {900 * math.Pi, 60 * math.Pi},
	} {
		shapes := read(t, on(markup)).Artwork.Shapes
		require.Len(t, shapes, 1, markup)
		require.Equal(t, path.MoveTo, shapes[0].Path.Verbs[0], markup)
		area, length := 0.0, 0.0
		shapes[0].Path.Flatten(1e-5, func(pts []path.Point, _ bool) {
			for i, p := range pts {
				q := pts[(i+1)%len(pts)]
				area, length = area+p.Cross(q)/2, length+p.Dist(q)
			}
		})
		assert.InEpsilon(t, want[0], math.Abs(area)/px/px, 1e-4, markup)
		assert.InEpsilon(t, want[1], length/px, 1e-4, markup)
	}
}

// Where a thing is told, for boxes that are askew or have no height, and what is hidden.
func TestWhereOddBoxesAre(t *testing.T) {
	for inner, want := range map[string][4]float64{ // left, top, width, height
		`<foreignObject x="50" y="40" width="30" height="10" transform="rotate(-45 50 40)"/>`: {50, 18.787, 28.284, 28.284},
		`<path d="M10 50H60" stroke="red" mask="url(#none)"/>`:                                {10, 50, 50, 0},
		`<path d="M10 50V70" stroke="red" mask="url(#none)"/>`:                                {10, 50, 0, 20},
	} {
		doc := read(t, on(inner))
		require.Len(t, doc.Warnings, 1, inner)
		at := doc.Warnings[0].At
		got := [4]float64{at.Min.X / px, 100 - at.Max.Y/px, at.W() / px, at.H() / px}
		assert.InDeltaSlice(t, want[:], got[:], 0.001, inner)
	}
	lost := func(inner string) path.Warning {
		doc := read(t, on(ownFont("")+`<path id="p" d="M9 40H30" fill="none"/><text font-family="Own"><textPath href="#p">`+
			inner+`</textPath></text>`))
		require.NotEmpty(t, doc.Warnings)
		return doc.Warnings[0]
	}
	plain := lost("A&#xE000;A")
	assert.Equal(t, plain.At, lost("A&#xE000;"+strings.Repeat("A", 9)).At, "beyond the end of the path")
	for n, more := range map[int]string{5: "", 6: "and 1 more letters", 7: "and 2 more letters"} {
		var letters strings.Builder
		for i := range n {
			fmt.Fprintf(&letters, "&#x%X;", 0xE000+i)
		}
		got := lost(letters.String()).Message
		assert.Equal(t, more != "", strings.Contains(got, " more letters"), got)
		assert.Contains(t, got, more)
		assert.Equal(t, 5, strings.Count(got, "U+E00"), got)
	}
	doc := read(t, on(`<path d="M0 0H9V9zwabcdefghijk"/>`))
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].Message, `unknown command "wabcdefg"`)
	doc = read(t, on(`<image width="50" height="20" href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' `+
		`width='9' height='9'%3E%3Crect width='9' height='9'%3E%3Canimate attributeName='x'/%3E%3C/rect%3E%3C/svg%3E"/>`))
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, path.Motion, doc.Warnings[0].Kind)
}

// Pages of less than a unit, and too large in one direction alone.
func TestPagesAtTheirEdges(t *testing.T) {
	page := func(size string) (path.Document, error) {
		return readText(`<svg xmlns="http://www.w3.org/2000/svg" ` + size + `><path d="M1 1H20V20Z"/></svg>`)
	}
	doc, err := page(`width=".5" height=".8"`)
	require.NoError(t, err)
	assert.InDelta(t, 0.5*px, doc.Artwork.Page.W(), 1e-12)
	assert.InDelta(t, 0.8*px, doc.Artwork.Page.H(), 1e-12)
	for _, size := range []string{`width="1e9" height="50"`, `width="50" height="1e9"`, `width="-1" height="50"`,
		`width="50" height="-1"`} {
		_, err := page(size)
		assert.ErrorContains(t, err, "cannot be used", size)
	}
	doc, err = readText(`<!DOCTYPE svg [<!ENTITY c "red">]><svg xmlns="http://www.w3.org/2000/svg" width="9" height="9">` +
		`<sparkle id="a&amp;b"/><rect width="5" height="5" fill="&c;"/></svg>`)
	require.NoError(t, err)
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, "sparkle#a&b", doc.Warnings[0].Element)
	assert.Equal(t, 1.0, doc.Artwork.Shapes[0].Paint.R)
}

// CSS Text 3, 7.1: words are set apart at spaces and no-break spaces alone.
func TestSpacesBetweenWords(t *testing.T) {
	right := func(text, spacing string) float64 {
		return read(t, on(`<text y="50" font-size="10" word-spacing="`+spacing+`">`+text+`</text>`)).
			Artwork.Bounds().Max.X / px
	}
	for text, spaces := range map[string]float64{"ab": 0, "a b": 1, "a&#160;b": 1, "a b c": 2} {
		assert.InDelta(t, right(text, "0")+7*spaces, right(text, "7"), 1e-9, text)
	}
	doc := withPlaces(t, `<text id="a" x="30" y="40" transform="rotate(30)" font-size="5">x</text>`, "#a")
	require.Len(t, doc.Places, 1)
	assert.NotNil(t, doc.Places[0].Text)
}

// Patterns and masks in parts of a box that does not begin at 0, and their sizes where what
// is said is none: SVG 2, 14.3, and CSS Masking 1, 6.
func TestServersInBoxes(t *testing.T) {
	rect := func(attributes string) string {
		return `<rect x="20" y="10" width="50" height="40" ` + attributes + `/>`
	}
	pattern := func(attributes, in string) string {
		return `<pattern id="p" ` + attributes + `>` + in + `</pattern>` + rect(`fill="url(#p)"`)
	}
	dot := `<rect width="5" height="8" fill="red"/>`
	mask := func(attributes, in string) string {
		return `<mask id="m" ` + attributes + `>` + in + `</mask>` + rect(`mask="url(#m)"`)
	}
	white := `<rect width="99" height="99" fill="#fff"/>`
	for _, p := range []pair{
		{pattern(`x=".1" y=".2" width=".3" height=".25"`, dot),
			pattern(`patternUnits="userSpaceOnUse" x="25" y="18" width="15" height="10"`, dot)},
		{pattern(`x="bad" y="bad" width=".5" height=".25"`, dot), pattern(`width=".5" height=".25"`, dot)},
		{pattern(`width="bad" height=".25"`, dot), ``},
		{mask(`x="bad" width="bad" height=".5"`, white), mask(`height=".5"`, white)},
		{mask(`maskContentUnits="objectBoundingBox"`, `<rect x=".5" width=".5" height="1" fill="#fff"/>`),
			`<rect x="45" y="10" width="25" height="40"/>`},
	} {
		got, want := read(t, on(p.markup)).Artwork, read(t, on(p.plain)).Artwork
		assert.Equal(t, paint(want, 100).rgb, paint(got, 100).rgb, p.markup)
	}
}
