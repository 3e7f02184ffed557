package colour_test

import (
	"image/color"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"furrow/raster/colour"
)

// Entries of the table published with Nuñez, Anderton and Renslow (2018), to
// six decimals, as the authors gave it to matplotlib (Debian's
// python3-matplotlib 3.6.3, _cm_listed.py, _cividis_data).
var published = map[int][3]float64{
	0:   {0, 0.135112, 0.304751},
	1:   {0, 0.138068, 0.311105},
	64:  {0.263738, 0.307831, 0.422789},
	127: {0.485141, 0.482451, 0.470384},
	128: {0.488697, 0.485318, 0.471008},
	192: {0.736488, 0.680629, 0.424028},
	255: {0.995737, 0.909344, 0.217772},
}

func TestCividisIsThePublishedTable(t *testing.T) {
	assert.Len(t, colour.Cividis, 256)
	for i, want := range published {
		c := colour.Cividis[i]
		for j, got := range [3]uint8{c.R, c.G, c.B} {
			assert.InDelta(t, want[j], float64(got)/255, 0.5/255, "entry %d, channel %d", i, j)
		}
	}
}

// lightness returns CIE L* under D65 of an sRGB colour (IEC 61966-2-1; CIE 15).
func lightness(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		f := float64(v) / 255
		if f <= 0.04045 {
			return f / 12.92
		}
		return math.Pow((f+0.055)/1.055, 2.4)
	}
	y := 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}

// Lightness rises all the way. Rounding to 8 bits takes up to 0.02 of a step
// between neighbours, so every other entry is compared.
func TestCividisLightnessRises(t *testing.T) {
	for i := 2; i < len(colour.Cividis); i++ {
		assert.Greater(t, lightness(colour.Cividis[i]), lightness(colour.Cividis[i-2]), "entry %d", i)
		assert.Greater(t, lightness(colour.Cividis[i]), lightness(colour.Cividis[i-1])-0.02, "entry %d", i)
	}
}

func TestRamp(t *testing.T) {
	r := colour.Cividis
	for _, c := range []struct {
		at   float64
		want int
	}{{-1, 0}, {0, 0}, {0.5, 128}, {1, 255}, {7, 255}, {math.Inf(1), 255}} {
		assert.Equal(t, r[c.want], r.At(c.at), "at %g", c.at)
	}
	back := r.Reversed()
	assert.Equal(t, r[0], back[255])
	assert.Equal(t, r[255], back[0])
}

func TestMix(t *testing.T) {
	a, b := color.RGBA{0, 100, 200, 255}, color.RGBA{100, 0, 200, 255}
	assert.Equal(t, a, colour.Mix(a, b, 0))
	assert.Equal(t, b, colour.Mix(a, b, 1))
	assert.Equal(t, color.RGBA{25, 75, 200, 255}, colour.Mix(a, b, 0.25))
}
