package paper

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A label is cut behind as much of it as fits above its line.
func TestLabelsAsLongAsTheirLine(t *testing.T) {
	label := strings.Repeat("i", 100)
	d := New(A4, "foot")
	d.WriteOn("a", "b", label)
	p := d.pages[0][5].(print)
	require.LessOrEqual(t, p.face.width(p.text), 56.0)
	require.Greater(t, p.face.width(p.text+"i"), 56.0)
	require.Equal(t, "a\ufffdb", fit("a\x01b", body, 50), "what has no letter is told")
	require.Equal(t, "a\u2026", fit("abc", body, 0.1), "a letter at least")

	d = New(A4, label+label+label)
	foot := d.foot(0)
	free := 180 - small.width("page 1 of 1") - 4
	require.LessOrEqual(t, small.width(foot[0].(print).text), free)
	require.Greater(t, small.width(foot[0].(print).text+"i"), free)

	d.Facts([]Fact{{Label: strings.Repeat("i ", 100), Text: "b"}})
	first := d.pages[0][0].(print)
	require.LessOrEqual(t, quiet.width(first.text), 0.22*180-2)
	require.Greater(t, quiet.width(first.text+" i"), 0.22*180-2)
}

// A column of no share has a hundredth of what another has, and three cards of 50 mm stand side
// by side, of which a fourth does not.
func TestSharesAndCards(t *testing.T) {
	d := New(A4, "foot")
	d.Page()
	require.Equal(t, 1, d.Pages(), "the first page is begun once")
	d.Table([]Column{{Head: "a"}, {Head: "b", Share: 1}}, nil)
	require.InDelta(t, 15+180*0.01/1.01, d.pages[0][1].(print).x, 1e-9)
	d = New(A4, "foot")
	d.Cards([]Card{{W: 50, H: 10}, {W: 50, H: 10}, {W: 50, H: 10}, {W: 50, H: 10}})
	var x []float64
	for _, m := range d.pages[0] {
		x = append(x, m.(picture).x)
	}
	require.Equal(t, []float64{15, 71, 127, 15}, x)
	d = New(A4, "foot")
	d.Cards([]Card{{W: 90, H: 10}, {W: 85, H: 10}}) // 181 mm with what is between them
	require.Equal(t, 15.0, d.pages[0][1].(picture).x)
}

// Cards stand side by side with 6 mm between them, as many as fit, and rows below each
// other; their lines are above their pictures, and broken at their width.
func TestCardsByHand(t *testing.T) {
	d := New(A4, "foot")
	card := func(w, h float64, lines ...string) Card { return Card{Lines: lines, W: w, H: h} }
	d.Cards([]Card{card(80, 30, "a", "second"), card(90, 50, strings.Repeat("long ", 40)), card(87, 20),
		card(87, 20), card(87, 20)})
	l := 3.3 * 1.4
	var pictures []picture
	var long []string
	for _, m := range d.pages[0] {
		if p, ok := m.(picture); ok {
			pictures = append(pictures, p)
			continue
		}
		p := m.(print)
		require.LessOrEqual(t, p.face.width(p.text), 90.0)
		if strings.HasPrefix(p.text, "long") {
			require.InDelta(t, 15+l*float64(len(long)), p.y, 1e-9)
			long = append(long, p.text)
			continue
		}
		require.InDelta(t, 15+l*float64(map[string]int{"second": 1}[p.text]), p.y, 1e-9)
		require.Equal(t, p.text == "second", p.face == body, p.text)
	}
	n := float64(len(long))
	require.Greater(t, n, 2.0)
	require.Equal(t, strings.Repeat("long ", 40), strings.Join(long, " ")+" ", "all of it")
	for _, line := range long[:len(long)-1] {
		require.Greater(t, bold.width(line+" long"), 90.0, "as much as fits")
	}
	require.Len(t, d.pages[0], 5+2+len(long))
	first := 15 + n*l + 1
	second := 15 + n*l + 50 + 3 + 1
	third := second - 1 + 20 + 3 + 1
	for i, want := range [][2]float64{{15, first}, {101, first}, {15, second}, {108, second}, {15, third}} {
		assert.InDelta(t, want[0], pictures[i].x, 1e-9, i)
		assert.InDelta(t, want[1], pictures[i].y, 1e-9, i)
		assert.Equal(t, [][2]float64{{80, 30}, {90, 50}, {87, 20}, {87, 20}, {87, 20}}[i],
			[2]float64{pictures[i].w, pictures[i].h})
	}
	d.Cards([]Card{card(180, 200)})
	assert.Equal(t, 2, d.Pages(), "a row is never cut")
}

// A card whose image is narrower than its lines is as wide as those, but for 40 mm; where a
// page has no room for all lines above an image, the last one tells so.
func TestNarrowAndHighCards(t *testing.T) {
	d := New(A4, "foot")
	text, longer := "name: Quercus robur", strings.Repeat("x", 60)
	d.Cards([]Card{{Lines: []string{text}, W: 10, H: 5}, {Lines: []string{longer}, W: 10, H: 5}, {W: 10, H: 5}})
	var at []float64
	for _, m := range d.pages[0] {
		if p, ok := m.(picture); ok {
			at = append(at, p.x)
			assert.Equal(t, 10.0, p.w)
		}
	}
	wide := bold.width(text)
	require.Less(t, wide, 40.0)
	assert.InDeltaSlice(t, []float64{15, 15 + wide + 6, 15 + wide + 6 + 40 + 6}, at, 1e-9)

	d = New(A4, "foot")
	d.Cards([]Card{{Lines: []string{"a", "b", "c", "d", "e"}, W: 30, H: 250}})
	var lines []string
	for _, m := range d.pages[0] {
		if p, ok := m.(print); ok {
			lines = append(lines, p.text)
		}
	}
	assert.Equal(t, []string{"a", "b", "c \u2026"}, lines, "267 mm less 250 and 2 hold 3 lines of 4.62")
}
