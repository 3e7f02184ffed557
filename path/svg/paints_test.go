package svg_test

import (
	"testing"

	"furrow/path"
	"furrow/path/outside"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const ramps = `<linearGradient id="fade"><stop stop-color="#000"/><stop offset="1" stop-color="#000" ` +
	`stop-opacity="0"/></linearGradient>` +
	`<linearGradient id="steps" x1="20%" x2="70%" y2="40%" spreadMethod="reflect"><stop offset=".2" ` +
	`stop-color="red"/><stop offset=".2" stop-color="#fff"/><stop offset=".9" stop-color="navy"/></linearGradient>` +
	`<radialGradient id="ball" cx=".4" cy=".5" r=".5" fx=".3" fy=".3"><stop stop-color="#fff"/><stop offset="1" ` +
	`stop-color="#050"/></radialGradient>` +
	`<radialGradient id="rings" gradientUnits="userSpaceOnUse" cx="50" cy="50" r="20" fr="4" spreadMethod="repeat" ` +
	`gradientTransform="rotate(20 50 50) scale(1 .8)"><stop stop-color="#fff"/><stop offset="1" stop-color="#00f"/>` +
	`</radialGradient>`

// paints are documents about paint, on a page of 100 x 100 px; librsvg must paint
// the same.
var paints = map[string]string{
	"fade": ramps + `<rect width="90" height="40" fill="url(#fade)"/><path d="M5 50h70v40z" ` +
		`fill="none" stroke="url(#fade)" stroke-width="8"/>`,
	"steps": ramps + `<rect x="10" y="10" width="80" height="60" fill="url(#steps)"/>`,
	"ball":  ramps + `<circle cx="50" cy="50" r="40" fill="url(#ball)"/>`,
	"rings": ramps + `<rect width="100" height="100" fill="url(#rings)" transform="skewX(10)"/>`,
	"inherited": ramps + `<linearGradient id="i" href="#fade" x1="1" x2="0"/><linearGradient id="j" ` +
		`href="#i" gradientTransform="rotate(90)"/><rect width="90" height="40" fill="url(#i)"/><rect y="50" ` +
		`width="90" height="40" fill="url(#j)"/>`,
	"half a gradient": ramps + `<rect width="90" height="90" fill="#ff0"/><rect x="9" y="9" width="80" ` +
		`height="80" fill="url(#ball)" fill-opacity=".5" opacity=".8"/>`,
	"flat box": ramps + `<path d="M10 50H90" stroke="url(#fade)" stroke-width="20"/><rect y="80" ` +
		`width="40" height="10" fill="url(#fade)"/>`,
	"pattern": `<pattern id="p" width="20" height="15" x="3" y="4" patternUnits="userSpaceOnUse" ` +
		`patternTransform="rotate(30) scale(.8)"><circle cx="8" cy="7" r="6" fill="red"/><rect width="4" ` +
		`height="30"/></pattern><circle cx="50" cy="50" r="45" fill="url(#p)"/>`,
	"pattern in box units": `<pattern id="p" width=".25" height=".2" patternContentUnits="objectBoundingBox"><rect ` +
		`width=".1" height=".1" fill="green"/></pattern><rect x="10" y="10" width="80" height="60" fill="url(#p)"/>`,
	"pattern with view box": `<pattern id="p" width=".3" height=".4" x=".1" viewBox="0 0 10 10" ` +
		`preserveAspectRatio="none"><path d="M0 0h10L0 10z" fill="navy"/></pattern><rect x="10" y="10" width="80" ` +
		`height="60" fill="url(#p)" fill-opacity=".5" stroke="url(#p)" stroke-width="10"/>`,
	"pattern inherited": `<pattern id="q" width="10" height="10" patternUnits="userSpaceOnUse"><path d="M0 ` +
		`0h5v5h-5z"/></pattern><pattern id="p" href="#q" patternTransform="scale(2)"/><rect width="90" height="70" ` +
		`fill="url(#p)"/>`,
	"gradient in a pattern": ramps + `<pattern id="p" width="25" height="25" patternUnits="userSpaceOnUse"><rect ` +
		`width="22" height="22" fill="url(#ball)"/></pattern><rect width="90" height="70" fill="url(#p)"/>`,
	"group opacity": `<g opacity=".5"><rect width="60" height="60"/><rect x="30" y="30" width="60" ` +
		`height="60" fill="red"/></g><g opacity=".6"><g opacity=".5"><circle cx="75" cy="20" r="15"/><circle ` +
		`cx="85" cy="20" r="12" fill="#fff"/></g></g>`,
	"fill and stroke": `<rect x="20" y="20" width="50" height="50" opacity=".4" stroke="red" stroke-width="20"/>`,
	"gloss": ramps + `<rect width="90" height="90"/><linearGradient id="w" href="#fade"><stop ` +
		`stop-color="#fff"/><stop offset="1" stop-color="#fff" stop-opacity="0"/></linearGradient><rect width="90" ` +
		`height="40" fill="url(#w)"/>`,
	"mask": ramps + `<mask id="m" maskContentUnits="objectBoundingBox"><circle cx=".5" cy=".5" ` +
		`r=".4" fill="#fff"/><rect x=".4" width=".2" height="1" fill="#888"/></mask><rect x="10" y="10" width="80" ` +
		`height="70" fill="#005" mask="url(#m)"/>`,
	"faded mask": `<linearGradient id="l"><stop stop-color="#fff"/><stop offset="1"/></linearGradient>` +
		`<mask id="m"><rect width="100" height="100" fill="url(#l)"/></mask><g mask="url(#m)" opacity=".8"><rect ` +
		`x="10" y="10" width="80" height="70" fill="#005"/><circle cx="50" cy="50" r="20" fill="red"/></g>`,
	"mask by opacity": `<mask id="m" style="mask-type:alpha"><circle cx="50" cy="50" r="40" fill-opacity=".5"/>` +
		`<rect width="50" height="50"/></mask><rect width="100" height="100" fill="#080" mask="url(#m)"/>`,
	"mask in a mask": `<mask id="n"><rect width="60" height="100" fill="#fff"/></mask><mask id="m"><circle ` +
		`cx="50" cy="50" r="40" fill="#fff" mask="url(#n)" opacity=".7"/></mask><rect width="100" height="100" ` +
		`mask="url(#m)"/>`,
	"mask of a mask": `<mask id="n"><rect width="60" height="100" fill="#fff"/></mask><mask id="m" ` +
		`mask="url(#n)"><circle cx="50" cy="50" r="40" fill="#fff"/></mask><rect width="100" height="100" ` +
		`mask="url(#m)"/>`,
	"region of a mask": `<mask id="m" x="0.2" y="0.2" width=".5" height=".5"><rect width="100" height="100" ` +
		`fill="#fff"/></mask><rect x="10" y="10" width="80" height="80" mask="url(#m)"/>`,
	"multiply": `<rect width="60" height="60" fill="#8f8"/><rect x="30" y="30" width="60" height="60" ` +
		`fill="#f88" style="mix-blend-mode:multiply"/>`,
	"screen": `<rect width="60" height="60" fill="#400"/><g style="mix-blend-mode:screen"><rect x="30" ` +
		`y="30" width="60" height="60" fill="#058"/><circle cx="60" cy="60" r="20" fill="#330"/></g>`,
	"isolated": `<rect width="100" height="100" fill="#fa0"/><g style="isolation:isolate"><rect ` +
		`width="60" height="60" fill="#8f8"/><rect x="30" y="30" width="60" height="60" fill="#f88" ` +
		`style="mix-blend-mode:multiply"/></g>`,
	"blending on nothing": `<rect x="30" y="30" width="60" height="60" fill="#058" style="mix-blend-mode:difference"/>`,
	"marker with context": `<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2" overflow="visible">` +
		`<circle cx="2" cy="2" r="2" fill="context-stroke"/></marker><path d="M20 20H80V80" fill="none" ` +
		`stroke="red" stroke-width="8" marker-end="url(#m)"/>`,
	"no such server": `<rect width="50" height="50" fill="url(#x) red"/><rect y="60" width="50" height="30" ` +
		`fill="url(#x)"/>`,
}

// SVG 2, 14.2.2: a gradient without extent is its last colour; librsvg takes the mean.
func TestGradientWithoutExtent(t *testing.T) {
	doc := read(t, on(`<linearGradient id="l" x1="1" x2="1"><stop stop-color="red"/><stop offset="1" `+
		`stop-color="#0f0"/></linearGradient><rect width="60" height="60" fill="url(#l)"/>`))
	assert.Equal(t, path.Paint{G: 1, Opacity: 1}, doc.Artwork.Shapes[0].Paint)
	assert.Nil(t, doc.Artwork.Shapes[0].Gradient)
}

func TestPaintsAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	for name, inner := range paints {
		iou, ours, theirs, err := compare([]byte(on(inner)), 200)
		require.NoError(t, err, name)
		if !assert.GreaterOrEqual(t, iou, 0.985, name) {
			x, y, a, b := worst(ours, theirs)
			t.Log(name, x, y, a, b)
		}
	}
}

// worst tells of a pixel that differs.
func worst(a, b *picture) (x, y int, ours, theirs [3]float64) {
	for i := range a.rgb {
		if !near(a.rgb[i], b.rgb[i]) && !a.edgeAt(i%a.w, i/a.w) && !b.edgeAt(i%a.w, i/a.w) {
			return i % a.w, i / a.w, a.rgb[i], b.rgb[i]
		}
	}
	return -1, -1, ours, theirs
}
