package svg_test

import (
	"encoding/base64"
	"fmt"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/pick"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/gomono"
)

// Every word that a property may be, by its definition, is taken in silence and in capitals
// too; what is none of these is told, and so is nothing at all.
func TestWordsOfProperties(t *testing.T) {
	const modes = "normal multiply screen overlay darken lighten color-dodge color-burn hard-light soft-light " +
		"difference exclusion"
	for property, words := range map[string]string{
		"fill": "none red currentColor context-fill context-stroke #123 transparent", "stroke": "none #abcdef",
		"color": "red currentcolor", "fill-opacity": "0 1 .5 50% 2 -1", "stroke-opacity": "0 50%", "opacity": "1 20%",
		"fill-rule": "nonzero evenodd", "clip-rule": "nonzero evenodd", "stroke-width": "0 1 2px 3% 1em calc(1px)",
		"stroke-dasharray": "none 0 5 5,3 1em,2%", "stroke-dashoffset": "0 -3 5% 1em", "stroke-linecap": "butt round square",
		"stroke-linejoin": "miter miter-clip round bevel arcs", "stroke-miterlimit": "1 4 1.5",
		"visibility": "visible hidden collapse", "paint-order": "normal fill stroke markers",
		"marker-start": "none", "marker-mid": "none", "marker-end": "none", "marker": "none",
		"font-size": "medium xx-small 0 3px 120% larger smaller 2em", "font-style": "normal italic oblique",
		"font-weight": "normal bold bolder lighter 1 400 1000", "letter-spacing": "normal 0 -2px 1em",
		"word-spacing": "normal 3px", "text-anchor": "start middle end", "direction": "ltr rtl",
		"dominant-baseline":           "auto alphabetic middle central hanging mathematical ideographic text-top text-bottom",
		"alignment-baseline":          "auto baseline middle central hanging before-edge after-edge",
		"text-transform":              "none uppercase lowercase capitalize full-width",
		"baseline-shift":              "baseline sub super 3px 10%",
		"color-interpolation-filters": "auto srgb linearrgb", "mask-type": "luminance alpha", "mix-blend-mode": modes,
		"isolation": "auto isolate", "vector-effect": "none non-scaling-stroke", "stop-color": "red currentColor",
		"stop-opacity": "0 50%", "font-stretch": "normal condensed ultra-expanded 80% 0.5%",
	} {
		told := func(value string) int {
			return strings.Count(strings.Join(messages(read(t, on(`<rect style="`+property+`:`+value+
				`" width="9" height="9"/>`))), "\n"), property+" is ignored")
		}
		for word := range strings.FieldsSeq(words) {
			assert.Zero(t, told(word), "%s: %s", property, word)
			assert.Zero(t, told(strings.ToUpper(word)), "%s: %s", property, strings.ToUpper(word))
		}
		for _, bad := range []string{"bogus", "bogus red", "3furlong", ";;" + property + ":"} {
			if property == "font-style" && bad == "bogus red" {
				continue
			}
			assert.Equal(t, 1, told(bad), "%s: %s", property, bad)
		}
	}
	for property, bad := range map[string]string{
		"fill-opacity": "5px 1em", "opacity": "3mm", "stop-opacity": "1px", "stroke-width": "-1 -1px -.1%",
		"stroke-miterlimit": ".9 0 -4 4px 1e999", "font-size": "-1px 1e9mm", "font-weight": "0 1001 -5 1.5",
		"stroke-dasharray": "-1 5,-1 5,x ,", "paint-order": "normal,fill fill,fill", "font-stretch": "0% -1% 80",
		"marker-start": "red 3", "mask-type": "both",
	} {
		for word := range strings.FieldsSeq(bad) {
			if property == "paint-order" {
				word = strings.ReplaceAll(word, ",", " ")
			}
			doc := read(t, on(`<rect style="`+property+`:`+word+`" width="9" height="9"/>`))
			assert.Contains(t, strings.Join(messages(doc), "\n"), property+" is ignored", word)
		}
	}
	for _, order := range []string{"fill stroke", "stroke", "markers stroke fill", "stroke fill markers"} {
		assert.Empty(t, read(t, on(`<rect style="paint-order:`+order+`" width="9" height="9"/>`)).Warnings, order)
	}
	for _, none := range []string{`paint-order=""`, `stroke-dasharray=""`, `isolation=""`, `fill=""`, `stroke-width=""`} {
		assert.Len(t, read(t, on(`<rect `+none+` width="9" height="9"/>`)).Warnings, 1, none)
	}
}

// What letters of other sizes and weights stand beside each other have their own.
func TestLettersBesideOthers(t *testing.T) {
	width := func(inner string) float64 {
		return read(t, on(`<text y="50" font-size="10">`+inner+`</text>`)).Artwork.Bounds().W()
	}
	alone := width("l") + 0
	assert.InDelta(t, 3*alone, read(t, on(`<text y="50" font-size="30">l</text>`)).Artwork.Bounds().W(), 1e-6)
	doc := read(t, on(`<text y="50" font-size="10">l<tspan font-size="30">l</tspan><tspan font-size="20">l</tspan>`+
		`</text>`))
	require.Len(t, doc.Artwork.Shapes, 3)
	for i, k := range []float64{1, 3, 2} {
		assert.InDelta(t, k*alone, doc.Artwork.Shapes[i].Path.Bounds().W(), 1e-6)
	}
	requireSame(t, []pair{
		{`<svg overflow="hidden" width="20" height="20"><rect width="50" height="10"/></svg>`,
			`<svg width="20" height="20"><rect width="50" height="10"/></svg>`},
		{`<svg overflow="scroll" width="20" height="20"><rect width="50" height="10"/></svg>`,
			`<svg width="20" height="20"><rect width="50" height="10"/></svg>`},
		{`<svg overflow="visible" width="20" height="20"><rect width="50" height="10"/></svg>`,
			`<rect width="50" height="10"/>`},
		{`<rect width="50" height="10" transform=" none "/>`, `<rect width="50" height="10"/>`},
		{`<marker id="m" opacity=".06"><rect width="3" height="3"/></marker><g opacity=".06"><path d="M9 9H20V30" ` +
			`fill="none" marker-start="url(#m)"/></g>`, ``}, // 0.0036: nobody sees that
		{`<style>rect{clip-path:inset(1px` + "\n" + `2px` + "\r\n" + `3px` + "\t" + `4px)}</style><rect ` +
			`width="50" height="40"/>`,
			`<rect width="50" height="40" style="clip-path:inset(1px 2px 3px 4px)"/>`},
		{`<style>rect{fill:red;stroke:rgb(0,0,255)}circle,ellipse:not(.a,.b),.c{fill:lime}</style>` +
			`<rect width="50" height="40"/><circle r="9"/><ellipse class="b" rx="9" ry="5"/><path class="c" d="M0 0H9V9z"/>`,
			`<rect width="50" height="40" fill="red" stroke="blue"/><circle r="9" fill="lime"/><ellipse rx="9" ry="5"/>` +
				`<path fill="lime" d="M0 0H9V9z"/>`},
	})
	assert.Equal(t, drawn(read(t, on(`<rect width="40" height="9"/>`)).Artwork),
		drawn(read(t, strings.Replace(on(`<rect width="2rem" height="9"/>`), "<svg ", `<svg font-size="20" `, 1)).Artwork))
	assert.Equal(t, drawn(read(t, on(`<g font-size="9"><rect width="32" height="9"/></g>`)).Artwork),
		drawn(read(t, on(`<g font-size="9"><rect width="2rem" height="9"/></g>`)).Artwork))
	for length, told := range map[string]string{"1e12": "width is ignored", "9.9e11": "further than 1 km",
		"-1e12": "width is ignored"} {
		list := messages(read(t, on(`<rect width="`+length+`" height="9"/>`)))
		require.Len(t, list, 1, length)
		assert.Contains(t, list[0], told)
	}
}

// One element's filter, dashes and context leave those of others as they are.
func TestWhatOthersKeep(t *testing.T) {
	const ramp = `<linearGradient id="g"><stop stop-color="#000"/><stop offset="1" stop-color="#f00"/></linearGradient>`
	const other = `<linearGradient id="h"><stop stop-color="#fff"/><stop offset="1" stop-color="#0ff"/></linearGradient>`
	requirePainted(t, []pair{
		{ramp + `<rect width="40" height="40" fill="url(#g)" style="filter:invert(1)"/><rect x="50" width="40" height="40" ` +
			`fill="url(#g)"/>`,
			ramp + other + `<rect width="40" height="40" fill="url(#h)"/><rect x="50" width="40" height="40" fill="url(#g)"/>`},
		{ramp + `<rect width="40" height="40" fill="url(#g)" fill-opacity=".5"/><rect x="50" width="40" height="40" ` +
			`fill="url(#g)"/>`, ramp + `<rect width="40" height="40" fill="url(#g)" opacity=".5"/><rect x="50" width="40" ` +
			`height="40" fill="url(#g)"/>`},
		{`<g stroke-dasharray="calc(1em) 5" font-size="10"><path d="M10 10H80" font-size="20" stroke="red" ` +
			`stroke-width="8"/><path d="M10 30H80" stroke="red" stroke-width="8"/></g>`,
			`<g stroke-dasharray="10 5" stroke="red" stroke-width="8"><path d="M10 10H80"/><path d="M10 30H80"/></g>`},
		{`<defs><rect id="r" width="20" height="20" fill="context-fill"/></defs><use href="#r" fill="red"/><g fill="blue">` +
			`<g><g><rect x="50" y="50" width="30" height="30" fill="context-fill"/></g></g><rect x="20" y="50" width="30" ` +
			`height="30" fill="context-fill" stroke="context-stroke"/></g>`, `<rect width="20" height="20" fill="red"/>`},
	})
}

// The places of words: one letter is enough, what is stretched or has no size is none, and a
// colour tells whose they are; a skew shows in large and in small units.
func TestPlacesAtTheirEdges(t *testing.T) {
	places := func(inner string, groups ...string) []path.Place {
		doc, err := svg.Read(strings.NewReader(on(inner)), svg.Options{Pick: pick.Options{Places: []string{"text", "rect"},
			Groups: groups}})
		require.NoError(t, err)
		return doc.Places
	}
	one := func(inner string, groups ...string) path.Place {
		list := places(inner, groups...)
		require.Len(t, list, 1, inner)
		return list[0]
	}
	text := one(`<text x="20" y="30" font-size="10">A</text>`).Text
	require.NotNil(t, text)
	assert.Equal(t, "A", text.Words)
	assert.InDelta(t, 0, text.Matrix.Apply(path.Point{}).Dist(path.Point{X: 20 * px, Y: 70 * px}), 1e-9)
	for _, none := range []string{`font-size="0"`, `transform="scale(2 1)"`, `transform="skewX(1)"`,
		`transform="scale(.0001)skewX(20)"`, `transform="scale(1 2)" font-size="9"`} {
		assert.Nil(t, one(`<text `+none+`>A</text>`).Text, none)
	}
	for _, whole := range []string{`transform="scale(.0001)"`, `transform="scale(3000)rotate(20)"`,
		`transform="scale(-2)"`, `transform="rotate(33)"`} {
		p := one(`<text ` + whole + `>A</text>`)
		assert.NotNil(t, p.Text, whole)
		assert.NotNil(t, one(`<rect width="5" height="5" `+whole+`/>`).Frame, whole)
	}
	for _, skewed := range []string{`transform="scale(.0001)skewX(20)"`, `transform="scale(5000)skewX(.0001)"`,
		`transform="skewY(1)"`} {
		assert.Nil(t, one(`<rect width="5" height="5" `+skewed+`/>`).Frame, skewed)
	}
	assert.Equal(t, 1, one(`<text y="30" fill="red">A</text>`, "red").Group)
	assert.Equal(t, 2, one(`<text y="30" fill="blue">A</text>`, "red", "blue").Group)
	assert.Zero(t, one(`<text y="30" fill="lime">A</text>`, "red", "blue").Group)
	assert.Zero(t, one(`<text y="30" fill="none">A</text>`, "red").Group)
}

// Where a text is told of, a single letter too; one that gives each line its place is set in
// lines as it asks for.
func TestToldOfTexts(t *testing.T) {
	at := func(letters string) path.Rect {
		doc := read(t, on(`<text x="20" y="50" font-size="10" font-family="Nowhere">`+letters+`</text>`))
		require.NotEmpty(t, doc.Warnings)
		return doc.Warnings[0].At
	}
	for _, letters := range []string{"A", "AA"} {
		assert.InDelta(t, 20*px, at(letters).Min.X, px)
		assert.InDelta(t, 50*px, at(letters).Min.Y, px)
	}
	assert.Greater(t, at("AA").W(), 1.7*at("A").W())
	for place, told := range map[string]bool{"": true, `x="5"`: false, `y="30"`: false, `x="5" y="30"`: false} {
		doc := read(t, on(`<text y="20" font-family="Go">b<tspan `+place+` style="inline-size:30px">a</tspan></text>`))
		assert.Equal(t, told, strings.Contains(strings.Join(messages(doc), "\n"), "to be wrapped"), place)
	}
	doc := read(t, on(`<text x="5" y="30" style="inline-size:30px">a</text>`))
	assert.Contains(t, strings.Join(messages(doc), "\n"), "to be wrapped")
	data := base64.StdEncoding.EncodeToString(gomono.TTF)
	for weight, told := range map[string]bool{"100": true, "101": false} { // of letters that say nothing, so 400
		list := messages(read(t, on(fmt.Sprintf(`<style>@font-face{font-family:Own;font-weight:%s;src:url(data:font/ttf;`+
			`base64,%s)}</style><text y="50" font-family="Own">a</text>`, weight, data))))
		assert.Equal(t, told, strings.Contains(strings.Join(list, "\n"), "as bold as 400"), weight)
	}
}
