package svg_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is short of a bound, and what is nothing.
func TestWhatIsShortOfABound(t *testing.T) {
	terms := strings.Repeat(" + 1px", 39)
	requireSame(t, []pair{
		{rectOf(`calc(1px` + terms + `)`), rectOf("40")},
		{rectOf(`max(1px, ` + strings.Repeat("(1px), ", 40) + `(40px))`), rectOf("40")},
		{`<ellipse cx="20" cy="20" rx="10" ry="0" stroke="red"/>`, ``},
		{`<ellipse cx="20" cy="20" rx="0" ry="10" stroke="red"/>`, ``},
		{`<path d="M10 10H90" stroke="red" stroke-width="8" stroke-dasharray="0 0"/>`,
			`<path d="M10 10H90" stroke="red" stroke-width="8"/>`},
		{`<path d="M10 10H90" stroke="red" stroke-width="8" stroke-dasharray="1e30 1e30"/>`,
			`<path d="M10 10H90" stroke="red" stroke-width="8"/>`},
		{`<rect x="10" y="20" width="60" height="50" rx="12" ry="20"/>`,
			`<path d="M22 20H58A12 20 0 0 1 70 40V50A12 20 0 0 1 58 70H22A12 20 0 0 1 10 50V40A12 20 0 0 1 22 20Z"/>`},
	})
	for _, nested := range []string{
		`<svg x="10" y="10" width="50" height="40"><rect x="5" y="5" width="20" height="10"/></svg>`,
		`<clipPath id="c"><rect x="10" y="10" width="50" height="40"/></clipPath>` +
			`<g clip-path="url(#c)"><rect x="15" y="15" width="20" height="10"/></g>`,
	} {
		art := read(t, on(nested)).Artwork
		require.Len(t, art.Shapes, 1)
		assert.Empty(t, art.Shapes[0].Clips, nested)
	}
}

// Lists in selectors that stand for none, or cannot be written out.
func TestListsThatAreNone(t *testing.T) {
	body := `<g class="x"><rect class="a" width="30" height="20"/></g>`
	plain := drawn(read(t, on(body)).Artwork)
	for _, rule := range []string{
		"g is(rect) { fill: red }", "g where(.a) { fill: red }", "g:is(svg rect) { fill: red }",
		".x:is(svg g) { fill: red }", ".x:is(svg > g) { fill: red }",
	} {
		assert.Equal(t, plain, drawn(read(t, on("<style>"+rule+"</style>"+body)).Artwork), rule)
	}
	for _, rule := range []string{":is(svg g) { fill: red }", ":is(svg > .x) { fill: red }", ".x:is(g) { fill: red }"} {
		assert.NotEqual(t, plain, drawn(read(t, on("<style>"+rule+"</style>"+body)).Artwork), rule)
	}
}

// SVG 2, 11.8: a sign is drawn where its middle is on the path; what follows a text on a
// path begins at the path's end.
func TestMiddlesOnPaths(t *testing.T) {
	on45 := func(length string) string {
		return `<path id="p" d="M20 30H` + length + `" fill="none"/><text font-size="20">` +
			`<textPath href="#p">m</textPath></text>`
	}
	assert.Empty(t, read(t, on(on45("28"))).Artwork.Shapes) // m is about 17 wide
	assert.Len(t, read(t, on(on45("30"))).Artwork.Shapes, 1)
	after := `<path id="p" d="M20 30V60" fill="none"/><text font-size="20"><textPath href="#p">i</textPath>m</text>`
	apart := `<path id="p" d="M20 30V60" fill="none"/><text font-size="20"><textPath href="#p">i</textPath></text>` +
		`<text x="20" y="60" font-size="20">m</text>`
	assert.Equal(t, drawn(read(t, on(apart)).Artwork), drawn(read(t, on(after)).Artwork))
}

// Filter Effects 1, 9.8: an image within a flood is the image, as faint as the flood.
func TestImageWithinAFlood(t *testing.T) {
	requirePainted(t, []pair{{
		`<filter id="f" x="-1" y="-1" width="3" height="3"><feFlood flood-color="red" flood-opacity=".5" ` +
			`result="flood"/><feComposite operator="in" in="SourceGraphic" in2="flood"/></filter>` +
			`<rect x="10" y="10" width="40" height="30" filter="url(#f)"/>`,
		`<rect x="10" y="10" width="40" height="30" fill-opacity=".5"/>`,
	}})
}
