package page_test

import (
	"image"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/page"
)

// outline draws that of a rectangle by the middle of its 3 px, each side by itself, what
// lies in view of it.
func (p *plain) outline(view image.Rectangle, x0, y0, x1, y1 float64, dashes ...float64) {
	part := &plain{p.RGBA.SubImage(view).(*image.RGBA), p.face}
	for _, l := range [...][4]float64{{x0, y0, x1, y0}, {x1, y0, x1, y1}, {x1, y1, x0, y1}, {x0, y1, x0, y0}} {
		part.line(quiet, 3, l[0], l[1], l[2], l[3], dashes...)
	}
}

// hatched draws lines at 45 degrees 0.6·40 = 24 px apart across, where x + y is a whole
// multiple of that.
func (p *plain) hatched(x0, y0, x1, y1 float64) {
	for sum := 24 * math.Ceil((x0+y0)/24); sum < x1+y1; sum += 24 {
		ax, bx := min(x1, sum-y0), max(x0, sum-y1)
		if ax > bx {
			p.line(quiet, 3, ax, sum-ax, bx, sum-bx)
		}
	}
}

// Frames lie where their millimetres are, each in its own pattern, which the key below
// names in the sequence of the frames, and once.
func TestFramesStandAtTheirMillimetres(t *testing.T) {
	s := ruled()
	rect := func(x0, y0, x1, y1 float64) path.Rect {
		return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
	}
	s.Frames = []page.Frame{
		{Rect: rect(0, 4, 14, 28), Pattern: page.Solid, Label: "bed", Text: "7"},
		{Rect: rect(18, 4, 30, 28), Pattern: page.Dashed, Label: "blank"},
		{Rect: rect(32, 20, 44, 28), Pattern: page.DashDotted, Label: "page"},
		{Rect: rect(32, 10, 44, 18), Pattern: page.Hatched, Label: "keep out"},
		{Rect: rect(32, 4, 36, 8), Pattern: page.Solid, Label: "bed"},
		{Rect: rect(60, 4, 70, 8), Pattern: page.Solid, Label: "out of sight"},
		{Rect: rect(-9, 2, -9, 9), Pattern: page.Cross, Label: "out of sight"},
	}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+24+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	frame := func(a, b, c, d float64, dashes ...float64) { // 20 px a mm, from -2, 31 mm
		want.outline(got.Plot(), x0+20*(a+2)+1.5, 72+20*(31-d)+1.5, x0+20*(c+2)+1.5, 72+20*(31-b)+1.5, dashes...)
	}
	frame(0, 4, 14, 28)
	left, foot := x0+40+1.5, 72+540+1.5 // its text stands inside of the corner, on paper
	want.box(paper, left+3, foot-54, want.width("7")+24, 51)
	want.word(ink, left+3+12, foot-54+40, 0, "7")
	frame(18, 4, 30, 28, 16, 12)
	frame(32, 20, 44, 28, 48, 10, 6, 10)
	frame(32, 10, 44, 18)
	want.hatched(x0+680+1.5, 72+260+1.5, x0+920+1.5, 72+420+1.5)
	frame(32, 4, 36, 8)
	want.rulers(x0)
	// A key's sample of 72 x 36 px stands 10 px below the top of its line.
	all := want.Rect
	x, y := 72.0, 72+600+112.0
	sample := func() (a, b, c, d float64) {
		return math.Floor(x) + 1.5, y + 10 + 1.5, math.Floor(x+72) + 1.5, y + 46 + 1.5
	}
	a, b, c, d := sample()
	want.outline(all, a, b, c, d)
	x = want.key(x, y, "bed")
	a, b, c, d = math.Floor(x)+1.5, y+10+1.5, math.Floor(math.Floor(x)+72)+1.5, y+46+1.5
	want.outline(all, a, b, c, d, 16, 12)
	x = want.key(x, y, "blank")
	a, b, c, d = math.Floor(x)+1.5, y+10+1.5, math.Floor(math.Floor(x)+72)+1.5, y+46+1.5
	want.outline(all, a, b, c, d, 48, 10, 6, 10)
	x = want.key(x, y, "page")
	a, b, c, d = math.Floor(x)+1.5, y+10+1.5, math.Floor(math.Floor(x)+72)+1.5, y+46+1.5
	want.outline(all, a, b, c, d)
	want.hatched(a, b, c, d)
	want.key(x, y, "keep out")
	want.word(ink, 72, y+54+24+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// An area whose place is lower than it is far to the right, and its key at the left.
func TestHatchedAtTheLeft(t *testing.T) {
	s := ruled()
	s.Frames = []page.Frame{{Rect: path.Rect{Min: path.Point{X: -1, Y: 3}, Max: path.Point{X: 5, Y: 9}},
		Pattern: page.Hatched, Label: "keep out"}}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+24+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	area := func(x0, y0, x1, y1 float64) {
		want.outline(want.Rect, x0, y0, x1, y1)
		want.hatched(x0, y0, x1, y1)
	}
	area(x0+20+1.5, 72+440+1.5, x0+140+1.5, 72+560+1.5)
	want.rulers(x0)
	y := 72 + 600 + 112.0
	area(72+1.5, y+10+1.5, 72+72+1.5, y+46+1.5)
	want.key(72, y, "keep out")
	want.word(ink, 72, y+54+24+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// A round frame is drawn as what of its edge lies in the picture, with its text inside: its
// corners half a diagonal of it from the middle of it, and that as far from the edge.
func TestRoundFrames(t *testing.T) {
	s := ruled()
	disc := func(x, y, r float64) path.Rect {
		return path.Rect{Min: path.Point{X: x - r, Y: y - r}, Max: path.Point{X: x + r, Y: y + r}}
	}
	s.Frames = []page.Frame{
		{Rect: disc(10, 16, 10), Pattern: page.Solid, Round: true, Text: "7"},
		{Rect: disc(46, 29, 10), Pattern: page.Solid, Round: true},
		{Rect: disc(90, 16, 10), Pattern: page.Solid, Round: true, Label: "out of sight"},
	}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	part := &plain{want.RGBA.SubImage(got.Plot()).(*image.RGBA), want.face}
	part.ring(quiet, x0+240+1.5, 72+300+1.5, 200, 3)
	part.arc(quiet, x0+960+1.5, 72+40+1.5, 200, 3)
	w := want.width("7") + 24
	out := (200 - math.Hypot(w, 54)/2) / math.Sqrt2
	left, top := math.Round(x0+240+1.5-out-w/2), math.Round(72+300+1.5+out-27)
	want.box(paper, left, top, w, 51)
	want.word(ink, left+12, top+40, 0, "7")
	want.rulers(x0)
	want.word(ink, 72, 784+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// A round frame is the circle of 12 mm about the middle of its square, and no corner of that.
func TestRoundFrame(t *testing.T) {
	s := ruled()
	at := path.Rect{Min: path.Point{X: 2, Y: 4}, Max: path.Point{X: 26, Y: 28}}
	plain := page.New(s).Image()
	s.Frames = []page.Frame{{Rect: at, Round: true, Pattern: page.Solid}}
	img := page.New(s).Image()
	from := page.New(s).PlotAt()
	changed := func(x, y float64) bool { // within 3 px of a place in mm, at 20 px a mm from -2, 31
		px, py := from.X+int(20*(x+2)), from.Y+int(20*(31-y))
		for i := -3; i <= 3; i++ {
			for j := -3; j <= 3; j++ {
				if img.RGBAAt(px+i, py+j) != plain.RGBAAt(px+i, py+j) {
					return true
				}
			}
		}
		return false
	}
	for deg := 0.0; deg < 360; deg += 15 {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		require.True(t, changed(14+12*cos, 16+12*sin), "%g", deg)
		require.False(t, changed(14+11.5*cos, 16+11.5*sin), "%g", deg)
	}
	require.False(t, changed(2, 4) || changed(26, 28) || changed(2, 16+11) || changed(14, 16))
}

// Dashes of a round frame run on round it from its rightmost place, clockwise.
func TestDashedRoundFrame(t *testing.T) {
	s := ruled()
	at := path.Rect{Min: path.Point{X: 4, Y: 6}, Max: path.Point{X: 24, Y: 26}}
	s.Frames = []page.Frame{{Rect: at, Round: true, Pattern: page.Dashed}}
	got := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	x, y, around := x0+320+1.5, 72+300+1.5, 200*400*math.Sin(math.Pi/200) // of 200 pieces
	for from := 0.0; from < around; from += 28 {
		for s := from; s < min(from+16, around); s += 2 {
			a, b := s/around*2*math.Pi, min(s+2, around)/around*2*math.Pi
			want.line(quiet, 3, x+200*math.Cos(a), y+200*math.Sin(a), x+200*math.Cos(b), y+200*math.Sin(b))
		}
	}
	want.rulers(x0)
	want.word(ink, 72, 784+40, 0, "tag.svg")
	want.requireLike(t, got.Image())
}

// A frame that lies aslant is drawn turned about its middle, counter-clockwise, with its number
// inside by the corner that is its lower left one when it is not turned: 12 x 4 mm about 14,16 at
// 30 degrees has that at 14 - 6·cos 30 + 2·sin 30, 16 - 6·sin 30 - 2·cos 30.
func TestFrameAslant(t *testing.T) {
	for _, round := range []bool{false, true} {
		s := ruled()
		plain := page.New(s).Image()
		at := path.Rect{Min: path.Point{X: 8, Y: 14}, Max: path.Point{X: 20, Y: 18}}
		s.Frames = []page.Frame{{Rect: at, Round: round, Turn: 30, Pattern: page.Solid}}
		img, from := page.New(s).Image(), page.New(s).PlotAt()
		ink := func(img *image.RGBA, x, y float64) bool { // within 3 px of a place in mm, at 20 px a mm from -2, 31
			px, py := from.X+int(20*(x+2)), from.Y+int(20*(31-y))
			for i := range 49 {
				if dx, dy := i%7-3, i/7-3; img.RGBAAt(px+dx, py+dy) != plain.RGBAAt(px+dx, py+dy) {
					return true
				}
			}
			return false
		}
		cos, sin := math.Sqrt(3)/2, 0.5
		places := map[path.Point]bool{{X: 0, Y: 0}: false, {X: 6, Y: 0}: true, {X: -6, Y: 0}: true, {X: 0, Y: 2}: true,
			{X: 0, Y: -2}: true, {X: 6, Y: 2}: !round, {X: -6, Y: -2}: !round,
			{X: 4, Y: 2.6}: false, {X: 3 * math.Sqrt2, Y: -math.Sqrt2}: round}
		for p, want := range places {
			require.Equal(t, want, ink(img, 14+p.X*cos-p.Y*sin, 16+p.X*sin+p.Y*cos), "%v, round %v", p, round)
		}
		s.Frames[0].Text = "7"
		told := page.New(s).Image()
		plain = img
		near := path.Point{X: -6 + 1.7, Y: -2 + 1.7}
		if round {
			near = path.Point{X: -2.6, Y: -0.9}
		}
		require.True(t, ink(told, 14+near.X*cos-near.Y*sin, 16+near.X*sin+near.Y*cos))
		require.False(t, ink(told, 14+4*cos, 16+4*sin))
	}
}
