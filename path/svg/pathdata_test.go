package svg_test

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

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
