package page_test

import (
	"image"
	"image/draw"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/grid"
	"furrow/raster/page"
)

// ruled is a page of a picture of 1000 x 600 px that lies from -2, 1 mm to 48, 31 mm,
// with text 40 px high and so lines 40/16 = 2.5, 3 px wide.
func ruled() page.Spec {
	g := grid.Grid{W: 1000, H: 600, TopLeft: path.Point{X: -2, Y: 31}, PxPerMM: 20}
	plot := image.NewRGBA(image.Rect(0, 0, g.W, g.H))
	draw.Draw(plot, plot.Rect, image.NewUniform(field), image.Point{}, draw.Src)
	return page.Spec{Plot: plot, Grid: g, Theme: theme, TextPx: 40, Caption: page.Caption{Name: "tag.svg"}}
}

// The page of ruled: a margin of 1.8·40 = 72, content of 44·40 = 1760. Left of the
// picture stands the widest label of its ruler with 0.8·40 beside it; both are in the
// middle.
const ruledWide, ruledTop = 1760 + 2*72, 72

func (p *plain) ruledLeft(label string) float64 {
	band := math.Ceil(p.width(label) + 32)
	return 72 + band + math.Floor((1760-band-1000)/2)
}

func (p *plain) rulers(x0 float64) {
	const y0, bottom = ruledTop, ruledTop + 600
	// 0.3·40 and 0.55·40 long, one at each mm and 10 mm: ten of 20 px are the first
	// round number with 4.2·40 px of room. A tick's 3 px stand round its place, 1 to the
	// left and 2 from there on, and inside of the picture at its ends.
	ticks := func(lo, hi int, tick func(v int, major bool)) {
		for _, major := range []bool{false, true} {
			for v := lo; v <= hi; v++ {
				if !major || v%10 == 0 {
					tick(v, major)
				}
			}
		}
	}
	ticks(-2, 48, func(v int, major bool) {
		x := x0 + min(max(float64(20*(v+2)-1), 0), 997)
		if !major {
			p.box(quiet, x, bottom, 3, 12)
			return
		}
		p.box(ink, x, bottom, 3, 22)
		p.word(ink, x+1.5, bottom+28+40, 0.5, strconv.Itoa(v))
	})
	ticks(1, 31, func(v int, major bool) {
		y := y0 + min(max(float64(20*(31-v)-1), 0), 597)
		if !major {
			p.box(quiet, x0-12, y, 12, 3)
			return
		}
		p.box(ink, x0-22, y, 22, 3)
		p.word(ink, x0-32, y-25.6+40, 1, strconv.Itoa(v))
	})
	p.word(quiet, x0-32, bottom+28+40, 1, "mm")
}

// Rulers of a picture, and its name below.
func TestRulersStandAtTheirMillimetres(t *testing.T) {
	s := ruled()
	got := page.New(s)
	// 2.8·40 below the picture a line of 1.35·40, and a margin less 0.3·40.
	want := newPlain(t, ruledWide, 72+600+112+54+60, 40)
	x0 := want.ruledLeft("mm")
	want.picture(got.Plot(), field)
	want.rulers(x0)
	want.word(ink, 72, 784+40, 0, "tag.svg")
	require.Equal(t, image.Pt(int(x0), 72), got.PlotAt())
	want.requireLike(t, got.Image())
}
