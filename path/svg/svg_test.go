package svg_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(t *testing.T, text string, opts ...svg.Options) path.Document {
	t.Helper()
	var o svg.Options
	if len(opts) > 0 {
		o = opts[0]
	}
	doc, err := svg.Read(strings.NewReader(text), o)
	require.NoError(t, err)
	return doc
}

// on puts elements on a page of 100 x 100 px.
func on(inner string) string {
	return `<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">` + inner + `</svg>`
}

const px = 25.4 / 96

// CSS Values and Units 4, 6.2: 1in = 25.4mm = 96px = 72pt = 6pc = 101.6Q.
func TestUnits(t *testing.T) {
	for _, size := range []string{"1in", "2.54cm", "25.4mm", "96px", "96", "72pt", "6pc", "101.6Q", "6em",
		"12ex", "6rem"} {
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="`+size+`" height="`+size+`"/>`)
		assert.InDelta(t, 25.4, doc.Artwork.Page.W(), 1e-9, size)
		assert.InDelta(t, 25.4, doc.Artwork.Page.H(), 1e-9, size)
	}
}

// The expected maps are those of W3C bug 29751, the worked example of
// preserveAspectRatio: view box 11 13 3 2 in a viewport of 21 x 10.
func TestPreserveAspectRatio(t *testing.T) {
	for _, tc := range []struct {
		preserve       string
		tx, ty, sx, sy float64
	}{
		{"none", -77, -65, 7, 5},
		{"xMinYMin", -55, -65, 5, 5},
		{"xMidYMid meet", -52, -65, 5, 5},
		{"", -52, -65, 5, 5},
		{"xMaxYMax meet", -49, -65, 5, 5},
		{"xMinYMin slice", -77, -91, 7, 7},
		{"xMidYMid slice", -77, -93, 7, 7},
		{"xMaxYMax slice", -77, -95, 7, 7},
	} {
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="21" height="10" viewBox="11,13,3 2" `+
			`preserveAspectRatio="`+
			tc.preserve+`"><path d="M12,14h1v1h-1z"/></svg>`)
		p := doc.Artwork.Shapes[0].Path.Points
		assert.InDelta(t, 12*tc.sx+tc.tx, p[0].X/px, 1e-9, tc.preserve)
		assert.InDelta(t, 10-(14*tc.sy+tc.ty), p[0].Y/px, 1e-9, tc.preserve)
		assert.InDelta(t, tc.sx, (p[1].X-p[0].X)/px, 1e-9, tc.preserve)
		assert.InDelta(t, -tc.sy, (p[2].Y-p[1].Y)/px, 1e-9, tc.preserve)
	}
}

// Y points up and the page's lower-left corner is the origin.
func TestOrientation(t *testing.T) {
	doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm" viewBox="0 0 60 90"><rect `+
		`x="5" y="10" width="20" height="30"/></svg>`)
	b := doc.Artwork.Bounds()
	assert.InDelta(t, 5, b.Min.X, 1e-9)
	assert.InDelta(t, 25, b.Max.X, 1e-9)
	assert.InDelta(t, 50, b.Min.Y, 1e-9)
	assert.InDelta(t, 80, b.Max.Y, 1e-9)
	assert.InDelta(t, 60, doc.Artwork.Page.Max.X, 1e-9)
	assert.InDelta(t, 90, doc.Artwork.Page.Max.Y, 1e-9)
}

func TestInvisible(t *testing.T) {
	for _, e := range []string{
		`<rect width="9" height="9" display="none"/>`,
		`<g style="display:none"><rect width="9" height="9"/></g>`,
		`<rect width="9" height="9" visibility="hidden"/>`,
		`<rect width="9" height="9" fill="none"/>`,
		`<rect width="9" height="9" fill="transparent"/>`,
		`<rect width="9" height="9" opacity="0.004"/>`,
		`<g opacity=".1"><g opacity=".1"><rect width="9" height="9" fill-opacity="40%"/></g></g>`,
		`<line x2="9" y2="9"/>`,
		`<rect width="9" height="9" transform="scale(0)"/>`,
		`<defs><rect width="9" height="9"/></defs>`,
	} {
		doc := read(t, on(e))
		assert.Empty(t, doc.Artwork.Shapes, e)
		assert.Empty(t, doc.Warnings, e)
	}
	assert.Len(t, read(t, on(`<g visibility="hidden"><rect width="9" height="9" visibility="visible"/></g>`)).
		Artwork.Shapes, 1)
}

// A light shape stays: whether it is bare is judged later, by its paint.
func TestBareShapesStay(t *testing.T) {
	doc := read(t, on(`<rect width="9" height="9" fill="#fff"/><rect width="9" height="9" fill="#000" opacity=".03"/>`))
	require.Len(t, doc.Artwork.Shapes, 2)
	assert.True(t, doc.Artwork.Shapes[0].Paint.Bare(0.96))
	assert.True(t, doc.Artwork.Shapes[1].Paint.Bare(0.96))
}

func TestNothingPainted(t *testing.T) {
	doc := read(t, on(""))
	assert.Empty(t, doc.Artwork.Shapes)
	assert.False(t, doc.Artwork.Page.Empty())
}

// Same input, same output, to the last bit.
func TestDeterministic(t *testing.T) {
	text := on(`<style>.a{fill:red}.b{stroke:blue}</style><g clip-path="url(#c)"><circle class="a b" r="30" cx="50" ` +
		`cy="50" stroke-dasharray="3 1"/></g><clipPath id="c"><rect width="60" height="60"/></clipPath>`)
	first := read(t, text)
	for range 5 {
		assert.Equal(t, first, read(t, text))
	}
}

// A path of a million segments, which must be quick.
func TestMillionSegments(t *testing.T) {
	doc, err := svg.Read(bytes.NewReader(millionSegments()), svg.Options{})
	require.NoError(t, err)
	require.Len(t, doc.Artwork.Shapes, 1)
	assert.Len(t, doc.Artwork.Shapes[0].Path.Points, 1_000_001)
}

func millionSegments() []byte {
	var b bytes.Buffer
	b.WriteString(`<svg xmlns="http://www.w3.org/2000/svg" width="1000" height="1000"><path d="M0,0`)
	for i := range 1_000_000 {
		fmt.Fprintf(&b, "L%d.%d,%d", i%997, i%10, i%991)
	}
	b.WriteString(`"/></svg>`)
	return b.Bytes()
}

// The nearer the outline of a stroke has to be, the more points it has; nothing
// asked for is the default.
func TestTolerance(t *testing.T) {
	points := map[float64]int{}
	for _, tol := range []float64{0.1, 0.001, 0} {
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">`+
			`<path d="M50 100C50 -20 250 -20 250 100" fill="none" stroke="black" stroke-width="30"/></svg>`,
			svg.Options{Tolerance: func(page path.Rect) float64 {
				assert.InDelta(t, 300, page.W(), 1e-9)
				return tol
			}})
		points[tol] = len(doc.Artwork.Shapes[0].Path.Points)
	}
	assert.Less(t, points[0.1], points[0.001])
	assert.LessOrEqual(t, points[0], points[0.001])
	assert.Less(t, points[0.1], points[0])
}
