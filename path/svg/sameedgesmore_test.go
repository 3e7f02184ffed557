package svg_test

import (
	"encoding/base64"
	"fmt"
	"strings"
	"testing"

	"furrow/path/pick"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomono"
)

// CSS Values 4, 10.9, CSS Fonts 4, 2.3, and other values at the edge of what they mean.
func TestValuesAtTheEdge(t *testing.T) {
	rect := func(attributes string) string { return `<rect width="50" height="40" ` + attributes + `/>` }
	requireSame(t, []pair{
		{`<rect x="calc(0px / 0)" width="50" height="40"/>`, rect("")},
		{`<rect x="calc((0px / 0) + 3px)" width="50" height="40"/>`, rect("")},
		{rect(`transform=" rotate(10) "`), rect(`transform="rotate(10)"`)},
		{rect(`style="transform-box:fill-box;transform-origin:50%;transform:rotate(30deg)"`),
			rect(`transform="rotate(30 25 20)"`)},
		{rect(`style="transform-box:fill-box;transform-origin:right;transform:rotate(30deg)"`),
			rect(`transform="rotate(30 50 20)"`)},
		{rect(`style="transform-box:fill-box;transform-origin:20% 40% 0;transform:rotate(30deg)"`),
			rect(`transform="rotate(30 10 16)"`)},
		{`<svg width="80" height="40">` + rect(`style="transform:matrix(1,0,0,1,10,20)"`) + `</svg>`,
			`<svg width="80" height="40">` + rect(`transform="translate(10 20)"`) + `</svg>`},
		{`<rect font-size="X-LARGE" width="1em" height="10"/>`, rectOf("24")},
		{`<rect font-size="LARGER" width="1em" height="10"/>`, rectOf("19.2")},
		{`<style>rect{/* fill:blue */fill:red}/*x*/rect/*y*/.a{stroke:/*z*/red}</style>` + rect(`class="a"`),
			rect(`fill="red" stroke="red"`)},
		{`<style>*>*>svg>rect{fill:red}svg>rect{stroke:red}:root>rect{stroke-width:4}</style>` + rect(""),
			rect(`stroke="red" stroke-width="4"`)},
		{`<style>rect:not(.a, .b){fill:red}</style>` + rect(`class="b"`) + rect(`class="c"`), rect("") + rect(`fill="red"`)},
		{`<style>g ~ rect.z ~ .a{fill:red}</style><g/><rect class="z" width="3" height="3"/><g/>` + rect(`class="a"`),
			`<rect width="3" height="3"/>` + rect(`fill="red"`)},
		{`<style>.z ~ rect.q ~ .a{fill:red}</style><g/><rect class="q" width="3" height="3"/><g class="z"/>` +
			rect(`class="a"`), `<rect width="3" height="3"/>` + rect("")},
		{`<path d="M10 10l+9 9.5.5-3 9e0 90h9z"/>`, `<path d="M10 10L19 19.5L19.5 16.5L28.5 106.5H37.5z"/>`},
		{rect(`style="width:var(--none)"`), rect("")}, {rect(`style="fill:var(--a"`), rect("")},
		{rect(`style="--a:red;fill:var(--a"`), rect("")},
		{`<path d="M10 50z" stroke="red" stroke-width="8" stroke-linecap="square" stroke-dasharray="5"/>`,
			`<path d="M10 50z" stroke="red" stroke-width="8" stroke-linecap="square"/>`},
		{`<path d="M10 10H50V50z" fill="none" stroke="red" stroke-width="8" stroke-dasharray="500"/>`,
			`<path d="M10 10H50V50z" fill="none" stroke="red" stroke-width="8"/>`},
		{`<path d="M10 10H50" fill="none" stroke="red" stroke-dasharray="5e11 5e11" stroke-dashoffset="6e11"/>`,
			`<path d="M10 10H50" fill="none" stroke="red"/>`}, // a pattern that never ends is none
		{`<animate href="#none" attributeName="x" dur="1s"/>` + rect(""), rect("")},
		{rect(`fill="blue" style="fill:var(--none)"`), rect("")},
	})
	for _, bad := range []string{`fill="url(#a"`, `style="clip-path:circle(5px at)"`, `style="clip-path:circle(5px"`,
		`style="fill:url(#a"`, `transform="translate(3) scale(bad)"`, `transform="translate(3furlong)"`,
		`width="calc(1px + 5furlong)"`, `width="calc((1px 2px))"`, `width="calc(())"`} {
		doc := read(t, on(`<circle r="9"/>`+`<rect height="20" `+bad+`/>`))
		assert.Len(t, doc.Warnings, 1, bad)
	}
	for _, d := range []string{"M9e11 0h9e11", "M0 0h1e12", "M0 0v-1e12", "M0 9e11l0 9e11", "M0 0L5 1e12"} {
		doc := read(t, on(`<path d="`+d+`"/>`))
		require.Len(t, doc.Warnings, 1, d)
		assert.Contains(t, doc.Warnings[0].Message, "too large", d)
	}
	for _, hidden := range []string{`display="none"`, `visibility="hidden"`} {
		assert.Empty(t, read(t, on(`<foreignObject width="9" height="9" `+hidden+`/>`)).Warnings, hidden)
	}
}

// Letters along paths and beside each other, at the edge of what they mean (SVG 2, 11).
func TestLettersAtTheEdge(t *testing.T) {
	along := func(d, attributes string) string {
		return `<text font-size="40"><textPath path="` + d + `" ` + attributes + `>m</textPath></text>`
	}
	plain := func(x float64, attributes string) string {
		return fmt.Sprintf(`<text font-size="40" x="%g" y="30" %s>m</text>`, x, attributes)
	}
	requireLooks(t, []pair{
		{along("M20 30H80", `text-anchor="middle"`), plain(20, `text-anchor="middle"`)},
		{along("M90 90zM20 30H80", `text-anchor="middle"`), plain(20, `text-anchor="middle"`)},
		{along("M20 30H80", `text-anchor="middle" startOffset="100%"`), plain(80, `text-anchor="middle"`)},
		{along("M20 30H80", `text-anchor="middle" startOffset="60"`), plain(80, `text-anchor="middle"`)},
		{along("M20 30H80M20 90H30", `text-anchor="middle" startOffset="60"`), plain(80, `text-anchor="middle"`)},
		{along("M20 30H80", `text-anchor="middle" startOffset="60.01"`), ``},
		{along("M20 30H80", `text-anchor="middle" startOffset="-.01"`), ``},
		{along("M10 10z", ``), ``}, {along("M10 10", ``), ``},
		{`<text y="40" font-size="20"><tref href="#none"/>a</text>`, `<text y="40" font-size="20">a</text>`},
		{`<text y="40" font-size="20" alignment-baseline="middle"><tspan alignment-baseline="auto">a</tspan></text>`,
			`<text y="40" font-size="20" alignment-baseline="middle">a</text>`},
		{`<g letter-spacing="9"><text y="40" font-size="20" letter-spacing="normal" word-spacing="normal">ab c</text></g>`,
			`<text y="40" font-size="20">ab c</text>`},
		{`<g font-size="20"><text y="40" style="font:bold">a</text></g>`, `<text y="40" font-size="20">a</text>`},
		{`<text y="40" font-size="20"><tspan textLength="40"></tspan>ab</text>`, `<text y="40" font-size="20">ab</text>`},
		{`<text y="40" font-size="20">ab<tspan textLength="40"> </tspan></text>`, `<text y="40" font-size="20">ab</text>`},
		{`<text y="40" font-size="20"><tspan textLength="0">a</tspan></text>`, `<text y="40" font-size="20">a</text>`},
		{`<text y="40" font-size="20"><tspan textLength="-5">ab</tspan></text>`, `<text y="40" font-size="20">ab</text>`},
	}...)
	doc := read(t, on(along("M20 30H80 x", "")))
	assert.Contains(t, strings.Join(messages(doc), "\n"), "unknown command")
	for _, missing := range []string{`<textPath>i</textPath>`, `<textPath href="#none">i</textPath>`,
		`<textPath href="#c" method="stretch">i</textPath>`} {
		doc = read(t, on(`<clipPath id="c"/><text font-size="20" y="50">`+missing+`</text>`))
		assert.Empty(t, doc.Artwork.Shapes, missing)
		assert.Contains(t, strings.Join(messages(doc), "\n"), "stands on no path", missing)
		assert.NotContains(t, strings.Join(messages(doc), "\n"), "bent", missing)
	}
	doc = read(t, on(along("M20 30H80", `method="stretch"`)))
	assert.Contains(t, strings.Join(messages(doc), "\n"), "bent along their path")
}

// CSS Fonts 4, 11: a face may name other sources first, and says what it cannot; a weight
// that is none is 400, and what a face lacks is told in its number.
func TestFacesAtTheirEdges(t *testing.T) {
	data := base64.StdEncoding.EncodeToString(gomono.TTF)
	face := func(src, more string) string {
		return `<style>@font-face{font-family:Own;src:` + src + `;` + more + `}</style><text y="50" font-size="20" ` +
			`font-family="Own" font-weight="700">ill</text>`
	}
	own := "url(data:font/ttf;base64," + data + ")"
	want := outlineOf(read(t, on(face(own, ""))).Artwork.Shapes[0].Path)
	for _, src := range []string{`url(a.woff2) format("woff2"),` + own, `url(a.woff)` + own, "local(x)," + own,
		"url(data:font/ttf;base64,AAAA)," + own} {
		doc := read(t, on(face(src, "")))
		assert.Equal(t, want, outlineOf(doc.Artwork.Shapes[0].Path), src[:20])
	}
	for _, src := range []string{"url(a.woff2)", "url(", "local(x)", "url(data:font/ttf;base64," + data} {
		doc := read(t, on(face(src, "")))
		assert.Contains(t, strings.Join(messages(doc), "\n"), "not at hand", src[:4])
	}
	for more, weight := range map[string]string{"": "400", "font-weight:wild": "400", "font-weight:300": "300",
		"font-weight:401": "", "font-weight:bold": "", "font-weight: 100 900": "100"} {
		list := strings.Join(messages(read(t, on(face(own, more)))), "\n")
		assert.Equal(t, weight != "", strings.Contains(list, "as bold as 700"), more)
		assert.Contains(t, list, weight, more)
	}
	const drawn = `<font horiz-adv-x="500"><font-face font-family="Own" font-weight="%s"/><glyph unicode="A" ` +
		`d="M0 0H500V500z"/></font><text y="50" font-family="Own" font-weight="700">A</text>`
	for weight, told := range map[string]bool{"wild": true, "400": true, "401": false, "all": false, "": false} {
		list := strings.Join(messages(read(t, on(fmt.Sprintf(drawn, weight)))), "\n")
		assert.Equal(t, told, strings.Contains(list, "as bold as 700 is at hand; set in one of 400"), weight)
	}
	for first, told := range map[int]int{33: 0, 34: 1} { // faces of two sheets, each once
		sheet := func(n int) string {
			return "<style>" + strings.Repeat(`@font-face{font-family:F;src:url(data:font/ttf;base64,AAAA)}`, n) + "</style>"
		}
		list := strings.Join(messages(read(t, on(sheet(first)+sheet(31)))), "\n")
		assert.Equal(t, told, strings.Count(list, "more than 64 fonts"), first)
	}
	doc := read(t, on(`<text y="20" font-family="Zed">a</text><text y="40" font-family="Ash">a</text><text y="60">a`+
		`</text>`))
	require.Len(t, doc.Fonts, 3)
	assert.Equal(t, []string{"", "Ash", "Zed"}, []string{doc.Fonts[0].Asked, doc.Fonts[1].Asked, doc.Fonts[2].Asked})
	wide := read(t, on(`<text y="50" font-stretch="75%" font-family="Go">a</text>`))
	assert.Contains(t, strings.Join(messages(wide), "\n"), "no width of 75 %")
	for _, usual := range []string{"100%", "normal"} {
		assert.NotContains(t, strings.Join(messages(read(t, on(`<text y="50" font-stretch="`+usual+`">a</text>`))), "\n"),
			"no width", usual)
	}
	for _, bad := range []string{"0%", "-5%", "75", "75px"} {
		list := strings.Join(messages(read(t, on(`<text y="50" font-stretch="`+bad+`">a</text>`))), "\n")
		assert.Contains(t, list, "font-stretch is ignored", bad)
	}
}

// Images that cannot be drawn, for what is said of them or what is in them.
func TestImagesAtTheirEdges(t *testing.T) {
	for markup, words := range map[string]string{
		`<image width="10" href="a.png"/>`:                                          "in its own size",
		`<image height="10" href="a.png"/>`:                                         "in its own size",
		`<image width="10" height="10" href="a.png"/>`:                              "a picture is left out",
		`<image width="10" height="10" href="data:image/svg+xml;base64,H4sIAAAA"/>`: "damaged gzip",
		`<image width="10" height="10" href="data:image/svg+xml,%zz"/>`:             "a picture is left out",
		`<image width="10" height="10" href="data:image/svg+xml"/>`:                 "a picture is left out",
	} {
		list := messages(read(t, on(markup)))
		require.Len(t, list, 1, markup)
		assert.Contains(t, list[0], words, markup)
	}
	for _, nothing := range []string{`<image width="0" height="10" href="a.png"/>`, `<image width="10" height="10"/>`,
		`<image visibility="hidden" width="10" height="10" href="a.png"/>`} {
		assert.Empty(t, read(t, on(nothing)).Warnings, nothing)
	}
	doc, err := svg.Read(strings.NewReader(on(drawing(`width="20" height="10"`, `<rect class='deep' width='9' `+
		`height='9'/><text y='9'>a</text>`))), svg.Options{Pick: pick.Options{Places: []string{"image"}}})
	require.NoError(t, err)
	assert.Len(t, doc.Places, 1)
	assert.Len(t, doc.Fonts, 1, "the fonts of a drawing within are told too")
	sized := func(inner, attributes string) string { // five high, and half as wide as it all is
		return `<image ` + attributes + ` href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' ` + inner +
			`%3E%3Crect width='50%25' height='5'/%3E%3C/svg%3E"/>`
	}
	for _, attributes := range []string{``, `width="10"`, `height="10"`} {
		list := messages(read(t, on(sized(``, attributes))))
		require.Len(t, list, 1, attributes)
		assert.Contains(t, list[0], "a picture in its own size is left out", attributes)
	}
	requireSame(t, []pair{
		{drawing(`x="10" y="20" width="40"`, `<rect width="20" height="10"/>`),
			`<rect x="10" y="10" width="0" height="0"/><path d="M20 20h20v10h-20z"/>`},
		{drawing(`x="10" y="20" height="40"`, `<rect width="20" height="10"/>`), `<path d="M10 35h20v10h-20z"/>`},
		{drawing(`x="10" y="20"`, `<rect width="20" height="10"/>`), `<path d="M10 20h20v10h-20z"/>`},
		{sized(``, `x="10" y="20" width="40" height="20"`), `<path d="M10 20h20v5h-20z"/>`},
		{sized(`width='100%25' height='100%25'`, `x="10" y="20" width="40" height="20"`), `<path d="M10 20h20v5h-20z"/>`},
		{sized(`width='80'`, `x="10" y="20" width="40" height="20"`), `<path d="M10 25h20v2.5h-20z"/>`},
		{sized(`height='40'`, `x="10" y="20" width="40" height="20"`), `<path d="M20 20h10v2.5h-10z"/>`},
		{sized(`viewBox='0 0 20 10'`, `x="10" y="20" width="40" height="20"`), `<path d="M10 20h20v10h-20z"/>`},
	})
}
