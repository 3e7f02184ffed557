package svg_test

import (
	"encoding/base64"
	"fmt"
	"math"
	"net/url"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// requirePainted paints both on a hundred rows, in places that lie on no edge, and lets a
// few differ.
func requirePainted(t *testing.T, pairs []pair) {
	t.Helper()
	for _, p := range pairs {
		requireLooks(t, p)
		assert.Empty(t, read(t, on(p.markup)).Warnings, p.markup)
	}
}

// requireLooks is that for one, whatever is warned of.
func requireLooks(t *testing.T, pairs ...pair) {
	t.Helper()
	for _, p := range pairs {
		got, want := read(t, on(p.markup)), read(t, on(p.plain))
		a, b := paint(got.Artwork, 97), paint(want.Artwork, 97)
		differ, dark := 0, 0
		for i := range a.rgb {
			for k := range 3 {
				if math.Abs(a.rgb[i][k]-b.rgb[i][k]) > 0.02 {
					differ++
					break
				}
			}
			if min(b.rgb[i][0], b.rgb[i][1], b.rgb[i][2]) < 0.9 {
				dark++
			}
		}
		assert.LessOrEqual(t, differ, 6, p.markup)
		assert.Equal(t, p.plain != "", dark > 40, p.plain)
	}
}

// SVG 2, 13 and 14, CSS Masking 1: patterns, masks and pictures in other words.
func TestPaintsInOtherWords(t *testing.T) {
	tile := func(attributes string) string {
		return `<pattern id="p" width="20" height="10" patternUnits="userSpaceOnUse" ` + attributes + `><rect ` +
			`width="12" ` +
			`height="4"/></pattern><rect x="10" y="10" width="60" height="30" fill="url(#p)"/>`
	}
	clipped := func(inner string) string {
		return `<clipPath id="c"><rect x="10" y="10" width="60" height="30"/></clipPath><g ` +
			`clip-path="url(#c)">` + inner + `</g>`
	}
	dashes := func(x, y, dx, dy, w, h float64) string { // of tiles, everywhere
		var b strings.Builder
		for i := range 12 {
			for k := range 12 {
				writeRect(&b, x+dx*float64(i), y+dy*float64(k), w, h)
			}
		}
		return b.String()
	}
	picture := `<svg xmlns="http://www.w3.org/2000/svg" width="10" height="20"><rect width="10" height="9"/></svg>`
	plain := base64.StdEncoding.EncodeToString([]byte(picture))
	requirePainted(t, []pair{
		{tile(""), clipped(dashes(0, 0, 20, 10, 12, 4))},
		{tile(`x="5" y="2"`), clipped(dashes(-15, -8, 20, 10, 12, 4))},
		{tile(`patternTransform="scale(2)"`), clipped(dashes(0, 0, 40, 20, 24, 8))},
		{tile(`patternTransform="translate(3 2)"`), clipped(dashes(-17, -8, 20, 10, 12, 4))},
		{tile(`patternTransform="rotate(90)"`), clipped(dashes(-4, 0, 10, 20, 4, 12))},
		{tile(`viewBox="0 0 40 20"`), clipped(dashes(0, 0, 20, 10, 6, 2))},
		{tile(`viewBox="0 0 20 20"`), clipped(dashes(5, 0, 20, 10, 6, 2))},
		{tile(`viewBox="0 0 20 20" preserveAspectRatio="none"`), clipped(dashes(0, 0, 20, 10, 12, 2))},
		{strings.Replace(tile(""), `<rect width="12" height="4"/>`, `<rect x="15" width="10" height="4"/>`, 1),
			clipped(dashes(15, 0, 20, 10, 5, 4))},
		{`<pattern id="p" width=".5" height="1" x=".25"><rect width="9" height="20"/></pattern><rect x="10" y="10" ` +
			`width="60" height="30" fill="url(#p)"/>`, clipped(dashes(-5, 10, 30, 90, 9, 20))},
		{`<pattern id="p" width=".5" height="1" patternContentUnits="objectBoundingBox"><rect width=".25" ` +
			`height=".5"/>` +
			`</pattern><rect x="10" y="10" width="60" height="30" fill="url(#p)"/>`, clipped(dashes(10, 10, 30,
			90, 15, 15))},
		{`<pattern id="q" width="20" height="10" patternUnits="userSpaceOnUse"><rect width="12" ` +
			`height="4"/></pattern>` +
			`<pattern id="p" href="#q" x="5"/><rect x="10" y="10" width="60" height="30" fill="url(#p)"/>`,
			clipped(dashes(-15, 0, 20, 10, 12, 4))},
		{strings.Replace(tile(""), `width="20"`, `width="0"`, 1), ``},
		{strings.Replace(tile(""), `<rect width="12" height="4"/>`, ``, 1), ``},
		{`<mask id="m"><rect x="20" y="10" width="30" height="40" fill="white"/></mask><rect width="60" height="60" ` +
			`mask="url(#m)"/>`, `<rect x="20" y="10" width="30" height="40"/>`},
		{`<mask id="m" mask-type="alpha"><rect x="20" y="10" width="30" height="40"/></mask><rect width="60" ` +
			`height="60" ` +
			`mask="url(#m)"/>`, `<rect x="20" y="10" width="30" height="40"/>`},
		{`<mask id="m"><rect x="20" y="10" width="30" height="40" fill="white"/><rect x="30" width="5" ` +
			`height="60"/></mask>` +
			`<rect width="60" height="60" mask="url(#m)"/>`,
			`<rect x="20" y="10" width="10" height="40"/><rect x="35" y="10" width="15" height="40"/>`},
		{`<mask id="m" maskContentUnits="objectBoundingBox"><rect width=".5" height="1" fill="white"/></mask>` +
			`<rect x="10" width="60" height="60" mask="url(#m)"/>`, `<rect x="10" width="30" height="60"/>`},
		{`<mask id="m" maskUnits="userSpaceOnUse" x="5" y="5" width="20" height="20"><rect width="90" height="90" ` +
			`fill="white"/></mask><rect width="60" height="60" mask="url(#m)"/>`, `<rect x="5" y="5" width="20" ` +
			`height="20"/>`},
		{`<mask id="m" x="0" y=".5" width=".5" height=".5"><rect width="90" height="90" fill="white"/></mask>` +
			`<rect width="60" height="60" mask="url(#m)"/>`, `<rect y="30" width="30" height="30"/>`},
		{`<mask id="m"><rect width="90" height="90" fill="#fff" opacity=".5"/></mask><rect width="60" height="60" ` +
			`mask="url(#m)"/>`, `<rect width="60" height="60" opacity=".5"/>`},
		{`<mask id="m"><rect width="90" height="90" fill="#0f0"/></mask><rect width="60" height="60" mask="url(#m)"/>`,
			`<rect width="60" height="60" opacity=".7154"/>`},
		{`<mask id="m"/><rect width="60" height="60" mask="url(#m)"/>`, ``},
		{`<image x="10" y="20" width="20" height="40" href="data:image/svg+xml;base64,` + plain + `"/>`,
			`<rect x="10" y="20" width="20" height="18"/>`},
		{`<image x="10" y="20" width="40" height="40" href="data:image/svg+xml,` + url.PathEscape(picture) + `"/>`,
			`<rect x="20" y="20" width="20" height="18"/>`},
		{`<image x="10" y="20" width="40" height="40" preserveAspectRatio="none" href="data:image/svg+xml;base64,` +
			plain + `"/>`, `<rect x="10" y="20" width="40" height="18"/>`},
		{`<image x="10" y="20" href="data:image/svg+xml;base64,` + plain + `"/>`, `<rect x="10" y="20" width="10" ` +
			`height="9"/>`},
		{`<image width="0" height="9" href="data:image/svg+xml;base64,` + plain + `"/>`, ``},
		{`<g opacity=".5"><rect width="60" height="60"/><rect x="30" width="60" height="60"/></g>`,
			`<rect width="90" height="60" opacity=".5"/>`},
		{`<g opacity=".5"><g opacity=".5"><rect width="60" height="60"/></g></g>`, `<rect width="60" height="60" ` +
			`opacity=".25"/>`},
		{`<rect width="60" height="60" fill="red" fill-opacity="50%"/>`, `<rect width="60" height="60" ` +
			`fill="#ff8080"/>`},
		{`<rect width="60" height="60" fill="red"/><rect width="60" height="60" fill="#0ff" ` +
			`style="mix-blend-mode:multiply"/>`,
			`<rect width="60" height="60"/>`},
		{`<rect width="60" height="60" fill="red"/><rect width="60" height="60" fill="lime" ` +
			`style="mix-blend-mode:screen"/>`,
			`<rect width="60" height="60" fill="yellow"/>`},
		{`<symbol id="s" viewBox="0 0 10 10"><rect x="-9" width="30" height="5"/></symbol><use href="#s" x="20" ` +
			`y="31" ` +
			`width="40" height="40"/>`, `<rect x="20" y="31" width="40" height="20"/>`},
		{`<svg x="10" y="20" width="40" height="20"><rect x="20" width="90" height="90"/></svg>`,
			`<rect x="30" y="20" width="20" height="20"/>`},
		{`<clipPath id="c"><rect width="30" height="90"/><rect y="20" width="60" height="9"/></clipPath><rect ` +
			`width="70" ` +
			`height="70" clip-path="url(#c)"/>`, `<path d="M0 0H30V20H60V29H30V70H0z"/>`},
		{`<clipPath id="c" transform="translate(9)"><rect width="30" height="90"/></clipPath><rect width="70" ` +
			`height="70" ` +
			`clip-path="url(#c)"/>`, `<rect x="9" width="30" height="70"/>`},
		{`<clipPath id="c"><use href="#r"/></clipPath><defs><rect id="r" width="30" height="90"/></defs><rect ` +
			`width="70" ` +
			`height="70" clip-path="url(#c)"/>`, `<rect width="30" height="70"/>`},
		{`<clipPath id="c"/><rect width="70" height="70" clip-path="url(#c)"/>`, ``},
		{`<path d="M20 20H70" stroke="black" stroke-width="20" stroke-linecap="square"/>`,
			`<rect x="10" y="10" width="70" height="20"/>`},
		{`<path d="M20 20H70" stroke="black" stroke-width="20" stroke-linecap="round"/>`,
			`<rect x="10" y="10" width="70" height="20" rx="10"/>`},
		{`<path d="M20 20H70V70" fill="none" stroke="black" stroke-width="20"/>`, `<path d="M20 10H80V70H60V30H20z"/>`},
		{`<path d="M20 20H70V70" fill="none" stroke="black" stroke-width="20" stroke-linejoin="bevel"/>`,
			`<path d="M20 10H70L80 20V70H60V30H20z"/>`},
		{`<path d="M20 20H70V70" fill="none" stroke="black" stroke-width="20" stroke-miterlimit="1.4"/>`,
			`<path d="M20 10H70L80 20V70H60V30H20z"/>`},
		{`<rect x="20" y="20" width="50" height="40" fill="none" stroke="black" stroke-width="10"/>`,
			`<path fill-rule="evenodd" d="M15 15H75V65H15zM25 25H65V55H25z"/>`},
		{`<g transform="scale(1 2)"><path d="M20 20H70" stroke="black" stroke-width="10" ` +
			`vector-effect="non-scaling-stroke"/>` +
			`</g>`, `<rect x="20" y="35" width="50" height="10"/>`},
		{`<path d="M20 20H70" stroke="black" stroke-width="0"/><path d="M20 20" stroke="black" stroke-width="9"/>`, ``},
		{`<rect width="50" height="50" fill="red" stroke="blue" stroke-width="20" paint-order="stroke"/>`,
			`<rect x="-10" y="-10" width="70" height="70" fill="blue"/><rect width="50" height="50" fill="red"/>`},
		{`<switch><rect systemLanguage="xx" width="90" height="90"/><rect width="50" height="50"/><circle ` +
			`r="90"/></switch>`,
			`<rect width="50" height="50"/>`},
	})
}

func writeRect(b *strings.Builder, x, y, w, h float64) {
	fmt.Fprintf(b, `<rect x="%g" y="%g" width="%g" height="%g"/>`, x, y, w, h)
}

// What is not read is told, each in its words, and what is sound beside it is drawn.
func TestWhatIsNotReadIsTold(t *testing.T) {
	for markup, words := range map[string]string{
		`<style type="text/x">rect{fill:red}</style>`:                   "a style sheet of type",
		`<style>g:has(:is(rect)) rect{fill:red}</style>`:                "",
		`<style>@sparkle{rect{fill:red}} @glitter x;</style>`:           "@glitter is ignored",
		`<style>rect:is(circle > rect){fill:red}</style>`:               "a combinator in a list",
		`<style>` + strings.Repeat("g ", 17) + `rect{fill:red}</style>`: "more than 16 elements",
		`<style>rect:not(:not(:not(:not(.a)))){fill:red}</style>`:       "nested too deep",
		`<o:thing xmlns:o="urn:o"><rect width="3" height="3"/></o:thing><o:rect xmlns:o="urn:o" width="9" ` +
			`height="9"/>`: "",
		`<text font-size="9"><textPath href="#q">a</textPath></text>`:                          "not in the file",
		`<path id="q" d="M1 1 x"/><text font-size="9"><textPath href="#q">a</textPath></text>`: "",
		`<rect width="9" height="9" style="mask:url(#m) luminance"/><mask id="m"><rect width="9" height="9" ` +
			`fill="white"/>` +
			`</mask>`: "only the reference in it is followed",
		`<rect width="9" height="9" style="transform:rotate(3)bad(4)"/>`:      "is ignored",
		`<rect width="9" height="9" transform="bad" style="translate:bad"/>`:  "is ignored",
		`<rect width="9" height="9" opacity=".5px"/>`:                         "opacity is ignored",
		`<rect width="9" height="9" fill-opacity="a"/>`:                       "fill-opacity is ignored",
		`<style media="nothing such">rect{fill:red}</style>`:                  "a style sheet for media",
		`<style>@import url(a.css);</style>`:                                  "@import",
		`<style>@media (min-width:9px){rect{fill:red}}</style>`:               "is taken not to hold",
		`<style>@container x{rect{fill:red}}</style>`:                         "and the rules inside it are ignored",
		`<use href="other.svg#a"/>`:                                           "other files are not opened",
		`<use href="#none"/>`:                                                 "not in the file",
		`<image href="a.png"/>`:                                               "own size",
		`<image width="9" height="9" href="data:image/svg+xml,%3Csvg"/>`:      "the drawing in it is left out",
		`<g transform="turn(3)"><rect width="9" height="9"/></g>`:             "transform is ignored",
		`<svg viewBox="0 0 1" width="9" height="9"/>`:                         "viewBox is ignored",
		`<path d="M1 1L1e15 5"/>`:                                             "too large",
		`<path d="M1 1L5 5 x"/>`:                                              "",
		`<polyline points="1 1 2 1e15"/>`:                                     "too large",
		`<rect width="4furlongs" height="4"/>`:                                "width is ignored",
		`<rect width="4" height="4" style="mix-blend-mode:hue"/>`:             "mix-blend-mode hue is not supported",
		`<text font-size="9" style="text-decoration:wavy underline">a</text>`: "drawn as a plain one",
		`<text font-size="9" style="font-variant:swash">a</text>`:             "is set as usual",
		`<text font-size="9" kerning="3">a</text>`:                            "kerning by",
		`<text font-size="9" dx="a">a</text>`:                                 "dx is ignored",
		`<text font-size="9">a<rect width="2" height="2"/></text>`:            "inside text",
		`<radialGradient id="g" r="x"><stop/><stop offset="1" stop-color="red"/></radialGradient><rect width="4" ` +
			`height="4" ` +
			`fill="url(#g)"/>`: "r is ignored",
		`<linearGradient id="g" gradientTransform="x"><stop/><stop offset="1" stop-color="red"/></linearGradient>` +
			`<rect width="4" height="4" fill="url(#g)"/>`: "cannot be read",
		`<mask id="m"><g mask="url(#m)"><rect width="9" height="9" fill="white"/></g></mask><rect width="9" ` +
			`height="9" ` +
			`mask="url(#m)"/>`: "a mask inside itself is ignored",
		`<marker id="m"><path d="M0 0H9" marker-start="url(#m)" stroke="red"/></marker><path d="M1 1H9" stroke="red" ` +
			`marker-start="url(#m)"/>`: "a marker inside itself is left out",
		`<rect width="9" height="9" clip-path="foo(3)"/>`: "clip-path is ignored",
	} {
		doc := read(t, on(markup+`<circle cx="60" cy="60" r="9"/>`))
		require.NotEmpty(t, doc.Warnings, markup)
		var all []string
		for _, w := range doc.Warnings {
			all = append(all, w.String())
		}
		assert.Contains(t, strings.Join(all, "\n"), words, markup)
		assert.GreaterOrEqual(t, len(doc.Artwork.Shapes), 1, markup)
	}
	doc := read(t, `<?xml-stylesheet href="a.css"?>`+on(`<rect width="9" height="9"/>`))
	require.Len(t, doc.Warnings, 1)
	assert.Contains(t, doc.Warnings[0].String(), "style sheets in other files are not read")
}

// What reaches further than a kilometre on any side is left out, and what reaches nearly as
// far is drawn.
func TestWhatReachesTooFar(t *testing.T) {
	for _, side := range []string{`x="%g" width="9" height="9"`, `x="-%g" width="9" height="9"`, `y="%g" ` +
		`width="9" height="9"`,
		`y="-%g" width="9" height="9"`} {
		for km, far := range map[float64]bool{0.99: false, 1.01: true} {
			doc := read(t, on("<rect "+fmt.Sprintf(side, km*1e6/px)+"/>"))
			assert.Equal(t, far, len(doc.Artwork.Shapes) == 0, side)
			assert.Equal(t, far, len(doc.Warnings) == 1, side)
		}
	}
}

// A gradient in the units of a box has none where the box is a line, lying or standing; its
// fallback is taken.
func TestGradientsOfLines(t *testing.T) {
	const gradient = `<linearGradient id="g"><stop stop-color="red"/><stop offset="1" ` +
		`stop-color="blue"/></linearGradient>`
	for _, line := range []string{"M10 10H50", "M10 10V50"} {
		doc := read(t, on(gradient+`<path d="`+line+`" fill="none" stroke="url(#g) lime"/>`))
		require.Len(t, doc.Artwork.Shapes, 1, line)
		assert.Nil(t, doc.Artwork.Shapes[0].Gradient, line)
		assert.Equal(t, path.Paint{G: 1, Opacity: 1}, doc.Artwork.Shapes[0].Paint, line)
		doc = read(t, on(gradient+`<path d="`+line+`" fill="none" stroke="url(#g)"/>`))
		assert.Empty(t, doc.Artwork.Shapes, line)
		doc = read(t, on(strings.Replace(gradient, "id", `gradientUnits="userSpaceOnUse" id`, 1)+
			`<path d="`+line+`" fill="none" stroke="url(#g)"/>`))
		require.Len(t, doc.Artwork.Shapes, 1, line)
		assert.NotNil(t, doc.Artwork.Shapes[0].Gradient, line)
	}
}
