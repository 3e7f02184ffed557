package svg_test

import (
	"fmt"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// SVG 2, 5.7: the first child that holds is drawn; requiredFeatures, which SVG 2
// has dropped, always holds, an extension never does.
func TestSwitch(t *testing.T) {
	for want, inner := range map[string]string{
		"feature": `<rect systemLanguage="de, fr" width="9" height="9"/><rect id="feature" ` +
			`requiredFeatures="http://www.w3.org/TR/SVG11/feature#Shape" width="9" height="9"/><rect width="9" ` +
			`height="9"/>`,
		"language": `<rect requiredExtensions="urn:x" width="9" height="9"/><rect id="language" systemLanguage="de, ` +
			`en-GB" width="9" height="9"/><rect width="9" height="9"/>`,
		"picture": `<foreignObject width="9" height="9"/><rect id="picture" width="9" height="9"/>`,
		"else": `<rect systemLanguage="" width="9" height="9"/><g id="else"><rect id="else" width="9" ` +
			`height="9"/></g>`,
	} {
		shapes := read(t, on("<switch>"+inner+"</switch>")).Artwork.Shapes
		require.Len(t, shapes, 1, want)
		assert.Equal(t, want, shapes[0].Source.ID)
	}
}

// SVG 2, 13.8: fill, stroke and markers in any sequence; what is not named
// follows in the usual one.
func TestPaintOrder(t *testing.T) {
	for order, want := range map[string]string{
		"normal": "fsm", "stroke": "sfm", "markers": "mfs", "markers stroke": "msf", "stroke markers fill": "smf",
		"bogus": "fsm",
	} {
		doc := read(t, on(`<marker id="m"><path fill="#00f" d="M0 0h3v3z"/></marker><path d="M9 9h40v40z" `+
			`fill="#f00" stroke="#0f0" marker-start="url(#m)" paint-order="`+order+`"/>`))
		got := ""
		for _, s := range doc.Artwork.Shapes {
			switch {
			case s.Paint.R == 1:
				got += "f"
			case s.Paint.G == 1:
				got += "s"
			default:
				got += "m"
			}
		}
		assert.Equal(t, want, got, order)
	}
}

// SVG 1.1, 10.15: white space collapses, unless it is to be preserved.
func TestXMLSpace(t *testing.T) {
	width := func(attrs, text string) float64 {
		doc := read(t, on(`<text y="50" font-size="10" `+attrs+`>`+text+`</text>`))
		return doc.Artwork.Bounds().W()
	}
	collapsed := width("", "a b")
	assert.InDelta(t, collapsed, width("", "  a \n\t  b "), 1e-9)
	assert.Greater(t, width(`xml:space="preserve"`, "a    b"), collapsed+1)
	assert.InDelta(t, width(`xml:space="preserve"`, "a    b"), width(`style="white-space:pre"`, "a    b"), 1e-9)
}

// CSS Values 4, 6.1: lengths that go by the font, here of 20 px; ex, ch and cap
// are half an em where the font's own are not asked.
func TestFontRelativeUnits(t *testing.T) {
	for size, want := range map[string]float64{"2em": 40, "2ex": 20, "2ch": 20, "2rem": 32, "1ic": 20} {
		doc := read(t, on(`<g font-size="20"><rect width="`+size+`" height="9"/></g>`))
		assert.InDelta(t, want*px, doc.Artwork.Bounds().W(), 1e-9, size)
	}
}

// What is drawn without its filter says so, and a picture where it lies.
func TestLeftOut(t *testing.T) {
	doc := read(t, on(`<rect style="filter:blur(2px)" width="9" height="9"/>
<image id="i" x="10" y="20" width="30" height="40" href="photo.png"/>`))
	assert.Len(t, doc.Artwork.Shapes, 1)
	require.Len(t, doc.Warnings, 2)
	assert.Equal(t, "line 1: <rect>: it is blurred, and drawn with sharp edges; 3.4 x 3.4 mm at 0.0, 23.0",
		doc.Warnings[0].String())
	assert.Equal(t, "line 2: <image#i>: a picture is left out; 7.9 x 10.6 mm at 2.6, 10.6", doc.Warnings[1].String())
}

// XML 1.0, 3.1: no attribute twice.
func TestAttributeTwice(t *testing.T) {
	_, err := readText(on(`<rect id="r" width="9" height="9" width="5"/>`))
	require.Error(t, err)
	assert.Equal(t, `line 1: <rect#r>: not well-formed XML: the attribute width is there twice`, err.Error())
	doc, err := readText(on(`<use xmlns:a="http://www.w3.org/1999/xlink" href="#r" a:href="#s"/><rect id="r" ` +
		`width="9" height="9"/>`))
	require.NoError(t, err)
	assert.Len(t, doc.Artwork.Shapes, 2)
}

func readText(text string) (path.Document, error) {
	return svg.Read(strings.NewReader(text), svg.Options{})
}

// SVG 2, 13.7.3: the names of a marker's sides stand for their numbers.
func TestSidesOfMarkers(t *testing.T) {
	marker := func(x, y, view string) []path.Shape {
		return read(t, on(`<marker id="m" markerWidth="8" `+
			`markerHeight="6" `+view+` refX="`+x+`" refY="`+y+`"><rect width="4" height="4"/></marker><path d="M50 `+
			`50H60" stroke="red" marker-start="url(#m)"/>`)).Artwork.Shapes
	}
	const view = `viewBox="2 1 10 20"`
	for name, number := range map[string][2]string{"left": {"2", "1"}, "center": {"7", "11"}, "right": {"12", "21"}} {
		below := map[string]string{"left": "top", "center": "center", "right": "bottom"}[name]
		assert.Equal(t, marker(number[0], number[1], view), marker(name, below, view), name)
	}
	assert.Equal(t, marker("8", "3", ""), marker("right", "center", ""))
	assert.NotEqual(t, marker("0", "0", ""), marker("right", "center", ""))
}

// SVG 2, 5.7: an element whose conditions do not hold is not drawn, in a switch or not.
func TestConditions(t *testing.T) {
	for attrs, n := range map[string]int{
		`systemLanguage="de"`: 0, `systemLanguage="en-GB, de"`: 1, `systemLanguage="xx,EN"`: 1, `systemLanguage=""`: 0,
		`requiredExtensions="urn:x"`: 0, `requiredExtensions=" "`: 1, `requiredFeatures="urn:x"`: 1,
	} {
		assert.Len(t, read(t, on(`<g `+attrs+`><rect width="9" height="9"/></g>`)).Artwork.Shapes, n, attrs)
	}
}

// CSS Masking 1 and CSS Shapes 1: an ellipse stands in the box of what it clips, here of
// 40 x 40 at 30, 10.
func TestClipToAnEllipse(t *testing.T) {
	doc := read(t, on(`<rect x="30" y="10" width="40" height="40" style="clip-path:ellipse(10px 5px at 30% 50%)"/>`))
	clips := doc.Artwork.Shapes[0].Clips
	require.NotEmpty(t, clips)
	b := clips[len(clips)-1].Shapes[0].Path.Bounds()
	assert.InDelta(t, 32*px, b.Min.X, 1e-9)
	assert.InDelta(t, 52*px, b.Max.X, 1e-9)
	assert.InDelta(t, (100-35)*px, b.Min.Y, 1e-9)
	assert.InDelta(t, (100-25)*px, b.Max.Y, 1e-9)
}

// An attribute twice is an error among very many as well.
func TestAttributeTwiceOfMany(t *testing.T) {
	var many strings.Builder
	for i := range 40 {
		fmt.Fprintf(&many, ` a%d="1"`, i)
	}
	read(t, on(`<rect`+many.String()+`/>`))
	_, err := svg.Read(strings.NewReader(on(`<rect`+many.String()+` a3="2"/>`)), svg.Options{})
	assert.ErrorContains(t, err, "a3")
}
