package density_test

import (
	"image/color"
	"math"
	"testing"

	"furrow/path"
	"furrow/path/outside"
	"furrow/raster/density"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// offLine returns how far c lies from the straight line between two colours.
func offLine(c, a, b color.RGBA) float64 {
	v := func(c color.RGBA) [3]float64 { return [3]float64{float64(c.R), float64(c.G), float64(c.B)} }
	p, q, r := v(a), v(b), v(c)
	var dot, n float64
	for i := range 3 {
		dot += (r[i] - p[i]) * (q[i] - p[i])
		n += (q[i] - p[i]) * (q[i] - p[i])
	}
	t, sum := min(1, max(0, dot/n)), 0.0
	for i := range 3 {
		d := r[i] - p[i] - t*(q[i]-p[i])
		sum += d * d
	}
	return math.Sqrt(sum)
}

// Wherever in a pixel an area ends, its edge has the colour of the area, let through
// by the page: no pixel has a colour that is not between the two.
func TestEdgesHaveNoColourOfTheirOwn(t *testing.T) {
	n := 0
	for name, prog := range map[string]path.Program{
		"rows":       hatched(7, 6, 0.1, 0),
		"slanted":    hatched(7, 6, 0.1, 31),
		"two passes": join(hatched(7, 6, 0.1, 0), hatched(7, 6, 0.1, 0)),
		"crossed":    join(hatched(7, 7, 0.1, 0), hatched(7, 7, 0.1, 90)),
	} {
		for _, width := range []float64{0.08, 0.1, 0.23} {
			for _, shift := range []float64{0, 0.033, 0.05, 0.081} {
				if n++; n%2 == 0 && !outside.Strict() { // any half of them
					continue
				}
				p := prog.Transform(path.Translate(shift, shift))
				for _, show := range []density.Show{density.ShowDensity, density.ShowDose} {
					o := withFacts(p, density.Options{Show: show, MarkWidthMM: width})
					at := drawn(t, p, o)
					paper, inside := at(-4.9, 4.9), at(0, 0)
					for y := -4.95; y < 5; y += 0.1 {
						for x := -4.95; x < 5; x += 0.1 {
							off := offLine(at(x, y), paper, inside)
							require.LessOrEqual(t, off, 20.0, "%s, %v, width %g, shift %g, at %g, %g", name, show,
								width, shift, x, y)
						}
					}
				}
			}
		}
	}
}

// A bar of 6 x 4 mm, of rows that keep half of a mark's width from its edges, is 6 mm
// long and 4 mm high in the picture of the finish: by adding up how much of each pixel
// has the tone, along and across.
func TestABarIsAsLongAsItIsDrawn(t *testing.T) {
	black, white := color.RGBA{0, 0, 0, 255}, color.RGBA{255, 255, 255, 255}
	for _, width := range []float64{0.1, 0.15, 0.31, 0.8} {
		for _, shift := range []float64{0, 0.03, 0.07} {
			spacing := (4 - width) / math.Floor((4-width)/0.1)
			bar := hatched(6-width, 4-width+spacing, spacing, 0)
			bar = bar.Transform(path.Translate(shift, shift))
			require.InDelta(t, 4, density.Marked(bar, width).H(), 1e-9)
			require.InDelta(t, 6, density.Marked(bar, width).W(), 1e-9)
			o := density.Options{Show: density.ShowFinish, MarkWidthMM: width, Ground: white,
				Tones: []color.RGBA{black}}
			at := drawn(t, bar, o)
			along, across := 0.0, 0.0
			for v := -4.95; v < 5; v += 0.1 {
				along += 0.1 * (1 - luma(at(v, 0.05))/255)
				across += 0.1 * (1 - luma(at(0.05, v))/255)
			}
			assert.InDelta(t, 4, across, 0.03, "width %g, shift %g", width, shift)
			assert.InDelta(t, 6, along, 0.05, "width %g, shift %g: the ends are round", width, shift)
		}
	}
}

// Marks without rows end in half discs: the area is that of a stadium.
func TestALoneMarkIsAStadium(t *testing.T) {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100}}}
	p.Append(path.Stroke{}, path.Point{X: -2.02}, path.Point{X: 2.02})
	for _, show := range []density.Show{density.ShowFinish, density.ShowRows} {
		at := drawn(t, p, density.Options{Show: show, MarkWidthMM: 1.5})
		sum, full := 0.0, 255-luma(at(0, 0))
		for y := -4.95; y < 5; y += 0.1 {
			for x := -4.95; x < 5; x += 0.1 {
				sum += 0.01 * (255 - luma(at(x, y))) / full
			}
		}
		assert.InDelta(t, 4.04*1.5+math.Pi/4*1.5*1.5, sum, 0.06, show.String())
	}
}

// The first mark's start and the last one's end are shown, a disc in a circle where
// they are one.
func TestSequenceShowsStartAndEnd(t *testing.T) {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100}}}
	p.Append(path.Stroke{}, path.Point{X: -3, Y: -3}, path.Point{X: 3, Y: -3})
	p.Append(path.Stroke{}, path.Point{X: 3, Y: 3}, path.Point{X: -3, Y: 3})
	at := drawn(t, p, withFacts(p, density.Options{Show: density.ShowSequence, MarkWidthMM: 0.2}))
	ink := func(x, y float64) bool { return luma(at(x, y)) < 60 }
	assert.True(t, ink(-3, -3), "the disc's middle")
	assert.False(t, ink(-3, -3.7), "beside the disc")
	ring := 0
	for i := range 40 {
		sin, cos := math.Sincos(float64(i) * math.Pi / 20)
		if ink(-3+0.8*cos, 3+0.8*sin) {
			ring++
		}
	}
	assert.Greater(t, ring, 20, "the circle, half a text's height from its middle")
}
