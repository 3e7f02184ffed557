package svg_test

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(t *testing.T, text string, opts ...svg.Options) svg.Document {
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

// area returns the area that shape i covers, mm2, by its flattened outline and
// fill rule on fine rows.
func area(s path.Shape) float64 {
	b := s.Path.Bounds()
	const rows = 4000
	pitch := b.H() / rows
	sum := 0.0
	p := &picture{w: 1, h: rows, scale: 1}
	for i := range rows {
		y := b.Min.Y + (float64(i)+0.5)*pitch
		sum += p.rowLength(s, y) * pitch
	}
	return sum
}

func (p *picture) rowLength(s path.Shape, y float64) float64 {
	var row []crossing
	s.Path.Flatten(1e-5, func(pts []path.Point, _ bool) {
		for i, a := range pts {
			b, wind := pts[(i+1)%len(pts)], 1
			if a.Y > b.Y {
				a, b, wind = b, a, -1
			}
			if a.Y <= y && y < b.Y {
				row = append(row, crossing{a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y), wind})
			}
		}
	})
	sortCrossings(row)
	sum, wind := 0.0, 0
	for i, c := range row {
		wind += c.wind
		if i+1 < len(row) && wind != 0 && (s.Rule == path.NonZero || i%2 == 0) {
			sum += row[i+1].x - c.x
		}
	}
	return sum
}

// The five-pointed star of the SVG specification's fill-rule example; areas
// computed, and confirmed by librsvg's pixels.
func TestStarAreas(t *testing.T) {
	for rule, want := range map[string]float64{"nonzero": 17523.2309, "evenodd": 12108.4617} {
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="400" height="400">
			<path fill-rule="`+rule+`" d="M250,75 L323,301 131,161 369,161 177,301z"/></svg>`)
		require.Len(t, doc.Artwork.Shapes, 1)
		got := area(doc.Artwork.Shapes[0]) / (px * px)
		assert.InEpsilon(t, want, got, 1e-4, rule)
	}
}

// CSS Values and Units 4, 6.2: 1in = 25.4mm = 96px = 72pt = 6pc = 101.6Q.
func TestUnits(t *testing.T) {
	for _, size := range []string{"1in", "2.54cm", "25.4mm", "96px", "96", "72pt", "6pc", "101.6Q", "6em", "12ex", "6rem"} {
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="`+size+`" height="`+size+`"/>`)
		assert.InDelta(t, 25.4, doc.Artwork.Page.W(), 1e-9, size)
		assert.InDelta(t, 25.4, doc.Artwork.Page.H(), 1e-9, size)
	}
}

// SVG 2, B.2.4 (implementation notes on elliptical arcs); the values are
// computed from its formulas.
func TestArcCentres(t *testing.T) {
	for _, tc := range []struct {
		d          string
		cx, cy     float64
		start, deg float64 // degrees; start NaN where it is not checked
	}{
		{"M1,0 A1,1 0 0,1 0,1", 0, 0, 0, 90},
		{"M1,0 A1,1 0 1,1 0,1", 1, 1, -90, 270},
		{"M0,0 A5,3 30 0,1 6,0", 4.331280, 2.497999, 179.9559, 92.2924},
		{"M0,0 A1,1 0 0,1 10,0", 5, 0, 180, 180},
		{"M0,0 a25,25 -30 0,1 50,-25", 25, -12.5, math.NaN(), 180},
		{"M1,0A1 1 0 010 1", 0, 0, 0, 90}, // flags without separators
		{"M1,0 A-1,-1 0 0,1 0,1", 0, 0, 0, 90},
	} {
		doc := read(t, on(`<path d="`+tc.d+`"/>`))
		require.Len(t, doc.Artwork.Shapes, 1, tc.d)
		p := doc.Artwork.Shapes[0].Path
		require.Equal(t, path.ArcTo, p.Verbs[1], tc.d)
		centre, angles := p.Points[1], p.Points[4]
		assert.InDelta(t, tc.cx, centre.X/px, 1e-5, tc.d)
		assert.InDelta(t, tc.cy, 100-centre.Y/px, 1e-5, tc.d)
		if !math.IsNaN(tc.start) {
			assert.InDelta(t, 0, math.Mod(angles.X*180/math.Pi-tc.start+540, 360)-180, 1e-3, tc.d)
		}
		assert.InDelta(t, tc.deg, angles.Y*180/math.Pi, 1e-3, tc.d)
	}
}

// The chord segment's area is computed; librsvg's pixels give 4.586.
func TestArcArea(t *testing.T) {
	doc := read(t, on(`<path d="M10,10 a5,3 30 0,1 6,0z"/>`))
	assert.InDelta(t, 4.58705, area(doc.Artwork.Shapes[0])/(px*px), 2e-3)
}

// SVG 2, 9.5.1: radii of zero make a line, equal end points nothing.
func TestArcDegenerate(t *testing.T) {
	assert.Equal(t, []path.Verb{path.MoveTo, path.LineTo}, pathOf(t, "M0,0 A0,3 0 0,1 9,0").Verbs)
	assert.Equal(t, []path.Verb{path.MoveTo, path.LineTo}, pathOf(t, "M0,0 A3,3 0 0,1 0,0 L1,1").Verbs)
}

func pathOf(t *testing.T, d string) path.Path {
	doc := read(t, on(`<path d="`+d+`"/>`))
	if len(doc.Artwork.Shapes) == 0 {
		return path.Path{}
	}
	return doc.Artwork.Shapes[0].Path
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
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="21" height="10" viewBox="11,13,3 2" preserveAspectRatio="`+
			tc.preserve+`"><path d="M12,14h1v1h-1z"/></svg>`)
		p := doc.Artwork.Shapes[0].Path.Points
		assert.InDelta(t, 12*tc.sx+tc.tx, p[0].X/px, 1e-9, tc.preserve)
		assert.InDelta(t, 10-(14*tc.sy+tc.ty), p[0].Y/px, 1e-9, tc.preserve)
		assert.InDelta(t, tc.sx, (p[1].X-p[0].X)/px, 1e-9, tc.preserve)
		assert.InDelta(t, -tc.sy, (p[2].Y-p[1].Y)/px, 1e-9, tc.preserve)
	}
}

// SVG 2, 9.5.4: what stands before the first error is drawn.
func TestPathErrors(t *testing.T) {
	for d, points := range map[string]int{
		"M10,10 L20,20,30":                 2, // the example of that section
		"M10,10 L20,20 L NaN,3":            2,
		"M10,10 L20,20 L 1e400,3":          2,
		"M10,10 L20,20 Lx":                 2,
		"M10,10 20,20 A1 1 0 2 1 3 3 L9 9": 2,
		"M10,10 20,20,":                    2,
		"L10,10 20,20":                     0,
		"M NaN 3 L 4 5":                    0,
	} {
		doc := read(t, on(`<path id="p" d="`+d+`"/>`))
		require.Len(t, doc.Warnings, 1, d)
		assert.Equal(t, "path#p", doc.Warnings[0].Element)
		assert.Contains(t, doc.Warnings[0].Message, "at character")
		if points == 0 {
			assert.Empty(t, doc.Artwork.Shapes, d)
			continue
		}
		require.Len(t, doc.Artwork.Shapes, 1, d)
		assert.Len(t, doc.Artwork.Shapes[0].Path.Points, points, d)
	}
}

func TestPathGrammar(t *testing.T) {
	same := [][2]string{
		{"M0 0L10 0 10 10Z", "m0,0l10,0l0,10z"},
		{"M0 0H10V10Z", "M0,0 10,0 10,10z"},
		{"M.5.5-.5.5", "M0.5 0.5 L-0.5 0.5"},
		{"M1e1-1E0", "M10,-1"},
		{"M0 0C1 2 3 4 5 6S9 10 11 12", "M0 0C1 2 3 4 5 6C7 8 9 10 11 12"},
		{"M0 0Q1 2 3 4T7 8", "M0 0Q1 2 3 4Q5 6 7 8"},
		{"M0 0L1 1zl5 0", "M0 0L1 1zM0 0L5 0"},
		{"m1 1zm1 1h1", "M1 1zM2 2h1"},
		{"M1 1M2 2h1", "M2 2h1"},
	}
	for _, pair := range same {
		assert.Equal(t, pathOf(t, pair[1]), pathOf(t, pair[0]), pair[0])
	}
}

// SVG 2, 10.2: a missing radius copies the other, both are clamped to half the
// side; sizes that are zero or negative disable.
func TestRects(t *testing.T) {
	full := area(read(t, on(`<rect width="40" height="20" rx="6" ry="6"/>`)).Artwork.Shapes[0])
	assert.InEpsilon(t, (800-36*(4-math.Pi))*px*px, full, 1e-4)
	for _, attrs := range []string{`rx="6"`, `ry="6"`, `rx="6" ry="auto"`, `rx="6" ry="-2"`} {
		got := area(read(t, on(`<rect width="40" height="20" `+attrs+`/>`)).Artwork.Shapes[0])
		assert.InEpsilon(t, full, got, 1e-9, attrs)
	}
	ellipse := area(read(t, on(`<rect width="40" height="20" rx="99" ry="99"/>`)).Artwork.Shapes[0])
	assert.InEpsilon(t, math.Pi*20*10*px*px, ellipse, 1e-4)
	for _, attrs := range []string{`width="0" height="5"`, `width="-3" height="5"`, `width="5"`} {
		assert.Empty(t, read(t, on(`<rect `+attrs+`/>`)).Artwork.Shapes, attrs)
	}
}

// Y points up and the page's lower-left corner is the origin.
func TestOrientation(t *testing.T) {
	doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="90mm" viewBox="0 0 60 90"><rect x="5" y="10" width="20" height="30"/></svg>`)
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
	assert.Len(t, read(t, on(`<g visibility="hidden"><rect width="9" height="9" visibility="visible"/></g>`)).Artwork.Shapes, 1)
}

// A light shape stays: whether it is bare is judged later, by its paint.
func TestBareShapesStay(t *testing.T) {
	doc := read(t, on(`<rect width="9" height="9" fill="#fff"/><rect width="9" height="9" fill="#000" opacity=".03"/>`))
	require.Len(t, doc.Artwork.Shapes, 2)
	assert.True(t, doc.Artwork.Shapes[0].Paint.Bare(0.96))
	assert.True(t, doc.Artwork.Shapes[1].Paint.Bare(0.96))
}

func TestParts(t *testing.T) {
	doc := read(t, on(`<g id="a"><rect class="deep x" width="9" height="9"/><rect width="9" height="9" fill="red"/></g><rect width="9" height="9"/>
		<g xmlns:d="urn:drawing" d:label="Layer 2"><rect width="9" height="9"/></g>`),
		svg.Options{Parts: []string{"#a", ".deep", "Layer 2", "red"}})
	var parts []int
	for _, s := range doc.Artwork.Shapes {
		parts = append(parts, s.Part)
	}
	assert.Equal(t, []int{2, 4, 0, 3}, parts)
	assert.Equal(t, "Layer 2", doc.Artwork.Shapes[3].Source.Layer)
	assert.Empty(t, doc.Warnings)
}

func TestOnlySkipInvert(t *testing.T) {
	text := on(`<g id="a"><rect id="r" width="9" height="9"/></g><rect id="s" width="9" height="9" fill="blue"/>`)
	ids := func(o svg.Options) (ids []string) {
		for _, s := range read(t, text, o).Artwork.Shapes {
			ids = append(ids, s.Source.ID)
		}
		return ids
	}
	assert.Equal(t, []string{"r"}, ids(svg.Options{Only: []string{"#a"}}))
	assert.Equal(t, []string{"s"}, ids(svg.Options{Skip: []string{"#a"}}))
	assert.Equal(t, []string{"s"}, ids(svg.Options{Only: []string{"#00f"}}))
	assert.Equal(t, []string{"r"}, ids(svg.Options{Skip: []string{"rgb(0 0 255)"}}))
	assert.True(t, read(t, text, svg.Options{Invert: []string{"#s"}}).Artwork.Shapes[1].Invert)
	doc := read(t, text, svg.Options{Only: []string{"#nowhere"}})
	assert.Empty(t, doc.Artwork.Shapes)
	assert.Contains(t, doc.Warnings[0].String(), `"#nowhere" picks nothing`)
	assert.Equal(t, []string{"#nowhere"}, doc.Unpicked)
	assert.Equal(t, []string{"#a", "#r", "#s", "#000000", "#0000ff"}, doc.Names)
}

// What is skipped or not drawn is there all the same.
func TestUnpickedIsASlipAlone(t *testing.T) {
	text := on(`<g id="a"><rect class="deep" width="9" height="9"/></g><g id="off" display="none"><path id="p"/></g><rect width="9" height="9" fill="blue"/>`)
	doc := read(t, text, svg.Options{Parts: []string{".deep", "#p", "#fff000"}, Skip: []string{"#a"}})
	assert.Empty(t, doc.Unpicked)
	assert.Len(t, doc.Warnings, 3)
	doc = read(t, text, svg.Options{Only: []string{"#a"}, Skip: []string{"blue"}})
	assert.Empty(t, doc.Unpicked)
	assert.Empty(t, doc.Warnings)
}

// What the reader leaves out is named with its line.
func TestWarnings(t *testing.T) {
	doc := read(t, "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'>\n<sparkle/>\n<image id='photo'/>\n<rect filter='url(#f)' width='9' height='9'/>\n<rect fill='bluish' width='9' height='9'/></svg>")
	var got []string
	for _, w := range doc.Warnings {
		got = append(got, w.String())
	}
	assert.Equal(t, []string{
		"line 2: <sparkle>: unknown element is left out",
		"line 3: <image#photo>: a picture of 0.0 x 0.0 mm, lower left at 0.0, 2.4 mm, is left out",
		"line 4: <rect>: filter is not supported; drawn without it",
		`line 5: <rect>: fill is ignored: "bluish"`,
	}, got)
	assert.Len(t, doc.Artwork.Shapes, 2)
}

func TestErrors(t *testing.T) {
	for text, want := range map[string]string{
		"":                                 "file is empty",
		" \n":                              "file is empty",
		"\x89PNG\r\n\x1a\n\x00\x00\xff":    "a PNG picture and no SVG",
		"\xff\xd8\xff\xe0\x00\x10JFIF":     "a JPEG picture and no SVG",
		"%PDF-1.7":                         "a PDF and no SVG",
		"\x00\xff\xfe binary":              "not a text file",
		"just words":                       "not an SVG file",
		"<html/>":                          "starts with <html>",
		"<svg><g><path d='M0 0L1 1'/></g>": "not well-formed XML",
		"<svg>\n<g>\n<path d='M0 0":        "line 3: <g>: not well-formed XML",
		"<svg></svg><svg></svg>":           "second root",
		"<svg>&nope;</svg>":                "invalid character entity",
		"<svg width='1e9' height='1e9'/>":  "cannot be used",
		"\x1f\x8bxx":                       "damaged gzip",
		"<?xml version='1.0' encoding='klingon'?><svg/>": "unknown character encoding klingon",
	} {
		_, err := svg.Read(strings.NewReader(text), svg.Options{})
		require.Error(t, err, "%q", text)
		var e *svg.Error
		assert.ErrorAs(t, err, &e, "%q", text)
		assert.Contains(t, err.Error(), want, "%q", text)
	}
}

type brokenReader struct{}

var errBroken = errors.New("disk on fire")

func (brokenReader) Read([]byte) (int, error) { return 0, errBroken }

func TestReaderError(t *testing.T) {
	_, err := svg.Read(brokenReader{}, svg.Options{})
	assert.ErrorIs(t, err, errBroken)
}

func TestNothingPainted(t *testing.T) {
	doc := read(t, on(""))
	assert.Empty(t, doc.Artwork.Shapes)
	assert.False(t, doc.Artwork.Page.Empty())
}

// Same input, same output, to the last bit.
func TestDeterministic(t *testing.T) {
	text := on(`<style>.a{fill:red}.b{stroke:blue}</style><g clip-path="url(#c)"><circle class="a b" r="30" cx="50" cy="50" stroke-dasharray="3 1"/></g><clipPath id="c"><rect width="60" height="60"/></clipPath>`)
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
		doc := read(t, `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200"><path d="M50 100C50 -20 250 -20 250 100" fill="none" stroke="black" stroke-width="30"/></svg>`,
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
