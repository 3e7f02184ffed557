package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Paints that are faint, or have no room.
func TestFaintAndRoomlessPaints(t *testing.T) {
	pattern := func(rect, attributes string) string {
		return `<pattern id="p" width="20" height="10" patternUnits="userSpaceOnUse"><rect width="12" height="4" ` +
			rect + `/></pattern><rect x="10" y="10" width="60" height="30" fill="url(#p)" ` + attributes + `/>`
	}
	ramp := func(opacity, attributes string) string {
		return `<linearGradient id="g"><stop stop-color="red" ` + opacity + `/><stop offset="1" stop-color="blue" ` +
			opacity + `/></linearGradient><rect x="10" y="10" width="60" height="30" fill="url(#g)" ` +
			`` + attributes + `/>`
	}
	half := `<mask id="m"><rect width="99" height="99" fill="white" opacity=".5"/></mask>`
	requirePainted(t, []pair{
		{ramp("", `opacity=".5"`), ramp(`stop-opacity=".5"`, "")},
		{ramp("", `fill-opacity=".5"`), ramp(`stop-opacity=".5"`, "")},
		{half + ramp("", `mask="url(#m)"`), ramp(`stop-opacity=".5"`, "")},
		{`<g opacity=".5">` + ramp("", "") + `</g>`, ramp(`stop-opacity=".5"`, "")},
		{pattern("", `fill-opacity=".5"`), pattern(`fill-opacity=".5"`, "")},
		{pattern("", `opacity=".25"`), pattern(`opacity=".25"`, "")},
		{`<filter id="f" color-interpolation-filters="sRGB"><feComponentTransfer><feFuncR type="table" ` +
			`tableValues="0 .2 1"/><feFuncG type="table" tableValues="1 0"/><feFuncB type="discrete" ` +
			`tableValues=".1 .7"/></feComponentTransfer></filter><rect x="10" y="10" width="40" height="30" ` +
			`fill="rgb(75% 40% 60%)" filter="url(#f)"/>`,
			`<rect x="10" y="10" width="40" height="30" fill="rgb(60% 60% 70%)"/>`},
		{`<filter id="f" color-interpolation-filters="sRGB"><feComponentTransfer><feFuncR type="linear" slope=".5" ` +
			`intercept=".25"/><feFuncG type="gamma" amplitude=".5" exponent="2" offset=".1"/><feFuncB type="table" ` +
			`tableValues=".3"/></feComponentTransfer></filter><rect x="10" y="10" width="40" height="30" ` +
			`fill="rgb(80% 40% 60%)" filter="url(#f)"/>`,
			`<rect x="10" y="10" width="40" height="30" fill="rgb(65% 18% 30%)"/>`},
		{`<radialGradient id="g" r="0"><stop stop-color="red"/><stop offset="1" stop-color="blue"/></radialGradient>` +
			`<rect x="10" y="10" width="40" height="30" fill="url(#g)"/>`,
			`<rect x="10" y="10" width="40" height="30" fill="blue"/>`},
	})
}

// Styles of a page do not reach into its images; variables in a ring are none.
func TestWhatStylesReach(t *testing.T) {
	image := `<image x="10" y="20" width="20" height="10" href="data:image/svg+xml,%3Csvg xmlns=` +
		`'http://www.w3.org/2000/svg' width='20' height='10'%3E%3Crect width='10' height='5'/%3E%3C/svg%3E"/>`
	rect := `<rect x="10" y="20" width="10" height="5" `
	for markup, plain := range map[string]string{
		`<style>rect{fill:red}</style>` + image:                                      image,
		`<style>rect{--a:var(--b);--b:var(--a);fill:var(--a)}</style>` + rect + `/>`: rect + `/>`,
		`<style>rect{--a:var(--a);fill:var(--a,red)}</style>` + rect + `/>`:          rect + `fill="red"/>`,
		`<style>rect{--a:var(--b);--b:red;fill:var(--a)}</style>` + rect + `/>`:      rect + `fill="red"/>`,
		`<style>rect{fill:var(--c,red)}</style>` + rect + `/>`:                       rect + `fill="red"/>`,
	} {
		assert.Equal(t, drawn(read(t, on(plain)).Artwork), drawn(read(t, on(markup)).Artwork), markup)
	}
}

// CSS Masking 1, 5.1: a clip is of shapes and texts, and of uses of these.
func TestWhatClipsHold(t *testing.T) {
	clipped := func(inner string) string {
		return `<defs><g id="g"><rect width="20" height="20"/></g><rect id="r" width="20" height="20"/></defs>` +
			`<clipPath id="c">` + inner + `<circle cx="50" cy="50" r="10"/></clipPath><rect width="90" height="90" ` +
			`clip-path="url(#c)"/>`
	}
	requireSame(t, []pair{
		{clipped(`<use href="#r"/>`), clipped(`<rect width="20" height="20"/>`)},
		{clipped(`<use href="#g"/>`), clipped("")},
		{clipped(`<g><rect width="20" height="20"/></g>`), clipped("")},
	})
}

// SVG 2, 8.10: the box of a text is that of its cells, whatever they show.
func TestBoxesOfTexts(t *testing.T) {
	in := func(letters string) path.Rect {
		art := read(t, on(`<clipPath id="c" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>`+
			`<text x="20" y="50" font-size="20" clip-path="url(#c)">`+letters+`</text>`)).Artwork
		require.NotEmpty(t, art.Shapes)
		require.Len(t, art.Shapes[0].Clips, 1)
		return art.Shapes[0].Clips[0].Shapes[0].Path.Bounds()
	}
	low, high, two := in("..x"), in("||x"), in("xxxx")
	assert.InDelta(t, 0, low.Min.Dist(path.Point{X: 20 * px, Y: low.Min.Y}), 1e-9)
	assert.InDelta(t, low.H(), high.H(), 1e-9)
	assert.InDelta(t, low.Min.Y, high.Min.Y, 1e-9)
	assert.Greater(t, low.H(), 20*px)
	assert.InDelta(t, 2*in("xx").W(), two.W(), 1e-9)
}

// What is shifted from its line is so once, whatever is in it; points of no pair are told.
func TestShiftsAndPoints(t *testing.T) {
	bounds := func(s string) path.Rect {
		box := path.EmptyRect()
		for _, shape := range read(t, on(`<text y="40" font-size="20">`+s+`</text>`)).Artwork.Shapes {
			box = box.Union(shape.Path.Bounds())
		}
		return box
	}
	for _, shift := range []string{"5", "super", "sub", "-20%"} {
		once := bounds(`<tspan baseline-shift="` + shift + `">b</tspan>`)
		inner := bounds(`<tspan baseline-shift="` + shift + `"><tspan>b</tspan></tspan>`)
		assert.InDelta(t, once.Min.Y, inner.Min.Y, 1e-9, shift)
		assert.NotEqual(t, bounds("b").Min.Y, once.Min.Y)
	}
	for points, told := range map[string]bool{"1 1 9 1 5": true, "1 1 9 1 5 9": false, "1 1 9 1 5 9 x": true} {
		doc := read(t, on(`<polygon points="`+points+`"/>`))
		assert.Equal(t, told, len(doc.Warnings) == 1 && strings.Contains(doc.Warnings[0].Message, "no pair"), points)
	}
}

// CSS Shapes 1, 4.1: a circle or an ellipse to the nearest or the farthest side, from
// anywhere in its box.
func TestRoundClipsToSides(t *testing.T) {
	clipped := func(shape string) string {
		return `<rect x="10" y="20" width="60" height="40" style="clip-path:` + shape + ` fill-box"/>`
	}
	var pairs []pair
	for _, c := range []struct{ x, y, near, far, nearX, farX, nearY, farY float64 }{
		{30, 20, 20, 30, 30, 30, 20, 20}, {10, 20, 10, 50, 10, 50, 20, 20}, {50, 20, 10, 50, 10, 50, 20, 20},
		{30, 5, 5, 35, 30, 30, 5, 35}, {30, 33, 7, 33, 30, 30, 7, 33}, {25, 15, 15, 35, 25, 35, 15, 25},
	} {
		at := fmt.Sprintf(" at %gpx %gpx)", c.x, c.y)
		pairs = append(pairs,
			pair{clipped("circle(closest-side" + at), clipped(fmt.Sprintf("circle(%gpx%s", c.near, at))},
			pair{clipped("circle(" + at), clipped(fmt.Sprintf("circle(%gpx%s", c.near, at))},
			pair{clipped("circle(farthest-side" + at), clipped(fmt.Sprintf("circle(%gpx%s", c.far, at))},
			pair{clipped("ellipse(closest-side farthest-side" + at), clipped(fmt.Sprintf("ellipse(%gpx %gpx%s", c.nearX,
				c.farY, at))},
			pair{clipped("ellipse(farthest-side closest-side" + at), clipped(fmt.Sprintf("ellipse(%gpx %gpx%s", c.farX,
				c.nearY, at))})
	}
	requireSame(t, pairs)
}

// What separates numbers, and what of a marker is seen: where nothing is said, what is in
// its frame.
func TestSeparatorsAndFrames(t *testing.T) {
	var pairs []pair
	for _, space := range []string{"\t", "\n", "\r", "\f", " ", ",", " , ", "\t,\n"} {
		gap := strings.ReplaceAll(space, ",", " ")
		data := "M10" + space + "10" + gap + "L" + gap + "40" + space + "10" + space + "40" + space + "40" + gap + "z"
		if strings.Contains(space, "\f") {
			continue // XML has none
		}
		pairs = append(pairs, pair{`<path d="` + gap + data + `"/>`, `<path d="M10 10L40 10L40 40Z"/>`})
	}
	marked := func(overflow string) string {
		return `<marker id="m" markerWidth="10" markerHeight="10" markerUnits="userSpaceOnUse" ` +
			`` + overflow + `><rect x="5" ` +
			`y="5" width="20" height="20"/></marker><path d="M30 30L31 90" marker-start="url(#m)" fill="none"/>`
	}
	cut := `<clipPath id="c"><rect x="30" y="30" width="10" height="10"/></clipPath><rect x="35" y="35" width="20" ` +
		`height="20" clip-path="url(#c)"/>`
	whole := `<rect x="35" y="35" width="20" height="20"/>`
	requireSame(t, append(pairs, pair{marked(""), cut}, pair{marked(`overflow="hidden"`), cut},
		pair{marked(`overflow="scroll"`), cut}, pair{marked(`overflow="visible"`), whole},
		pair{marked(`overflow="auto"`), whole}))
	got := read(t, on("<path d=\"M10 10L40 10L40 40\u00a0z\"/>"))
	assert.Len(t, got.Warnings, 1)
	requirePainted(t, []pair{
		{`<filter id="f" color-interpolation-filters="sRGB"><feColorMatrix type="luminanceToAlpha"/></filter>` +
			`<rect x="10" y="10" width="40" height="30" fill="rgb(90% 20% 60%)" filter="url(#f)"/>`,
			`<rect x="10" y="10" width="40" height="30" fill-opacity="` + fmt.Sprint(0.9*0.2126+0.2*0.7152+0.6*0.0722) +
				`"/>`},
	})
}

// SVG 2, 8.9: a viewBox in its room, by the side that it keeps to.
func TestAlignmentsByHand(t *testing.T) {
	var pairs []pair
	for i, x := range []string{"xMin", "xMid", "xMax"} {
		for k, y := range []string{"YMin", "YMid", "YMax"} {
			for _, way := range []string{"meet", "slice"} {
				for _, room := range [][2]float64{{60, 20}, {20, 60}} {
					scale := min(room[0]/10, room[1]/10)
					if way == "slice" {
						scale = max(room[0]/10, room[1]/10)
					}
					dx, dy := (room[0]-10*scale)*float64(i)/2, (room[1]-10*scale)*float64(k)/2
					pairs = append(pairs, pair{
						fmt.Sprintf(`<svg x="15" y="15" width="%g" height="%g" viewBox="-3 2 10 10" `+
							`overflow="visible" `+
							`preserveAspectRatio="%s%s %s"><rect x="1" y="3" width="2" height="1"/></svg>`,
							room[0], room[1], x, y, way),
						fmt.Sprintf(`<rect x="%g" y="%g" width="%g" height="%g"/>`, 15+dx+4*scale, 15+dy+scale,
							2*scale, scale),
					})
				}
			}
		}
	}
	requireSame(t, pairs)
}

// Patterns and gradients against what they paint, in plain shapes.
func TestPaintsInPlainShapes(t *testing.T) {
	var tiles strings.Builder
	for i := range 20 {
		for k := range 30 {
			writeRect(&tiles, 20*float64(i)-200, 10*float64(k)-150, 12, 4)
		}
	}
	turned := func(turn string) pair {
		return pair{`<pattern id="p" width="20" height="10" patternUnits="userSpaceOnUse" patternTransform="` + turn +
			`"><rect width="12" height="4"/></pattern><rect x="10" y="20" width="60" height="50" fill="url(#p)"/>`,
			`<clipPath id="c"><rect x="10" y="20" width="60" height="50"/></clipPath><g clip-path="url(#c)"><g ` +
				`transform="` +
				turn + `">` + tiles.String() + `</g></g>`}
	}
	ring := `<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="40" cy="50" r="30"><stop offset=".5" ` +
		`stop-color="red"/><stop offset=".5" stop-color="blue"/></radialGradient><rect x="10" y="20" width="60" ` +
		`height="60" fill="url(#g)"/>`
	edge := `<pattern id="p" width=".1" height=".1"><rect width="3" height="3"/></pattern><path stroke="url(#p)" `
	requirePainted(t, []pair{
		turned("rotate(30)"), turned("rotate(-70)"), turned("skewX(40)"), turned("rotate(200) scale(0.9)"),
		{ring, `<rect x="10" y="20" width="60" height="60" fill="blue"/><circle cx="40" cy="50" r="15" fill="red"/>`},
		{`<clipPath id="c"><rect x="10" y="10" width="30" height="50"/></clipPath><mask id="m" ` +
			`clip-path="url(#c)"><rect ` +
			`width="99" height="99" fill="white"/></mask><rect x="20" y="20" width="60" height="30" mask="url(#m)"/>`,
			`<rect x="20" y="20" width="20" height="30"/>`},
		{edge + `stroke-width="8" d="M10 10H80"/>`, ``}, {edge + `stroke-width="8" d="M10 10V80"/>`, ``},
	})
}

// What stands behind a text that is stretched begins where that ends.
func TestBehindStretchedTexts(t *testing.T) {
	last := func(s string) path.Rect {
		shapes := read(t, on(`<text y="40" font-size="20">`+s+`</text>`)).Artwork.Shapes
		return shapes[len(shapes)-1].Path.Bounds()
	}
	want := last(`<tspan x="60" y="70">b</tspan>`)
	for _, adjust := range []string{"", `lengthAdjust="spacingAndGlyphs"`} {
		got := last(`<tspan textLength="60" ` + adjust + `>bb</tspan><tspan y="70">b</tspan>`)
		assert.InDelta(t, 0, want.Min.Dist(got.Min), 1e-9)
	}
	for _, anchor := range []string{"start", "middle", "end"} {
		first := last(`<tspan x="60" text-anchor="` + anchor + `">bb</tspan>`)
		behind := last(`<tspan x="60" text-anchor="` + anchor +
			`">bb</tspan><tspan y="70" text-anchor="start">b</tspan>`)
		plain := last(`bb`)
		next := last(`<tspan>bb</tspan><tspan y="70">b</tspan>`)
		assert.InDelta(t, next.Min.X-plain.Min.X, behind.Min.X-first.Min.X, 1e-9, anchor)
	}
}

// Some more in other words: small capitals, plain colours by name, the first of two entities,
// and dashes over the corner where a line begins.
func TestMoreInOtherWords(t *testing.T) {
	text := func(attributes, s string) string {
		return `<text y="40" font-size="20" ` + attributes + `>` + s + `</text>`
	}
	bounds := func(s string) path.Rect {
		box := path.EmptyRect()
		for _, shape := range read(t, on(s)).Artwork.Shapes {
			box = box.Union(shape.Path.Bounds())
		}
		return box
	}
	small := bounds(text(`font-variant="small-caps"`, "aBc1ß"))
	plain := bounds(text("", `<tspan font-size="14">A</tspan>B<tspan font-size="14">C</tspan>1ß`))
	assert.InDelta(t, 0, small.Min.Dist(plain.Min)+small.Max.Dist(plain.Max), 1e-9)

	dashed := func(d, offset string) string {
		return `<path d="` + d + `" fill="none" stroke="red" stroke-width="8" stroke-dasharray="30 10" ` +
			`stroke-dashoffset="` + offset + `"/>`
	}
	requirePainted(t, []pair{
		{dashed("M20 20H60V60H20Z", "15"), dashed("M60 60H20V20H60Z", "15")}, // 160 round: four dashes
		{dashed("M20 20H60V60H20Z", "15"), dashed("M40 20H60V60H20V20H40", "35")},
		{dashed("M20 20H60V60H20Z", "0"), dashed("M20 20H60V60H20V20", "0")},
		{`<filter id="f"><feGaussianBlur stdDeviation="-1 5"/></filter><rect x="20" y="20" width="30" height="20" ` +
			`filter="url(#f)"/>`, `<rect x="20" y="20" width="30" height="20"/>`},
		{`<solidColor id="s" solid-color="red" solid-opacity=".5"/><rect x="20" y="20" width="30" height="20" ` +
			`fill="url(#s)"/>`, `<rect x="20" y="20" width="30" height="20" fill="red" fill-opacity=".5"/>`},
	})
	along := func(d, dy string) path.Rect {
		return bounds(`<path id="p" d="` + d + `" fill="none"/><text font-size="20" dy="` + dy +
			`"><textPath href="#p">b</textPath></text>`)
	}
	for _, c := range [][2]string{{"M30 20V90", "M25 20V90"}, {"M30 90V20", "M35 90V20"}, {"M20 30H90", "M20 35H90"},
		{"M90 30H20", "M90 25H20"}, {"M20 20L80 100", "M16 23L76 103"}} { // 5 to the right of the way
		got, want := along(c[0], "5"), along(c[1], "0")
		assert.InDelta(t, 0, got.Min.Dist(want.Min)+got.Max.Dist(want.Max), 1e-9, c[0])
	}
	doc := read(t, `<!DOCTYPE svg [<!ENTITY a "one"><!ENTITY a "two"><!ENTITY b "&a;3">]>`+on(`<rect id="&b;" `+
		`width="9" `+
		`height="9"/>`))
	assert.Equal(t, "one3", doc.Artwork.Shapes[0].Source.ID)
	for n, end := range map[int]string{40: strings.Repeat("x", 40), 41: strings.Repeat("x", 40) + "…"} {
		warnings := read(t, on(`<rect width="`+strings.Repeat("x", n)+`" height="9"/>`)).Warnings
		require.Len(t, warnings, 1)
		assert.Contains(t, warnings[0].Message, `"`+end+`"`)
	}
}

// Frames of less than a unit, and stops that do not inherit.
func TestFramesOfLessThanAUnit(t *testing.T) {
	ramp := func(on, stop string) string {
		return `<linearGradient id="g" ` + on + `><stop stop-color="red" ` + stop + `/><stop offset="1" ` +
			`stop-color="blue" ` +
			stop + `/></linearGradient><rect x="10" y="10" width="60" height="30" fill="url(#g)"/>`
	}
	requireSame(t, []pair{
		{`<svg x="10" y="10" width="40" height="20" viewBox="0 0 .5 .25" overflow="visible"><rect width=".25" ` +
			`height=".1"/>` +
			`</svg>`, `<rect x="10" y="10" width="20" height="8"/>`},
		{`<marker id="m" markerWidth="10" markerHeight="10" markerUnits="userSpaceOnUse" viewBox="0 0 .5 .5" ` +
			`overflow="visible"><rect width=".25" height=".1"/></marker><path d="M30 30L31 90" ` +
			`marker-start="url(#m)" ` +
			`fill="none"/>`, `<rect x="30" y="30" width="5" height="2"/>`},
		{`<symbol id="s" viewBox="0 0 .5 .5" overflow="visible"><rect width=".25" height=".1"/></symbol><use ` +
			`href="#s" x="30" ` +
			`y="30" width="10" height="10"/>`, `<rect x="30" y="30" width="5" height="2"/>`},
		{ramp(`stop-opacity=".5"`, ""), ramp("", "")}, {ramp(`stop-color="lime"`, ""), ramp("", "")},
		{ramp(`stop-opacity=".5"`, `stop-opacity="inherit"`), ramp("", `stop-opacity=".5"`)},
	})
	font := func(glyphs string) string {
		return `<font horiz-adv-x="500"><font-face font-family="Own" ` +
			`units-per-em="1000"/>` + glyphs + `</font><text y="40" ` +
			`font-size="20" font-family="Own">bb</text>`
	}
	const b = `<glyph unicode="b" d="M0 0H400V300H0Z"/>`
	for _, more := range []string{`<glyph unicode="b" orientation="v" d="M0 0H100V900H0Z"/>`, `<desc>b</desc>`} {
		requireSame(t, []pair{{font(more + b), font(b)}, {`<font-face font-family="Own" ` +
			`units-per-em="1000"><font-face-src>` +
			`<font-face-uri href="#own"/></font-face-src></font-face>` + strings.NewReplacer(`<font `, `<font `+
			`id="own" `,
			`font-face font-family="Own"`, `font-face`).Replace(font(b)), font(b)}, {font(b), `<path d="M0 ` +
			`40H8V34H0ZM10 40H18V34H10Z"/>`}})
	}
}

// What one element says holds for none beside it, however they are nested.
func TestNothingIsSharedBySiblings(t *testing.T) {
	rect := func(x int, attributes string) string {
		return fmt.Sprintf(`<rect x="%d" width="8" height="9" %s/>`, x, attributes)
	}
	requireSame(t, []pair{{
		rect(0, "") + `<g fill="red" transform="translate(0 20)">` + rect(10, `fill="blue" transform="translate(0 `+
			`30)"`) +
			rect(20, "") + `<g fill="lime" transform="translate(0 20)">` + rect(30, `fill="blue"`) + rect(40,
			"") + `</g>` +
			rect(50, "") + `</g>` + rect(60, ""),
		rect(0, "") + rect(10, `y="50" fill="blue"`) + rect(20, `y="20" fill="red"`) + rect(30, `y="40" fill="blue"`) +
			rect(40, `y="40" fill="lime"`) + rect(50, `y="20" fill="red"`) + rect(60, ""),
	}})
}

// What is left out has its usual value; an arc of no radius is a line; a polygon is closed.
func TestUsualValues(t *testing.T) {
	shadow := func(attributes string) string {
		return `<filter id="f" x="-1" y="-1" width="3" height="3"><feDropShadow flood-color="red" ` + attributes +
			`/></filter><rect x="20" y="20" width="30" height="20" filter="url(#f)"/>`
	}
	line := func(markup string) string { return markup + ` fill="none" stroke="red" stroke-width="6"/>` }
	ramp := func(stop string) string {
		return `<linearGradient id="g"><stop ` + stop + `/><stop offset="1" ` +
			`stop-color="blue"/></linearGradient><rect ` +
			`width="60" height="30" fill="url(#g)"/>`
	}
	requireSame(t, []pair{
		{line(`<polygon points="10 10 50 10 50 50"`), line(`<path d="M10 10H50V50Z"`)},
		{line(`<polyline points="10 10 50 10 50 50"`), line(`<path d="M10 10H50V50"`)},
		{line(`<path d="M10 10A0 20 0 0 1 50 30"`), line(`<path d="M10 10L50 30"`)},
		{line(`<path d="M10 10A20 0 0 0 1 50 30"`), line(`<path d="M10 10L50 30"`)},
		{line(`<path d="M10 10A-30 -30 0 0 1 50 30"`), line(`<path d="M10 10A30 30 0 0 1 50 30"`)},
		{ramp(""), ramp(`stop-color="black" stop-opacity="1" offset="0"`)},
	})
	for attributes, plain := range map[string]string{
		"":             `dx="2" dy="2" stdDeviation="2"`,
		`dx="5"`:       `dx="5" dy="2" stdDeviation="2 2"`,
		`dy="0"`:       `dx="2" dy="0" stdDeviation="2"`,
		`dy="9" dx=""`: `dx="2" dy="9" stdDeviation="2"`,
	} {
		assert.Equal(t, drawn(read(t, on(shadow(plain))).Artwork), drawn(read(t,
			on(shadow(attributes))).Artwork), attributes)
	}
	for _, none := range []string{`width="0" height="9"`, `width="9" height="0"`, `width="-1" height="9"`} {
		assert.Empty(t, read(t, on(`<image `+none+` href="data:image/svg+xml,%3Csvg"/>`)).Warnings, none)
	}
}
