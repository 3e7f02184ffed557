package svg_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawing is an image that holds a drawing of 20 x 10.
func drawing(attributes, inner string) string {
	text := strings.NewReplacer("<", "%3C", ">", "%3E", `"`, "'", "#", "%23").Replace(inner)
	return `<image ` + attributes + ` href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' width='20' ` +
		`height='10'%3E` + text + `%3C/svg%3E"/>`
}

// CSS Masking 1, 5.1 and SVG 2, 8.10: clips of clips, clips used again, clips in boxes, which
// no clip inside makes smaller, and what a line lets through in units of its box: nothing.
func TestClipsOfClips(t *testing.T) {
	const half = `<clipPath id="h" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>`
	const left = `<clipPath id="l"><rect x="10" y="10" width="30" height="30"/></clipPath>`
	line := func(d string) string {
		return half + `<path d="` + d + `" fill="none" stroke="red" stroke-width="20" clip-path="url(#h)"/>`
	}
	requirePainted(t, []pair{
		{`<clipPath id="c" clip-path="url(#l)"><rect x="20" y="20" width="50" height="50"/></clipPath>` + left +
			`<rect width="90" height="90" clip-path="url(#c)"/>`, `<rect x="20" y="20" width="20" height="20"/>`},
		{left + `<rect width="90" height="20" clip-path="url(#l)"/><rect y="30" width="90" height="20" fill="red" ` +
			`clip-path="url(#l)"/>`,
			`<rect x="10" y="10" width="30" height="10"/><rect x="10" y="30" width="30" height="10" fill="red"/>`},
		{`<clipPath id="c" clip-path="url(#c)"><rect width="40" height="40"/></clipPath><rect width="90" height="20" ` +
			`clip-path="url(#c)"/>`, `<rect width="40" height="20"/>`},
		{half + left + `<g clip-path="url(#h)"><rect y="10" width="60" height="20" clip-path="url(#l)"/></g>`,
			`<rect x="10" y="10" width="20" height="20"/>`},
		{half + `<g clip-path="url(#h)">` + drawing(`x="10" y="20" width="40" height="20"`,
			`<rect width="20" height="10"/>`) + `</g>`, `<rect x="10" y="20" width="20" height="20"/>`},
		{line("M10 50H80"), ``}, {line("M50 10V80"), ``},
		{line("M10 50H80V60"), `<rect x="10" y="50" width="35" height="10" fill="red"/>`},
	})
	for _, name := range []string{"clipPath", "mask", "pattern"} { // told of nothing that is not drawn itself
		doc := read(t, on(`<`+name+` id="c"><rect width="9" height="9"/></`+name+`>`))
		assert.Empty(t, doc.Warnings, name)
		assert.Empty(t, doc.Artwork.Shapes, name)
	}
}

// CSS Masking 1, 6: a mask of no size, or in units of a box that there is not, hides all; one
// may be masked itself.
func TestMasksAtTheirEdges(t *testing.T) {
	mask := func(attributes, inner string) string {
		return `<mask id="m" ` + attributes + `>` + inner + `</mask><rect x="10" y="10" width="40" height="20" ` +
			`mask="url(#m)"/>`
	}
	const white = `<rect width="99" height="99" fill="white"/>`
	requirePainted(t, []pair{
		{mask(`width="0"`, white), ``}, {mask(`height="0"`, white), ``}, {mask(`width="-1"`, white), ``},
		{mask(`mask="url(#n)"`, white) + `<mask id="n"><rect width="30" height="99" fill="white"/></mask>`,
			`<rect x="10" y="10" width="20" height="20"/>`},
		{mask(`mask="none" clip-path="none"`, white), `<rect x="10" y="10" width="40" height="20"/>`},
		{mask(`clip-path="url(#c)"`, white) + `<clipPath id="c"><rect width="30" height="99"/></clipPath>`,
			`<rect x="10" y="10" width="20" height="20"/>`},
		{`<mask id="m" x="0" y="0" width="100" height="100" maskUnits="userSpaceOnUse">` + white + `</mask>` +
			`<path d="M10 50H80" stroke="red" stroke-width="20" mask="url(#m)"/>`,
			`<path d="M10 50H80" stroke="red" stroke-width="20"/>`},
	})
	for _, units := range []string{`maskUnits="userSpaceOnUse" x="0" y="0" width="100" height="100" ` +
		`maskContentUnits="objectBoundingBox"`, ``, `maskContentUnits="objectBoundingBox"`} {
		doc := read(t, on(`<mask id="m" `+units+`><rect width="1" height="1" fill="white"/></mask><g mask="url(#m)" `+
			`style="filter:url(#f)"/><filter id="f" filterUnits="userSpaceOnUse" x="10" y="10" width="20" height="20">`+
			`<feFlood/></filter>`))
		assert.Empty(t, doc.Warnings, units)
		for _, s := range doc.Artwork.Shapes {
			require.NotEmpty(t, s.Clips)
			assert.Empty(t, s.Clips[len(s.Clips)-1].Shapes, units)
		}
	}
	for outer, groups := range map[string]int{"": 1, "isolation:isolate": 1, "opacity:.5": 2,
		"mix-blend-mode:multiply": 2} {
		doc := read(t, on(`<mask id="m"><rect width="99" height="99" fill="#888"/></mask><g style="`+outer+
			`"><g mask="url(#m)"><rect width="9" height="9"/><rect x="20" width="9" height="9"/></g></g>`))
		require.Len(t, doc.Artwork.Shapes, 2, outer)
		for _, s := range doc.Artwork.Shapes {
			n := 0
			for g := s.In; g != nil; g = g.In {
				n++
			}
			assert.Equal(t, groups, n, outer)
		}
	}
}

// SVG 2, 8.2: a viewBox of no width or no height shows nothing, of the page as well; a page
// that is said to have none has that of its drawing.
func TestPagesWithoutRoom(t *testing.T) {
	page := func(attributes string) path.Artwork {
		return read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+attributes+`><rect x="5" y="5" width="20" `+
			`height="10"/></svg>`).Artwork
	}
	for _, attributes := range []string{`width="50" height="50" viewBox="0 0 0 10"`, `viewBox="0 0 10 0" width="50"`,
		`width="50" height="50" viewBox="0 0 10 0"`, `width="50" viewBox="0 0 0 10"`, `viewBox="0 0 0 10"`,
		`height="50" viewBox="0 0 0 10"`, `height="50" viewBox="0 0 10 0"`} {
		art := page(attributes)
		assert.Empty(t, art.Shapes, attributes)
		if strings.Count(attributes, `"50"`) < 2 {
			assert.Zero(t, art.Page, attributes)
		}
	}
	for _, attributes := range []string{`width="0" height="50"`, `width="50" height="0"`, `width="50"`,
		`height="50"`, ``} {
		art := page(attributes)
		assert.Len(t, art.Shapes, 1, attributes)
		assert.InDelta(t, 20*px, art.Page.W(), 1e-9, attributes)
		assert.InDelta(t, 10*px, art.Page.H(), 1e-9, attributes)
	}
	art := page(`width="50" viewBox="0 0 .5 1"`)
	assert.InDelta(t, 100*px, art.Page.H(), 1e-9)
	art = page(`height="50" viewBox="0 0 1 .5"`)
	assert.InDelta(t, 100*px, art.Page.W(), 1e-9)
	const limit = 1e6 / (25.4 / 96)
	for _, side := range []string{`width="%.17g" height="9"`, `width="9" height="%.17g"`} {
		for size, fails := range map[float64]bool{limit: true, math.Nextafter(limit, 0): false} {
			_, err := readText(`<svg xmlns="http://www.w3.org/2000/svg" ` + fmt.Sprintf(side, size) + `/>`)
			assert.Equal(t, fails, err != nil, side)
		}
	}
}

// exactly finds what a function makes just what is wanted of, near a guess.
func exactly(t *testing.T, f func(float64) float64, want, x float64) float64 {
	t.Helper()
	for i, up, down := 0, x, x; i < 1000; i++ {
		if f(up) == want {
			return up
		}
		if f(down) == want {
			return down
		}
		up, down = math.Nextafter(up, math.Inf(1)), math.Nextafter(down, math.Inf(-1))
	}
	require.Fail(t, "there is none")
	return 0
}

// A shape that reaches a kilometre is left out and told, one just short of it is not, on
// each side.
func TestKilometreOnEachSide(t *testing.T) {
	k := 25.4 / 96
	across := func(x float64) float64 { return k * x }
	up := func(y float64) float64 { return float64(-k*y) + 100*k }
	for _, side := range []struct {
		d    string
		f    func(float64) float64
		edge float64
	}{{"M%.17g 9h-9v9z", across, 1e6}, {"M%.17g 9h9v9z", across, -1e6}, {"M9 %.17gh9v9z", up, 1e6},
		{"M9 %.17gh9v-9z", up, -1e6}} {
		at := exactly(t, side.f, side.edge, (side.edge-side.f(0))/(side.f(1)-side.f(0)))
		for x, far := range map[float64]bool{at: true, math.Nextafter(at, 0): false} {
			doc := read(t, on(`<path d="`+fmt.Sprintf(side.d, x)+`"/>`))
			assert.Equal(t, far, len(doc.Artwork.Shapes) == 0, side.d)
			assert.Equal(t, far, len(doc.Warnings) == 1, side.d)
		}
	}
	for _, width := range []string{"1e12", "2e12", "1e300", "9e11"} {
		doc := read(t, on(`<path d="M9 9H50" fill="none" stroke="red" stroke-width="`+width+`"/>`))
		assert.Empty(t, doc.Artwork.Shapes, width)
		require.Len(t, doc.Warnings, 1, width)
		assert.Contains(t, doc.Warnings[0].Message, "further than 1 km")
	}
}

// XML 1.0, 4.1 and 4.4: what stands for something is written out in markup too, what is none
// of these is left; the first that is declared holds, and a name may be long.
func TestEntitiesAtTheirEdges(t *testing.T) {
	long := strings.Repeat("n", 300)
	doc := func(declared, inner string) string {
		return `<!DOCTYPE svg [` + declared + `]>` + on(inner)
	}
	const mark = `<!ENTITY m "<rect width='9' height='9'/>">`
	same := func(got, inner string) {
		t.Helper()
		a, b := read(t, got), read(t, on(inner))
		assert.Equal(t, drawn(b.Artwork), drawn(a.Artwork), got)
		assert.Empty(t, a.Warnings, got)
	}
	same(doc(mark, `&m;`), `<rect width="9" height="9"/>`)
	same(doc(mark, `&m;<g transform="translate(20)">&m;</g>`), `<rect width="9" height="9"/><rect x="20" width="9" `+
		`height="9"/>`)
	same(doc(`<!ENTITY `+long+` "<rect width='9' height='9'/>">`, `&`+long+`;`), `<rect width="9" height="9"/>`)
	same(doc(mark+`<!ENTITY m "<circle r='9'/>">`, `&m;`), `<rect width="9" height="9"/>`)
	same(doc(mark+`<!ENTITY n "<g>&m;</g>">`, `&n;`), `<rect width="9" height="9"/>`)
	same(doc(mark+`<!ENTITY s "5">`, `&m;<rect x="&s;0" width="&s;" height="&s;"/>`),
		`<rect width="9" height="9"/><rect x="50" width="5" height="5"/>`)
	same(doc(mark, `<style><![CDATA[/*a &*/rect{fill:red}`+strings.Repeat(" ", 300)+`]]></style>&m;`),
		`<rect width="9" height="9" fill="red"/>`)
	same(doc(mark+`<!ENTITY w '"'>`, `&m;`), `<rect width="9" height="9"/>`)
	ids := read(t, doc(mark, `&m;<rect id="a&amp;b&lt;c&#100;" width="5" height="5"/>`)).Artwork.Shapes
	require.Len(t, ids, 2)
	assert.Equal(t, "a&b<cd", ids[1].Source.ID)
	for _, bad := range []string{
		`<!DOCTYPE svg [<!ENTITY a "<g/>"`, doc(mark, `&none;`), doc(mark, `& `), doc(`<!ENTITY m "<rect">`, `&m;`),
		doc(mark, `<g a="&m"/>`),
	} {
		_, err := readText(bad)
		assert.Error(t, err, bad)
	}
	outer := read(t, doc(`<!ENTITY e SYSTEM "a.xml"><!ENTITY % p "<rect/>">`+mark, `&m;`))
	assert.Len(t, outer.Artwork.Shapes, 1)
	assert.Len(t, outer.Warnings, 2, "external and parameter entities are told")
	got := read(t, `<!ATTLIST rect fill CDATA "red">`+on(`<rect width="9" height="9"/>`))
	assert.Len(t, got.Artwork.Shapes, 1)
	big := strings.Repeat("y", 1<<20) // a name of any length counts
	_, err := readText(doc(`<!ENTITY `+long+` "`+big+`">`, `<title>`+strings.Repeat(`&`+long+`;`, 17)+`</title>`))
	assert.ErrorContains(t, err, "expand to more than 16 MB")
}

// Filter Effects 1: a blur alone keeps the elements that it is drawn of; what is moved is so
// with the clips that come behind it left where they are; gradients are recoloured stop by
// stop, and what blends in a filter does not blend with what lies below.
func TestFiltersAtTheirEdges(t *testing.T) {
	const rect = `<rect x="10" y="10" width="20" height="20" `
	for filter, source := range map[string]string{
		"blur(1px)": "inner", "blur(1px) opacity(.5)": "outer", "blur(1px) invert(1)": "outer",
		"drop-shadow(0 0 red)": "inner",
	} {
		doc := read(t, on(`<g id="outer" style="filter:`+filter+`"><rect id="inner" width="9" height="9"/></g>`))
		require.NotEmpty(t, doc.Artwork.Shapes, filter)
		last := doc.Artwork.Shapes[len(doc.Artwork.Shapes)-1]
		assert.Equal(t, source, last.Source.ID, filter)
	}
	requireLooks(t, pair{rect + `style="filter:blur(1px) opacity(.5)"/>`, rect + `opacity=".5"/>`},
		pair{`<filter id="f"><feGaussianBlur stdDeviation="1"/><feOffset dx="2" dy="1"/></filter>` +
			rect + `filter="url(#f)"/>`, `<rect x="12" y="11" width="20" height="20"/>`},
		pair{rect + `style="filter:blur(1px) invert(1)" fill="#0ff"/>`, rect + `fill="red"/>`})
	ramp := func(from, to, attributes string) string {
		return `<linearGradient id="g"><stop stop-color="` + from + `"/><stop offset="1" stop-color="` + to +
			`"/></linearGradient>` + rect + `fill="url(#g)" ` + attributes + `/>`
	}
	offset := func(dx, more string) string {
		return `<filter id="f" x="-1" y="-1" width="3" height="3"><feOffset dx="` + dx + `"/></filter><clipPath id="c">` +
			`<rect x="20" y="0" width="10" height="99"/></clipPath>` + rect + `filter="url(#f)" ` + more + `/>`
	}
	requirePainted(t, []pair{
		{ramp("#000", "#f00", `style="filter:invert(1)"`), ramp("#fff", "#0ff", "")},
		{offset("5", `clip-path="url(#c)"`), `<rect x="20" y="10" width="10" height="20"/>`},
		{offset("15", `clip-path="url(#c)"`), `<rect x="25" y="10" width="5" height="20"/>`},
		{offset("5", `opacity=".5"`), `<rect x="15" y="10" width="20" height="20" opacity=".5"/>`},
		{`<rect width="60" height="60" fill="#f00"/><filter id="f" x="-1" y="-1" width="3" height="3"><feOffset dx="5"/>` +
			`</filter><g filter="url(#f)">` + rect + `fill="#0f0" style="mix-blend-mode:multiply"/></g>`,
			`<rect width="60" height="60" fill="#f00"/><rect x="15" y="10" width="20" height="20" fill="#0f0"/>`},
		{`<filter id="f"><feFlood flood-color="currentColor"/></filter>` + rect + `color="red" filter="url(#f)"/>` +
			`<g color="red"><filter id="e" x="0" y="0" width="1" height="1"><feFlood flood-color="currentColor" ` +
			`flood-opacity=".5"/></filter></g><rect x="60" y="60" width="20" height="20" filter="url(#e)"/>`,
			`<rect x="8" y="8" width="24" height="24"/><rect x="60" y="60" width="20" height="20" fill="red" ` +
				`opacity=".5"/>`},
		{`<filter id="f"><feOffset in="BackgroundImage"/></filter>` + rect + `filter="url(#f)"/>`, ``},
		{`<filter id="f"><feOffset in="BackgroundAlpha"/></filter>` + rect + `filter="url(#f)"/>`, ``},
		{rect + `style="filter:hue-rotate(0)" fill="red"/>`, rect + `fill="red"/>`},
		{`<rect x="60" y="60" width="9" height="9" style="flood-color:bad;flood-opacity:bad;solid-color:bad"/>`,
			`<rect x="60" y="60" width="9" height="9"/>`},
	})
	for _, bad := range []string{"drop-shadow(1px)", "drop-shadow(1px 2px 3px 4px)", "drop-shadow(1px 2px -.1px)",
		"(3px)", "blur(3px", "blur(-1px)", "blur(3%)", "brightness(-1)", "brightness(3px)", "url(#none)", "fog(3)", "3"} {
		doc := read(t, on(rect+`style="filter:`+bad+`"/>`))
		assert.Len(t, doc.Artwork.Shapes, 1, bad)
		require.Len(t, doc.Warnings, 1, bad)
		assert.Contains(t, doc.Warnings[0].Message, "filter is ignored", bad)
	}
	for _, good := range []string{"drop-shadow(1px 2px .5px)", "drop-shadow(1px 2px 0px)"} {
		doc := read(t, on(rect+`style="filter:`+good+`"/>`))
		assert.NotContains(t, strings.Join(messages(doc), ""), "ignored", good)
	}
}

// SVG 2, 14.2: gradients that no map leads back from paint nothing; a focus outside the
// circle is moved onto it; a transform may be a property.
func TestGradientsAtTheirEdges(t *testing.T) {
	const stops = `<stop stop-color="red"/><stop offset="1" stop-color="blue"/>`
	round := func(attributes string) string {
		return `<radialGradient id="g" gradientUnits="userSpaceOnUse" cx="50" cy="50" r="40" ` + attributes + `>` + stops +
			`</radialGradient><rect width="99" height="99" fill="url(#g)"/>`
	}
	straight := func(attributes string) string {
		return `<linearGradient id="g" ` + attributes + `>` + stops + `</linearGradient><rect width="50" height="50" ` +
			`fill="url(#g)"/>`
	}
	requireSame(t, []pair{
		{round(`fx="90" fy="50"`), round(`fx="89.96" fy="50"`)}, {round(`fx="400" fy="50"`), round(`fx="89.96"`)},
		{round(`fx="50" fy="-900"`), round(`fy="10.04"`)},
		{round(`fx="74" fy="82"`), round(`fx="73.976" fy="81.968"`)},
		{round(`fr="4" fx="400"`), round(`fr="4" fx="85.96"`)},
		{round(`fr="400"`), round(`fr="39.96"`)}, {round(`fr="-4"`), round(``)},
		{straight(`style="transform:translate(20px)" gradientUnits="userSpaceOnUse"`),
			straight(`gradientTransform="translate(20)" gradientUnits="userSpaceOnUse"`)},
	})
	for _, flat := range []string{`gradientTransform="scale(0)"`, `gradientTransform="scale(0 1)"`,
		`gradientTransform="matrix(1 1 1 1 0 0)"`} {
		doc := read(t, on(straight(flat)))
		assert.Empty(t, doc.Artwork.Shapes, flat)
		assert.Empty(t, doc.Warnings, flat)
	}
}

// SVG 2, 14.3: tiles in units of a box that is a line are none; so is a tile whose viewBox
// has no room; as many tiles as the bound are drawn.
func TestPatternsAtTheirEdges(t *testing.T) {
	pattern := func(attributes, inner string) string {
		return `<pattern id="p" width=".25" height=".25" ` + attributes + `>` + inner + `</pattern>`
	}
	const dot = `<rect width="5" height="8" fill="red"/>`
	for _, d := range []string{"M10 50H80", "M50 10V80"} {
		for _, units := range []string{``, `patternUnits="userSpaceOnUse" patternContentUnits="objectBoundingBox"`} {
			doc := read(t, on(pattern(units, dot)+`<path fill="none" d="`+d+`" stroke="url(#p)" stroke-width="20"/>`))
			assert.Empty(t, doc.Artwork.Shapes, "%s %s", d, units)
		}
	}
	const rect = `<rect x="10" y="10" width="40" height="40" fill="url(#p)"/>`
	for _, attributes := range []string{`viewBox="0 0 0 5"`, `viewBox="0 0 5 0"`, `patternTransform="scale(0)"`} {
		assert.Empty(t, read(t, on(pattern(attributes, dot)+rect)).Artwork.Shapes, attributes)
	}
	for height, told := range map[string]int{"500": 0, "500.5": 1} {
		doc := read(t, on(`<pattern id="p" width="1" height="1" patternUnits="userSpaceOnUse"/><rect width="400" height="`+
			height+`" fill="url(#p)"/>`))
		assert.Len(t, doc.Warnings, told, height)
	}
	requirePainted(t, []pair{ // its place in the box, and what a tile has of it
		{pattern(`x=".1" y=".2"`, `<rect width="5" height="5"/>`) + rect,
			pattern(`patternUnits="userSpaceOnUse" x="14" y="18" style="--w:0"`, ``) +
				`<pattern id="q" patternUnits="userSpaceOnUse" x="14" y="18" width="10" height="10"><rect width="5" ` +
				`height="5"/></pattern><rect x="10" y="10" width="40" height="40" fill="url(#q)"/>`},
		{pattern(`viewBox="0 0 10 10"`, `<rect width="5" height="10"/>`) + rect,
			`<path d="M10 10h5v40h-5zM20 10h5v40h-5zM30 10h5v40h-5zM40 10h5v40h-5z"/>`},
	})
	doc := read(t, on(`<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><image x="-70" y="-70" `+
		`width="9" height="9" href="a.png"/><rect width="5" height="5"/></pattern>`+rect))
	require.Len(t, doc.Warnings, 1, "where in the tiles is not known, and that it is off the page neither")
	assert.Zero(t, doc.Warnings[0].At)
	doc = read(t, on(`<pattern id="p" width="10" height="10" patternUnits="userSpaceOnUse"><text y="9" font-size="9">`+
		`a</text></pattern>`+rect))
	require.NotEmpty(t, doc.Warnings)
	assert.Zero(t, doc.Warnings[0].At)
}

// SVG 2, 13.2: the paint of a context is that of the use or marker, and none outside of it.
func TestContextsEnd(t *testing.T) {
	const defs = `<defs><rect id="r" x="10" y="10" width="20" height="20" fill="context-fill"/></defs>`
	const last = `<rect x="50" y="50" width="30" height="30" fill="context-fill" stroke="context-stroke"/>`
	requirePainted(t, []pair{
		{defs + `<use href="#r" fill="red"/>` + last, `<rect x="10" y="10" width="20" height="20" fill="red"/>`},
		{`<marker id="m" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="20"><rect width="20" height="20" ` +
			`fill="context-fill"/></marker><path d="M10 10h9" fill="red" marker-start="url(#m)"/>` + last,
			`<rect x="10" y="10" width="20" height="20" fill="red"/>`},
	})
}

// SVG 2, 13.7: which shapes have markers, and how they turn on curves: at the ends along
// them, at a quarter of a circle's end straight up or down.
func TestMarkersOnCurves(t *testing.T) {
	mark := func(attributes, d string) string {
		return `<marker id="m" orient="auto" markerUnits="userSpaceOnUse" markerWidth="20" markerHeight="10" ` +
			`overflow="visible" ` + attributes + `><rect width="20" height="5"/></marker>` + d
	}
	at := func(x, y, angle float64) string {
		return fmt.Sprintf(`<g transform="translate(%g %g) rotate(%g)"><rect width="20" height="5"/></g>`, x, y, angle)
	}
	path := func(d, where string) string {
		return `<path fill="none" d="` + d + `" marker-` + where + `="url(#m)"/>`
	}
	requirePainted(t, []pair{
		{mark("", path("M20 20C20 40 40 60 70 60", "start")), at(20, 20, 90)},
		{mark("", path("M20 20C20 40 40 60 70 60", "end")), at(70, 60, 0)},
		{mark("", path("M20 60Q20 20 70 20", "start")), at(20, 60, -90)},
		{mark("", path("M20 60A40 40 0 0 1 60 20", "end")), at(60, 20, 0)},
		{mark("", path("M20 60A40 40 0 0 1 60 20L80 20", "mid")), at(60, 20, 0)},
		{mark("", `<rect x="50" y="50" width="20" height="20" marker-start="url(#m)"/>`),
			`<rect x="50" y="50" width="20" height="20"/>`},
		{mark("", `<circle cx="50" cy="50" r="20" marker-start="url(#m)"/>`), `<circle cx="50" cy="50" r="20"/>`},
		{mark("", `<g fill="none"><line x1="50" y1="50" x2="50" y2="60" marker-start="url(#m)"/></g>`), at(50, 50, 90)},
		{strings.Replace(mark("", path("M20 60H60", "start")), `orient="auto"`, `orient=".25turn"`, 1), at(20, 60, 90)},
		{strings.Replace(mark("", path("M20 60H60", "start")), `orient="auto"`, `orient="50grad"`, 1), at(20, 60, 45)},
		{strings.Replace(mark("", path("M20 60H60", "start")), `orient="auto"`, `orient="0.5236rad"`, 1), at(20, 60, 30)},
		{mark(`opacity=".5"`, path("M20 60H60", "start")), `<g opacity=".5">` + at(20, 60, 0) + `</g>`},
		{mark(`viewBox="0 0 20 10" preserveAspectRatio="none"`, path("M20 60H60", "start")), at(20, 60, 0)},
	})
}
