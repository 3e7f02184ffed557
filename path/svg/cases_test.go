package svg_test

import (
	"testing"

	"furrow/path/outside"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cases are small documents, each about one thing, on a page of 100 x 100 px;
// librsvg must paint the same.
var cases = map[string]string{
	"cascade": `<style>/* c */ rect{fill:red} .a{fill:blue} #b{fill:green} rect.a{fill:purple ` +
		`!important}</style><rect class="a" width="40" height="40"/><rect id="b" class="a" x="50" width="40" ` +
		`height="40" style="fill:black"/><rect y="50" width="40" height="40" fill="blue"/>`,
	"combinators": `<style>g > rect{fill:red} g rect + rect{fill:blue} rect ~ circle{fill:green} ` +
		`[width="30"]{stroke:black}</style><g><rect width="30" height="30"/><rect x="40" width="25" height="30"/><a>` +
		`<rect y="40" width="30" height="30"/></a><circle cx="70" cy="70" r="20"/></g>`,
	"nth child": `<style>rect:nth-child(2n+1){fill:red} rect:not(.x):last-child{fill:blue}</style><g><rect ` +
		`width="20" height="20"/><rect x="30" width="20" height="20"/><rect x="60" width="20" height="20"/><rect ` +
		`y="40" width="20" height="20"/></g>`,
	"inherit": `<g fill="red" stroke="blue" stroke-width="4" color="green"><rect x="5" y="5" width="30" ` +
		`height="30"/><g style="fill:currentColor"><rect x="45" y="5" width="30" height="30" stroke="inherit"/></g>` +
		`<g style="stroke:none"><rect y="50" width="30" height="30" style="fill:inherit"/></g></g>`,
	"colours": `<rect width="20" height="20" fill="#f80"/><rect x="20" width="20" height="20" ` +
		`fill="rgb(10%,50%,90%)"/><rect x="40" width="20" height="20" fill="hsl(120,100%,25%)"/><rect x="60" ` +
		`width="20" height="20" fill="rgba(255,0,0,.5)"/><rect y="30" width="20" height="20" fill="DarkSlateGray"/>` +
		`<rect x="30" y="30" width="20" height="20" fill="#ff000080"/><rect x="60" y="30" width="20" height="20" ` +
		`fill="rgb(20 40 60 / 80%)"/>`,
	"opacity": `<g opacity=".5"><rect width="50" height="50" fill-opacity=".5"/></g><rect x="60" ` +
		`width="30" height="30" fill="none" stroke="red" stroke-width="20" stroke-opacity="30%"/>`,
	"viewport": `<svg x="10" y="10" width="50" height="30" viewBox="0 0 10 10"><rect width="20" ` +
		`height="10" fill="red"/><circle cx="5" cy="5" r="8" fill="blue"/></svg><svg x="10" y="50" width="50" ` +
		`height="40" viewBox="0 0 10 10" preserveAspectRatio="xMaxYMin slice"><circle cx="5" cy="5" r="5"/></svg>`,
	"use and symbol": `<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol><g id="g"><rect ` +
		`width="10" height="10" fill="inherit"/></g><use href="#s" x="10" y="20" width="40" height="20" fill="red"/>` +
		`<use href="#g" x="60" y="60" fill="green" transform="rotate(10)"/><use href="#s" x="50" width="50" ` +
		`height="50" opacity=".5"/>`,
	"clip": `<clipPath id="a"><circle cx="30" cy="30" r="30"/><rect x="50" y="50" width="40" ` +
		`height="40" clip-rule="evenodd"/></clipPath><clipPath id="b"><rect x="20" y="20" width="60" height="60" ` +
		`transform="rotate(10)"/></clipPath><g clip-path="url(#a)"><g clip-path="url(#b)"><rect width="100" ` +
		`height="100" fill="red"/><circle cx="50" cy="50" r="30"/></g></g>`,
	"clip in box units": `<clipPath id="a" clipPathUnits="objectBoundingBox"><circle cx=".5" cy=".5" r=".5"/>` +
		`</clipPath><rect x="10" y="20" width="80" height="40" clip-path="url(#a)"/><g clip-path="url(#a)"><rect ` +
		`x="10" y="70" width="10" height="10"/><rect x="60" y="70" width="20" height="25"/></g>`,
	"clip evenodd": `<clipPath id="a"><path clip-rule="evenodd" d="M50 5L80 95 5 40H95L20 95z"/></clipPath><rect ` +
		`width="100" height="100" clip-path="url(#a)"/>`,
	"caps": `<g stroke="black" stroke-width="14" fill="none"><path d="M20 15H80" stroke-linecap="butt"/>` +
		`<path d="M20 40C40 20 60 60 80 40" stroke-linecap="round"/><path d="M20 65A40 20 10 0 0 80 75" ` +
		`stroke-linecap="square"/><path d="M20 90z" stroke-linecap="round"/><path d="M50 90h0" ` +
		`stroke-linecap="square"/></g>`,
	"joins": `<g stroke="black" stroke-width="8" fill="none"><path d="M10 30L25 8 40 30"/><path d="M50 ` +
		`30L55 8 60 30"/><path d="M50 30L55 8 60 30" transform="translate(20)" stroke-miterlimit="20"/><path d="M10 ` +
		`60L25 40 40 60" stroke-linejoin="round"/><path d="M50 60L65 40 80 60" stroke-linejoin="bevel"/><path ` +
		`d="M10 90L40 90 10 90" stroke-linejoin="round"/><path d="M60 70h25v25h-25z"/></g>`,
	"tight bends": `<g stroke="black" stroke-width="20" fill="none"><path d="M20 50C20 20 30 20 30 50"/><path ` +
		`d="M50 40C90 60 40 60 80 40"/><path d="M55 80C75 70 75 70 55 90"/></g>`,
	"dashes": `<g stroke="black" stroke-width="6" fill="none"><path d="M5 10H95" stroke-dasharray="10 5"/>` +
		`<path d="M5 25H95" stroke-dasharray="10" stroke-dashoffset="-5"/><circle cx="30" cy="60" r="20" ` +
		`stroke-dasharray="12 6 3"/><path d="M60 40h30v30h-30z" stroke-dasharray="20 10" stroke-dashoffset="5" ` +
		`stroke-linecap="round"/><path d="M5 95H92" stroke-dasharray="0 10" stroke-linecap="round"/></g>`,
	"skewed strokes": `<g stroke="black" stroke-width="6" fill="none" transform="scale(1.6 .6) skewX(20)"><circle ` +
		`cx="30" cy="40" r="20"/><path d="M5 90L30 100 40 80" stroke-linecap="round" stroke-linejoin="round" ` +
		`stroke-dasharray="9 8"/></g>`,
	"paint order": `<circle cx="50" cy="50" r="30" fill="red" stroke="blue" stroke-width="20" paint-order="stroke"/>`,
	"rects": `<rect x="5" y="5" width="40" height="20" rx="8"/><rect x="50" y="5" width="40" height="20" ` +
		`ry="50%"/><ellipse cx="30" cy="60" rx="20" ry="10"/><rect x="50%" y="50%" width="25%" height="10%"/>` +
		`<polygon points="10,80 40,80 25,95"/><polyline points="60,80 90,80 75,95"/>`,
	"transforms": `<rect width="10" height="10" transform="translate(20 20) rotate(30) scale(2,1)"/><rect ` +
		`width="10" height="10" transform="rotate(45,60,60) translate(50,50)" fill="red"/><rect width="20" ` +
		`height="10" transform="matrix(1 .5 -.5 1 30 60)" fill="blue"/><rect x="60" width="20" height="20" ` +
		`transform="skewY(20)"/>`,
	"markers": `<marker id="m" markerWidth="4" markerHeight="4" refX="5" refY="5" viewBox="0 0 10 10" orient="auto">` +
		`<path d="M0 0L10 5 0 10z" fill="red"/></marker><marker id="d" markerUnits="userSpaceOnUse" ` +
		`markerWidth="10" markerHeight="10" refX="5" refY="5"><rect width="10" height="10" fill="blue"/></marker>` +
		`<path d="M10 20H50L80 50V90" fill="none" stroke="black" stroke-width="3" marker-start="url(#m)" ` +
		`marker-mid="url(#d)" marker-end="url(#m)"/><path d="M10 60C10 90 40 90 40 60" fill="none" stroke="black" ` +
		`style="marker:url(#m)" stroke-width="2"/>`,
	"switch": `<switch><rect systemLanguage="xx" width="50" height="50" fill="red"/><rect systemLanguage="en" ` +
		`width="50" height="50" fill="blue"/><rect width="90" height="90"/></switch>`,
	"units": `<rect width="1cm" height="10mm"/><rect x="50" width="2em" height="4ex" font-size="10"/><rect y="60" ` +
		`width=".5in" height="18pt"/><rect x="60" y="60" width="2pc" height="40"/>`,
	"star": `<path transform="scale(.25)" d="M250,75 L323,301 131,161 369,161 177,301z" fill-rule="evenodd"/>`,
}

func TestCasesAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	for name, inner := range cases {
		t.Run(name, func(t *testing.T) {
			iou, _, _, err := compare([]byte(on(inner)), 300)
			require.NoError(t, err)
			assert.GreaterOrEqual(t, iou, 0.985)
		})
	}
}

// Where librsvg 2.54 differs and the specification is with us.
func TestBeyondLibrsvg(t *testing.T) {
	// CSS Masking 1, 5.1: a clipPath may itself be clipped.
	doc := read(t, on(`<clipPath id="a"><rect width="50" height="100"/></clipPath><clipPath id="b" `+
		`clip-path="url(#a)"><rect width="100" height="50"/></clipPath><rect width="100" height="100" `+
		`clip-path="url(#b)"/>`))
	pic := paint(doc.Artwork, 100)
	assert.Equal(t, [3]float64{0, 0, 0}, pic.rgb[25*100+25])
	assert.Equal(t, [3]float64{1, 1, 1}, pic.rgb[25*100+75])
	assert.Equal(t, [3]float64{1, 1, 1}, pic.rgb[75*100+25])

	// SVG 2, 8.10: the box that clipPathUnits refer to lies in the element's own
	// user space, whatever its transform; Chromium paints it so.
	doc = read(t, on(`<clipPath id="a" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>`+
		`<rect x="10" y="10" width="40" height="20" transform="translate(40 10) rotate(90) scale(2 1)" `+
		`clip-path="url(#a)"/>`))
	pic = paint(doc.Artwork, 100)
	assert.Equal(t, [3]float64{0, 0, 0}, pic.rgb[45*100+20]) // x 10..30 of 10..50, from y 30 to 70 on the page
	assert.Equal(t, [3]float64{1, 1, 1}, pic.rgb[80*100+20])

	// SVG 2, user agent style sheet: a symbol hides what reaches out of its
	// viewport; Chromium paints it so.
	doc = read(t, on(`<symbol id="s" viewBox="0 0 10 10" preserveAspectRatio="none"><rect y="-10" width="10" `+
		`height="20"/></symbol><use href="#s" x="20" y="40" width="40" height="20"/>`))
	pic = paint(doc.Artwork, 100)
	assert.Equal(t, [3]float64{0, 0, 0}, pic.rgb[50*100+40])
	assert.Equal(t, [3]float64{1, 1, 1}, pic.rgb[30*100+40])

	// SVG 2, 9.6.1: pathLength scales dashes.
	doc = read(t, on(`<path d="M10 50H90" pathLength="8" stroke="black" stroke-width="10" stroke-dasharray="1"/>`))
	assert.InEpsilon(t, 4*10*10*px*px, area(doc.Artwork.Shapes[len(doc.Artwork.Shapes)-1]), 1e-6)

	// SVG 2, 13.7: a stroke is a union, so that a bend tighter than the pen has
	// no hole. The disc that the pen draws round a semicircle of radius 5 is a
	// semicircle of radius 15.
	doc = read(t, on(`<path d="M40 50A5 5 0 0 1 50 50" fill="none" stroke="black" stroke-width="20"/>`))
	pic = paint(doc.Artwork, 400)
	for _, at := range [][2]int{{45, 48}, {45, 44}, {42, 47}, {48, 47}, {45, 37}} {
		assert.Equal(t, [3]float64{}, pic.rgb[at[1]*4*400+at[0]*4], at)
	}

	// SVG 2, 9.5.4 and 10.6: an odd number of coordinates is an error like one in
	// a path, drawn up to there.
	doc = read(t, on(`<polyline points="60,80 90,80 75,95 60"/>`))
	assert.Len(t, doc.Artwork.Shapes, 1)
	assert.Len(t, doc.Warnings, 1)

	// SVG 2, 8.13: a stroke of fixed width is measured in CSS pixels.
	doc = read(t, on(`<svg viewBox="0 0 10 10"><path d="M1 5H9" stroke="black" stroke-width="6" `+
		`vector-effect="non-scaling-stroke"/></svg>`))
	assert.InEpsilon(t, 80*6*px*px, area(doc.Artwork.Shapes[len(doc.Artwork.Shapes)-1]), 1e-6)

	// SVG 2, 11.4: one position and angle for each character.
	text := read(t, on(`<text font-size="20" x="10 40 70" y="30" rotate="0 90">HHH</text>`)).Artwork.Shapes
	require.Len(t, text, 3)
	upright, turned := text[0].Path.Bounds(), text[1].Path.Bounds()
	assert.InDelta(t, upright.W(), turned.H(), 1e-9)
	assert.InDelta(t, upright.H(), turned.W(), 1e-9)
	assert.Greater(t, turned.Min.X, 40*px-1e-9)
}
