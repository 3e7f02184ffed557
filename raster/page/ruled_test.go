package page_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image"
	"image/draw"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font/gofont/goregular"

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

func (p *plain) rulers(x0 float64) { p.rulersFrom(x0, 0) }

// rulersFrom draws those of a picture that lies so many mm higher, a multiple of 10.
func (p *plain) rulersFrom(x0 float64, up int) {
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
		p.word(ink, x0-32, y-25.6+40, 1, strconv.Itoa(v+up))
	})
	p.word(quiet, x0-32, bottom+28+40, 1, "mm")
}

// An SVG has the page's size in millimetres, its words as outlines, and the picture once.
func TestPageAsSVG(t *testing.T) {
	got := page.New(ruled())
	w, h := got.Size()
	var b bytes.Buffer
	require.NoError(t, got.EncodeSVG(&b))
	var root struct {
		Width  string     `xml:"width,attr"`
		Height string     `xml:"height,attr"`
		Images []struct{} `xml:"image"`
		Texts  []struct{} `xml:"text"`
		Paths  []struct{} `xml:"path"`
	}
	require.NoError(t, xml.Unmarshal(b.Bytes(), &root))
	for text, px := range map[string]int{root.Width: w, root.Height: h} { // of 20 px a mm
		mm, err := strconv.ParseFloat(strings.TrimSuffix(text, "mm"), 64)
		require.NoError(t, err, text)
		require.InDelta(t, float64(px)/20, mm, 0.01)
	}
	require.Len(t, root.Images, 1)
	require.Empty(t, root.Texts)
	require.Greater(t, len(root.Paths), 50+30, "a tick for each millimetre")
	broken := errors.New("full")
	require.ErrorIs(t, got.EncodeSVG(failing{broken}), broken)
	require.ErrorIs(t, got.EncodePDF(failing{broken}), broken)
	require.ErrorIs(t, got.EncodePNG(failing{broken}), broken)
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

// Rulers of a picture and its name below, at some heights, whose labels need more or less room beside it.
func TestRulersStandAtTheirMillimetres(t *testing.T) {
	for label, up := range map[string]int{"mm": 0, "120": 100, "1230": 1210, "12500": 12_480} { // the widest
		s := ruled()
		s.Grid.TopLeft.Y += float64(up)
		got := page.New(s)
		// 2.8·40 below the picture a line of 1.35·40, and a margin less 0.3·40.
		want := newPlain(t, ruledWide, 72+600+112+54+60, 40)
		x0 := want.ruledLeft(label)
		want.picture(got.Plot(), field)
		want.rulersFrom(x0, up)
		want.word(ink, 72, 784+40, 0, "tag.svg")
		require.Equal(t, image.Pt(int(x0), 72), got.PlotAt())
		want.requireLike(t, got.Image())
	}
}

// In print what is not marked lies on the page's paper: a PDF of its size holds the few
// letters of its font that it needs.
func TestSizeOfThePDF(t *testing.T) {
	got := page.New(ruled())
	w, h := got.Size()
	var b bytes.Buffer
	require.NoError(t, got.EncodePDF(&b))
	box := regexp.MustCompile(`/MediaBox ?\[ ?0 0 ([0-9.]+) ([0-9.]+) ?\]`).FindSubmatch(b.Bytes())
	require.NotNil(t, box)
	for i, px := range []int{w, h} { // 20 px a mm, 72 points an inch
		points, err := strconv.ParseFloat(string(box[i+1]), 64)
		require.NoError(t, err)
		require.InDelta(t, float64(px)/20/25.4*72, points, 0.01)
	}
	require.Less(t, b.Len(), len(goregular.TTF)/3)
	require.Regexp(t, `/Subtype ?/Image`, b.String())
	require.Regexp(t, `/FontFile2`, b.String())
}
