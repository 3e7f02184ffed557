package main

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/plotter"
)

func TestPlotTicksAreRound(t *testing.T) {
	labels := func(r roundTicks, lo, hi float64) string {
		var all []string
		for _, tick := range r.Ticks(lo, hi) {
			all = append(all, tick.Label)
		}
		return strings.Join(all, ", ")
	}
	times := roundTicks{nextTime, timeLabel}
	assert.Equal(t, "0.2 s, 0.5 s, 1 s, 2 s", labels(times, 0.2, 2))
	assert.Equal(t, "5 s, 10 s, 20 s, 30 s, 1 min, 2 min", labels(times, 5, 120))
	assert.Equal(t, "5 min, 10 min, 20 min, 30 min, 1 h, 2 h, 5 h, 10 h, 20 h", labels(times, 300, 72000))
	assert.Equal(t, "50, 100, 200, 500, 1000", labels(roundTicks{nextRound, speedLabel}, 50, 1000))
	for v, want := range map[float64]float64{0.3: 0.2, 10: 10, 29.9: 20, 59: 30, 60: 60, 3599: 1800, 3601: 3600} {
		assert.InDelta(t, want, nextTime.below(v), 1e-9, "%g s", v)
	}
}

// examplePlot is of a gantry, whose run-ups grow with the speed, a galvo whose
// pulses bound it, and one that is as fast as it can be.
func examplePlot(t *testing.T) *plotPage {
	p := newPlotPage()
	for _, c := range []curve{
		exampleCurve(curve{name: "example-co2", why: "quickest"}, 50, 350, 200, 121,
			func(v float64) float64 { return 180 + 13310/v + v*110/121 }),
		exampleCurve(curve{name: "example-fibre", why: "fastest without gaps between pulses"}, 300, 7000, 1200, 2000,
			func(v float64) float64 { return 3 + 57600/v }),
		exampleCurve(curve{name: "workshop-two"}, 400, 3000, 1000, 3000,
			func(v float64) float64 { return 10 + 30000/v }),
	} {
		require.NoError(t, p.add(c))
	}
	return p
}

// exampleCurve fills in c with the seconds at speeds from lo to hi, mm/s.
func exampleCurve(c curve, lo, hi, now, quickest float64, seconds func(v float64) float64) curve {
	at := func(v float64) plotter.XY { return plotter.XY{X: v, Y: seconds(v)} }
	for v := lo; v <= hi; v += (hi - lo) / 50 {
		c.points = append(c.points, at(v))
	}
	c.now, c.quickest = at(now), at(quickest)
	return c
}

// All words stand on the page, no two of a line of the legend on each other.
func TestPlotLegendHasRoom(t *testing.T) {
	var b bytes.Buffer
	p := examplePlot(t)
	require.NoError(t, p.encoder("svg")(&b))
	assert.Equal(t, []string{
		"example-co2", "example-fibre", "workshop-two",
		"as set, 200 mm/s", "as set, 1200 mm/s", "as set, 1000 mm/s",
		"quickest, 121 mm/s", "fastest without gaps between pulses, 2000 mm/s",
	}, lastTexts(t, b.Bytes(), 8))
	right := p.columns[1] + p.columns[2] + p.legend[2].ThumbnailWidth + p.legend[2].TextStyle.Width("fastest without gaps between pulses, 2000 mm/s")
	assert.Less(t, right, plotWide-2*plotMargin)
	assert.Greater(t, p.columns[1], p.legend[0].ThumbnailWidth+p.legend[0].TextStyle.Width("workshop-two"))
}

// lastTexts returns the last n texts of an SVG.
func lastTexts(t *testing.T, svg []byte, n int) (all []string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
		if e, ok := token.(xml.StartElement); ok && e.Name.Local == "text" {
			var s string
			require.NoError(t, d.DecodeElement(&s, &e))
			all = append(all, strings.TrimSpace(s))
		}
	}
	require.GreaterOrEqual(t, len(all), n)
	return all[len(all)-n:]
}

// The plot is the one that a person last looked at.
func TestPlotGolden(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, examplePlot(t).encoder("png")(&b))
	dir := filepath.Join(testDir, "../../testdata/plot")
	if *update {
		writeGolden(t, dir, map[string][]byte{"compare.png": b.Bytes()})
	}
	compareGolden(t, dir, map[string][]byte{"compare.png": b.Bytes()})
}

// The margin of the picture holds nothing.
func TestPlotKeepsItsMargin(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, examplePlot(t).encoder("png")(&b))
	img, err := png.Decode(&b)
	require.NoError(t, err)
	r := img.Bounds()
	assert.Equal(t, 8*plotDPI, r.Dx())
	inside := r.Inset(plotDPI / 10)
	ink := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			if v, _, _, _ := img.At(x, y).RGBA(); v < 0x8000 {
				ink++
				require.True(t, x >= inside.Min.X && x < inside.Max.X && y >= inside.Min.Y && y < inside.Max.Y, "ink at %d,%d", x, y)
			}
		}
	}
	assert.Greater(t, ink, 1000)
}
