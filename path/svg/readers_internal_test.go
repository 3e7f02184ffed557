package svg

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// CSS 2, 15.3.6: ranges of characters as a font's pairs name them.
func TestRangesOfCharacters(t *testing.T) {
	for text, want := range map[string][2]rune{
		"U+26": {0x26, 0x26}, "u+0-7f": {0, 0x7f}, "U+4??": {0x400, 0x4ff}, "U+??": {0, 0xff}, "U+0025-00FF": {0x25, 0xff},
		"U+7FFFFFFF": {math.MaxInt32, math.MaxInt32}, "U+41-7FFFFFFF": {0x41, math.MaxInt32},
	} {
		lo, hi, ok := unicodeRange(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, [2]rune{lo, hi}, text)
	}
	for _, bad := range []string{"", "A", "U+", "U+-41", "U+41-", "U+G", "U+80000000", "U+80000000-41", "U+41-80000000",
		"U+4?-50", "41"} {
		_, _, ok := unicodeRange(bad)
		assert.False(t, ok, bad)
	}
}

// What an element must have to be picked by a compound: rules are looked up by it, and those
// of others are never tried.
func TestKeysOfCompounds(t *testing.T) {
	for text, want := range map[string]string{
		"rect": "rect", "Rect": "rect", ".a": ".a", "#b": "#b", "rect.a": ".a", "rect#b": "#b", "#b.a": "#b", ".a#b": "#b",
		".a.c": ".c", "*": "", "*.a": ".a", "[x]": "", "rect[x]": "rect", ":not(.a)": "", "rect:not(.a)": "rect",
		":not(#b)": "", ":not(circle)": "", "[x=y]": "", ".a:not(.c)": ".a", `.a\:b`: "", `.c.a\:b`: ".c",
		":first-child": "", "rect:first-child": "rect", ":not(.a).c": ".c", `#a\:b`: "",
	} {
		assert.Equal(t, want, keyOf(tokenize(text)), text)
	}
	s := sheet{}
	require.Empty(t, s.parse("rect{fill:red} .a{fill:red} #b{fill:red} circle.c{fill:red} *{fill:red}"))
	n := &node{name: "rect"}
	n.Type, n.Data = html.ElementNode, "rect"
	n.Attr = []html.Attribute{{Key: "class", Val: "z a"}, {Key: "id", Val: "d"}}
	assert.Len(t, s.matching(n), 3)
	assert.Equal(t, 3+3*8, s.tests)
	s = sheet{}
	require.Empty(t, s.parse("@font-face{font-family:F;font-weight:700} rect{fill:red} @page{margin:0} #b{fill:red}"))
	for _, key := range []string{"rect", "#b"} { // what other blocks say is no part of a rule
		require.Len(t, s.rules[key], 1)
		assert.Equal(t, []declaration{{name: "fill", value: "red"}}, s.rules[key][0].declarations)
	}
	assert.Equal(t, [][]declaration{{{name: "font-family", value: "F"}, {name: "font-weight", value: "700"}}}, s.faces)
}

// cornersOf strokes a line through places with mitres and counts the points on its sides,
// left and right of each corner.
func cornersOf(t *testing.T, tolerance float64, at ...path.Point) (left, right int) {
	t.Helper()
	var p path.Path
	p.MoveTo(at[0])
	for _, q := range at[1:] {
		p.LineTo(q)
	}
	k := pen{half: 1, tolerance: tolerance, cap: "butt", join: "miter", miter: 4, most: maxOnePath}
	lines := new(lineBuilder).polylines(p, 1, tolerance)
	require.Len(t, lines, 1)
	l := &lines[0]
	for i := 1; i < len(l.legs); i++ {
		k.corner(l.legs[i-1].to, &l.legs[i-1], &l.legs[i])
	}
	return len(k.left.Points), len(k.right.Points)
}

// A corner costs no more points than it needs: one on each side where the mitre is within
// the tolerance, else one inside and three outside, and three inside where the legs are
// shorter than the pen reaches round the corner, which is half its width times the tangent of
// half the turn.
func TestPointsOfCorners(t *testing.T) {
	turned := func(degrees, length float64) []path.Point {
		s, c := math.Sincos(degrees * math.Pi / 180)
		return []path.Point{{X: -length}, {}, {X: c * length, Y: s * length}}
	}
	for name, c := range map[string]struct {
		at          []path.Point
		tolerance   float64
		left, right int
	}{
		"hardly any turn":         {turned(1, 5), 0.01, 1, 1},       // the mitre is 0.00004 longer than half the width
		"to the left":             {turned(60, 5), 0.01, 1, 3},      // the mitre is 0.15 longer
		"to the right":            {turned(-60, 5), 0.01, 3, 1},     //
		"just as near":            {turned(60, 5), 0.1548, 1, 1},    // 1/cos 30° - 1 is 0.15470
		"not quite":               {turned(60, 5), 0.1546, 1, 3},    //
		"legs as long":            {turned(60, 1.1548), 0.01, 1, 3}, // twice tan 30° is 1.15470
		"legs a little short":     {turned(60, 1.1546), 0.01, 3, 3}, //
		"short for the sine":      {turned(60, 1.5), 0.01, 1, 3},    // twice sin 60° would be 1.73
		"no reach to speak of":    {turned(1, 0.001), 0.0699, 1, 1}, // eight times tan 0.5° is 0.06981
		"a reach":                 {turned(1, 0.001), 0.0697, 3, 3},
		"all but straight back":   {turned(179, 5), 0.01, 3, 2}, // its mitre would be 115 times as long
		"more than a right angle": {turned(91, 5), 0.01, 3, 3},
	} {
		left, right := cornersOf(t, c.tolerance, c.at...)
		assert.Equal(t, [2]int{c.left, c.right}, [2]int{left, right}, name)
	}
}

// The outline of a stroke is bounded on each of its sides.
func TestPointsOfAStroke(t *testing.T) {
	var p path.Path
	p.MoveTo(path.Point{})
	for _, q := range []path.Point{{X: 9}, {X: 9, Y: 9}, {X: 18, Y: 9}, {X: 18, Y: 18}} {
		p.LineTo(q)
	}
	for _, mirror := range []float64{1, -1} { // at the start, and two outside and three inside at each corner
		for most, fits := range map[int]bool{9: true, 8: false} {
			k := pen{half: 1, tolerance: 0.01, cap: "butt", join: "bevel", most: most}
			lines := new(lineBuilder).polylines(p.Transform(path.Scale(1, mirror)), 1, 0.01)
			assert.Equal(t, fits, k.draw(new(path.Path), &lines[0]), "%d %g", most, mirror)
		}
	}
	const dots = `<path d="M10 10h9M10 20h9M10 30h9" stroke="red"/>` // five points each
	for most, told := range map[int]bool{8: false, 7: true} {
		w, err := walked(t, dots, func(w *walker) { w.pen.most = most })
		assert.Equal(t, told, w.tells(err, fmt.Sprintf("more than %d points", 2*most)), "%d: %v", most, err)
	}
	for _, cap := range []string{"round", "square"} {
		w, err := walked(t, `<path d="M9 9z" fill="none" stroke="red" stroke-linecap="`+cap+`"/>`, func(*walker) {})
		require.NoError(t, err)
		require.Len(t, w.art.Shapes, 1)
		assert.Equal(t, path.MoveTo, w.art.Shapes[0].Path.Verbs[0], cap)
	}
}

// As many elements and pieces of text as the bound are read.
func TestElementsUpToTheBound(t *testing.T) {
	for texts, fails := range map[int]bool{maxElements - 2: false, maxElements - 1: true} {
		b := builder{t: &tree{ids: map[string]*node{}}, texts: texts}
		require.NoError(t, b.start(startOf("svg"), 1))
		err := b.start(startOf("text"), 1)
		assert.Equal(t, fails, err != nil)
	}
	for texts, fails := range map[int]bool{maxElements - 3: false, maxElements - 2: true} {
		b := builder{t: &tree{ids: map[string]*node{}}, texts: texts}
		require.NoError(t, b.start(startOf("svg"), 1))
		require.NoError(t, b.start(startOf("text"), 1))
		err := b.chars("a", 1)
		assert.Equal(t, fails, err != nil)
	}
}

// Sums nest as deep as the bound, selectors are as long.
func TestDepthsAndLengths(t *testing.T) {
	for depth, ok := range map[int]bool{1: true, 32: true, 33: false} {
		_, good := parseLength(strings.Repeat("calc(", depth) + "1px" + strings.Repeat(")", depth))
		assert.Equal(t, ok, good, depth)
		_, good = parseLength("calc(" + strings.Repeat("(", depth-1) + "1px" + strings.Repeat(")", depth-1) + ")")
		assert.Equal(t, ok, good, depth)
	}
	for text, ok := range map[string]bool{strings.Repeat(".a", 2048): true, strings.Repeat(".a", 2048) + "b": false,
		strings.Repeat("g ", 15) + "g": true, strings.Repeat("g ", 16) + "g": false} {
		_, err := parseSelectors(text)
		assert.Equal(t, ok, err == nil, text[:9])
	}
	for depth, ok := range map[int]bool{maxVariableDepth: true, maxVariableDepth + 1: false} {
		s := style{inherited: inherited{vars: map[string]string{"--0": "red"}}}
		for i := range depth {
			s.vars[fmt.Sprint("--", i+1)] = fmt.Sprintf("var(--%d)", i)
		}
		got, whole := s.substitute(fmt.Sprintf("var(--%d)", depth-1), 0)
		assert.Equal(t, ok, whole, depth)
		if ok {
			assert.Equal(t, "red", got)
		}
	}
	for size, ok := range map[int]bool{maxVariable: true, maxVariable + 1: false} {
		s := style{inherited: inherited{vars: map[string]string{"--a": strings.Repeat("x", size)}}}
		_, whole := s.substitute("var(--a)", 0)
		assert.Equal(t, ok, whole, size)
	}
}

// The controls of a piece of a curve are those of the curve that runs through the same
// places (de Casteljau), and a segment is as long as very many chords of it.
func TestPiecesOfCurves(t *testing.T) {
	cube := curve{path.CubeTo, path.Point{X: 1}, []path.Point{{X: 30, Y: 5}, {X: 40, Y: 10}, {X: 4, Y: 40}}}
	quad := curve{path.QuadTo, path.Point{X: 1}, []path.Point{{X: 30, Y: 5}, {X: 4, Y: 40}}}
	arc := curve{path.ArcTo, path.Point{X: 10}, []path.Point{{}, {X: 10}, {Y: 6}, {Y: 2}, {}}}
	arc.pts[4], _, _ = arc.at(1)
	line := curve{path.LineTo, path.Point{X: 1}, []path.Point{{X: 4, Y: 40}}}
	for _, c := range []curve{cube, quad, arc, line} {
		var whole path.Path
		whole.MoveTo(c.from)
		whole.Verbs, whole.Points = append(whole.Verbs, c.verb), append(whole.Points, c.pts...)
		lines := measure(whole, 1e-3)
		require.Len(t, lines, 1)
		require.Len(t, lines[0].segments, 1)
		s := &lines[0].segments[0]
		length, before := 0.0, c.from
		const n = 20_000
		for i := range n + 1 {
			share := float64(i) / n
			at, along := s.place(share)
			length += at.Dist(before)
			before = at
			if i == 0 || i%4000 != 0 || i == n {
				continue
			}
			assert.InDelta(t, share, s.parameter(length), 1e-6)
			var p path.Path
			p.MoveTo(c.from)
			s.appendTo(&p, 0.1, share)
			require.Len(t, p.Verbs, 2)
			piece := segment{curve: curve{p.Verbs[1], c.from, p.Points[1:]}}
			piece.from, _ = s.place(0.1)
			for _, k := range []float64{0, 0.3, 0.8, 1} {
				want, _ := s.place(0.1 + k*(share-0.1))
				got, _ := piece.place(k)
				assert.InDelta(t, 0, got.Dist(want), 1e-9, "%v from 0.1 to %g", c.verb, share)
			}
			a, _ := s.place(share - 1e-6)
			b, _ := s.place(share + 1e-6)
			assert.InDelta(t, 0, along.Dist(b.Sub(a).Mul(0.5e6)), 1e-3)
		}
		assert.InDelta(t, length, s.length, 1e-5, c.verb)
		assert.InDelta(t, length, lines[0].length, 1e-5)
		assert.InDelta(t, 0, s.parameter(0), 1e-9)
		assert.InDelta(t, 1, s.parameter(s.length), 1e-9)
	}
}
