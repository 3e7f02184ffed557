package paper

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// box is where a mark stands on its page, with Y down: text as high as its line.
func box(m mark) path.Rect {
	at := func(x, y, w, h float64) path.Rect {
		return path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + w, Y: y + h}}
	}
	switch m := m.(type) {
	case print:
		return at(m.x, m.y, m.face.width(m.text), m.face.line())
	case picture:
		return at(m.x, m.y, m.w, m.h)
	case line:
		return at(m.x0, m.y0, m.x1-m.x0, m.y1-m.y0)
	}
	return path.EmptyRect()
}

func words(r *rand.Rand, n int) string {
	var all []string
	for range 1 + r.IntN(n) {
		all = append(all, strings.Repeat("abcdefgh"[r.IntN(8):][:1], 1+r.IntN(12)))
	}
	return strings.Join(all, " ")
}

// anything is a document of random blocks, and the text that was put into it.
func anything(r *rand.Rand, size Size) (d *Document, text string) {
	d = New(size, "foot")
	say := func(n int) string {
		s := words(r, n)
		text += strings.ReplaceAll(s, " ", "")
		return s
	}
	for range 12 {
		switch r.IntN(7) {
		case 0:
			d.Heading(say(30))
		case 1:
			d.Subheading(say(30))
		case 2:
			d.Text(say(90))
		case 3:
			d.Facts([]Fact{{say(9), say(60)}, {say(2), say(4)}})
		case 4:
			cols, rows := []Column{{Head: say(2), Share: 1}, {Head: say(2), Share: 3, Right: true},
				{Head: say(2), Share: 1}}, [][]string{}
			for range 1 + r.IntN(3) {
				rows = append(rows, []string{say(4), say(20)})
			}
			d.Table(cols, rows)
		case 5:
			d.Picture(nil, 20+70*r.Float64(), 20+100*r.Float64())
		default:
			d.Small(say(50))
		}
	}
	return d, text
}

// Whatever is set stands inside the margins, nothing on anything else, and nothing of
// it is lost, but that heads of tables come again on a further page.
func TestNothingOverlapsOrIsLost(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	for range 4 {
		size := []Size{A4, Letter, {W: 120, H: 180}}[r.IntN(3)]
		d, text := anything(r, size)
		got := 0
		for n, page := range d.pages {
			require.NotEmpty(t, page, "page %d", n)
			for i, m := range page {
				b := box(m)
				require.GreaterOrEqual(t, b.Min.X, 15-1e-9, "%+v", m)
				require.GreaterOrEqual(t, b.Min.Y, 15-1e-9, "%+v", m)
				require.LessOrEqual(t, b.Max.X, size.W-15+1e-6, "%+v", m)
				require.LessOrEqual(t, b.Max.Y, size.H-15+1e-6, "%+v", m)
				if p, ok := m.(print); ok {
					got += len(strings.ReplaceAll(p.text, " ", ""))
				}
				for _, o := range page[:i] {
					in := b.Intersect(box(o))
					require.False(t, in.W() > 1e-6 && in.H() > 1e-6, "%+v on %+v", m, o)
				}
			}
		}
		require.GreaterOrEqual(t, got, len(text))
		require.LessOrEqual(t, got, len(text)+36*len(d.pages))
	}
}

// Where the blocks stand, by hand, on A4: margins of 15 mm, lines of 1.4 times the
// letters' size, a quarter of it behind a paragraph.
func TestPlacesByHand(t *testing.T) {
	d := New(A4, "foot")
	w, h := A4.Room()
	assert.Equal(t, []float64{180, 267}, []float64{w, h})
	d.Heading("Tags")                                                                              // 6 mm high
	d.Facts([]Fact{{"For", "one\ntwo"}, {"A label of two lines " + strings.Repeat("x", 20), "b"}}) // 3.3 mm
	y := 15 + 6*1.4 + 6*0.25
	l := 3.3 * 1.4
	var got []string
	for _, m := range d.pages[0] {
		p := m.(print)
		got = append(got, fmt.Sprintf("%s %.2f %.2f", p.text, p.x, p.y))
	}
	at := func(text string, x, y float64) string { return fmt.Sprintf("%s %.2f %.2f", text, x, y) }
	assert.Equal(t, []string{
		at("Tags", 15, 15), at("For", 15, y), at("one", 15+0.22*180, y), at("two", 15+0.22*180, y+l),
		at("A label of two lines", 15, y+2*l), at(strings.Repeat("x", 20), 15, y+3*l), at("b", 15+0.22*180, y+2*l),
	}, got)
	assert.InDelta(t, 297-15-(y+4*l+1), d.Left(), 1e-9)

	d = New(A4, "foot")
	d.WriteOn("signed", "date", "a label that is far too long for the sixty millimetres that it has on this paper")
	require.Len(t, d.pages[0], 6)
	for i := range 3 {
		x := 15 + 60*float64(i)
		assert.Equal(t, line{x, 22, x + 56, 22}, d.pages[0][2*i])
		p := d.pages[0][2*i+1].(print)
		assert.Equal(t, []float64{x, 22.4}, []float64{p.x, p.y})
		assert.LessOrEqual(t, p.face.width(p.text), 56.0)
	}
	assert.InDelta(t, 267-11, d.Left(), 1e-9)
	d.Picture(nil, 50, 40)
	assert.InDelta(t, 267-11-42, d.Left(), 1e-9)
}

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

// The sheets: ISO 216's A4, and 8.5 x 11 in. Text is darker than what is less to be read,
// and both are neutral and stand off white paper by more than 4.5 to 1 (WCAG 2.1, 1.4.3).
func TestSheetsAndInks(t *testing.T) {
	assert.Equal(t, Size{W: 210, H: 297}, A4)
	assert.InDelta(t, 8.5*25.4, Letter.W, 1e-9)
	assert.InDelta(t, 11*25.4, Letter.H, 1e-9)
	for _, c := range []color.RGBA{ink, grey} {
		assert.Equal(t, color.RGBA{R: c.R, G: c.R, B: c.R, A: 255}, c)
		light := math.Pow((float64(c.R)/255+0.055)/1.055, 2.4)
		assert.Greater(t, 1.05/(light+0.05), 4.5)
	}
	assert.Less(t, ink.R, grey.R)
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

// Letters are as wide as another reader of the font has them, at their size in
// millimetres.
func TestLettersAreMillimetres(t *testing.T) {
	f, err := sfnt.Parse(goregular.TTF)
	require.NoError(t, err)
	var b sfnt.Buffer
	for _, r := range "HxQ" {
		id, err := f.GlyphIndex(&b, r)
		require.NoError(t, err)
		advance, err := f.GlyphAdvance(&b, id, fixed.I(2048), 0)
		require.NoError(t, err)
		assert.InEpsilon(t, 3.3*float64(advance)/64/2048, body.width(string(r)), 0.01, "%c", r)
		assert.InEpsilon(t, 2.7*float64(advance)/64/2048, small.width(string(r)), 0.01, "%c", r)
	}
}

// Columns share the width, less 2 mm between them, and those of numbers end at their
// right side; a line stands under the heads.
func TestTableByHand(t *testing.T) {
	d := New(A4, "foot")
	d.Table([]Column{{Head: "name", Share: 2}, {Head: "mm", Share: 1, Right: true}},
		[][]string{{"a", "12.5"}, {"b"}, {"c", "7", "too many"}})
	l := 3.3 * 1.4
	y := 15 + l + 0.8
	var got []string
	for _, m := range d.pages[0] {
		if p, ok := m.(print); ok {
			b := box(p)
			x := b.Min.X
			if p.x > 100 {
				x = b.Max.X
			}
			got = append(got, fmt.Sprintf("%s %.2f %.2f", p.text, x, p.y))
		}
	}
	at := func(text string, x, y float64) string { return fmt.Sprintf("%s %.2f %.2f", text, x, y) }
	assert.Equal(t, []string{
		at("name", 15, 15), at("mm", 193, 15), at("a", 15, y), at("12.5", 193, y), at("b", 15, y+l), at("c", 15, y+2*l),
		at("7", 193, y+2*l),
	}, got)
	rule := box(d.pages[0][2])
	assert.InDelta(t, 0, rule.Min.Dist(path.Point{X: 15, Y: 15 + l}), 1e-9)
	assert.InDelta(t, 0, rule.Max.Dist(path.Point{X: 195, Y: 15 + l}), 1e-9)
	assert.InDelta(t, 297-15-(y+3*l+2), d.Left(), 1e-9)
}

// Text is cut behind as many letters as fit, and a long word into pieces that are as
// long as fit.
func TestAsMuchAsFits(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 4))
	for range 40 {
		word, width := strings.ReplaceAll(words(r, 12), " ", ""), 4+30*r.Float64()
		got := fit(word, body, width)
		if body.width(word) <= width {
			assert.Equal(t, word, got)
		} else {
			n := len([]rune(got)) - 1
			assert.Equal(t, word[:n]+"\u2026", got)
			assert.True(t, n == 1 || body.width(got) <= width, "%q", got)
			assert.Greater(t, body.width(word[:n+1]+"\u2026"), width)
		}
		cut := pieces(word, body, width)
		assert.Equal(t, word, strings.Join(cut, ""))
		for i, p := range cut {
			assert.LessOrEqual(t, body.width(p), width)
			if i+1 < len(cut) {
				assert.Greater(t, body.width(p+cut[i+1][:1]), width, "%q", cut)
			}
		}
	}
	assert.Equal(t, []string{"a", "b"}, pieces("ab", body, 0.1), "a letter at least")
	assert.Equal(t, "a\ufffdb\ufffd\ufffd", body.printable("a\x01b\u3000\x7f"))
	assert.Equal(t, "\ufffd \ufffd\u1e85\u200d", body.printable("\xff \u2fff\u1e85\u200d"))
}

// The footer and the number stand in the lower margin, apart.
func TestFooter(t *testing.T) {
	d := New(A4, strings.Repeat("foot ", 80))
	foot := d.foot(0)
	text, number := box(foot[0]), box(foot[1])
	assert.Equal(t, "page 1 of 1", foot[1].(print).text)
	assert.InDelta(t, 195, number.Max.X, 1e-9)
	assert.InDelta(t, 15, text.Min.X, 1e-9)
	assert.LessOrEqual(t, text.Max.X, number.Min.X-4)
	assert.Greater(t, text.Max.X, number.Min.X-8, "as much as fits")
	for _, b := range []path.Rect{text, number} {
		assert.InDelta(t, 297-15+4, b.Min.Y, 1e-9)
	}
	d.Picture(func() (image.Image, error) { return nil, fmt.Errorf("no picture") }, 10, 10)
	_, err := d.page(0, d.pages[0])
	assert.EqualError(t, err, "no picture")
	assert.Error(t, d.Encode(new(strings.Builder)))
}

// A block begins a page where less is left than it needs, by hand, and none where just
// that much is.
func TestBlocksThatNeedAPage(t *testing.T) {
	const l = 3.3 * 1.4
	for name, c := range map[string]struct {
		need float64
		put  func(d *Document)
	}{
		"heading":    {6 * 1.4, func(d *Document) { d.Heading("a") }},
		"subheading": {2 + 4*1.4 + 3*l, func(d *Document) { d.Subheading("a") }}, // with three lines behind it
		"text":       {l, func(d *Document) { d.Text("a") }},
		"small":      {2.7 * 1.4, func(d *Document) { d.Small("a") }},
		"facts":      {3 * l, func(d *Document) { d.Facts([]Fact{{"a", "b\nc\nd"}}) }},
		"labels":     {2 * l, func(d *Document) { d.Facts([]Fact{{"a\nb", "c"}}) }},
		"write on":   {11, func(d *Document) { d.WriteOn("signed") }},
		"table":      {4 * l, func(d *Document) { d.Table([]Column{{Head: "a", Share: 1}}, [][]string{{"b"}}) }},
		"picture":    {40, func(d *Document) { d.Picture(nil, 50, 40) }},
		"cards": {2*l + 40 + 2, func(d *Document) {
			d.Cards([]Card{{Lines: []string{"a", "b"}, W: 20, H: 30}, {W: 20, H: 40}})
		}},
	} {
		for more, pages := range map[float64]int{1e-6: 1, -1e-6: 2} {
			d := New(A4, "foot")
			d.Text("first")
			d.Space(d.Left() - c.need - more)
			c.put(d)
			assert.Equal(t, pages, d.Pages(), "%s, %g mm more", name, more)
		}
	}
	d := New(A4, "foot") // a row that does not fit has the heads above it again
	d.Space(d.Left() - 4*l - 0.8 - 1e-6)
	d.Table([]Column{{Head: "head", Share: 1}}, [][]string{{"1"}, {"2"}, {"3"}, {"4"}})
	var second []string
	for _, m := range d.pages[1] {
		if p, ok := m.(print); ok {
			second = append(second, p.text)
		}
	}
	assert.Equal(t, []string{"head", "4"}, second)
}
