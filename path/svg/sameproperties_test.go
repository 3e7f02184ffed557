package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// shown is an element on which a property shows, %s where it stands.
var shown = map[string]string{
	"shape":  `<rect x="5" y="5" width="50" height="40" stroke="lime" %s/><path d="M60 5L90 90 50 40H95L55 90z" %s/>`,
	"line":   `<path d="M10 10H60V60" fill="none" stroke="lime" stroke-width="6" %s/>`,
	"text":   `<text x="50" y="60" font-size="20" %s>b c</text>`,
	"marked": `<marker id="m"><circle r="3"/></marker><path d="M10 10H60V50" stroke="lime" %s/>`,
	"clip": `<clipPath id="c"><path d="M60 5L90 90 50 40H95L55 90z" %s/></clipPath><rect width="99" height="99" ` +
		`clip-path="url(#c)"/>`,
}

// Which properties are inherited, by their definitions in SVG 2 and CSS: one that is shows
// the same from a group round its element, any other does nothing there until it is asked
// for by "inherit", and "initial" and "unset" are what is when nothing is said.
func TestWhichPropertiesAreInherited(t *testing.T) {
	for _, c := range []struct{ property, value, on string }{
		{"fill", "red", "shape"}, {"stroke", "red", "shape"}, {"fill-opacity", ".5", "shape"},
		{"fill-rule", "evenodd", "shape"}, {"clip-rule", "evenodd", "clip"}, {"stroke-opacity", "50%", "shape"},
		{"stroke-width", "3", "shape"}, {"stroke-dasharray", "5 2", "shape"}, {"stroke-linecap", "round", "line"},
		{"stroke-linejoin", "bevel", "line"}, {"stroke-miterlimit", "1.1", "line"}, {"visibility", "hidden", "shape"},
		{"paint-order", "stroke", "shape"}, {"marker-start", "url(#m)", "marked"}, {"marker-mid", "url(#m)", "marked"},
		{"marker-end", "url(#m)", "marked"}, {"font-style", "italic", "text"}, {"font-weight", "bold", "text"},
		{"letter-spacing", "3px", "text"}, {"word-spacing", "3px", "text"}, {"text-anchor", "middle", "text"},
		{"dominant-baseline", "hanging", "text"}, {"text-transform", "uppercase", "text"}, {"direction", "rtl", "text"},
		{"opacity", "-.5", "shape"}, {"display", "-none", "shape"}, {"clip-path", "-inset(10px)", "shape"},
		{"transform", "-scale(2)", "shape"}, {"translate", "-3px", "shape"},
		{"rotate", "-30deg", "shape"}, {"scale", "-2", "shape"}, {"vector-effect", "-non-scaling-stroke", "line"},
		{"text-decoration", "-underline", "text"},
	} {
		value, own := strings.CutPrefix(c.value, "-") // with a sign: of its element alone
		element := func(style string) string {
			return strings.ReplaceAll(shown[c.on], "%s", strings.ReplaceAll(`style="`+style+`"`, ` style=""`, ""))
		}
		clear := func(s string) string { // an attribute wins over what is inherited
			for property, attribute := range map[string]string{"stroke": `stroke="lime" `,
				"stroke-width": `stroke-width="6" `} {
				if property == c.property {
					s = strings.ReplaceAll(s, attribute, "")
				}
			}
			return s
		}
		group := func(inner string) string { return fmt.Sprintf(`<g style="%s:%s">%s</g>`, c.property, value, inner) }
		told := func(markup string) string { return drawn(read(t, on(clear(markup))).Artwork) }
		with, without := told(element(c.property+":"+value)), told(element(""))
		assert.NotEqual(t, without, with, c.property)
		if !own {
			if c.on == "clip" || c.on == "marked" {
				continue // their group is that of the whole
			}
			assert.Equal(t, with, told(group(element(""))), c.property)
			assert.Equal(t, with, told(group(element(c.property+":inherit"))), c.property)
			assert.Equal(t, with, told(group(element(c.property+":unset"))), c.property)
			assert.Equal(t, without, told(group(element(c.property+":initial"))), c.property)
			continue
		}
		assert.Equal(t, without, told(element(c.property+":initial")), c.property)
		assert.Equal(t, without, told(element(c.property+":unset")), c.property)
		if c.property == "vector-effect" {
			assert.Equal(t, with, told(group(element(c.property+":inherit"))), c.property)
			assert.Equal(t, without, told(group(element(""))), c.property)
		}
	}
}

// Properties that are not followed are told where they say anything, as a style and not as an
// attribute but for those that are one; what they say when nothing is said is not told.
func TestPropertiesThatAreNotFollowed(t *testing.T) {
	for property, values := range map[string][2]string{
		"mask-image": {"url(a.png)", "none"}, "mask-mode": {"alpha", "match-source"}, "mask-clip": {"no-clip",
			"border-box"},
		"mask-border": {"url(a.png)", "none"}, "mask-border-source": {"url(a.png)", "none"},
		"backdrop-filter": {"blur(2px)", "none"}, "offset-path": {"path('M0 0')", "none"}, "perspective": {"3px",
			"none"},
		"zoom": {"2", "100%"}, "animation": {"spin 2s", "none"},
	} {
		rect := `<rect width="9" height="9" `
		doc := read(t, on(rect+`style="`+property+`:`+values[0]+`"/>`))
		if assert.Len(t, doc.Warnings, 1, property) {
			assert.Contains(t, doc.Warnings[0].Message, property)
		}
		assert.Empty(t, read(t, on(rect+`style="`+property+`:`+values[1]+`"/>`)).Warnings, property)
		assert.Empty(t, read(t, on(rect+property+`="`+values[0]+`"/>`)).Warnings, "no attribute: %s", property)
	}
	assert.Len(t, read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" `+
		`style="background:red"/>`).Warnings, 1)
	for _, none := range []string{"none", "transparent", "white"} {
		assert.Empty(t, read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9" style="background:`+none+
			`"/>`).Warnings, none)
	}
	assert.Empty(t, read(t, on(`<g style="background:red"/>`)).Warnings)
}

// Some words and figures of properties, in others.
func TestPropertiesInOtherWords(t *testing.T) {
	line := func(attributes string) string {
		return `<path d="M10 10H60L10 30" fill="none" stroke="red" ` +
			`` + attributes + `/>`
	}
	rect := func(attributes string) string { return `<rect width="50" height="40" ` + attributes + `/>` }
	mark := `<marker id="m" overflow="visible"><circle r="3"/></marker>`
	requireSame(t, []pair{
		{line(`style="stroke-width:10%"`), line(`stroke-width="10"`)},
		{line(`style="stroke-width:2MM"`), line(`stroke-width="7.559055118"`)},
		{line(`stroke-width="6" stroke-linejoin="MITER"`), line(`stroke-width="6"`)},
		{line(`stroke-width="6" stroke-miterlimit="4"`), line(`stroke-width="6"`)},
		{line(`stroke-width="6" stroke-linecap="butt" stroke-dashoffset="0"`), line(`stroke-width="6"`)},
		{mark + line(`style="marker:url(#m)"`), mark + line(`marker-start="url(#m)" marker-mid="url(#m)" `+
			`marker-end="url(#m)"`)},
		{mark + `<g style="marker:url(#m)">` + line("") + `</g>`,
			mark + line(`marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"`)},
		{mark + `<g style="marker:url(#m)">` + line(`style="marker:none"`) + `</g>`, mark + line("")},
		{mark + `<g style="marker:url(#m)">` + line(`style="marker:initial"`) + `</g>`, mark + line("")},
		{mark + `<g style="marker:url(#m)">` + line(`style="marker:inherit"`) + `</g>`,
			mark + line(`marker-start="url(#m)" marker-mid="url(#m)" marker-end="url(#m)"`)},
		{rect(`fill=" red "`), rect(`fill="red"`)}, {rect(`style=" fill : red ; "`), rect(`fill="red"`)},
		{rect(`fill="red" fill-opacity="0"`), ``}, {rect(`fill="red" fill-opacity=".001"`), ``},
		{rect(`style="fill:RED"`), rect(`fill="#f00"`)}, {rect(`fill="rgb(100%,0%,0%)"`), rect(`fill="red"`)},
		{rect(`fill="red" style="fill:blue"`), rect(`fill="blue"`)}, {rect(`fill="none"`), ``},
		{rect(`fill="transparent"`), ``},
		{rect(`fill="red" opacity="150%"`), rect(`fill="red"`)}, {rect(`fill="red" opacity="0"`), ``},
		{rect(`transform=" translate( 5 , 6 )  scale(2) "`), rect(`transform="matrix(2 0 0 2 5 6)"`)},
		{rect(`transform="rotate(90,10,20)"`), rect(`transform="translate(10 20)rotate(90)translate(-10 -20)"`)},
		{rect(`transform="rotate(1e1)"`), rect(`transform="rotate(10)"`)},
		{`<g transform="scale(2)"><g transform="translate(3)">` + rect("") + `</g></g>`,
			rect(`transform="matrix(2 0 0 2 6 0)"`)},
		{`<g style="color:blue;fill:currentColor"><g style="color:red">` + rect("") + `</g></g>`, rect(`fill="red"`)},
		{`<g style="color:blue;fill:currentColor">` + rect(`style="color:red"`) + `</g>`, rect(`fill="red"`)},
		{`<svg><g display="none">` + rect("") + `</g><g ` +
			`visibility="hidden">` + rect(`visibility="visible"`) + `</g></svg>`,
			`<svg>` + rect("") + `</svg>`},
		{rect(`style="visibility:collapse"`), ``},
		{rect(`stroke="blue" stroke-width="0"`), rect("")}, {rect(`stroke="blue" stroke-opacity="0"`), rect("")},
		{rect(`fill="url(#none) none" stroke="red"`), rect(`fill="none" stroke="red"`)},
		{rect(`style="fill:red !important" fill="blue"`), rect(`fill="red"`)},
		{`<style>rect{width:30px;height:2em;x:5px;y:10%}</style>` + rect(""), `<rect x="5" y="10" width="30" ` +
			`height="32"/>`},
		{`<style>circle{r:10px;cx:20px;cy:25%}</style><circle/>`, `<circle cx="20" cy="25" r="10"/>`},
		{`<style>ellipse{rx:10px;ry:5px}</style><ellipse/>`, `<ellipse rx="10" ry="5"/>`},
	})
}
