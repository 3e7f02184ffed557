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

// IEC 61966-2-1: sRGB and light, by its formulas.
func linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

func encoded(v float64) float64 {
	if v <= 0.0031308 {
		return v * 12.92
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// Filter Effects 1, 9.6 and 9.7, of #3c8cdc: each function by its formula, with what it is
// where nothing is said, in light as it is by itself, and in sRGB where that is asked for.
func TestComponentsByHand(t *testing.T) {
	same := func(c float64) float64 { return c }
	in := [3]float64{0x3c / 255., 0x8c / 255., 0xdc / 255.}
	for attributes, f := range map[string]func(c float64) float64{
		``: same, `type="identity"`: same, `type="what"`: same, `type="gamma"`: same, `type="table"`: same,
		`type="discrete"`:                                      same,
		`type="linear" slope=".5" intercept=".25"`:             func(c float64) float64 { return 0.5*c + 0.25 },
		`type="linear" intercept=".1"`:                         func(c float64) float64 { return c + 0.1 },
		`type="linear" slope=".3"`:                             func(c float64) float64 { return 0.3 * c },
		`type="gamma" exponent="2"`:                            func(c float64) float64 { return c * c },
		`type="gamma" amplitude=".5"`:                          func(c float64) float64 { return 0.5 * c },
		`type="gamma" offset=".1"`:                             func(c float64) float64 { return c + 0.1 },
		`type="gamma" amplitude="2" exponent="3" offset="-.1"`: func(c float64) float64 { return 2*c*c*c - 0.1 },
		`type="table" tableValues=".3"`:                        func(float64) float64 { return 0.3 },
		`type="table" tableValues=".2 .8"`:                     func(c float64) float64 { return 0.2 + 0.6*c },
		`type="table" tableValues="0 .5 .6 1"`: func(c float64) float64 {
			switch {
			case c < 1/3.:
				return 1.5 * c
			case c < 2/3.:
				return 0.5 + 0.3*(c-1/3.)
			}
			return 0.6 + 1.2*(c-2/3.)
		},
		`type="discrete" tableValues=".1 .4 .9"`: func(c float64) float64 {
			return []float64{0.1, 0.4, 0.9}[min(2, int(3*c))]
		},
	} {
		for _, srgb := range []bool{true, false} {
			space := ""
			if srgb {
				space = `color-interpolation-filters="sRGB"`
			}
			doc := read(t, on(fmt.Sprintf(`<filter id="f" %s><feComponentTransfer><feFuncR %s/><feFuncG %s/><feFuncB %s/>`+
				`</feComponentTransfer></filter><rect width="9" height="9" fill="#3c8cdc" filter="url(#f)"/>`, space, attributes,
				attributes, attributes)))
			require.Len(t, doc.Artwork.Shapes, 1)
			got := doc.Artwork.Shapes[0].Paint
			for k, v := range []float64{got.R, got.G, got.B} {
				want := min(max(f(in[k]), 0), 1)
				if !srgb {
					want = encoded(min(max(f(linear(in[k])), 0), 1))
				}
				assert.InDelta(t, want, v, 1e-6, "%s, sRGB %v, %d", attributes, srgb, k)
			}
		}
	}
	doc := read(t, on(`<filter id="f"><feColorMatrix values=".5 0 0 0 0 0 .5 0 0 0 0 0 .5 0 0 0 0 0 1 0"/></filter>`+
		`<rect width="9" height="9" fill="white" filter="url(#f)"/>`))
	assert.InDelta(t, 187.516/255, doc.Artwork.Shapes[0].Paint.R, 1e-5) // half the light
}

// What primitives do where nothing is said (Filter Effects 1, 9): no offset, no blur, black
// floods, shadows two to the right and down.
func TestPrimitivesThatSayNothing(t *testing.T) {
	use := func(inner string) string {
		return `<filter id="f" x="-.5" y="-.5" width="2" height="2" color-interpolation-filters="sRGB">` + inner +
			`</filter><rect x="20" y="20" width="20" height="20" fill="red" filter="url(#f)"/>`
	}
	const plain = `<rect x="20" y="20" width="20" height="20" fill="red"/>`
	requirePainted(t, []pair{
		{use(`<feOffset/>`), plain}, {use(`<feOffset dx="x" dy="1 2 3"/>`), plain}, {use(`<feGaussianBlur/>`), plain},
		{use(`<feGaussianBlur stdDeviation="-1"/>`), plain}, {use(`<feGaussianBlur stdDeviation="-1 5"/>`), plain},
		{use(`<feGaussianBlur stdDeviation="x"/>`), plain}, {use(`<feColorMatrix/>`), plain},
		{use(`<feColorMatrix values="1 2"/>`), plain}, {use(`<feColorMatrix type="saturate"/>`), plain},
		{use(`<feColorMatrix type="hueRotate"/>`), plain}, {use(`<feColorMatrix type="saturate" values=".5 1"/>`), plain},
		{use(`<feColorMatrix type="hueRotate" values="40 1"/>`), plain}, {use(`<feComponentTransfer/>`), plain},
		{use(`<feFlood/>`), `<rect x="10" y="10" width="40" height="40"/>`},
		{use(`<feFlood flood-opacity="50%"/>`), `<rect x="10" y="10" width="40" height="40" opacity=".5"/>`},
		{use(`<feDropShadow stdDeviation="0"/>`), `<rect x="22" y="22" width="20" height="20"/>` + plain},
		{use(`<feDropShadow stdDeviation="0" dx="5"/>`), `<rect x="25" y="22" width="20" height="20"/>` + plain},
		{use(`<feMerge/>`), ``}, {use(`<feMerge><feMergeNode/></feMerge>`), plain}, {use(`<feBlend/>`), plain},
		{use(`<feBlend mode="normal"/>`), plain}, {use(`<feComposite/>`), plain},
		{use(`<feOffset dx="3" result=" a "/><feOffset in=" a " dx="4"/>`),
			`<rect x="27" y="20" width="20" height="20" fill="red"/>`},
		{use(`<feOffset in="none" dx="3"/>`), `<rect x="23" y="20" width="20" height="20" fill="red"/>`},
	})
	soft := read(t, on(use(`<feDropShadow/>`)))
	require.Len(t, soft.Warnings, 1)
	assert.Contains(t, soft.Warnings[0].Message, "a soft shadow or glow is left out")
	at := soft.Warnings[0].At // moved by 2, and twice a deviation of 2 wider
	assert.InDelta(t, 18*px, at.Min.X, 1e-9)
	assert.InDelta(t, 46*px, at.Max.X, 1e-9)
	for _, paint := range []string{"FillPaint", "StrokePaint"} {
		doc := read(t, on(use(`<feOffset in="`+paint+`"/>`)))
		require.Len(t, doc.Warnings, 1)
		assert.Contains(t, doc.Warnings[0].Message, paint)
	}
}

// What shapes, lines and servers are where nothing is said, by the tables of SVG 2, 7 to 14.
func TestElementsThatSayNothing(t *testing.T) {
	const ends = `<stop stop-color="red"/><stop offset="1" stop-color="blue"/>`
	const big = `<rect x="10" y="20" width="60" height="40" `
	round := func(attributes string) string {
		return `<radialGradient id="g" ` + attributes + `>` + ends + `</radialGradient>` + big + `fill="url(#g)"/>`
	}
	straight := func(attributes string) string {
		return `<linearGradient id="g" ` + attributes + `>` + ends + `</linearGradient>` + big + `fill="url(#g)"/>`
	}
	const line = `<path d="M40 40H60" fill="none" stroke="red" stroke-width="5"/>`
	mark := func(attributes string) string {
		return `<marker id="m" ` + attributes + `><rect width="4" height="4"/></marker>` +
			strings.Replace(line, "/>", ` marker-start="url(#m)"/>`, 1)
	}
	requireSame(t, []pair{
		{round(""), round(`cx="50%" cy=".5" r="50%" fx=".5" fy="50%" fr="0" spreadMethod="pad"`)},
		{round(`cx=".3" cy="40%"`), round(`cx=".3" cy=".4" fx=".3" fy=".4"`)},
		{round(`cx=".3" fy=".6"`), round(`cx=".3" cy=".5" fx=".3" fy=".6"`)},
		{round(`fx=".6"`), round(`cx=".5" cy=".5" fx=".6" fy=".5"`)},
		{round(`gradientUnits="userSpaceOnUse" cx="50" cy="50" r="40" fx="60" fy="70" fr="8"`),
			round(`gradientUnits="userSpaceOnUse" cx="0" cy="0" r="1" fx=".25" fy=".5" fr=".2" ` +
				`gradientTransform="translate(50 50) scale(40)"`)},
		{round(`cx=".5" cy=".5" r=".5"`), round(`gradientUnits="userSpaceOnUse" cx="0" cy="0" r="1" ` +
			`gradientTransform="translate(40 40) scale(30 20)"`)},
		{straight(""), straight(`gradientUnits="userSpaceOnUse" x1="10" y1="0" x2="70" y2="0"`)},
		{straight(`x1=".25" x2=".75"`), straight(`gradientUnits="userSpaceOnUse" x1="25" y1="0" x2="55" y2="0"`)},
		{mark(""), line + `<clipPath id="c"><path d="M40 40h15v15h-15z"/></clipPath>` +
			`<rect x="40" y="40" width="20" height="20" clip-path="url(#c)"/>`},
		{mark(`markerWidth="2" refX="1"`), line + `<clipPath id="c"><path d="M35 40h10v15h-10z"/>` +
			`</clipPath><rect x="35" y="40" width="20" height="20" clip-path="url(#c)"/>`},
		{`<line x2="50" y2="30" stroke="red" stroke-width="4"/>`,
			`<path d="M0 0L50 30" stroke="red" stroke-width="4" fill="none"/>`},
		{`<line x1="50" y1="30" stroke="red" stroke-width="4"/>`,
			`<path d="M50 30L0 0" stroke="red" stroke-width="4" fill="none"/>`},
		{`<circle r="9"/>`, `<circle cx="0" cy="0" r="9"/>`}, {`<ellipse rx="9"/>`, `<circle r="9"/>`},
		{`<ellipse ry="9" rx="auto"/>`, `<circle r="9"/>`}, {`<ellipse/>`, ``}, {`<circle/>`, ``}, {`<rect width="9"/>`, ``},
		{`<rect height="9"/>`, ``}, {`<ellipse rx="-1" ry="9"/>`, `<circle r="9"/>`},
		{`<rect width="40" height="30" rx="-1" ry="5"/>`, `<rect width="40" height="30" rx="5" ry="5"/>`},
		{`<rect width="40" height="30" rx="-1" ry="-5"/>`, `<rect width="40" height="30"/>`},
		{`<rect width="40" height="30" rx="0" ry="5"/>`, `<rect width="40" height="30"/>`},
		{`<path d="M10 10H45M10 30H80" fill="none" stroke="red" stroke-width="8" stroke-dasharray="20 10"/>`,
			`<path d="M10 10h20m10 0h5M10 30h20m10 0h20m10 0h10" fill="none" stroke="red" stroke-width="8"/>`},
		{`<path d="M10 10H40V40zM60 60h30" fill="none" stroke="red" stroke-width="8" stroke-dasharray="20 10"/>`,
			`<path d="M18.786796564 18.786796564L10 10H30M40 10V30M40 40L25.857864376 25.857864376M60 60h20" ` +
				`fill="none" stroke="red" stroke-width="8"/>`}, // 102.43 round
	})
	doc := read(t, on(straight(`x1="10%" y1="20%" x2="90%" y2="70%" spreadMethod="reflect"`)))
	assert.Equal(t, path.Reflect, doc.Artwork.Shapes[0].Gradient.Spread)
	for _, p := range []path.Point{{X: 3, Y: 9}, {X: 12, Y: 20}} { // in the box, by the dot product
		x, y := (p.X/px-10)/60, (100-p.Y/px-20)/40
		want := ((x-0.1)*0.8 + (y-0.2)*0.5) / (0.8*0.8 + 0.5*0.5)
		got, ok := doc.Artwork.Shapes[0].Gradient.Offset(p)
		assert.True(t, ok)
		assert.InDelta(t, want, got, 1e-9)
	}
	// the circle of a share t is round fx + t·(cx - fx), its radius t·r: solved for t by trying
	doc = read(t, on(round(`gradientUnits="userSpaceOnUse" cx="50" cy="50" r="40" fx="60" fy="70"`)))
	for _, p := range []path.Point{{X: 20, Y: 60}, {X: 70, Y: 60}, {X: 61, Y: 71}} {
		want, near := 0.0, math.Inf(1)
		for i := range 100_001 {
			s := float64(i) / 50_000
			c := path.Point{X: 60, Y: 70}.Lerp(path.Point{X: 50, Y: 50}, s)
			if d := math.Abs(p.Dist(c) - 40*s); d < near {
				want, near = s, d
			}
		}
		got, ok := doc.Artwork.Shapes[0].Gradient.Offset(path.Point{X: p.X * px, Y: (100 - p.Y) * px})
		assert.True(t, ok)
		assert.InDelta(t, want, got, 1e-4)
	}
}

// What a use hands down makes the box of what it draws another, one after the other.
func TestBoxesOfUses(t *testing.T) {
	const half = `<clipPath id="h" clipPathUnits="objectBoundingBox"><rect width=".5" height="1"/></clipPath>`
	const text = `<text id="t" y="60" clip-path="url(#h)">m</text>`
	requireLooks(t, pair{half + `<defs>` + text + `</defs><use href="#t" font-size="10"/>` +
		`<use href="#t" x="30" font-size="60"/>`,
		half + `<text y="60" font-size="10" clip-path="url(#h)">m</text><text x="30" y="60" font-size="60" ` +
			`clip-path="url(#h)">m</text>`},
		pair{half + `<g font-size="10">` + text + `</g><use href="#t" x="30" font-size="60"/>`,
			half + `<text y="60" font-size="10" clip-path="url(#h)">m</text><text x="30" y="60" font-size="60" ` +
				`clip-path="url(#h)">m</text>`})
}

// Warnings tell the line of a sheet in several pieces, and on pages of less than a unit what
// is off the page is not told.
func TestWhereThingsAreTold(t *testing.T) {
	doc := read(t, on("\n<style\n\n>\n@glitter x;\n<![CDATA[\n@sparkle y;\n]]></style>"))
	require.Len(t, doc.Warnings, 2)
	assert.Equal(t, []int{5, 7}, []int{doc.Warnings[0].Line, doc.Warnings[1].Line})
	doc = read(t, on("\n<style><![CDATA[@glitter x;]]></style>"))
	require.Len(t, doc.Warnings, 1)
	assert.Equal(t, 2, doc.Warnings[0].Line)
	for _, size := range []string{`width=".5" height="90"`, `width="90" height=".5"`, `width=".1" height=".1"`} {
		doc = read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+size+`><image x="200" y="200" width="5" height="5" `+
			`href="a.png"/></svg>`)
		assert.Empty(t, doc.Warnings, size)
		doc = read(t, `<svg xmlns="http://www.w3.org/2000/svg" `+size+`><image width="5" height="5" href="a.png"/></svg>`)
		assert.Len(t, doc.Warnings, 1, size)
	}
	one := read(t, on(`<image x="50" y="50" width="9" height="9" href="a.png"/>`)).Warnings[0]
	assert.True(t, strings.HasSuffix(one.String(), "2.4 x 2.4 mm at 13.2, 10.8"), one.String())
}
