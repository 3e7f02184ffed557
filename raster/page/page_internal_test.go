package page

import (
	"fmt"
	"image"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
)

// A page is not much wider than a small plot: three times, or what words need. What
// stands below it is in the same column.
func TestSmallPlotsHaveSmallPages(t *testing.T) {
	for side, most := range map[int]float64{40: 22 * 15, 100: 3 * 160, 150: 3 * 210, 300: 44 * 15, 900: 960} {
		p := New(spec(side, side, 10))
		assert.LessOrEqual(t, float64(p.w), most+2*1.8*15+2, "%d px", side)
		for _, b := range p.sheet.texts {
			assert.LessOrEqual(t, b.Max.X, float64(p.w)-20)
		}
	}
}

// A picture beside the legend takes no height of its own where the legend is higher;
// five stand above it.
func TestInsetsStandBesideOrAbove(t *testing.T) {
	inset := Inset{image.NewRGBA(image.Rect(0, 0, 110, 60)), "in the field"}
	sp := spec(900, 300, 10)
	none := New(sp)
	sp.Insets = []Inset{inset}
	one := New(sp)
	assert.InDelta(t, none.h, one.h, 15)
	assert.Greater(t, one.insets[0].X, 700)
	sp.Insets = []Inset{inset, inset, inset, inset, inset}
	five := New(sp)
	assert.Greater(t, five.h, none.h+60)
	assert.Equal(t, 27, five.insets[0].X)
	for i := 1; i < 5; i++ {
		assert.GreaterOrEqual(t, five.insets[i].X, five.insets[i-1].X+110)
		assert.Equal(t, five.insets[0].Y, five.insets[i].Y)
	}
}

// spec returns a page of a picture w x h px, at the given scale.
func spec(w, h int, pxPerMM float64) Spec {
	g := grid.Grid{W: w, H: h, TopLeft: path.Point{X: -7.3, Y: 1234.5}, PxPerMM: pxPerMM}
	r := g.Rect()
	inner := path.Rect{Min: r.Min.Add(r.Max.Sub(r.Min).Mul(0.2)), Max: r.Max.Sub(r.Max.Sub(r.Min).Mul(0.2))}
	return Spec{
		Plot: image.NewRGBA(image.Rect(0, 0, w, h)), Grid: g, Theme: Light, TextPx: 15,
		Scale: &Scale{Label: "density, lines/mm", Ramp: colour.Cividis, Top: 25, More: true, Note: "highest 31.4"},
		Frames: []Frame{
			{Rect: r, Pattern: Solid, Label: "bed 600 x 400 mm"}, {Rect: inner, Pattern: Dashed,
				Label: "blank 300 x 200 mm"},
			{Rect: inner.Grow(-1), Pattern: Hatched, Label: "keep out", Text: "12"},
		},
		Keys: []Key{{Dotted, Light.Mid, "beam-off movement, and the reach of the head with it, run-up and all"}},
		Caption: Caption{strings.Repeat("a-very-long-name-", 12) + ".svg", []string{
			"example-fibre", "127.0 x 76.2 mm", "0.0635 mm at 45 and 135 degrees", "1 h 52 min 13 s",
		}},
	}
}

// No two texts overlap and all lie on the page, from 10:1 to 1:10.
func TestTextsStayApart(t *testing.T) {
	for _, size := range [...][2]int{{1500, 150}, {150, 1500}, {900, 90}, {90, 900}, {40, 400}, {700, 700},
		{1, 1}, {30, 30}} {
		for _, pxPerMM := range []float64{0.5, 3.3, 50, 4000} {
			for _, inches := range []bool{false, true} {
				sp := spec(size[0], size[1], pxPerMM)
				sp.Inches = inches
				for range []int{0, 1, 5}[(size[1]+int(pxPerMM))%3] {
					sp.Insets = append(sp.Insets, Inset{image.NewRGBA(image.Rect(0, 0, 113, 90)),
						"in the field of 175 x 175 mm"})
				}
				sp.Scale.Top = []float64{25, 1000, 0.0008, 1.5e6}[(size[0]+int(pxPerMM))%4]
				checkApart(t, New(sp), fmt.Sprintf("%v, %g px/mm, inches %v", size, pxPerMM, inches))
			}
		}
	}
}

func checkApart(t *testing.T, p *Page, name string) {
	t.Helper()
	for i, a := range p.sheet.texts {
		inside := a.Min.X >= 0 && a.Min.Y >= 0 && a.Max.X <= float64(p.w) && a.Max.Y <= float64(p.h)
		assert.True(t, inside, "%s: text %d at %v leaves the page of %d x %d", name, i, a, p.w, p.h)
		for j, b := range p.sheet.texts[:i] {
			apart := a.Max.X <= b.Min.X || b.Max.X <= a.Min.X || a.Max.Y <= b.Min.Y+1 || b.Max.Y <= a.Min.Y+1
			assert.True(t, apart, "%s: texts %d and %d overlap: %v %v", name, i, j, a, b)
		}
	}
}

func TestLongNamesAreShortenedAndFactsAreNot(t *testing.T) {
	s := New(spec(700, 300, 10)).sheet
	c := Caption{"order-1234-tree-tags-for-the-north-avenue-of-the-arboretum-final-final-2.svg",
		[]string{"60.0 x 90.0 mm", "10 min 54 s"}}
	lines := s.captionLines(c, 500)
	assert.Len(t, lines, 1)
	assert.LessOrEqual(t, s.width(lines[0]), 500.0)
	assert.True(t, strings.HasPrefix(lines[0], "order-1234"), lines[0])
	assert.Contains(t, lines[0], "\u2026")
	assert.Contains(t, lines[0], "2.svg  \u00b7  60.0 x 90.0 mm  \u00b7  10 min 54 s")

	narrow := s.captionLines(c, 150)
	assert.Greater(t, len(narrow), 1)
	for _, l := range narrow {
		assert.LessOrEqual(t, s.width(l), 150.0)
	}
	assert.Equal(t, []string{"a.svg"}, s.captionLines(Caption{Name: "a.svg"}, 500))
	assert.Equal(t, "a\ufffdb\ufffd\ufffd\u1e85", s.printable("a\nb\U0001F600\u0639\u1e85"))
}

// Of what is cut a third stands at the end, and a line may be just full.
func TestWhereTextIsCut(t *testing.T) {
	r := []rune("abcdefghijkl")
	for n, want := range map[int]string{0: "\u2026", 1: "a\u2026", 2: "ab\u2026", 3: "ab\u2026l", 5: "abcd\u2026l",
		6: "abcd\u2026kl",
		9: "abcdef\u2026jkl"} {
		assert.Equal(t, want, cut(r, n))
	}
	s := newSheet(10, 15, Light)
	for n := 1; n < 10; n++ {
		assert.Equal(t, cut(r, n), s.shorten(string(r), s.width(cut(r, n))), n)
	}
	assert.Equal(t, string(r), s.shorten(string(r), s.width(string(r))))
}

// A frame says whether anything of it can be seen, whatever it looks like.
func TestWhatIsSeenOfAFrame(t *testing.T) {
	g := grid.Grid{W: 400, H: 300, TopLeft: path.Point{Y: 30}, PxPerMM: 10}
	for _, p := range []Pattern{Solid, Dashed, DashDotted, Hatched, Cross, Disc, Circle} {
		for _, round := range []bool{false, true} {
			for _, x := range []float64{12, 38, -20, 60} {
				s := newSheet(10, 15, Light)
				f := Frame{Rect: path.Rect{Min: path.Point{X: x - 3, Y: 10}, Max: path.Point{X: x + 3, Y: 16}}, Pattern: p,
					Round: round}
				seen := s.drawFrame(20, 20, g, f)
				assert.Equal(t, x > 0 && x < 40, seen, "%d at %g, round %v", p, x, round)
			}
		}
	}
}

// Two boxes overlap where they do along both ways, and not where they only touch.
func TestOverlapsByHand(t *testing.T) {
	box := func(x0, y0, x1, y1 float64) path.Rect {
		return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
	}
	taken := []path.Rect{box(100, 100, 110, 110), box(0, 0, 10, 20)}
	for want, all := range map[bool][]path.Rect{
		true: {box(5, 5, 7, 7), box(-5, 5, 1, 6), box(9, 5, 30, 6), box(2, -9, 3, 1), box(2, 19, 3, 40), box(-5, -5, 30, 30)},
		false: {box(-5, 5, 0, 6), box(10, 5, 30, 6), box(2, -9, 3, 0), box(2, 20, 3, 40), box(-9, -9, -1, -1),
			box(11, 2, 12, 3), box(2, 30, 3, 31)},
	} {
		for _, b := range all {
			assert.Equal(t, want, anyOverlaps(taken, b), "%v", b)
		}
	}
}

// A ruler's zero and scale by hand: 10 px a mm, from -2, 31 mm down and to the right.
func TestScalesOfRulers(t *testing.T) {
	s := newSheet(10, 15, Light)
	g := grid.Grid{W: 900, H: 600, TopLeft: path.Point{X: -2, Y: 31}, PxPerMM: 10}
	for inch, mm := range map[bool]float64{false: 1, true: 25.4} {
		x, y := s.rulers(g, inch)
		for i, want := range []float64{-2 / mm, 88 / mm, 20, 10 * mm, -29 / mm, 31 / mm, 310, -10 * mm} {
			got := []float64{x.lo, x.hi, x.zero, x.scale, y.lo, y.hi, y.zero, y.scale}[i]
			assert.InDelta(t, want, got, 1e-9, "%d, inches %v", i, inch)
		}
		assert.Equal(t, map[bool]float64{false: 10, true: 0.25}[inch], y.major)
	}
}

func TestRulings(t *testing.T) {
	for _, c := range []struct {
		rule  func(scale, room, fine float64) ruling
		scale float64
		want  ruling
	}{
		{metric, 10, ruling{10, 1}},
		{metric, 13, ruling{5, 0.5}},
		{metric, 2, ruling{50, 5}},
		{metric, 31, ruling{2, 0.2}},
		{metric, 300, ruling{0.2, 0.02}},
		{inches, 254, ruling{0.25, 0.03125}},
		{inches, 40, ruling{2, 0.2}},
		{inches, 60, ruling{1, 0.125}},
		{inches, 8, ruling{10, 1}},
		{inches, 5000, ruling{1.0 / 64, 1.0 / 512}},
	} {
		got := c.rule(c.scale, 60, 6)
		assert.InDelta(t, c.want.major, got.major, 1e-12, "at %g px", c.scale)
		assert.InDelta(t, c.want.minor, got.minor, 1e-12, "at %g px", c.scale)
	}
}

// Of each power of ten the tenths of a labelled stretch are told, where they have room; else
// halves of 1, quarters of 2, and nothing of 5 at all.
func TestFinestTicks(t *testing.T) {
	for k := -4; k <= 6; k++ {
		for lead, parts := range map[float64][3]float64{1: {10, 5, 2}, 2: {10, 4, 2}, 5: {10, 5, 1}} {
			major := lead * math.Pow(10, float64(k))
			for i, fine := range []float64{5.9, 11.9, 29.9} { // of 60 px
				got := metric(60/major, 60, fine)
				assert.InEpsilon(t, major, got.major, 1e-9)
				assert.InEpsilon(t, major/parts[i], got.minor, 1e-9, "%g in ticks of %g px", major, fine)
			}
		}
	}
	assert.Equal(t, ruling{5, 5}, metric(12, 60, 31))
	assert.InDelta(t, 0.25, inches(240, 60, 15.1).minor*2, 1e-12)
}

// A short picture has closer ticks, so that three are on each side: by hand for text of 15 px,
// with 63 px for 4.2 heights, 30 for two and 37.5 for two and a half.
func TestRulersOfShortPictures(t *testing.T) {
	for _, tt := range []struct {
		w, h int // px, of a tenth of a mm
		x, y float64
	}{
		{900, 900, 10, 10}, {900, 299, 10, 5}, {299, 900, 5, 10}, {299, 299, 5, 5}, {140, 60, 5, 5},
	} {
		s := newSheet(10, 15, Light)
		g := grid.Grid{W: tt.w, H: tt.h, PxPerMM: 10}
		x, y := s.rulers(g, false)
		assert.Equal(t, [2]float64{tt.x, tt.y}, [2]float64{x.major, y.major}, "%d x %d", tt.w, tt.h)
		for _, r := range []ruler{x, y} { // 6 px for 0.4 heights hold a tenth of 100, and a fifth of 50
			assert.InDelta(t, map[float64]float64{10: 1, 5: 1}[r.major], r.minor, 1e-12)
		}
	}
}

// Content takes 44 heights of text, or three times a small plot but no less than 22, in whole
// pixels rounded up, or as much as the plot.
func TestWidthOfContent(t *testing.T) {
	for _, tt := range []struct{ text, plot, want float64 }{
		{15, 100, 330}, {15, 150, 450}, {15, 300, 660}, {15, 800, 800}, {15.3, 50, 337}, {15.3, 300, 674},
	} {
		p := Page{sheet: newSheet(10, tt.text, Light)}
		assert.InDelta(t, tt.want, p.contentWidth(tt.plot), 1e-9, "%v", tt)
	}
}

// The labels of a scale by a plain rule: the first and the last are told, and of those between
// from the left on each that is half a letter's height from the last told and from the end.
func TestLabelsThatAScaleHasRoomFor(t *testing.T) {
	labels := strings.Split("none a-quarter-of-it half three-quarters-and-more nearly all", " ")
	told := map[int]bool{}
	for wide := 150.0; wide < 700; wide += 13 {
		s := newSheet(10, 15, Light)
		s.scaleTicks(40, 90, wide, labels)
		last, n := len(labels)-1, 0
		lastFrom, end := 40+wide-s.width(labels[last]), 40+s.width(labels[0])
		for i, l := range labels {
			middle := 40 + math.Round((wide-1)*float64(i)/float64(last)) + 0.5
			from, to := middle-s.width(l)/2, middle+s.width(l)/2
			switch i {
			case 0:
				from, to = middle, middle+s.width(l)
			case last:
				from, to = middle-s.width(l), middle
			default:
				if from < end+7.5 || to > lastFrom-7.5 {
					continue
				}
			}
			end = to
			if assert.Less(t, n, len(s.texts), "%g px", wide) {
				assert.InDelta(t, from, s.texts[n].Min.X, 1, "%q in %g px", l, wide)
				assert.InDelta(t, 94.5, s.texts[n].Min.Y, 1e-9)
			}
			n++
		}
		assert.Len(t, s.texts, n, "%g px", wide)
		told[n] = true
	}
	assert.Greater(t, len(told), 3)
}

// A caption that is cut fills its line, of a page and of a chart, and keys fill theirs where
// nothing stands beside them.
func TestLinesAreFilled(t *testing.T) {
	p := New(spec(900, 300, 10))
	last := p.sheet.texts[len(p.sheet.texts)-1]
	l, err := example(1).lay()
	require.NoError(t, err)
	caption := l.texts[len(l.texts)-1]
	assert.InDelta(t, 36, caption.Min.X, 1e-9, "1.8 of 20 px")
	assert.Greater(t, caption.Max.X, float64(l.w)-36-2*20)
	assert.LessOrEqual(t, caption.Max.X, float64(l.w)-36)
	assert.LessOrEqual(t, last.Max.X, float64(p.w)-27)

	sp := spec(900, 300, 10)
	sp.Scale, sp.Frames = nil, nil
	keysFill(t, sp, float64(New(sp).w)-2*27)
}

// keysFill tries two keys that a line of a width just holds, and some a little shorter or
// longer: a sample of 1.8 heights of 15 px, half of one beside it, and two between them.
func keysFill(t *testing.T, sp Spec, width float64) {
	t.Helper()
	s := &New(sp).sheet
	room := width - 2*(27+7.5) - s.width("one") - 30
	fits := int(room / s.width("i"))
	for n := fits - 3; n <= fits+3; n++ {
		sp.Keys = []Key{{Pattern: Solid, Label: "one"}, {Pattern: Solid, Label: strings.Repeat("i", n)}}
		texts := New(sp).sheet.texts
		keys := texts[len(texts)-3:] // and the caption
		assert.Equal(t, s.width(sp.Keys[1].Label) <= room, keys[0].Min.Y == keys[1].Min.Y, "%d letters", n)
	}
}

// Beside an inset 200 px wide and two heights of text the keys have what is left.
func TestLegendBesideAnInset(t *testing.T) {
	sp := spec(900, 300, 10)
	sp.Scale, sp.Frames = nil, nil
	sp.Insets = []Inset{{image.NewRGBA(image.Rect(0, 0, 200, 100)), ""}}
	p := New(sp)
	content := float64(p.w) - 2*27
	assert.InDelta(t, 27+content-200, p.insets[0].X, 1)
	keysFill(t, sp, content-200-30)
}

func TestScaleLabels(t *testing.T) {
	for _, c := range []struct {
		top  float64
		want string
	}{
		{1, "0 0.2 0.4 0.6 0.8 1"}, {1.2, "0 0.4 0.8 1.2"}, {1.5, "0 0.5 1 1.5"}, {2, "0 0.5 1 1.5 2"},
		{2.5, "0 0.5 1 1.5 2 2.5"}, {3, "0 1 2 3"}, {40, "0 10 20 30 40"}, {60, "0 20 40 60"},
		{0.08, "0 0.02 0.04 0.06 0.08"}, {7, "0 7"}, {11, "0 11"}, {1.1, "0 1.1"},
	} {
		assert.Equal(t, c.want, strings.Join(Scale{Top: c.top}.labels(), " "))
	}
	assert.Equal(t, []string{"0", "5", "10", "15 +"}, Scale{Top: 15, More: true}.labels())
}

func TestNiceTop(t *testing.T) {
	for v, want := range map[float64]float64{0: 1, -3: 1, 0.1: 0.1, 9.99: 10, 10: 10, 10.1: 12, 16: 20,
		0.071: 0.08, 81: 100, 5.5: 6, 6.1: 8, 1.3: 1.5, 2.1: 2.5, 2.6: 3, 3.3: 4, 4.1: 5} {
		assert.Equal(t, want, NiceTop(v), "of %g", v)
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 0.0123456: "0.0123", 31.44: "31.4", 999.6: "1,000", 3849.7: "3,850", 12345678: "12,300,000",
	} {
		assert.Equal(t, want, Number(v))
	}
	for number, want := range map[string]string{"1234.5": "1,234.5", "123": "123", "123456": "123,456", "12": "12",
		"1234567.25": "1,234,567.25", "123456789": "123,456,789"} {
		assert.Equal(t, want, grouped(number))
	}
}
