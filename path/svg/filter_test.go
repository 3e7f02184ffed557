package svg_test

import (
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/outside"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// filters are documents whose filters have edges; librsvg must paint the same.
var filters = map[string]string{
	"shadow by hand": `<filter id="f"><feOffset in="SourceAlpha" dx="6" dy="6" result="o"/><feFlood ` +
		`flood-color="#0a0"/><feComposite in2="o" operator="in" result="s"/><feMerge><feMergeNode in="s"/>` +
		`<feMergeNode in="SourceGraphic"/></feMerge></filter><rect x="10" y="10" width="60" height="50" fill="navy" ` +
		`filter="url(#f)"/>`,
	"moved alone": `<filter id="f"><feOffset dx="6" dy="3"/></filter><rect x="10" y="10" width="60" ` +
		`height="50" fill="navy" filter="url(#f)"/>`,
	"in box units": `<filter id="f" primitiveUnits="objectBoundingBox" width="1.5"><feOffset dx=".2" dy=".1"/>` +
		`</filter><rect x="10" y="10" width="60" height="50" fill="navy" filter="url(#f)"/>`,
	"region": `<filter id="f" x="0" y="0" width=".5" height="1"><feOffset/></filter><rect x="10" y="10" ` +
		`width="60" height="50" fill="navy" stroke="red" stroke-width="10" filter="url(#f)"/>`,
	"region on the page": `<filter id="f" filterUnits="userSpaceOnUse" x="20" y="20" width="20" height="60">` +
		`<feOffset/></filter><rect x="10" y="10" width="60" height="50" fill="navy" filter="url(#f)"/>`,
	"flood": `<filter id="f"><feFlood flood-color="#fc0"/><feMerge><feMergeNode/><feMergeNode ` +
		`in="SourceGraphic"/></feMerge></filter><circle cx="50" cy="50" r="30" fill="navy" filter="url(#f)"/>`,
	"saturate": `<filter id="f"><feColorMatrix type="saturate" values="0"/></filter><g filter="url(#f)"><rect ` +
		`x="10" y="10" width="40" height="50" fill="red"/><rect x="50" y="10" width="40" height="50" fill="#08f"/></g>`,
	"matrix in sRGB": `<filter id="f" color-interpolation-filters="sRGB"><feColorMatrix values="0 1 0 0 .2 1 0 0 0 ` +
		`0 0 0 .5 0 0 0 0 0 .5 0"/></filter><g filter="url(#f)"><rect x="10" y="10" width="40" height="50" ` +
		`fill="red"/><rect x="30" y="30" width="40" height="50" fill="#08f"/></g>`,
	"hue": `<filter id="f"><feColorMatrix type="hueRotate" values="90"/></filter><rect x="10" y="10" ` +
		`width="40" height="50" fill="#c40" filter="url(#f)"/>`,
	"luminance": `<filter id="f"><feColorMatrix type="luminanceToAlpha"/></filter><rect x="10" y="10" ` +
		`width="40" height="50" fill="#8c4" filter="url(#f)"/>`,
	"transfer": `<filter id="f"><feComponentTransfer><feFuncR type="linear" slope=".5" intercept=".3"/>` +
		`<feFuncG type="gamma" exponent="2" amplitude=".8"/><feFuncB type="discrete" tableValues="0 .5 1"/><feFuncA ` +
		`type="table" tableValues="0 .2 .7"/></feComponentTransfer></filter><rect x="10" y="10" width="40" ` +
		`height="50" fill="#8c4" filter="url(#f)"/>`,
	"composite over": `<filter id="f"><feOffset dx="5" result="a"/><feComposite in="SourceGraphic" in2="a"/>` +
		`</filter><rect x="10" y="10" width="50" height="50" fill="red" fill-opacity=".5" filter="url(#f)"/>`,
	"blend": `<filter id="f" color-interpolation-filters="sRGB"><feFlood flood-color="#ff0"/><feBlend ` +
		`in="SourceGraphic"/></filter><rect x="10" y="10" width="50" height="50" fill="red" fill-opacity=".5" ` +
		`filter="url(#f)"/>`,
	"gradient": ramps + `<filter id="f" color-interpolation-filters="sRGB"><feColorMatrix values="-1 0 0 0 1 0 ` +
		`-1 0 0 1 0 0 -1 0 1 0 0 0 1 0"/></filter><rect width="90" height="60" fill="url(#steps)" filter="url(#f)"/>`,
	"nothing": `<filter id="f"/><rect x="10" y="10" width="50" height="50" filter="url(#f)"/><rect x="60" ` +
		`y="60" width="20" height="20" fill="red"/>`,
	"with opacity": `<filter id="f"><feOffset dx="10"/></filter><clipPath id="c"><circle cx="50" cy="50" r="30"/>` +
		`</clipPath><rect x="10" y="10" width="70" height="70" fill="red" opacity=".5" clip-path="url(#c)" ` +
		`filter="url(#f)"/>`,
}

func TestFiltersAgainstLibrsvg(t *testing.T) {
	outside.Program(t, "rsvg-convert")
	for name, inner := range filters {
		assert.Empty(t, read(t, on(inner)).Warnings, name)
		iou, ours, theirs, err := compare([]byte(on(inner)), 200)
		require.NoError(t, err, name)
		if !assert.GreaterOrEqual(t, iou, 0.985, name) {
			x, y, a, b := worst(ours, theirs)
			t.Log(name, x, y, a, b)
		}
		save(t, "filter-"+name, ours, theirs)
	}
}

// A soft shadow neither hides its element nor adds to it, however it is made, and what
// is nothing but blurred stands with sharp edges where it would be blurred.
func TestSoftShadows(t *testing.T) {
	square := `<rect x="10" y="10" width="30" height="30" filter="url(#f)"/>`
	plain := path.Rect{Min: path.Point{X: 10 * px, Y: 60 * px}, Max: path.Point{X: 40 * px, Y: 90 * px}}
	const shadow, sharp = "a soft shadow or glow is left out", "it is blurred, and drawn with sharp edges"
	for name, c := range map[string]struct {
		filter, warning string
		moved           float64 // down, px
	}{
		"drop shadow": {`<feDropShadow dx="3" dy="4"/>`, shadow, 0},
		"merged": {
			`<feGaussianBlur in="SourceAlpha" stdDeviation="2"/><feOffset dy="5"/><feMerge><feMergeNode/>` +
				`<feMergeNode in="SourceGraphic"/></feMerge>`, shadow, 0,
		},
		"recoloured": {
			`<feGaussianBlur in="SourceAlpha" stdDeviation="2" result="b"/><feFlood flood-color="#888"/>` +
				`<feComposite in2="b" operator="in"/><feComposite in="SourceGraphic" operator="over" in2="nowhere"/>`,
			shadow, 0,
		},
		"glow over it": {
			`<feGaussianBlur stdDeviation="2" result="b"/><feMerge><feMergeNode in="SourceGraphic"/><feMergeNode ` +
				`in="b"/></feMerge>`, shadow, 0,
		},
		"blurred":            {`<feGaussianBlur stdDeviation="2"/>`, sharp, 0},
		"the shadow alone":   {`<feGaussianBlur stdDeviation="2"/><feOffset dy="5"/>`, sharp, 5},
		"not to be seen":     {`<feGaussianBlur stdDeviation="0.001"/>`, "", 0},
		"blur below nothing": {`<feGaussianBlur stdDeviation="-3"/>`, "", 0},
		"unknown":            {`<feTurbulence/>`, "feTurbulence is not supported; drawn without its filter", 0},
		"knocked out": {`<feFlood/><feComposite operator="out" in2="SourceGraphic"/>`,
			"feComposite out is not supported; drawn without its filter", 0},
	} {
		doc := read(t, on(`<filter id="f" x="-50%" y="-50%" width="200%" height="200%">`+c.filter+`</filter>`+square))
		require.Len(t, doc.Artwork.Shapes, 1, name)
		want := plain.Move(path.Point{Y: -c.moved * px})
		b := doc.Artwork.Shapes[0].Path.Bounds()
		assert.InDelta(t, 0, b.Min.Dist(want.Min)+b.Max.Dist(want.Max), 1e-9, name)
		if c.warning == "" {
			assert.Empty(t, doc.Warnings, name)
			continue
		}
		require.Len(t, doc.Warnings, 1, name)
		assert.Equal(t, c.warning, doc.Warnings[0].Message, name)
		assert.Equal(t, path.Effect, doc.Warnings[0].Kind, name)
		assert.True(t, doc.Warnings[0].At.W() >= 30*px, name)
	}
}

// The region of a filter, in parts of a box of 40 x 20 at 10, 60, by hand: what it cuts
// off shows in no picture.
func TestFilterRegion(t *testing.T) {
	for attrs, want := range map[string][4]float64{
		``:                                       {6, 58, 54, 82}, // a tenth more on every side
		`x="0" y="0" width="1" height="1"`:       {10, 60, 50, 80},
		`x=".5" y=".25" width=".25" height=".5"`: {30, 65, 40, 75},
		`x="50%" y="25%" width="25%" height="50%"`:                        {30, 65, 40, 75},
		`filterUnits="userSpaceOnUse" x="1" y="2" width="30" height="70"`: {1, 2, 31, 72},
		`filterUnits="userSpaceOnUse"`:                                    {-10, -10, 110, 110}, // of the page
	} {
		doc := read(t, on(`<filter id="f" `+attrs+`><feFlood flood-color="red"/></filter><rect x="10" y="60" `+
			`width="40" height="20" filter="url(#f)"/>`))
		require.Len(t, doc.Artwork.Shapes, 1, attrs)
		b := doc.Artwork.Shapes[0].Path.Bounds()
		got := [4]float64{b.Min.X / px, 100 - b.Max.Y/px, b.Max.X / px, 100 - b.Min.Y/px}
		for i := range want {
			assert.InDelta(t, want[i], got[i], 1e-9, attrs)
		}
	}
}

// What comes behind an element with a hard shadow is read as if there were none.
func TestAfterAHardShadow(t *testing.T) {
	const shadow = `<rect width="9" height="9" style="filter:drop-shadow(9px 9px red)"/>`
	doc := withPlaces(t, shadow+`<text id="a" x="5" y="20" font-size="5" font-family="Go">Oak</text><image x="1" `+
		`y="1" width="5" height="5" href="a.png"/>`, "#a")
	assert.Len(t, doc.Places, 1)
	told := 0
	for _, w := range doc.Warnings {
		if w.Kind == path.Picture {
			assert.NotEqual(t, path.Rect{}, w.At)
			told++
		}
	}
	assert.Equal(t, 1, told)
}

// The place of a soft shadow: that of the element, moved, and twice its deviation wider.
func TestPlaceOfShadow(t *testing.T) {
	doc := read(t, on(`<g transform="scale(2)"><rect x="10" y="10" width="10" height="10" `+
		`style="filter:drop-shadow(3px 4px 1px red)"/></g>`))
	require.Len(t, doc.Warnings, 1)
	at := doc.Warnings[0].At // in px, down from the top: 20 + 6 - 4 to 40 + 6 + 4, and 20 + 8 - 4 to 40 + 8 + 4
	assert.InDelta(t, 22*px, at.Min.X, 1e-9)
	assert.InDelta(t, 50*px, at.Max.X, 1e-9)
	assert.InDelta(t, (100-52)*px, at.Min.Y, 1e-9)
	assert.InDelta(t, (100-24)*px, at.Max.Y, 1e-9)
}

// The functions of the filter property on #8c4, which is 0.5333, 0.8, 0.2667, by the
// matrices of Filter Effects 1, 9.6 and 12, worked by hand.
func TestFilterColours(t *testing.T) {
	matrix := func(attrs, child string) string {
		return `<filter id="f"><feComponentTransfer ` + attrs + `>` + child + `</feComponentTransfer></filter>`
	}
	for filter, want := range map[string][4]float64{
		"grayscale(1)":                         {0.7048, 0.7048, 0.7048, 1},
		"grayscale(50%)":                       {0.6191, 0.7524, 0.4857, 1},
		"sepia(1)":                             {0.8752, 0.7797, 0.6072, 1},
		"invert(1)":                            {0.4667, 0.2, 0.7333, 1},
		"invert(25%)":                          {0.5167, 0.65, 0.3833, 1},
		"brightness(.5)":                       {0.2667, 0.4, 0.1333, 1},
		"brightness(3)":                        {1, 1, 0.8, 1},
		"contrast(.5)":                         {0.5167, 0.65, 0.3833, 1},
		"saturate(0)":                          {0.7048, 0.7048, 0.7048, 1},
		"hue-rotate(180deg)":                   {0.8763, 0.6096, 1, 1},
		"opacity(.5)":                          {0.5333, 0.8, 0.2667, 0.5},
		"grayscale()":                          {0.7048, 0.7048, 0.7048, 1},
		"opacity(2)":                           {0.5333, 0.8, 0.2667, 1},
		"invert(1) opacity(.5) brightness(.5)": {0.2333, 0.1, 0.3667, 0.5},
		"none":                                 {0.5333, 0.8, 0.2667, 1},
	} {
		doc := read(t, on(`<rect width="9" height="9" fill="#8c4" style="filter:`+filter+`"/>`))
		assert.Empty(t, doc.Warnings, filter)
		closeTo(t, want, doc, filter)
	}
	for transfer, want := range map[string][4]float64{
		// 0.5333 is 0.0667 past the middle
		`<feFuncR type="table" tableValues="0 1 0"/>`:                         {0.9333, 0.8, 0.2667, 1},
		`<feFuncR type="discrete" tableValues=".1 .2 .3"/>`:                   {0.2, 0.8, 0.2667, 1},
		`<feFuncG type="discrete" tableValues=".4"/>`:                         {0.5333, 0.4, 0.2667, 1},
		`<feFuncB type="gamma" amplitude="2" exponent="2" offset=".1"/>`:      {0.5333, 0.8, 0.2422, 1},
		`<feFuncG type="linear" slope="-1" intercept="1"/>`:                   {0.5333, 0.2, 0.2667, 1},
		`<feFuncA type="linear" slope=".25"/><feFuncR type="identity"/>`:      {0.5333, 0.8, 0.2667, 0.25},
		`<feFuncR type="table"/><feFuncG/><feFuncX type="linear" slope="0"/>`: {0.5333, 0.8, 0.2667, 1},
	} {
		doc := read(t, on(matrix(`color-interpolation-filters="sRGB"`,
			transfer)+`<rect width="9" height="9" fill="#8c4" filter="url(#f)"/>`))
		closeTo(t, want, doc, transfer)
	}
	// In linear light, half of full is 187.516 of 255 (IEC 61966-2-1).
	doc := read(t, on(matrix("", `<feFuncR type="linear" `+
		`slope=".5"/>`)+`<rect width="9" height="9" fill="red" filter="url(#f)"/>`))
	closeTo(t, [4]float64{0.7354, 0, 0, 1}, doc, "linear light")
}

func closeTo(t *testing.T, want [4]float64, doc path.Document, name string) {
	t.Helper()
	require.Len(t, doc.Artwork.Shapes, 1, name)
	p := doc.Artwork.Shapes[0].Paint
	for i, v := range [4]float64{p.R, p.G, p.B, p.Opacity} {
		assert.InDelta(t, want[i], v, 1e-4, name)
	}
}

// What is no filter is told and leaves the element as it is; the bounds of one are told
// as well.
func TestFiltersThatAreNone(t *testing.T) {
	repeat := strings.Repeat
	merge := `<feMerge><feMergeNode/><feMergeNode/></feMerge>`
	for name, c := range map[string]struct{ filter, style, message string }{
		"negative":       {"", "blur(-1px)", "filter is ignored"},
		"percent":        {"", "blur(5%)", "filter is ignored"},
		"unknown":        {"", "sparkle(1)", "filter is ignored"},
		"negative share": {"", "opacity(-1)", "filter is ignored"},
		"a length":       {"", "opacity(1px)", "filter is ignored"},
		"open":           {"", "opacity(1", "filter is ignored"},
		"a word":         {"", "soft", "filter is ignored"},
		"one of two":     {"", "opacity(1) url(#none)", "filter is ignored"},
		"one length":     {"", "drop-shadow(1px)", "filter is ignored"},
		"four lengths":   {"", "drop-shadow(1px 1px 1px 1px)", "filter is ignored"},
		"no colour":      {"", "drop-shadow(1px 1px reddish)", "filter is ignored"},
		"33 functions":   {"", repeat("opacity(1) ", 33), "filter is ignored"},
		"32 functions":   {"", repeat("opacity(1) ", 32), ""},
		"65 layers": {"<feMerge>" + repeat("<feMergeNode/>", 65) + "</feMerge>", "url(#f)",
			"a filter of so many layers"},
		"words in it":    {"<title>no primitive</title><feOffset/><desc/>", "url(#f)", ""},
		"128 layers":     {repeat(merge, 7), "url(#f)", "a filter of so many layers"},
		"201 primitives": {repeat("<feOffset/>", 201), "url(#f)", "a filter of so many primitives"},
		"200 primitives": {repeat("<feOffset/>", 200), "url(#f)", ""},
		"paint of it":    {`<feOffset in="FillPaint"/>`, "url(#f)", "FillPaint is not supported"},
		"a bad matrix":   {`<feColorMatrix values="1 2 3"/>`, "url(#f)", ""},
	} {
		doc := read(t, on(`<filter id="f">`+c.filter+`</filter><rect width="9" height="9" `+
			`style="filter:`+c.style+`"/>`))
		require.Len(t, doc.Artwork.Shapes, 1, name)
		assert.Equal(t, path.Paint{Opacity: 1}, doc.Artwork.Shapes[0].Paint, name)
		if c.message == "" {
			assert.Empty(t, doc.Warnings, name)
			continue
		}
		require.Len(t, doc.Warnings, 1, name)
		assert.Contains(t, doc.Warnings[0].Message, c.message, name)
	}
	assert.Len(t, read(t, on(`<filter id="f">`+repeat(merge,
		6)+`</filter><rect width="9" height="9" filter="url(#f)"/>`)).Artwork.Shapes, 64)
	assert.Empty(t, read(t, on(`<filter id="f"><feOffset/></filter><path d="M9 9H50" stroke="red" filter="url(#f)"/>`)).
		Artwork.Shapes)
	assert.Empty(t, read(t, on(`<filter id="f" width="0"><feOffset/></filter><rect width="9" height="9" `+
		`filter="url(#f)"/>`)).Artwork.Shapes)
}
