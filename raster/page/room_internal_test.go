package page

import (
	"bytes"
	"image"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
)

func TestWidthOfThinLines(t *testing.T) {
	for text, want := range map[float64]float64{1: 1, 16: 1, 23: 1, 25: 2, 32: 2, 40: 3, 160: 10} {
		assert.Equal(t, want, LinePx(text), "beside text of %g px", text)
	}
}

func TestNumbersWithoutNoise(t *testing.T) {
	for v, want := range map[float64]string{-1e-12: "0", 0: "0", 0.1 + 0.2: "0.3", -0.25: "-0.25", 1e6: "1000000",
		1e-9: "0.000000001", 2.5e-10: "0", -120: "-120"} {
		assert.Equal(t, want, trim(v))
	}
	s := newSheet(10, 15, Light)
	for r, want := range map[rune]string{0x1f: "\ufffd", ' ': " ", '~': "~", 0x7f: "\ufffd", '\t': "\ufffd", 'é': "é"} {
		assert.Equal(t, want, s.printable(string(r)), "%x", r)
	}
	assert.Equal(t, "a\ufffdb", s.printable("a\xffb"))
}

// Round numbers are those that a plain search of 1, 2 and 5 times the powers of ten finds, a
// billionth of a step counted as none.
func TestRoundNumbersByPlainSearch(t *testing.T) {
	lists := [...][]float64{{1, 2, 5}, {1, 4}, {1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8}}
	for _, v := range []float64{0.0007, 0.001, 0.00101, 0.02, 0.0499, 0.5, 0.51, 0.99, 1, 1.0000000001, 1.01, 1.9, 2, 2.1,
		4.4,
		5, 5.1, 8, 8.1, 9.99, 10, 10.1, 33, 99, 100, 101, 7e5, 1e6} {
		for _, leads := range lists {
			want := math.Inf(1)
			for k := -8; k < 9; k++ {
				for _, l := range leads {
					if n := l * math.Pow(10, float64(k)); n > v*(1-2e-9) {
						want = min(want, n)
					}
				}
			}
			assert.InEpsilon(t, want, niceOf(v, leads...), 1e-12, "%g of %v", v, leads)
		}
	}
}

// A number stands at the first of 24 places round its ring that is free: right, up and right,
// up and so on against the clock, at three distances.
func TestNumbersStandAtTheFirstFreePlace(t *testing.T) {
	at := path.Point{X: 300, Y: 200}
	view := path.Rect{Max: path.Point{X: 600, Y: 400}}
	wide := newSheet(10, 20, Light)
	w, high := wide.width("12"), 27.0 // 1.35·20
	d := math.Sqrt2 / 2
	sides := [...]path.Point{{X: 1}, {X: d, Y: -d}, {Y: -1}, {X: -d, Y: -d}, {X: -1}, {X: -d, Y: d}, {Y: 1}, {X: d, Y: d}}
	var taken []path.Rect
	for i := range 25 {
		s := newSheet(10, 20, Light)
		s.height = 400
		got := s.printBeside(at, 18, view, append([]path.Rect(nil), taken...), "12")
		if i == 24 {
			assert.Len(t, got, len(taken), "no room is left")
			assert.Empty(t, s.texts)
			return
		}
		side, far := sides[i%8], float64(i/8)*high
		want := path.Point{X: at.X + side.X*(18+far+w/2), Y: at.Y + side.Y*(18+far+high/2)}
		require.Len(t, s.texts, 1, "%d", i)
		require.Len(t, got, len(taken)+1)
		assert.InDelta(t, want.X, s.texts[0].Centre().X, 1e-6, "%d", i)
		assert.InDelta(t, want.Y, s.texts[0].Centre().Y, 1e-6, "%d", i)
		assert.InDelta(t, w, got[i].W(), 1e-6)
		assert.InDelta(t, high, got[i].H(), 1e-6)
		// A grain of dust in the middle is enough to take a place, and no other with it.
		taken = append(taken, path.Rect{Min: want, Max: want}.Grow(0.01))
	}
}

// A frame's text stands in its corner where that has room, all of it in the picture.
func TestTextsInFrames(t *testing.T) {
	view := path.Rect{Min: path.Point{X: 100, Y: 50}, Max: path.Point{X: 500, Y: 350}}
	w := 0.0
	corner := func(x, foot, width, high float64) int {
		s := newSheet(10, 20, Light) // lines of 1 px
		w = s.width("12") + 12       // 0.3·20 on both sides
		s.printIn(path.Form{Rect: path.Rect{Min: path.Point{X: x, Y: foot - high}, Max: path.Point{X: x + width, Y: foot}}},
			view, "12")
		for _, b := range s.texts {
			assert.InDelta(t, x+1+6, b.Min.X, 1e-9)
			assert.InDelta(t, foot-27, b.Min.Y, 1e-9)
		}
		return len(s.texts)
	}
	assert.Equal(t, 1, corner(200, 200, 100, 100))
	for _, tt := range []struct {
		x, foot, width, high float64
		told                 int
	}{
		{200, 200, w, 27, 1}, {200, 200, w - 0.1, 27, 0}, {200, 200, w, 26.9, 0},
		{99, 200, 90, 90, 1}, {98.9, 200, 90, 90, 0}, {200, 350, 90, 90, 1}, {200, 350.1, 90, 90, 0},
		{200, 77, 90, 90, 1}, {200, 76.9, 90, 90, 0}, {499 - w, 200, 90, 90, 1}, {499.1 - w, 200, 90, 90, 0},
	} {
		assert.Equal(t, tt.told, corner(tt.x, tt.foot, tt.width, tt.high), "%v", tt)
	}
}

// Pictures below go on in a next line where one is full, 0.8 heights of text and a line below
// the highest of the last, and words wider than the page are cut.
func TestInsetsGoOnInTheNextLine(t *testing.T) {
	p := &Page{sheet: newSheet(10, 20, Light)}
	for _, size := range [...]image.Point{{100, 50}, {160, 90}, {100, 60}, {300, 40}} {
		p.spec.Insets = append(p.spec.Insets, Inset{Image: image.NewRGBA(image.Rectangle{Max: size})})
	}
	long := strings.Repeat("a field and its name ", 4)
	p.spec.Insets[3].Label = long
	end := p.layInsets(40.4, 70.6, 280)
	// 100, 20 and 160 fill 280; the next begins 90+27+16 below, and so on with 60 and 40.
	assert.Equal(t, []image.Point{{40, 71}, {160, 71}, {40, 204}, {40, 307}}, p.insets)
	assert.InDelta(t, 70.6+133+103+83, end, 1e-9)
	last := p.sheet.texts[3]
	assert.InDelta(t, 40.4, last.Min.X, 1e-9)
	assert.InDelta(t, 307+40+4, last.Min.Y, 1e-9)
	assert.LessOrEqual(t, last.W(), 280.0)
	assert.Greater(t, last.W(), 240.0)

	p.insets = nil
	p.layInsets(40, 70, 279) // a pixel less
	assert.Equal(t, []image.Point{{40, 70}, {40, 163}}, p.insets[:2], "60 and 43 below")
	p.spec.Insets = p.spec.Insets[:3]
	assert.InDelta(t, 100+20+160+20+100, p.insetsWidth(), 1e-9)
	p.spec.Insets[1].Label = long
	assert.InDelta(t, 100+20+math.Ceil(p.sheet.width(long))+20+100, p.insetsWidth(), 1e-9)
}

// A legend has 22 heights of text beside pictures, or stands below them; what follows is clear
// of both.
func TestLegendsHaveRoom(t *testing.T) {
	for wide, beside := range map[int]bool{300: true, 519: true, 520: true, 521: false, 600: false} {
		for _, high := range []int{10, 300} {
			p := &Page{sheet: newSheet(10, 20, Light), keys: []Key{{Label: "one"}}}
			p.spec.Insets = []Inset{{Image: image.NewRGBA(image.Rect(0, 0, wide, high))}}
			p.spec.Caption.Name = "tag.svg"
			p.layBelow(36, 100, 1000) // of which 40 are between
			key, caption := p.sheet.texts[1], p.sheet.texts[2]
			inset := float64(high) + 43
			if beside {
				assert.Equal(t, image.Pt(1036-wide, 100), p.insets[0], "%d", wide)
				assert.InDelta(t, 100, key.Min.Y, 1e-9, "%d", wide)
				assert.InDelta(t, 100+max(inset, 27+12), caption.Min.Y, 1e-9)
			} else {
				assert.Equal(t, image.Pt(36, 100), p.insets[0], "%d", wide)
				assert.InDelta(t, 100+inset, key.Min.Y, 1e-9, "%d", wide)
				assert.InDelta(t, 100+inset+39, caption.Min.Y, 1e-9)
			}
			assert.Equal(t, int(math.Ceil(caption.Max.Y+36-6)), p.h)
			assert.Equal(t, float64(p.h), p.sheet.height)
		}
	}
}

// A note stands beside its scale's name where a letter's height is left between, else below.
func TestNotesBesideAScale(t *testing.T) {
	for _, more := range []float64{-0.5, 0.5} {
		s := newSheet(10, 20, Light)
		width := s.width("density, lines/mm"+"highest 31.4") + 20 + more
		end := s.drawScale(30, 50, width, Scale{Label: "density, lines/mm", Note: "highest 31.4", Ramp: colour.Cividis,
			Ticks: []string{"a", "b"}})
		// The name's 27 px, the colours' 18, a third of 20 and the ticks' 27.
		if more > 0 {
			assert.InDelta(t, 50, s.texts[1].Min.Y, 1e-9)
			assert.InDelta(t, 30+width, s.texts[1].Max.X, 1e-6)
			assert.InDelta(t, 50+27+18+6+27, end, 1e-9)
		} else {
			assert.InDelta(t, 50+27+18+6+27, s.texts[3].Min.Y, 1e-9)
			assert.InDelta(t, 30, s.texts[3].Min.X, 1e-9)
			assert.InDelta(t, 50+27+18+6+27+27, end, 1e-9)
		}
		for i, b := range s.texts {
			for _, c := range s.texts[:i] {
				assert.False(t, anyOverlaps([]path.Rect{c}, b))
			}
		}
	}
}

// A name keeps eight heights of text beside its facts, or has a line of its own, and facts fill
// their lines.
func TestFactsFillTheirLines(t *testing.T) {
	s := newSheet(10, 20, Light)
	name := strings.Repeat("a long name ", 9)
	facts := []string{"60 x 90 mm", "10 min"}
	beside := s.width("  ·  60 x 90 mm  ·  10 min")
	one := s.captionLines(Caption{name, facts}, beside+160.01)
	require.Len(t, one, 1)
	assert.True(t, strings.HasSuffix(one[0], "  ·  60 x 90 mm  ·  10 min"))
	assert.Greater(t, s.width(one[0]), beside+160-20)
	two := s.captionLines(Caption{name, facts}, beside+159.9)
	require.Len(t, two, 2, "the name fills its line")
	assert.Equal(t, "60 x 90 mm  ·  10 min", two[1])

	full := s.width("60 x 90 mm  ·  10 min  ·  2 min")
	three := append(facts, "2 min", "galvo")
	assert.Equal(t, []string{"60 x 90 mm  ·  10 min  ·  2 min", "galvo"},
		s.captionLines(Caption{name, three}, full)[1:])
	assert.Equal(t, []string{"60 x 90 mm  ·  10 min", "2 min  ·  galvo"},
		s.captionLines(Caption{name, three}, full-0.1)[1:])
	assert.Equal(t, []string{"t.svg  ·  60 x 90 mm", "10 min"},
		s.captionLines(Caption{"t.svg", facts}, s.width("t.svg  ·  60 x 90 mm")))
}

// Of the words beside an upright axis each is told that has 1.4 heights of text from the one
// told below it.
func TestWordsAlongAnUprightAxis(t *testing.T) {
	dropped := 0
	for _, decades := range []float64{3, 8, 9, 10, 12, 16, 20} {
		c := example(1)
		c.Y.Steps = Decades
		c.Curves = []Curve{{Name: "one", Points: []path.Point{{X: 1, Y: 1}, {X: 500, Y: math.Pow(10, decades)}}}}
		l, err := c.lay()
		require.NoError(t, err)
		var got []float64
		for _, b := range l.texts {
			if b.Max.X <= l.plot.Min.X && b.Min.Y > l.plot.Min.Y-20 && b.Max.Y < l.plot.Max.Y+20 {
				got = append(got, b.Min.Y)
			}
		}
		var want []float64
		free := math.Inf(1)
		for k := range int(decades) + 1 {
			for _, lead := range []float64{1, 2, 5} {
				v := lead * math.Pow(10, float64(k))
				if v > math.Pow(10, decades)*1.01 {
					continue
				}
				y := math.Round(l.plot.Max.Y - l.plot.H()*math.Log10(v)/decades)
				if y+14 <= free {
					want, free = append(want, y-12.8), y-14
				} else {
					dropped++
				}
			}
		}
		assert.InDeltaSlice(t, want, got, 1.01, "%g", decades)
	}
	assert.Greater(t, dropped, 20)
}

// The first label below a picture keeps clear of the unit that stands left of it.
func TestLabelsBelowBeginWithThePicture(t *testing.T) {
	s := newSheet(10, 20, Light)
	s.bottomRuler(100, 300, ruler{ruling: ruling{10, 5}, lo: 1000, hi: 1025, zero: -10000, scale: 10})
	require.Len(t, s.texts, 3)
	w := s.width("1000")
	assert.InDelta(t, 100, s.texts[0].Min.X, 1e-9)
	assert.InDelta(t, 100+w, s.texts[0].Max.X, 1e-9)
	assert.InDelta(t, 200, s.texts[1].Centre().X, 0.6)
	assert.InDelta(t, 300, s.texts[2].Centre().X, 0.6)
	assert.InDelta(t, 314, s.texts[2].Min.Y, 1e-9)
	s.texts = nil
	s.leftRuler(100, 50, ruler{ruling: ruling{10, 5}, lo: 0, hi: 25, zero: 250, scale: -10})
	require.Len(t, s.texts, 3)
	for i, y := range []float64{50 + 249, 50 + 149.5, 50 + 49.5} {
		assert.InDelta(t, 100-16, s.texts[i].Max.X, 1e-9)
		assert.InDelta(t, y-12.8, s.texts[i].Min.Y, 0.6)
	}
}

// Labels along a ruler have a letter's height and three tenths of themselves between them.
func TestLabelsOfRulersHaveRoom(t *testing.T) {
	for _, far := range []float64{0, 99, 12345, 1234567} {
		for _, px := range []float64{0.02, 0.5, 3, 17, 240} {
			for _, inch := range []bool{false, true} {
				s := newSheet(px, 15, Light)
				g := grid.Grid{W: 900, H: 700, TopLeft: path.Point{X: far, Y: far}, PxPerMM: px}
				x, y := s.rulers(g, inch)
				apart := x.major * x.scale
				assert.GreaterOrEqual(t, apart, s.labelWidth(x)*1.3+15-1e-9, "%g at %g", far, px)
				assert.Equal(t, x.ruling, y.ruling, "as nothing is short")
				assert.GreaterOrEqual(t, apart, 63-1e-6, "4.2 heights")
				if far == 0 && !inch { // no closer round number has room
					assert.Less(t, apart, 63*2.5+1e-6)
				}
			}
		}
	}
}

// A chart's SVG is 58 heights of text wide.
func TestSizeOfAChartAsSVG(t *testing.T) {
	var b bytes.Buffer
	c := example(2)
	require.NoError(t, c.EncodeSVG(&b))
	assert.Regexp(t, `^<svg[^>]* width="193\.3\d*mm"`, b.String(), "58·20/6")
	assert.Greater(t, strings.Count(b.String(), "<path"), 30)
	l, err := c.lay()
	require.NoError(t, err)
	assert.Equal(t, l.height, math.Ceil(l.texts[len(l.texts)-1].Max.Y+36-6), "its margin, 0.3 of a letter less")
}

// A key's label is cut to what its sample and half a letter beside it leave of the line.
func TestLabelsOfKeysAreCut(t *testing.T) {
	s := newSheet(10, 20, Light)
	long := strings.Repeat("i", 90)
	room := s.width(long)
	for more, cut := range map[float64]bool{0.01: false, -0.01: true} {
		s := newSheet(10, 20, Light)
		end := s.drawKeys(30, 50, 36+10+room+more, []Key{{Label: long}})
		require.Len(t, s.texts, 1)
		assert.InDelta(t, 30+36+10, s.texts[0].Min.X, 1e-9)
		assert.Equal(t, cut, s.texts[0].W() < room-1e-6)
		assert.Greater(t, s.texts[0].W(), room-25)
		assert.InDelta(t, 50+27, end, 1e-9)
	}
	assert.InDelta(t, 50, s.drawKeys(30, 50, 500, nil), 1e-9)
}

// Places at the very edge of the picture are seen, those a hair outside are not.
func TestPlacesAtTheEdge(t *testing.T) {
	view := path.Rect{Min: path.Point{X: 100, Y: 50}, Max: path.Point{X: 500, Y: 350}}
	for c, want := range map[path.Point]bool{{X: 100, Y: 50}: true, {X: 500, Y: 350}: true, {X: 99.9, Y: 60}: false,
		{X: 500.1, Y: 60}: false, {X: 200, Y: 49.9}: false, {X: 200, Y: 350.1}: false} {
		s := newSheet(10, 20, Light)
		assert.Equal(t, want, s.drawCross(c, view), "%v", c)
		assert.Equal(t, want, s.drawSpot(c, view, Disc), "%v", c)
		assert.Equal(t, want, s.drawSpot(c, view, Circle), "%v", c)
		assert.Equal(t, want, len(s.ops) == 6, "two of each, or none")
	}
}

// Long captions of pages and charts are told line by line, 1.35 heights of text apart.
func TestLinesOfACaption(t *testing.T) {
	facts := strings.Split(strings.Repeat("one more fact of many,", 12), ",")[:12]
	sp := spec(900, 300, 10)
	sp.Caption = Caption{"t.svg", facts}
	p := New(sp)
	n := len(p.sheet.captionLines(sp.Caption, float64(p.w)-54))
	require.Greater(t, n, 2)
	texts := p.sheet.texts[len(p.sheet.texts)-n:]
	for i, b := range texts {
		assert.InDelta(t, 27, b.Min.X, 1e-9)
		assert.InDelta(t, texts[0].Min.Y+20.25*float64(i), b.Min.Y, 1e-9)
	}
	assert.Equal(t, int(math.Ceil(texts[n-1].Max.Y+27-4.5)), p.h)
	c := example(1)
	c.Caption = sp.Caption
	l, err := c.lay()
	require.NoError(t, err)
	n = len(l.captionLines(c.Caption, 1160-72))
	require.Greater(t, n, 1)
	texts = l.texts[len(l.texts)-n:]
	for i, b := range texts {
		assert.InDelta(t, texts[0].Min.Y+27*float64(i), b.Min.Y, 1e-9)
	}
	assert.InDelta(t, texts[n-1].Max.Y+36-6, l.height, 1)
}

// Short sides of other scales: 16 px a mm have 30 px for two heights of 15 in each 2 mm, and 20 px a
// mm 37.5 for two and a half; quarters of 32 and 40 px have the 6 px that a tick needs, tenths have not.
func TestTicksOfShortSides(t *testing.T) {
	s := newSheet(16, 15, Light)
	x, y := s.rulers(grid.Grid{W: 144, H: 900, PxPerMM: 16}, false)
	assert.Equal(t, [2]ruling{{2, 0.5}, {5, 0.5}}, [2]ruling{x.ruling, y.ruling})
	s = newSheet(20, 15, Light)
	x, y = s.rulers(grid.Grid{W: 900, H: 290, PxPerMM: 20}, false)
	assert.Equal(t, [2]ruling{{5, 0.5}, {2, 0.5}}, [2]ruling{x.ruling, y.ruling})
	_, y = s.rulers(grid.Grid{W: 900, H: 300, PxPerMM: 20}, false)
	assert.Equal(t, ruling{5, 0.5}, y.ruling, "three of 5 mm are enough")
}

// A triangle is of the ink, whatever was drawn before, upright round its middle.
func TestTrianglesAreOfInk(t *testing.T) {
	s := newSheet(1, 20, Light)
	s.height = 60
	s.fill(0, 0, 60, 10, Light.Table)
	s.drawTriangle(path.Point{X: 30, Y: 35}, 20)
	to, ctx := s.blank(60)
	s.draw(ctx)
	img := rasterizer.Draw(to, canvas.DPMM(1), nil)
	for p, ink := range map[image.Point]bool{{30, 18}: true, {30, 35}: true, {16, 43}: true, {43, 43}: true,
		{30, 12}: false,
		{20, 25}: false, {40, 25}: false, {30, 47}: false} {
		want := Light.Paper
		if ink {
			want = Light.Ink
		}
		assert.Equal(t, want, img.RGBAAt(p.X, p.Y), "%v", p)
	}
}
