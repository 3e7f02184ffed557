package main

import (
	"bytes"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/better"
	"furrow/path"
)

// exampleCurves are of a gantry, whose run-ups grow with the speed, a galvo whose
// pulses bound it, and one that is as fast as it can be.
func exampleCurves() []better.Curve {
	return []better.Curve{
		exampleCurve(better.Curve{Name: "example-co2", Why: "quickest"}, 50, 350, 200, 121,
			func(v float64) float64 { return 180 + 13310/v + v*110/121 }),
		exampleCurve(better.Curve{Name: "example-fibre", Why: "fastest without gaps between pulses"}, 300,
			7000, 1200, 2000,
			func(v float64) float64 { return 3 + 57600/v }),
		exampleCurve(better.Curve{Name: "workshop-two"}, 400, 3000, 1000, 3000,
			func(v float64) float64 { return 10 + 30000/v }),
	}
}

// exampleCurve fills in c with the seconds at speeds from lo to hi, mm/s.
func exampleCurve(c better.Curve, lo, hi, now, quickest float64, seconds func(v float64) float64) better.Curve {
	at := func(v float64) path.Point { return path.Point{X: v, Y: seconds(v)} }
	for v := lo; v <= hi; v += (hi - lo) / 50 {
		c.Points = append(c.Points, at(v))
	}
	c.Now, c.Quickest = at(now), at(quickest)
	return c
}

// The plot is the one that a person last looked at.
func TestPlotGolden(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, chart(exampleCurves()).EncodePNG(&b))
	dir := filepath.Join(testDir, "../../testdata/plot")
	if *update {
		writeGolden(t, dir, map[string][]byte{"compare.png": b.Bytes()})
	}
	compareGolden(t, dir, map[string][]byte{"compare.png": b.Bytes()})
}

func TestPlotTells(t *testing.T) {
	c := chart(exampleCurves())
	assert.Equal(t, "as set, 200 mm/s", c.Curves[0].Places[0].Label)
	assert.Equal(t, "quickest, 121 mm/s", c.Curves[0].Places[1].Label)
	assert.Equal(t, 121.0, c.Curves[0].Places[1].At.X)
	assert.Len(t, c.Curves[2].Places, 1, "as fast as it can be")
	for seconds, want := range map[float64]string{0.2: "0.2 s", 30: "30 s", 60: "1 min", 1800: "30 min", 3600: "1 h",
		72000: "20 h"} {
		assert.Equal(t, want, timeLabel(seconds))
	}
}
