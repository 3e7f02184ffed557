package inspect_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/inspect"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOptions(t *testing.T) {
	for _, width := range []float64{-0.1, math.NaN()} {
		_, err := inspect.Look(path.Artwork{}, inspect.Options{MarkWidth: width})
		assert.ErrorContains(t, err, "it must be 0 or more")
	}
	pale := `<rect width="4" height="4" fill="#fafafa"/>` // 0.98 of full
	r := look(t, pale, inspect.Options{})
	assert.Equal(t, 0.1, r.MarkWidth)
	assert.True(t, r.Groups[0].Bare)
	r = look(t, pale, inspect.Options{MarkWidth: 0.3, BareAbove: 0.99})
	assert.Equal(t, 0.3, r.MarkWidth)
	assert.False(t, r.Groups[0].Bare)
	assert.InDelta(t, 16, r.Groups[0].Area, 0.01)
}

// The largest area comes first, and of equal ones the lowest. A group is of one paint
// and one layer.
func TestGroupsInSequence(t *testing.T) {
	r := look(t, `<g xmlns:d="urn:d"><g d:label="a"><rect width="1" height="1"/><rect x="1" width="1" height="1"/></g>
<g d:label="b"><rect x="2" width="2" height="1"/><rect x="9" width="3" height="3" fill="blue"/></g></g><rect x="5" `+
		`width="1" height="2"/>`, inspect.Options{})
	var got []string
	for _, g := range r.Groups {
		got = append(got, fmt.Sprintf("%s %d %.1f", g.Layer, g.Shapes, g.Area))
	}
	assert.Equal(t, []string{"b 1 9.0", "a 2 2.0", "b 1 2.0", " 1 2.0"}, got)
}

// The areas of small things are as near as those of large ones.
func TestAreas(t *testing.T) {
	for _, radius := range []float64{0.2, 1, 9} {
		for _, mark := range []float64{0.05, 2} {
			r := look(t, fmt.Sprintf(`<circle cx="10" cy="10" r="%g"/>`, radius), inspect.Options{MarkWidth: mark})
			assert.InEpsilon(t, math.Pi*radius*radius, r.Marked, 2e-3, "%g %g", radius, mark)
			assert.InEpsilon(t, r.Marked, r.Groups[0].Area, 1e-12)
			assert.InEpsilon(t, r.Marked, r.Rows.Length()*r.Rows.Spacing, 1e-9, "the rows are what was measured")
		}
	}
}

// Areas are measured by 2,000 rows, or by fewer that are the mark's width apart.
func TestRowsOfAreas(t *testing.T) {
	for _, size := range [][2]float64{{10, 2}, {2, 10}} {
		inner := fmt.Sprintf(`<rect x="1" y="1" width="%g" height="%g"/>`, size[0], size[1])
		for mark, rows := range map[float64]int{0.1: 2000, 0.0004: int(size[1] / 0.0004)} {
			r := look(t, inner, inspect.Options{MarkWidth: mark})
			assert.Equal(t, rows, r.Rows.NumRows(), "%v %g", size, mark)
		}
	}
}

// More than 1,000 groups are told as 1,000, of which the last holds the rest.
func TestManyGroups(t *testing.T) {
	var art path.Artwork
	for i := range 1003 {
		s := filled([][]path.Point{{{X: float64(i)}, {X: float64(i) + 0.5}, {X: float64(i), Y: 0.5}}}).Shapes[0]
		s.Paint.R = float64(i) / 2000
		art.Shapes = append(art.Shapes, s)
	}
	r, err := inspect.Look(art, inspect.Options{})
	require.NoError(t, err)
	require.Len(t, r.Groups, 1000)
	assert.Equal(t, 4, r.Groups[0].Shapes)
	assert.InEpsilon(t, 0.5, r.Groups[0].Area, 0.01)
	assert.InEpsilon(t, 1003*0.125, r.Marked, 0.01)
}

// Only a filled subpath of two segments and more that does not come back is open. The
// place is where the first one ends.
func TestOpenSubpaths(t *testing.T) {
	for d, at := range map[string]*path.Point{
		"M1 1h5v5z":                          nil,
		"M1 1h5v5L1 1":                       nil,
		"M1 1h5v5L1 1.0000005":               nil,
		"M1 1h5v5L1 1.001":                   {X: 1, Y: 18.999},
		"M1 1h5":                             nil, // encloses nothing
		"M1 1h5v5":                           {X: 6, Y: 14},
		"M1 1h5v5M9 9h1v1z":                  {X: 6, Y: 14},
		"M9 9h1v1zM1 1h5v5":                  {X: 6, Y: 14},
		"M9 9h1v1zh1v3":                      {X: 10, Y: 8}, // goes on from where it was closed
		"M9 9h1v1zh1":                        nil,
		"M1 1h5v5M2 2h1v7":                   {X: 6, Y: 14},
		"M1 1Q5 1 5 5T9 9":                   {X: 9, Y: 11},
		"M1 1A4 4 0 0 1 9 1A4 4 0 0 1 9.5 2": {X: 9.5, Y: 18},
	} {
		r := look(t, `<path d="`+d+`"/>`, inspect.Options{})
		if at == nil {
			assert.Empty(t, r.Open, d)
			continue
		}
		require.Len(t, r.Open, 1, d)
		assert.InDelta(t, 0, at.Dist(r.Open[0].At), 1e-9, d)
	}
	r := look(t, `<path d="M1 1h5v5" fill="none" stroke="black" stroke-width=".3"/>`, inspect.Options{})
	assert.Empty(t, r.Open, "a line")
}

// A double has the same pieces in the same places, to a micrometre; it is told once
// however often it was drawn before, in the middle of itself.
func TestDoubled(t *testing.T) {
	const first = `<path d="M2 2h4v3H2z"/>`
	for d, doubled := range map[string]bool{
		"M2 2h4v3H2z":             true,
		"M2 2.0009h4v2.9991H2z":   true,
		"M2 2.0011h4v2.9989H2z":   false,
		"M2 2h4v3H2":              false, // another verb
		"M2 2h4v3H2zm0 0":         false,
		"M2 2h4v3.0011H2z":        false,
		"M3 2h4v3H3z":             false,
		"M2 2h3v3H2z":             false,
		"M2 2h4V5Q4 5 2 5z":       false,
		"M2 5V2h4v3z":             false, // the same to the eye, from another corner
		"M2 2h4v3H2zM9 9h4v3.H9z": false,
	} {
		r := look(t, first+`<path id="x" d="`+d+`"/>`, inspect.Options{})
		require.Len(t, r.Doubled, map[bool]int{true: 1}[doubled], d)
		if doubled {
			assert.Equal(t, "x", r.Doubled[0].Source.ID)
			assert.InDelta(t, 0, path.Point{X: 4, Y: 16.5}.Dist(r.Doubled[0].At), 1e-3, d)
		}
	}
	curved := `<path d="M2 2Q3 2 4 3L5 5L2 5z"/>` // through the same points another way
	assert.Empty(t, look(t, curved+`<path d="M2 2L3 2L4 3Q5 5 2 5z"/>`, inspect.Options{}).Doubled)
	assert.Len(t, look(t, curved+curved, inspect.Options{}).Doubled, 1)
	assert.Len(t, look(t, strings.Repeat(first, 4), inspect.Options{}).Doubled, 3)
	assert.Empty(t, look(t, `<path d=""/><path d=""/>`, inspect.Options{}).Doubled)
}
