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
			opacity + `/></linearGradient><rect x="10" y="10" width="60" height="30" fill="url(#g)" ` + attributes + `/>`
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
