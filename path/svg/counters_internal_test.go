package svg

import (
	"encoding/xml"
	"strings"
	"testing"

	"furrow/path"
	"furrow/path/pick"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// walked draws elements on a page of 100 x 100 px by a walker to which something was done
// before, such as having met nearly all that it may.
func walked(t *testing.T, inner string, before func(*walker)) (*walker, error) {
	t.Helper()
	tree, err := parseTree([]byte(`<svg xmlns="http://www.w3.org/2000/svg" width="100" height="100">` + inner + `</svg>`))
	require.NoError(t, err)
	w, err := newWalker(tree, Options{Pick: pick.Options{Places: []string{".place"}}})
	require.NoError(t, err)
	before(w)
	return w, w.document()
}

// tells returns whether an error or a warning has the words.
func (w *walker) tells(err error, words string) bool {
	for _, one := range w.warnings.list {
		if strings.Contains(one.Message, words) {
			return true
		}
	}
	return err != nil && strings.Contains(err.Error(), words)
}

// What is counted, by hand, and that each limit holds at its number: what comes up to it is
// drawn in silence, and one more is told.
func TestCountsAgainstTheirLimits(t *testing.T) {
	const inside = `<image width="20" height="20" href="data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' ` +
		`width='20' height='20'%3E`
	const svgEnd = `%3C/svg%3E"/>`
	const rect = `<rect width="20" height="20"/>`
	tile := func(inner string) string {
		return `<pattern id="p" width="10" height="5" patternUnits="userSpaceOnUse">` + inner + `</pattern>` +
			`<rect width="20" height="20" fill="url(#p)"/>` // eight tiles
	}
	drawn := func(w *walker) *int { return &w.drawn }
	points := func(w *walker) *int { return &w.points }
	dashes := func(w *walker) *int { return &w.dashes }
	tests := func(w *walker) *int { return &w.sheet.tests }
	const elements, tooMany = "multiply to more than 1000000", "more than 20000000 points"
	for _, c := range []struct {
		markup  string
		counter func(*walker) *int
		used    int
		most    int // that may be counted
		words   string
	}{
		{rect, drawn, 2, maxDrawn, elements}, // with the svg
		{`<g>` + rect + `<circle r="9"/></g>`, drawn, 4, maxDrawn, elements},
		{`<defs>` + rect + `<g/></defs>`, drawn, 2, maxDrawn, elements},
		{`<defs><rect id="r" width="9" height="9"/></defs><use href="#r"/>`, drawn, 4, maxDrawn, elements},
		{`<use href="#s"/><symbol id="s">` + rect + `</symbol>`, drawn, 5, maxDrawn, elements}, // it stands there, too
		{`<symbol id="s"/><use href="#s"/>`, drawn, 4, maxDrawn, elements},
		{`<marker id="m"><path d="M0 0H9V9z"/></marker><path d="M9 9H20V30" marker-mid="url(#m)"/>`, drawn, 5,
			maxDrawn, elements},
		{`<marker id="m"/><path d="M9 9H20V30" fill="none" marker-end="url(#m)"/>`, drawn, 4, maxDrawn, elements},
		{`<filter id="f"><feOffset/><feOffset/></filter><rect width="9" height="9" filter="url(#f)"/>`, drawn, 5,
			maxDrawn, elements},
		{inside + `%3Crect width='9' height='9'/%3E` + svgEnd, drawn, 4, maxDrawn, elements},
		{rect, points, 4, maxPoints, tooMany},
		{rect + `<path d="M0 0H9V9z"/>`, points, 7, maxPoints, tooMany},
		{`<path d="M9 9H20" stroke="red" fill="none"/>`, points, 5 + 2, maxPoints, tooMany}, // its way round and its centre
		{inside + `%3Crect width='9' height='9'/%3E` + svgEnd, points, 4, maxPoints, tooMany},
		// its box, the tile, and room for as many again as the eight have
		{tile(`<path d="M0 0H9V9z"/>`), points, 4 + 3 + 8*3, maxPoints / 2, "too many tiles"},
		{tile(rect), func(w *walker) *int { return &w.tiled }, 8, maxTiles, "too many tiles"},
		{tile(rect + rect + rect), func(w *walker) *int { return &w.tiled }, 24, maxTiles, "too many tiles"},
		{inside + strings.NewReplacer("<", "%3C", ">", "%3E", `"`, "'", "#", "%23").Replace(tile(rect)) + svgEnd,
			func(w *walker) *int { return &w.tiled }, 8, maxTiles, "too many tiles"},
		{`<path d="M0 9H80" stroke="red" stroke-dasharray="10"/>`, dashes, 8, maxDashes - 1, "more than 1000000 dashes"},
		{`<path d="M0 9H80M0 20H40" stroke="red" stroke-dasharray="10 5 5 20"/>`, dashes, 8 + 4, maxDashes - 1,
			"more than 1000000 dashes"},
		{inside + `%3Cpath d='M0 9H16' stroke='red' stroke-dasharray='2'/%3E` + svgEnd, dashes, 8, maxDashes - 1,
			"more than 1000000 dashes"},
		{inside + svgEnd + inside + svgEnd, func(w *walker) *int { return &w.images }, 2, maxImages, "a picture is left out"},
		{inside + `%3Cimage width='9' height='9' href='data:image/svg+xml,%253Csvg/%253E'/%3E` + svgEnd,
			func(w *walker) *int { return &w.images }, 2, maxImages, "a picture is left out"},
		// a rule that is tried, and what it says where it holds
		{`<style>.a{fill:red}</style><rect class="a" width="9" height="9"/>`, tests, 1 + 8, maxTests, "too many together"},
		{`<style>.a{fill:red;stroke:red}#b{fill:red}circle{fill:red}</style><rect id="b" class="a" width="9" height="9"/>`,
			tests, 1 + 16 + 1 + 8, maxTests, "too many together"},
		{`<style>.a.b{fill:red}</style>` + rect + `<rect class="b" width="9" height="9"/>`, tests, 1, maxTests,
			"too many together"},
		{`<style>.a:nth-child(7){fill:red}</style><g><g/><g/><rect class="a" width="9" height="9"/></g>`, tests, 1 + 3,
			maxTests, "too many together"},
		{`<style>g~.a{fill:red}</style><g><circle/><rect class="a" width="9" height="9"/></g>`, tests, 1 + 2,
			maxTests, "too many together"},
	} {
		w, err := walked(t, c.markup, func(*walker) {})
		require.NoError(t, err)
		assert.Equal(t, c.used, *c.counter(w), c.markup)
		for more, told := range map[int]bool{0: false, 1: true} {
			w, err := walked(t, c.markup, func(w *walker) { *c.counter(w) = c.most - c.used + more })
			assert.Equal(t, told, w.tells(err, c.words), "%s with %d more: %v", c.markup, more, err)
			assert.Equal(t, told, err != nil || len(w.warnings.list) > 0, c.markup)
		}
	}
}

// Limits that nothing counts up to beside what they bound.
func TestLimitsOfOnePart(t *testing.T) {
	for n, kept := range map[int]int{maxPlaces - 2: maxPlaces, maxPlaces - 1: maxPlaces} {
		w, err := walked(t, `<rect class="place" width="9" height="9"/><rect class="place" width="9" height="9"/>`,
			func(w *walker) { w.places = make([]path.Place, n) })
		require.NoError(t, err)
		assert.Len(t, w.places, kept)
	}
	for n, told := range map[int]int{maxRules - 2: 0, maxRules - 1: 1} {
		s := sheet{count: n}
		assert.Len(t, s.parse("a{fill:red} b{fill:red}"), told)
		assert.Equal(t, maxRules, s.count)
	}
	s := sheet{}
	assert.Len(t, s.parse(strings.Repeat(":x{}", maxWarnings+9)), maxWarnings+1, "so that the end is told")
	for n, ok := range map[int]bool{8: true, 9: false} { // 64 selectors, and 72
		list := strings.TrimSuffix(strings.Repeat(".a,", 8), ",")
		other := strings.TrimSuffix(strings.Repeat(".b,", n), ",")
		all, err := parseSelectors(":is(" + list + "):is(" + other + ")")
		assert.Equal(t, ok, err == nil, n)
		if ok {
			assert.Len(t, all, 64)
		}
	}
	for n, told := range map[int]bool{0: false, 1: true} {
		k := kerner{spelt: map[string][]int{"a": {0, 1}, "b": {2, 3, 4}}, effort: maxKerns - 6 + n}
		pairs := k.kerns(&node{children: []*node{kernOf("a", "b"), kernOf("b", "a")}})
		assert.Len(t, pairs, map[bool]int{false: 6, true: 0}[told])
	}
	for n, ok := range map[int]bool{64: true, 65: false} {
		text := strings.Repeat(`<feMergeNode/>`, n)
		w, err := walked(t, `<filter id="f"><feMerge>`+text+`</feMerge></filter><rect width="9" height="9" `+
			`filter="url(#f)"/>`, func(*walker) {})
		require.NoError(t, err)
		assert.Equal(t, !ok, w.tells(nil, "so many layers"))
	}
	for n, fails := range map[int]bool{0: false, 1: true} {
		big := strings.Repeat("x", maxExpansion/16)
		text := strings.Repeat("&a;", 16) + strings.Repeat("&b;", n)
		known := map[string]string{"a": big, "b": "y"}
		out, err := expandMarkup(text, known)
		assert.Equal(t, fails, err != nil)
		if !fails {
			assert.Len(t, out, maxExpansion)
		}
		value, problem := expand(text, known)
		assert.Equal(t, fails, problem != nil)
		if !fails {
			assert.Len(t, value, maxExpansion)
		}
		b := builder{text: []byte("<svg>" + text + "</svg>")}
		assert.Equal(t, fails, b.checkExpansion(known, 3) != nil)
	}
	_, ok := (&style{}).substitute(strings.Repeat("x", maxVariable+1), maxVariableDepth)
	assert.True(t, ok, "only what stands for something is bounded")
}

func kernOf(first, second string) *node {
	n := &node{name: "hkern"}
	n.Attr = []html.Attribute{{Key: "u1", Val: first}, {Key: "u2", Val: second}, {Key: "k", Val: "3"}}
	return n
}

func startOf(name string) xml.StartElement { return xml.StartElement{Name: xml.Name{Local: name}} }
