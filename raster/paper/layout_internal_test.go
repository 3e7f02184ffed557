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
