package page

import (
	"fmt"
	"image"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

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

func TestScaleLabels(t *testing.T) {
	for _, c := range []struct {
		top  float64
		want string
	}{
		{1, "0 0.2 0.4 0.6 0.8 1"}, {1.2, "0 0.4 0.8 1.2"}, {1.5, "0 0.5 1 1.5"}, {2, "0 0.5 1 1.5 2"},
		{2.5, "0 0.5 1 1.5 2 2.5"}, {3, "0 1 2 3"}, {40, "0 10 20 30 40"}, {60, "0 20 40 60"},
		{0.08, "0 0.02 0.04 0.06 0.08"},
	} {
		assert.Equal(t, c.want, strings.Join(Scale{Top: c.top}.labels(), " "))
	}
	assert.Equal(t, []string{"0", "5", "10", "15 +"}, Scale{Top: 15, More: true}.labels())
}

func TestNiceTop(t *testing.T) {
	for v, want := range map[float64]float64{0: 1, -3: 1, 0.1: 0.1, 9.99: 10, 10: 10, 10.1: 12, 16: 20,
		0.071: 0.08, 81: 100} {
		assert.Equal(t, want, NiceTop(v), "of %g", v)
	}
}

func TestNumber(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 0.0123456: "0.0123", 31.44: "31.4", 999.6: "1,000", 3849.7: "3,850", 12345678: "12,300,000",
	} {
		assert.Equal(t, want, Number(v))
	}
	assert.Equal(t, "1,234.5", grouped("1234.5"))
}
