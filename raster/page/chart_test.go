package page_test

import (
	"bytes"
	"image"
	"image/draw"
	"image/png"
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/raster/page"
)

func chartPixels(t *testing.T, c page.Chart) *image.RGBA {
	var b bytes.Buffer
	require.NoError(t, c.EncodePNG(&b))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	got := image.NewRGBA(img.Bounds())
	draw.Draw(got, got.Rect, img, image.Point{}, draw.Src)
	return got
}

// A chart 58·40 px wide and 32·40 px high above its key: curves of powers are straight
// lines between their ends, ticks and words stand at the logarithms.
func TestChartStandsAtItsLogarithms(t *testing.T) {
	word := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	c := page.Chart{
		X: page.Axis{Label: "speed, mm/s", Steps: page.Decades,
			Word: func(v float64) string { return word(v) + " mm a second" }},
		Y:     page.Axis{Label: "time, s", Steps: page.Decades, Word: word},
		Theme: theme, PxPerMM: 20, TextPx: 40,
		Curves: []page.Curve{
			{Name: "example-co2", Points: []path.Point{{X: 1, Y: 1000}, {X: 1000, Y: 1}}, Places: []page.Place{
				{At: path.Point{X: 10, Y: 100}, Pattern: page.Circle, Label: "as set"},
				{At: path.Point{X: 100, Y: 10}, Pattern: page.Triangle, Label: "quickest"},
			}},
			{Name: "fibre", Points: []path.Point{{X: 1, Y: 10}, {X: 1000, Y: 10}}, Places: []page.Place{
				{At: path.Point{X: 10, Y: 10}, Pattern: page.Circle}, // without a word it is not drawn
				{At: path.Point{X: 1000, Y: 10}, Pattern: page.Triangle, Label: "end"},
			}},
		},
		Caption: page.Caption{Name: "tag.svg", Facts: []string{"60 x 90 mm"}},
	}
	const top, right, bottom = 72 + 70, 2320 - 72 - 40, 1280 // 1.3·1.35·40 = 70.2 above for the axis' name
	want := newPlain(t, 2320, bottom+144+119+24+54+60, 40)
	left := 72 + math.Ceil(want.width("1000")+36)
	x := func(v float64) float64 { return left + (right-left)*math.Log10(v)/3 }
	y := func(v float64) float64 { return bottom - (bottom-top)*math.Log10(v)/3 }
	shown := map[float64]bool{1: true, 5: true, 20: true, 100: true, 500: true} // "2 mm a second" is 240 px wide
	for _, v := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		at := math.Round(x(v))
		want.box(table, at, top, 3, bottom-top)
		want.box(ink, at, bottom, 3, 22)
		if shown[v] {
			want.word(ink, at+1.5, bottom+28+40, 0.5, word(v)+" mm a second")
		}
	}
	for _, v := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
		at := math.Round(y(v))
		want.box(table, left, at, right-left, 3)
		want.box(ink, left-22, at, 22, 3)
		want.word(ink, left-32, at-25.6+40, 1, word(v))
	}
	want.box(ink, left, bottom, right-left+3, 3)
	want.box(ink, left, top, 3, bottom-top)
	want.word(quiet, 72, top-84+40, 0, "time, s")
	want.word(quiet, right, bottom+82+40, 1, "speed, mm/s")
	triangle := func(x, y float64) { // of radius 0.36·40, upright
		const r, half = 14.4, 14.4 * 0.8660254
		want.shape(ink, x, y-r, x+half, y+r/2, x-half, y+r/2)
	}
	want.line(ink, 9, x(1), y(1000), x(1000), y(1))
	want.ring(ink, x(10), y(100), 24, 4.5)
	triangle(x(100), y(10))
	want.line(ink, 9, x(1), y(10), x(1000), y(10), 22, 12) // 0.55·40 and 0.3·40
	triangle(x(1000), y(10))

	const key, high = bottom + 144, 59.4 // 3.6·40 below, lines of 1.1·1.35·40
	for i, name := range []string{"example-co2", "fibre"} {
		mid := key + high*float64(i) + 26 // 0.65·40
		if i == 0 {
			want.line(ink, 9, 72, mid, 72+96, mid)
		} else {
			want.line(ink, 9, 72, mid, 72+96, mid, 22, 12)
		}
		want.word(ink, 72+96+20, key+high*float64(i)+40, 0, name)
	}
	at := 72 + 96 + 20 + want.width("example-co2") + 104 // 2.6·40
	want.ring(ink, at, key+26, 24, 4.5)
	want.word(ink, at+40, key+40, 0, "as set")
	at += 40 + want.width("as set") + 104
	triangle(at, key+26)
	want.word(ink, at+40, key+40, 0, "quickest")
	triangle(at, key+high+26)
	want.word(ink, at+40, key+high+40, 0, "end")
	want.word(ink, 72, key+2*high+24+40, 0, "tag.svg  ·  60 x 90 mm")
	want.requireLike(t, chartPixels(t, c))
}
