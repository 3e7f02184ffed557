package page

import (
	"bytes"
	"image/color"
	"image/png"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
)

func plain(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }

// example is a chart of n curves of 1/x, the i-th from 10^i to 3·10^(i+1).
func example(n int) Chart {
	c := Chart{
		X: Axis{Label: "speed, mm/s", Steps: Decades, Word: plain},
		Y: Axis{Label: "time", Steps: Times, Word: plain}, Theme: Light, PxPerMM: 6, TextPx: 20,
		Caption: Caption{Name: strings.Repeat("a long caption ", 9)},
	}
	for i := range n {
		var curve Curve
		for x := 1.0; x <= 30; x++ {
			v := x * []float64{1, 10, 100, 1000, 1e4, 1e5}[i]
			curve.Points = append(curve.Points, path.Point{X: v, Y: 7200 / v})
		}
		at := curve.Points[9]
		curve.Name = strings.Repeat("machine", i+1)
		curve.Places = []Place{{at, Circle, "as set, 12 mm/s"}, {at, Triangle, []string{"quickest of all", ""}[i%2]}}
		c.Curves = append(c.Curves, curve)
	}
	return c
}

func TestTicksAreRound(t *testing.T) {
	ticks := func(steps Steps, lo, hi float64) string {
		var all []string
		Axis{Steps: steps, Word: plain}.over(lo, hi).ticks(func(word string, at float64) {
			all = append(all, word)
			assert.True(t, at >= 0 && at <= 1, "%s at %g", word, at)
		})
		return strings.Join(all, " ")
	}
	assert.Equal(t, "0.2 0.5 1 2", ticks(Times, 0.2, 2))
	assert.Equal(t, "5 10 20 30 60 120", ticks(Times, 5, 119))
	assert.Equal(t, "300 600 1200 1800 3600 7200 1.8e+04 3.6e+04 7.2e+04", ticks(Times, 301, 72000))
	assert.Equal(t, "50 100 200 500 1000", ticks(Decades, 99, 501))
	assert.Equal(t, "100 200", ticks(Decades, 100, 100))
	for v, want := range map[float64]float64{0.1: 0.1, 0.2: 0.2, 0.5: 0.5, 1: 1, 2: 2, 5: 5, 20: 20, 30: 30, 59.99: 30,
		120: 120, 300: 300, 600: 600, 1200: 1200, 1800: 1800, 3600: 3600, 7200: 7200,
		36_000: 36_000, 71_999: 36_000, 0.3: 0.2, 10: 10, 29.9: 20, 59: 30, 60: 60, 3599: 1800, 3601: 3600} {
		assert.InDelta(t, want, Times.below(v), 1e-9, "%g s", v)
	}
}

// Of the words along an axis each is told that is half a height from the one told before it.
func TestWordsAlongAnAxis(t *testing.T) {
	dropped := 0
	for n := 1; n <= 30; n++ {
		c := example(2)
		long := func(v float64) string { return strings.Repeat("i", 1+int(v)%7*n) + plain(v) }
		c.X.Word = long
		l, err := c.lay()
		require.NoError(t, err)
		i, free := 0, math.Inf(-1)
		for _, v := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500} { // of x from 1 to 300
			x := math.Round(l.plot.Min.X + l.plot.W()*math.Log(v)/math.Log(500))
			if half := l.width(long(v)) / 2; x-half >= free {
				free = x + half + 10
				assert.InDelta(t, x+0.5-half, l.texts[i].Min.X, 1, "%d: %g", n, v)
				i++
			} else {
				dropped++
			}
		}
		assert.Greater(t, l.texts[i].Min.Y+1, 0.0)
		assert.Less(t, l.texts[i].Max.X, l.plot.Min.X, "the words beside the other axis")
	}
	assert.Greater(t, dropped, 20)
}

// Words of a key end where the margin begins, and are cut to that.
func TestKeysOfAChartAreCut(t *testing.T) {
	c := example(1)
	c.Curves[0].Name = strings.Repeat("a curve with a long name ", 9)
	c.Curves[0].Places = nil
	l, err := c.lay()
	require.NoError(t, err)
	found := false
	for _, b := range l.texts {
		assert.LessOrEqual(t, b.Max.X, float64(l.w)-36)
		found = found || b.Max.X > float64(l.w)-36-20 && b.Min.X < 120 && b.Min.Y < l.texts[len(l.texts)-1].Min.Y
	}
	assert.True(t, found, "nothing fills the line")
}

// Five curves are told apart by dashes of their own, in heights of text of 20 px, and a sixth
// is as the first.
func TestDashesOfCurves(t *testing.T) {
	l, err := example(1).lay()
	require.NoError(t, err)
	for i, want := range [][]float64{nil, {11, 6}, {3, 6}, {16, 6, 3, 6}, {28, 8}, nil, {11, 6}} {
		got := l.curveDashes(i)
		require.Len(t, got, len(want))
		for k := range want {
			assert.InDelta(t, want[k], got[k], 1e-9)
		}
	}
}

// An axis is logarithmic: the geometric mean lies in the middle.
func TestPlacesOfPoints(t *testing.T) {
	l, err := example(2).lay() // x 1..300, y 24..7200: 1..500 and 20..7200
	require.NoError(t, err)
	corner := l.onPlot(path.Point{X: 1, Y: 20})
	assert.InDelta(t, l.plot.Min.X, corner.X, 1e-9)
	assert.InDelta(t, l.plot.Max.Y, corner.Y, 1e-9)
	far := l.onPlot(path.Point{X: 500, Y: 7200})
	assert.InDelta(t, l.plot.Max.X, far.X, 1e-9)
	assert.InDelta(t, l.plot.Min.Y, far.Y, 1e-9)
	middle := l.onPlot(path.Point{X: 22.360679775, Y: 379.4733192})
	assert.InDelta(t, l.plot.Centre().X, middle.X, 1e-4)
	assert.InDelta(t, l.plot.Centre().Y, middle.Y, 1e-4)
}

// All words lie on the page, none on another, and no ink in its margin.
func TestChartHasRoom(t *testing.T) {
	for n := 1; n <= 6; n++ {
		c := example(n)
		l, err := c.lay()
		require.NoError(t, err)
		checkApart(t, &Page{sheet: l.sheet, w: l.w, h: int(l.height)}, "chart")
		var b bytes.Buffer
		require.NoError(t, c.EncodePNG(&b))
		img, err := png.Decode(&b)
		require.NoError(t, err)
		r := img.Bounds()
		inside, ink := r.Inset(20), 0
		for y := range r.Max.Y {
			for x := range r.Max.X {
				if color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y < 128 {
					ink++
					require.True(t, x >= inside.Min.X && x < inside.Max.X && y >= inside.Min.Y && y < inside.Max.Y,
						"ink at %d,%d", x, y)
				}
			}
		}
		assert.Greater(t, ink, 1000)
	}
}

// A triangle for the second place of every other curve, and none for no label.
func TestPlacesWithoutLabelAreNotDrawn(t *testing.T) {
	with, without := example(1), example(1)
	without.Curves[0].Places[1].Label = ""
	a, err := with.lay()
	require.NoError(t, err)
	b, err := without.lay()
	require.NoError(t, err)
	assert.Equal(t, 3, len(a.ops)-len(b.ops), "on the curve, in the key, and its word")
}

func TestChartNeedsACurve(t *testing.T) {
	for _, pts := range [][]path.Point{nil, {{X: 1, Y: 1}}, {{X: 0, Y: 1}, {X: 2, Y: 1}},
		{{X: 1, Y: -1}, {X: 2, Y: 1}}, {{X: 1, Y: 0}, {X: 2, Y: 1}}, {{X: 1, Y: 1}, {X: 2, Y: math.Inf(1)}},
		{{X: 1, Y: 1}, {X: math.Inf(1), Y: 2}},
		{{X: 2, Y: 1}, {X: 2, Y: 5}}} {
		c := example(0)
		c.Curves = []Curve{{Name: "none", Points: pts}}
		assert.ErrorIs(t, c.EncodePNG(&bytes.Buffer{}), ErrNoCurve)
		assert.ErrorIs(t, c.EncodeSVG(&bytes.Buffer{}), ErrNoCurve)
	}
}
