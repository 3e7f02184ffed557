package density_test

import (
	"testing"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/density"

	"github.com/stretchr/testify/assert"
)

// A plate of 8 x 8 mm about the middle, 40 K in the upper right of its four cells and
// 0 elsewhere: by hand, 40 K in the middle of that cell, 10 K where the four meet, and
// nothing beside the plate.
func TestHeatIsDrawnOutBetweenCells(t *testing.T) {
	o := density.Options{Show: density.ShowHeat, Heat: density.HeatMap{
		Rect: path.Rect{Min: path.Point{X: -4, Y: -4}, Max: path.Point{X: 4, Y: 4}}, NX: 2, NY: 2,
		RiseK: []float32{0, 0, 0, 40},
	}}
	at := drawn(t, hatched(4, 4, 1, 0), o)
	ramp := colour.Cividis.Reversed()
	near := func(k, x, y float64) {
		t.Helper()
		want, got := ramp.At(k/40), at(x, y)
		assert.InDelta(t, want.R, got.R, 4)
		assert.InDelta(t, want.B, got.B, 4)
	}
	near(40, 3.5, 3.5)
	near(10, 0.05, 0.05)
	near(20, 2.5, 0.05)
	near(0, -3, -3)
	assert.Equal(t, at(-4.9, 0), at(4.9, 0))
	assert.NotEqual(t, ramp.At(0), at(-4.9, 0))
}

func TestHeatNeedsItsMap(t *testing.T) {
	for _, m := range []density.HeatMap{{}, {Rect: path.Rect{Max: path.Point{X: 1, Y: 1}}, NX: 2, NY: 2,
		RiseK: []float32{1}}} {
		_, err := density.Picture(emblem(), density.Options{Show: density.ShowHeat, Heat: m})
		assert.ErrorContains(t, err, "heat needs")
	}
}
