package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Boxes, groups and masks belong to one element and end with it.
func TestWhatBelongsToOneElement(t *testing.T) {
	const grey = `<mask id="m" maskUnits="userSpaceOnUse" x="0" y="0" width="100" height="100">` +
		`<rect width="100" height="100" fill="white" opacity=".5"/></mask>`
	a, b := `<rect x="10" y="10" width="30" height="20" `, `<rect x="50" y="40" width="20" height="40" `
	const c = `<linearGradient id="g"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>`
	ramp := func(id, x1, x2 string) string {
		return `<linearGradient id="` + id + `" gradientUnits="userSpaceOnUse" x1="` + x1 + `" x2="` + x2 + `">` +
			`<stop stop-color="red"/><stop offset="1" stop-color="blue"/></linearGradient>`
	}
	half := `<clipPath id="h" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>`
	requirePainted(t, []pair{
		{c + a + `fill="url(#g)"/>` + b + `fill="url(#g)"/>`,
			ramp("p", "10", "40") + ramp("q", "50", "70") + a + `fill="url(#p)"/>` + b + `fill="url(#q)"/>`},
		{half + a + `clip-path="url(#h)"/>` + b + `clip-path="url(#h)"/>`,
			`<rect x="10" y="10" width="15" height="20"/><rect x="50" y="40" width="10" height="40"/>`},
		{grey + `<g opacity=".5">` + a + `mask="url(#m)"/>` + b + `/></g>`,
			a + `opacity=".25"/>` + b + `opacity=".5"/>`},
		{grey + `<g opacity=".5">` + b + `/>` + a + `mask="url(#m)"/></g>`,
			a + `opacity=".25"/>` + b + `opacity=".5"/>`},
		{grey + `<g mask="url(#m)">` + a + `/>` + b + `/></g>`, a + `opacity=".5"/>` + b + `opacity=".5"/>`},
		{grey + `<g opacity=".5">` + a + `mask="url(#m)" style="isolation:isolate"/>` + b + `/></g>`,
			a + `opacity=".25"/>` + b + `opacity=".5"/>`},
		{grey + a + `mask="url(#m)" opacity=".5"/>`, a + `opacity=".25"/>`},
	})
	requireSame(t, []pair{
		{`<mask id="m"><rect x="20" y="15" width="10" height="5" fill="white"/></mask>` + a + `mask="url(#m)"/>`,
			`<clipPath id="m"><rect x="20" y="15" width="10" height="5"/></clipPath>` + a + `clip-path="url(#m)"/>`},
		{`<linearGradient id="g" stop-color="red"><stop/><stop offset="1" stop-color="blue"/></linearGradient>` +
			a + `fill="url(#g)"/>`,
			`<linearGradient id="g"><stop stop-color="black"/><stop offset="1" stop-color="blue"/></linearGradient>` +
				a + `fill="url(#g)"/>`},
	})
	for markup, n := range map[string]int{
		`<g opacity=".06">` + a + `opacity=".06"/></g>`: 0, // 0.0036: nobody sees that
		`<g opacity=".1">` + a + `opacity=".06"/></g>`:  1,
		a + `opacity=".005"/>`:                          1, a + `opacity=".0049"/>`: 0,
		`<filter id="f"/>` + a + `filter="url(#f)"/>`:                                                            0,
		`<marker id="k" opacity=".005"><path d="M0 0H9V9z"/></marker><path d="M9 9H20" marker-end="url(#k)"/>`:   2,
		`<marker id="k" opacity=".0049"><path d="M0 0H9V9z"/></marker><path d="M9 9H20" marker-end="url(#k)"/>`:  1,
		`<rect id="k" width="9" height="9"/><path d="M9 9H20" marker-end="url(#k)"/>`:                            2,
		`<marker id="k"><path d="M0 0H9V9z"/></marker><path d="M9 9H20" stroke-width="0" marker-end="url(#k)"/>`: 1,
	} {
		assert.Len(t, read(t, on(markup)).Artwork.Shapes, n, markup)
	}
}

// Where a unit is large, what is less than one of it is there all the same.
func TestSmallInLargeUnits(t *testing.T) {
	large := func(inner string) string { return `<g transform="scale(50)">` + inner + `</g>` }
	const one = `<rect x=".2" y=".2" width="1" height="1" `
	requirePainted(t, []pair{
		{`<mask id="m" width=".5" height=".6"><rect width="9" height="9" fill="white"/></mask>` +
			large(one+`mask="url(#m)"/>`), `<rect x="10" y="10" width="20" height="25"/>`},
		{`<filter id="m" width=".5" height=".6"><feOffset dx="0"/></filter>` +
			large(one+`filter="url(#m)"/>`), `<rect x="10" y="10" width="20" height="25"/>`},
		{`<filter id="m" x="0" y="0" width="1" height="1"><feFlood flood-color="red"/></filter>` +
			large(`<rect x=".2" y=".2" width=".6" height=".8" filter="url(#m)"/>`),
			`<rect x="10" y="10" width="30" height="40" fill="red"/>`},
		{large(one + `rx=".4" ry=".5"/>`), `<rect x="10" y="10" width="50" height="50" rx="20" ry="25"/>`},
		{large(`<ellipse cx="1" cy="1" rx=".4" ry=".6"/>`), `<ellipse cx="50" cy="50" rx="20" ry="30"/>`},
	})
	requireLooks(t, pair{
		large(`<path id="p" d="M.2 1H1.9" fill="none"/><text font-size=".8"><textPath href="#p">ab</textPath></text>`),
		`<text x="10" y="50" font-size="40">ab</text>`,
	})
}

// SVG 2, 13.5.4 and 13.5.5: caps of a subpath of no length, and where a mitre ends: the
// ratio of its length to the width is 1/sin(angle/2), √2 for a right angle and 2 for 60°.
func TestDotsAndMitres(t *testing.T) {
	dot := func(d, attrs string) string {
		return `<path d="` + d + `" fill="none" stroke="black" stroke-width="20" ` + attrs + `/>`
	}
	right := func(limit string) string {
		return `<path d="M20 80V20H80" fill="none" stroke="black" stroke-width="20" stroke-miterlimit="` + limit + `"/>`
	}
	sharp := func(limit string) string { // 60° between the legs, its tip at 50, 30
		return `<path d="M28.8675 66.6025L50 30L71.1325 66.6025" fill="none" stroke="black" stroke-width="10" ` +
			`stroke-miterlimit="` + limit + `"/>`
	}
	const legs = `<path d="M24.5374 64.1025L45.6699 27.5L54.3301 32.5L33.1976 69.1025z"/>` +
		`<path d="M45.6699 32.5L54.3301 27.5L75.4626 64.1025L66.8024 69.1025z"/>` +
		`<path d="M45.6699 27.5H54.3301L50 30z"/>`
	square, mitred := `<rect x="40" y="30" width="20" height="20"/>`, `<path d="M10 80V10H80V30H30V80z"/>`
	var pairs []pair
	for _, d := range []string{"M50 40h0", "M50 40z", "M50 40L50 40z", "M50 40c0 0 0 0 0 0"} {
		pairs = append(pairs, pair{dot(d, `stroke-linecap="square"`), square},
			pair{dot(d, `stroke-linecap="round"`), `<circle cx="50" cy="40" r="10"/>`})
		assert.Empty(t, read(t, on(dot(d, ""))).Artwork.Shapes, d)
	}
	requirePainted(t, append(pairs, []pair{
		{right("1.42"), mitred}, {right("4"), mitred},
		{right("1.41"), `<path d="M10 80V20L20 10H80V30H30V80z"/>`},
		{right("1"), `<path d="M10 80V20L20 10H80V30H30V80z"/>`},
		{sharp("1.99"), legs}, {sharp("2.01"), legs + `<path d="M45.6699 27.5L50 20L54.3301 27.5z"/>`},
	}...))
	for _, invalid := range []string{"x", "", "1e999", ".9", "5x"} { // so it is 4
		requireLooks(t, pair{right(invalid), mitred})
	}
}

// SVG 2, 13.7: markers at the ends of closed paths turn half-way between the legs that meet,
// and only that at the start turns round; references go by the frame where the box is none.
func TestTurnsOfMarkers(t *testing.T) {
	mark := func(attrs, d, where string) string {
		return `<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="10" ` + attrs + `>` +
			`<rect width="12" height="4"/></marker><path fill="none" d="` + d + `" ` + where + `/>`
	}
	at := func(x, y, angle int) string {
		return fmt.Sprintf(`<g transform="translate(%d %d) rotate(%d)"><rect width="12" height="4"/></g>`, x, y, angle)
	}
	const auto, reverse = `orient="auto"`, `orient="auto-start-reverse"`
	const square = "M30 30H60V60H30z"
	requirePainted(t, []pair{
		{mark(auto, square, `marker-start="url(#m)"`), at(30, 30, -45)}, // up, then to the right
		{mark(auto, square, `marker-end="url(#m)"`), at(30, 30, -45)},
		{mark(auto, square, `marker-mid="url(#m)"`), at(60, 30, 45) + at(60, 60, 135) + at(30, 60, 225)},
		{mark(auto, "M30 30H60V60H30zM70 20H80", `marker-end="url(#m)"`), at(80, 20, 0)},
		{mark(reverse, "M30 30H60V60", `marker-start="url(#m)"`), at(30, 30, 180)},
		{mark(reverse, "M30 30H60V60", `marker-mid="url(#m)"`), at(60, 30, 45)},
		{mark(reverse, "M30 30H60V60", `marker-end="url(#m)"`), at(60, 60, 90)},
		{mark(reverse, square, `marker-start="url(#m)"`), at(30, 30, 135)},
		{mark(`orient="30"`, "M30 30H60", `marker-start="url(#m)"`), at(30, 30, 30)},
		{mark(`refX="50%" refY="50%" viewBox="0 0 0 9"`, "M30 30H60", `marker-start="url(#m)"`), at(20, 25, 0)},
		{mark(`refX="50%" refY="50%" viewBox="0 0 9 0"`, "M30 30H60", `marker-start="url(#m)"`), at(20, 25, 0)},
		{mark(`refX="right" refY="bottom"`, "M30 30H60", `marker-start="url(#m)"`), at(10, 20, 0)},
		{mark("", "M30 30H60", `style="marker:url(#m);marker-end:none"`), at(30, 30, 0)},
	})
}

// A clip is left off only where it is an upright rectangle round all that it holds.
func TestClipsThatCut(t *testing.T) {
	for d, clips := range map[string]int{
		"M0 0H40V40H0z": 0, "M0 0V40H40V0z": 0, "M0 0H40V40L0 40z": 0,
		"M0 0H40V40zM0 40": 1, "M0 0H40V40C0 40 0 0 40 0z": 1, // as many points, or as many segments
		"M20 -20L60 20L20 60L-20 20z": 1, "M0 0H20V40H0z": 1, "M0 0H40V20H0z": 1, "M15 0H40V40H15z": 1,
		"M0 15H40V40H0z": 1, "M0 0H40V0H0z": 1, "M0 0H40H0V40z": 1, "M0 0H40V40H0zM5 5H6V6z": 1, "M0 0L40 1V40H0z": 1,
	} {
		shapes := read(t, on(`<clipPath id="c"><path d="`+d+`"/></clipPath>`+
			`<rect x="10" y="10" width="20" height="20" clip-path="url(#c)"/>`)).Artwork.Shapes
		require.Len(t, shapes, 1, d)
		assert.Len(t, shapes[0].Clips, clips, d)
	}
}

// Values at their bounds, and what is none.
func TestValuesAtTheirBounds(t *testing.T) {
	dashed := func(list string) string {
		return `<g stroke-dasharray="20 10"><path d="M10 30H90" stroke="black" stroke-width="8" stroke-dasharray="` +
			list + `"/></g>`
	}
	const line = `<path d="M10 26H90V34H10z"/>`
	const inherited = `<path d="M10 26H30V34H10zM40 26H60V34H40zM70 26H90V34H70z"/>`
	requirePainted(t, []pair{
		{dashed("none"), line}, {dashed("0 0"), line}, {dashed(strings.Repeat("8 ", 10_000)),
			`<path d="M10 26H18V34H10zM26 26H34V34H26zM42 26H50V34H42zM58 26H66V34H58zM74 26H82V34H74z"/>`},
		{`<style>*{rx:9}</style><rect width="50" height="40"/>`, `<rect width="50" height="40" rx="9"/>`},
		{`<g fill="red"><rect width="50" height="40" style="stroke:blue;all:initial"/></g>`,
			`<rect width="50" height="40" fill="black"/>`},
		{`<rect x="20" y="20" width="20" height="20" style="filter:drop-shadow(rgb(255, 0, 0) 33px 4px)"/>`,
			`<rect x="53" y="24" width="20" height="20" fill="red"/><rect x="20" y="20" width="20" height="20"/>`},
		{`<path d="M10 10H40V40z" pathLength="x" stroke="red" stroke-width="4" stroke-dasharray="9"/>`,
			`<path d="M10 10H40V40z" stroke="red" stroke-width="4" stroke-dasharray="9"/>`},
	})
	for _, invalid := range []string{" , ", "x", "5 -5", strings.Repeat("8 ", 10_001)} {
		requireLooks(t, pair{dashed(invalid), inherited})
	}
	requireLooks(t, pair{`<g font-size="30"><text y="50" style="font-size:9px;font:inherit">ab</text></g>`,
		`<text y="50" font-size="30">ab</text>`})
	requireSame(t, []pair{
		{`<linearGradient id="g" gradientUnits="userSpaceOnUse" x1="10" y1="10" x2="50" y2="40"><stop/>` +
			`<stop offset="1" stop-color="red"/></linearGradient><rect width="50" height="40" fill="url(#g)"/>`,
			`<linearGradient id="g" gradientUnits="userSpaceOnUse" x2="50" gradientTransform="matrix(.8 .6 -.6 .8 ` +
				`10 10)"><stop/><stop offset="1" stop-color="red"/></linearGradient>` +
				`<rect width="50" height="40" fill="url(#g)"/>`},
	})
}

// SVG 2, 11.5: a text is stretched alike wherever it stands, left of the origin too; and
// 11.8: the line that closes a path carries letters as any other.
func TestTextsWhereverTheyStand(t *testing.T) {
	fitted := func(x, more string) string {
		return `<g transform="translate(90 50)"><text x="` + x + `" font-size="20" textLength="60" ` + more +
			`>abc</text></g>`
	}
	along := func(d string) string {
		return `<path id="p" d="` + d + `" fill="none"/><text font-size="20"><textPath href="#p" startOffset="92">` +
			`ab</textPath></text>`
	}
	moved := func(x string) string {
		return `<g transform="translate(` + x + ` 50)"><text font-size="20" textLength="60">abc</text></g>`
	}
	requireLooks(t, []pair{
		{fitted("-80", ""), moved("10")},
		{fitted("-80", `lengthAdjust="spacingAndGlyphs"`), `<g transform="translate(10 50)"><text font-size="20" ` +
			`textLength="60" lengthAdjust="spacingAndGlyphs">abc</text></g>`},
		{along("M40 30H70V60H40z"), along("M40 30H70V60H40V30")},
	}...)
}

// Selectors 4, 14: children by their places, each as the plain id that it picks.
func TestChildrenByPlace(t *testing.T) {
	const tree = `<g><rect id="a" width="10" height="10"/></g><g><circle id="b" r="5"/><rect id="c" width="20" ` +
		`height="9"/><rect id="d" width="30" height="8"/><ellipse id="e" rx="9" ry="3"/></g>`
	for rule, ids := range map[string]string{
		"g>:only-child": "#a", "g>:first-child": "#a,#b", "g>:last-child": "#a,#e", "g>:nth-child(2n)": "#c,#e",
		"g>:nth-last-child(2)": "#d", "g>:first-of-type": "#a,#b,#c,#e", "g>:last-of-type": "#a,#b,#d,#e",
		"g>:only-of-type": "#a,#b,#e", "g>:nth-of-type(2)": "#d", "g>:nth-last-of-type(2)": "#c",
		"rect:not(#a)":                          "#c,#d",
		"g>:not(:first-child):not(:last-child)": "#c,#d", "g>:NTH-CHILD( 2n + 1 )": "#a,#b,#d",
	} {
		got, want := on("<style>"+rule+"{fill:red}</style>"+tree), on("<style>"+ids+"{fill:red}</style>"+tree)
		assert.Equal(t, drawn(read(t, want).Artwork), drawn(read(t, got).Artwork), rule)
		assert.Empty(t, read(t, got).Warnings, rule)
	}
}

// As many fonts as the bound are tried, and the next is told.
func TestSixtyFourFontFaces(t *testing.T) {
	for n, more := range map[int]int{64: 0, 65: 1} {
		face := `@font-face{font-family:F;src:url(data:font/ttf;base64,AAAA)}`
		doc := read(t, on("<style>"+strings.Repeat(face, n)+`</style><rect width="9" height="9"/>`))
		list := strings.Join(messages(doc), "\n")
		assert.Equal(t, more, strings.Count(list, "more than 64 fonts"), n)
	}
	doc := read(t, on(`<text y="50" direction="rtl" unicode-bidi="bidi-override">abc</text>`))
	assert.Contains(t, strings.Join(messages(doc), "\n"), "unicode-bidi bidi-override is not followed")
}

// A stroke tells its centre line and width where it is drawn, in millimetres.
func TestCentresOfStrokes(t *testing.T) {
	for attrs, width := range map[string]float64{
		"": 6, `stroke-width="0.5"`: 1, `vector-effect="non-scaling-stroke"`: 3, `stroke-dasharray="30"`: 6,
	} {
		shapes := read(t, on(`<g transform="scale(2)" stroke="red" stroke-width="3"><path d="M10 5H40" fill="none" `+
			attrs+`/></g>`)).Artwork.Shapes
		require.Len(t, shapes, 1, attrs)
		assert.InDelta(t, width*px, shapes[0].Width, 1e-9, attrs)
		b := shapes[0].Centre.Bounds()
		assert.InDelta(t, 20*px, b.Min.X, 1e-9, attrs)
		assert.InDelta(t, 80*px, b.Max.X, 1e-9, attrs)
		assert.InDelta(t, 90*px, b.Max.Y, 1e-9, attrs)
		assert.Zero(t, b.H(), attrs)
	}
}

// What a property is by a word for all properties, in any case of letters, in a list of
// selectors, and what uses that lead back to where they began draw.
func TestWordsForAll(t *testing.T) {
	const tree = `<g class="a"><rect class="a" width="30" height="20"/></g><circle class="a" r="9"/>` +
		`<rect y="50" width="20" height="10"/>`
	for rule, plain := range map[string]string{
		"rect:is(*.a)": "rect.a", "rect:is(rect.a)": "rect.a", "rect:is(RECT.a)": "rect.a", "*:is(rect.a)": "rect.a",
		"rect:is(*)": "rect", ".a:is(*)": ".a", "rect:is(circle.a, .a)": "rect.a",
	} {
		got := read(t, on("<style>"+rule+"{fill:red}</style>"+tree))
		assert.Equal(t, drawn(read(t, on("<style>"+plain+"{fill:red}</style>"+tree)).Artwork), drawn(got.Artwork), rule)
		assert.Empty(t, got.Warnings, rule)
	}
	for style, told := range map[string]bool{
		"": true, "text-shadow:none": false, "text-shadow:initial": false, "text-shadow:inherit": true,
		"text-shadow:none;text-shadow:unset": true,
	} {
		doc := read(t, on(`<g style="text-shadow:1px 1px red"><text y="50" style="`+style+`">a</text></g>`))
		assert.Equal(t, told, strings.Contains(strings.Join(messages(doc), "\n"), "text-shadow"), style)
	}
	requireLooks(t, pair{`<text y="50" font-size="40"><tspan alignment-baseline="Middle">ab</tspan></text>`,
		`<text y="50" font-size="40" dominant-baseline="middle">ab</text>`})
	ring := read(t, on(`<g id="a"><rect width="9" height="9"/><use href="#b"/></g>`+
		`<defs><g id="b"><use href="#a"/></g></defs>`))
	assert.Len(t, ring.Artwork.Shapes, 1)
	assert.Equal(t, []string{"refers to itself; left out"}, messages(ring))
}
