package page_test

import (
	"image"
	"image/color"
	"image/draw"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/page"
)

// Lines in a drawing lie at their millimetres, as wide as they say, cut to the
// picture: 20 px a mm from -2, 31 mm.
func TestLinesStandAtTheirMillimetres(t *testing.T) {
	s := ruled()
	black := color.RGBA{A: 255} // on which lines are seen
	s.Under = image.NewRGBA(s.Plot.Rect)
	draw.Draw(s.Under, s.Under.Rect, image.NewUniform(black), image.Point{}, draw.Src)
	small := image.NewRGBA(image.Rect(0, 0, 300, 100))
	draw.Draw(small, small.Rect, image.NewUniform(field), image.Point{}, draw.Src)
	s.Insets = []page.Inset{{Image: small, Label: "lens"}}
	red := color.RGBA{255, 0, 60, 255}
	pts := func(xy ...float64) (l []path.Point) {
		for i := 0; i < len(xy); i += 2 {
			l = append(l, path.Point{X: xy[i], Y: xy[i+1]})
		}
		return l
	}
	s.Lines = []page.Lines{
		{Paths: [][]path.Point{pts(0, 28, 10, 28), pts(40, 28, 60, 28), pts(60, 20, 70, 20)}, WidthMM: 0.5,
			Colour: red, Opacity: 1},
		{Paths: [][]path.Point{pts(0, 25, 10, 25), pts(40, 25, 60, 25)}, WidthMM: 0.5, RoundEnds: true, Colour: red,
			Opacity: 0.8},
		{Paths: [][]path.Point{pts(0, 20, 30, 20, 30, 10), pts(0, 5, 60, 5, 60, 3, 0, 3)}, Dotted: true, Colour: quiet},
	}
	p := page.New(s)
	want := newPlain(t, ruledWide, 72+600+112+100+86+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(p.Plot(), black)
	want.box(red, x0+40, 72+60-5, 200, 10)
	want.box(red, x0+840, 72+60-5, 160, 10)
	faint := color.RGBA{204, 0, 48, 255} // four fifths of red
	want.box(faint, x0+40, 72+120-5, 200, 10)
	want.disc(faint, x0+40, 72+120, 5)
	want.disc(faint, x0+240, 72+120, 5)
	want.box(faint, x0+840, 72+120-5, 155, 10)
	want.disc(faint, x0+840, 72+120, 5)
	want.disc(faint, x0+995, 72+120, 5)
	// Dots of 3 px with 6 between them, which run on round a corner: 600 px are 66 of 9
	// and 6, so the first one below it stands 3 px down.
	want.line(quiet, 3, x0+40, 72+220, x0+640, 72+220, 3, 6)
	want.line(quiet, 3, x0+640, 72+223, x0+640, 72+420, 3, 6)
	want.line(quiet, 3, x0+40, 72+520, x0+1000, 72+520, 3, 6)
	want.line(quiet, 3, x0+1000, 72+560, x0+40, 72+560, 3, 6)
	want.rulers(x0)
	x, y := 72+1760-300.0, 784.0
	want.box(field, x, y, 300, 100)
	want.box(quiet, x, y, 300, 3)
	want.box(quiet, x, y+97, 300, 3)
	want.box(quiet, x, y, 3, 100)
	want.box(quiet, x+297, y, 3, 100)
	want.word(ink, x, y+100+8+40, 0, "lens")
	want.word(ink, 72, y+100+86+40, 0, "tag.svg")
	want.requireLike(t, p.Drawn())
}

// Each line is laid down on its own: where two of half an opacity cross there is a quarter of
// what lies below them.
func TestLinesThatCross(t *testing.T) {
	s := ruled()
	s.Under = s.Plot
	cross := [][]path.Point{{{X: 10, Y: 20}, {X: 20, Y: 20}}, {{X: 15, Y: 15}, {X: 15, Y: 25}}}
	s.Lines = []page.Lines{{Paths: cross, WidthMM: 1, Opacity: 0.5, Colour: color.RGBA{A: 255}}}
	p := page.New(s)
	img, at := p.Drawn(), p.PlotAt()
	for want, mm := range map[uint8]path.Point{110: {X: 12, Y: 22}, 55: {X: 12, Y: 20}, 27: {X: 15, Y: 20}} {
		got := img.RGBAAt(at.X+int(20*(mm.X+2)), at.Y+int(20*(31-mm.Y)))
		require.InDelta(t, want, got.R, 2, "%v", mm)
	}
}
