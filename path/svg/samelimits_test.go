package svg_test

import (
	"slices"
	"strings"
	"testing"

	"furrow/path"

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
		`<clipPath id="c"><rect x="10" y="10" width="50" height="40"/></clipPath>` +
			`<rect x="10" y="10" width="50" height="40" clip-path="url(#c)"/>`,
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
	for _, space := range []string{"b ", " b\n", "<tspan>b </tspan> ", "b<tspan> </tspan>"} { // CSS Text 3, 4.1.2
		ended := func(s string) string {
			return `<text x="60" y="40" text-anchor="end" ` +
				`font-size="20">` + s + `</text>`
		}
		assert.Equal(t, drawn(read(t, on(ended("b"))).Artwork), drawn(read(t, on(ended(space))).Artwork), space)
	}
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

// Words for sizes of letters (CSS Fonts 4, 2.5.1), white space of other kinds, and numbers
// of one digit.
func TestSizesInWords(t *testing.T) {
	var pairs []pair
	sizes := []string{"9", "10", "13", "16", "18", "24", "32", "48"}
	for i, word := range []string{"xx-small", "x-small", "small", "medium", "large", "x-large", "xx-large",
		"xxx-large"} {
		pairs = append(pairs, pair{`<rect style="font-size:` + word + `" width="1em" height="10"/>`, rectOf(sizes[i])})
	}
	for _, space := range []string{"\t", "\n", "\r", " ", "\t \n"} {
		pairs = append(pairs, pair{
			`<rect width="50" height="50" style="clip-path:inset(1px` + space + `2px` + space + `3px)"/>`,
			`<rect width="50" height="50" style="clip-path:inset(1px 2px 3px 2px)"/>`,
		})
	}
	requireSame(t, append(pairs,
		pair{`<path d="M10 10H80" stroke="red" stroke-width="8" stroke-dasharray="1" pathLength="7"/>`,
			`<path d="M10 10H80" stroke="red" stroke-width="8" stroke-dasharray="10"/>`},
	))
}

// An image is drawn in any room that is one.
func TestRoomsOfImages(t *testing.T) {
	image := func(size string) string {
		return `<image x="10" y="20" preserveAspectRatio="none" ` + size + ` href="data:image/svg+xml,` +
			`%3Csvg xmlns='http://www.w3.org/2000/svg' width='20' height='10'%3E%3Crect width='10' ` +
			`height='5'/%3E%3C/svg%3E"/>`
	}
	requireSame(t, []pair{
		{image(`width="0.5" height="40"`), `<rect x="10" y="20" width="0.25" height="20"/>`},
		{image(`width="40" height="0.5"`), `<rect x="10" y="20" width="20" height="0.25"/>`},
		{image(`width="0" height="40"`), ``},
		{image(`width="40" height="0"`), ``},
	})
}

// A blur is as wide as the larger of its deviations, in units of the box too.
func TestBlursInBoxUnits(t *testing.T) {
	blurred := func(size, attributes, deviation string) string {
		return `<filter id="f" x="-1" y="-1" width="3" height="3" ` + attributes + `><feGaussianBlur stdDeviation="` +
			deviation + `"/></filter><rect x="40" y="40" ` + size + ` filter="url(#f)"/>`
	}
	const units = `primitiveUnits="objectBoundingBox"`
	for _, size := range []string{`width="20" height="10"`, `width="10" height="20"`} {
		want := read(t, on(blurred(size, "", "0.2")))
		for _, other := range []string{blurred(size, units, "0.01"), blurred(size, "", "0.2 0.1"),
			blurred(size, "", "0.1 0.2")} {
			got := read(t, on(other))
			assert.Equal(t, drawn(want.Artwork), drawn(got.Artwork), other)
			assert.Equal(t, want.Warnings, got.Warnings, other)
		}
	}
}

// SVG 2, 6.6: these are properties of styles alone, which no attribute gives to any element.
func TestAttributesThatAreNoProperties(t *testing.T) {
	with := func(a, ofLetters string) string {
		return `<g` + a + `><svg width="50" height="50"` + a + `><rect x="40" width="30" height="10"` + a + `/></svg>` +
			`<text y="50"` + ofLetters + `><tspan` + ofLetters + `>a  b</tspan></text><image width="9" height="9"` + a +
			` href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/%3E"/></g>`
	}
	want := read(t, on(with("", "")))
	for _, name := range []string{
		"font", "marker", "animation", "rotate", "scale", "translate", "mask-image", "mask-mode", "mask-clip",
		"mask-border", "mask-border-source", "backdrop-filter", "offset-path", "perspective", "zoom", "object-fit",
		"vertical-align", "background", "background-color", "overflow-x", "overflow-y", "white-space-collapse",
	} {
		for _, value := range []string{"2px", "url(#none)", "collapse", "visible", "preserve"} {
			a := " " + name + `="` + value + `"`
			ofLetters := a
			if name == "rotate" { // letters have an attribute of that name
				ofLetters = ""
			}
			got := read(t, on(with(a, ofLetters)))
			assert.Equal(t, drawn(want.Artwork), drawn(got.Artwork), a)
			assert.Equal(t, want.Warnings, got.Warnings, a)
		}
	}
}

// What cannot be drawn is told: scripts, blending and cutting in filters, a choice of what
// is not supported alone.
func TestMoreThatIsTold(t *testing.T) {
	filter := func(inner string) string {
		return `<filter id="f"><feFlood result="a"/><feOffset in="SourceGraphic" dx="3" result="b"/>` + inner +
			`</filter><rect x="20" y="20" width="30" height="30" filter="url(#f)"/>`
	}
	for markup, words := range map[string]string{
		`<script>alert(1)</script>`:                                     "scripts are not run",
		`<switch><foreignObject width="9" height="9"/></switch>`:        "foreignObject",
		filter(`<feBlend mode="multiply" in="a" in2="b"/>`):             "feBlend multiply",
		filter(`<feComposite operator="xor" in="a" in2="b"/>`):          "feComposite xor",
		filter(`<feComposite operator="out" in="b" in2="a"/>`):          "feComposite out",
		filter(`<feComposite operator="in" in="a" in2="a"/>`):           "feComposite in",
		filter(`<feComposite operator="in" in="b" in2="b"/>`):           "feComposite in",
		filter(`<feComposite operator="arithmetic" in="b" in2="b"/>`):   "feComposite arithmetic",
		filter(`<feTurbulence/>`):                                       "feTurbulence",
		filter(`<feConvolveMatrix kernelMatrix="1"/>`):                  "feConvolveMatrix",
		filter(`<feDisplacementMap/>`):                                  "feDisplacementMap",
		filter(`<feDiffuseLighting><feSpotLight/></feDiffuseLighting>`): "feDiffuseLighting",
	} {
		var all []string
		for _, w := range read(t, on(markup)).Warnings {
			all = append(all, w.String())
		}
		assert.Contains(t, strings.Join(all, "\n"), words, markup)
	}
}

// CSS Text Decoration 3, 2: a line through letters is over them, others are under them.
func TestOrderOfLines(t *testing.T) {
	for line, under := range map[string]bool{"underline": true, "overline": true, "line-through": false} {
		art := read(t, on(`<text y="40" font-size="30" style="text-decoration:`+line+`">m</text>`)).Artwork
		require.Len(t, art.Shapes, 2, line)
		first := art.Shapes[0].Path.Bounds()
		assert.Equal(t, under, first.H() < 3*px, line)
	}
}

// An element is in a group of its own where it is isolated itself.
func TestGroupsThatAreIsolated(t *testing.T) {
	for outer, groups := range map[string]int{"": 1, "isolation:isolate": 2, "isolation:auto": 1, "opacity:.5": 2} {
		art := read(t, on(`<rect width="90" height="90"/><g style="`+outer+`"><g><rect `+
			`style="mix-blend-mode:multiply" `+
			`width="50" height="50"/></g></g>`)).Artwork
		require.Len(t, art.Shapes, 2)
		n := 0
		for g := art.Shapes[1].In; g != nil; g = g.In {
			n++
		}
		assert.Equal(t, groups, n, outer)
	}
}

// What letters are set without is told; of lines along them, where there are any.
func TestLettersSetWithout(t *testing.T) {
	for _, c := range []struct{ property, value, plain string }{
		{"font-size-adjust", "0.5", "none"}, {"font-feature-settings", "'smcp'", "normal"},
		{"font-variation-settings", "'wght' 3", "normal"}, {"font-language-override", "'TRK'", "normal"},
		{"font-variant-alternates", "swash(a)", "normal"}, {"font-variant-east-asian", "jis78", "normal"},
		{"font-variant-ligatures", "none", "normal common-ligatures"},
		{"font-variant-numeric", "ordinal", "normal"}, {"font-variant-position", "sub", "normal"},
		{"text-shadow", "1px 1px red", "none"}, {"text-emphasis", "dot", "none"},
		{"text-emphasis-style", "dot", "none"}, {"-text-decoration-style", "wavy", "solid"},
		{"-text-decoration-color", "red", "currentcolor"}, {"-text-decoration-thickness", "3px", "auto from-font"},
		{"-text-underline-offset", "3px", "auto 0"}, {"-text-underline-position", "under", "auto from-font"},
		{"writing-mode", "tb", "lr lr-tb rl rl-tb horizontal-tb"}, {"inline-size", "9px", "auto 0 0px"},
		{"shape-inside", "url(#a)", "auto none"},
	} {
		name, lines := strings.CutPrefix(c.property, "-")
		told := func(value, more string) bool {
			doc := read(t, on(`<text y="40" style="`+name+`:`+value+more+`">a</text>`))
			return slices.ContainsFunc(doc.Warnings,
				func(w path.Warning) bool { return strings.Contains(w.Message, name) })
		}
		assert.Equal(t, !lines, told(c.value, ""), name)
		assert.True(t, told(c.value, ";text-decoration-line:underline"), name)
		for _, plain := range strings.Fields(c.plain) {
			assert.False(t, told(plain, ";text-decoration-line:underline"), "%s %s", name, plain)
		}
	}
}

// Gradients and turns with one of their numbers at nought and the other not.
func TestOneOfTwoNumbers(t *testing.T) {
	ramp := func(attributes string) string {
		return `<linearGradient id="g" gradientUnits="userSpaceOnUse" ` + attributes + `><stop stop-color="red"/>` +
			`<stop offset="1" stop-color="blue"/></linearGradient><rect width="80" height="80" fill="url(#g)"/>`
	}
	turned := func(attributes string) string {
		return `<rect x="20" y="20" width="30" height="10" ` + attributes + `/>`
	}
	requireSame(t, []pair{
		{ramp(`x1="5" y1="30" x2="5" y2="70"`),
			ramp(`x1="0" y1="0" x2="0" y2="40" gradientTransform="translate(5 30)"`)},
		{ramp(`x1="10" y1="20" x2="50" y2="60"`),
			ramp(`x1="0" y1="0" x2="40" y2="40" gradientTransform="translate(10 20)"`)},
		{`<pattern id="p" x=".1" y=".25" width=".5" height=".5"><rect width="3" height="4"/></pattern>` +
			`<rect x="10" y="10" width="40" height="20" fill="url(#p)"/>`,
			`<pattern id="p" x="14" y="15" width="20" height="10" patternUnits="userSpaceOnUse"><rect width="3" ` +
				`height="4"/></pattern><rect x="10" y="10" width="40" height="20" fill="url(#p)"/>`},
		{turned(`transform="scale(2 3)" transform-origin="10 0"`), turned(`transform="translate(-10 0) scale(2 3)"`)},
		{turned(`transform="scale(2 3)" transform-origin="0 10"`), turned(`transform="translate(0 -20) scale(2 3)"`)},
		{`<style>rect:not(g rect):not(:not(svg > rect)){fill:red}</style>` + turned(""), turned(`fill="red"`)},
	})
}

// The page by its size and its viewBox: what one of them leaves out, the other gives.
func TestPagesByHand(t *testing.T) {
	for attributes, want := range map[string][2]float64{
		`width="50" height="20"`:                           {50, 20},
		`width="50" height="20" viewBox="0 0 7 9"`:         {50, 20},
		`width="50" viewBox="3 4 20 10"`:                   {50, 25},
		`height="50" viewBox="3 4 20 10"`:                  {100, 50},
		`viewBox="3 4 20 10"`:                              {20, 10},
		`width="50%" height="25%" viewBox="0 0 20 40"`:     {10, 10},
		`width="auto" height="auto" viewBox="0 0 20 40"`:   {20, 40},
		`style="width:30px;height:20px" width="9"`:         {30, 20},
		`width="1in" height="2.54cm" viewBox="0 0 100 10"`: {96, 96},
	} {
		page := read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+attributes+`><path d="M1 `+
			`1H2V2Z"/></svg>`).Artwork.Page
		assert.InDelta(t, want[0]*px, page.W(), 1e-9, attributes)
		assert.InDelta(t, want[1]*px, page.H(), 1e-9, attributes)
	}
}

// A width that is none is ignored and told; so are a name of nothing in an entity, and what
// follows letters that are stretched moves with them.
func TestWhatIsIgnored(t *testing.T) {
	line := func(attributes string) string { return `<path d="M10 10H80" stroke="red" ` + attributes + `/>` }
	for _, bad := range []string{"bad", "-3", "-1mm", "3 4", "calc(", "1e"} {
		got := read(t, on(line(`stroke-width="`+bad+`"`)))
		assert.Equal(t, drawn(read(t, on(line(""))).Artwork), drawn(got.Artwork), bad)
		assert.Len(t, got.Warnings, 1, bad)
	}
	doc := read(t, `<!DOCTYPE svg [<!ENTITY a "x&lt;y"><!ENTITY b "&a;&none;z">]>`+on(`<desc>&a;</desc><rect id="&b;" `+
		`width="9" height="9"/>`))
	require.Len(t, doc.Artwork.Shapes, 1)
	assert.Equal(t, "x<y&none;z", doc.Artwork.Shapes[0].Source.ID)
	text := func(inner string) string { return `<text y="40" font-size="20">` + inner + `</text>` }
	for inner, plain := range map[string]string{
		`<tspan textLength="60">bb</tspan>b`: `b<tspan x="60">b</tspan>`,
		`<tspan textLength="60">b</tspan>b`:  `bb`,
	} {
		all := func(s string) path.Rect {
			box := path.EmptyRect()
			for _, shape := range read(t, on(text(s))).Artwork.Shapes {
				box = box.Union(shape.Path.Bounds())
			}
			return box
		}
		assert.InDelta(t, all(plain).Min.X, all(inner).Min.X, 1e-9, inner)
		assert.InDelta(t, all(plain).Max.X, all(inner).Max.X, 1e-9, inner)
	}
}

// Sizes of letters reach what is inside; dashes begin anywhere; orders and transforms that
// are none are ignored.
func TestSizesAndStartsAndOrders(t *testing.T) {
	dashed := func(attributes string) string {
		return `<path d="M10 10H80" stroke="red" stroke-width="8" stroke-dasharray="6 4" ` + attributes + `/>`
	}
	edged := func(attributes string) string {
		return `<rect x="20" y="20" width="30" height="30" fill="red" stroke="blue" stroke-width="4" ` +
			`` + attributes + `/>`
	}
	requireSame(t, []pair{
		{`<g font-size="20"><g>` + rectOf("2em") + `</g></g>`, rectOf("40")},
		{`<g style="font-size:x-large"><g font-size="0.5em">` + rectOf("1em") + `</g></g>`, rectOf("12")},
		{dashed(`stroke-dashoffset="0.5"`), dashed(`stroke-dashoffset="-9.5"`)},
		{dashed(`stroke-dashoffset="0.5"`), dashed(`stroke-dashoffset="10.5"`)},
		{dashed(`stroke-dashoffset="-0.5"`), dashed(`stroke-dashoffset="9.5"`)},
		{edged(`paint-order="normal"`), edged("")}, {edged(`paint-order="fill"`), edged("")},
		{edged(`paint-order="fill stroke markers"`), edged("")}, {edged(`paint-order="markers stroke"`),
			edged(`paint-order="stroke"`)},
	})
	for _, bad := range []string{`paint-order="normal fill"`, `paint-order="fill fill"`, `paint-order="normal normal"`,
		`transform="matrix(1 0 0 1 5 6 7)"`, `transform="scale(x)"`, `transform="translate(3 x)"`,
		`transform="rotate(3 4)"`, `transform="matrix(1 0 0 1 5)"`, `transform="translate(1 2 3)"`} {
		got := read(t, on(edged(bad)))
		assert.Equal(t, drawn(read(t, on(edged(""))).Artwork), drawn(got.Artwork), bad)
		assert.Len(t, got.Warnings, 1, bad)
	}
}
