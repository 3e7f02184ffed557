package density

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"furrow/path"
	"furrow/raster/grid"
)

func TestEvenWidth(t *testing.T) {
	for name, c := range map[string]struct{ width, spacing, from, want float64 }{
		"rows that the pixels resolve":   {0.1, 0.4, 0.3, 0.1},
		"rows as close as pixels":        {0.1, 0.1, 0.3, 0.1},
		"rows much closer":               {0.08, 0.03, 0.3, 0.09},
		"a mark wider than two spacings": {0.5, 0.2, 0.3, 0.6},
		"no rows":                        {0.05, 0, 0.3, 0.05},
	} {
		assert.InDelta(t, c.want, evenWidth(c.width, c.spacing, c.from), 1e-12, name)
	}
}

// Laid evenly, rows closer than three pixels make one tone, and the sum is kept.
// Their spacing is measured.
func TestEvenBrushesMakeOneTone(t *testing.T) {
	for _, pixel := range []float64{0.09, 0.13, 0.1, 0.31} {
		p := path.Program{Settings: []path.Setting{{}}}
		for k := range 400 {
			y := float64(k) * 0.1
			p.Append(path.Stroke{}, path.Point{Y: y}, path.Point{X: 20, Y: y})
		}
		g := grid.New(p.Bounds().Grow(2), 1/pixel)
		d := drawing{prog: p, g: g}
		l := lay(p, newLayer(g), nil, d.even(0.07, resolved), nil)
		sum := 0.0
		for i, v := range l.Value {
			sum += float64(v)
			at := math.Floor(float64(i)/float64(g.W)) * pixel
			if across := float64(i%g.W) * pixel; at > 4 && at < 40 && across > 3 && across < 20 {
				assert.InEpsilon(t, 10, v, 1e-4, "pixels of %g mm", pixel)
			}
		}
		assert.InEpsilon(t, 400*20, sum/(g.PxPerMM*g.PxPerMM), 0.001, "pixels of %g mm", pixel)
	}
}

func TestSpacingIsMeasured(t *testing.T) {
	row := func(p *path.Program, x0, x1, y float64) {
		p.Append(path.Stroke{}, path.Point{X: x0, Y: y}, path.Point{X: x1, Y: y})
	}
	var rows, pieces, ragged, single path.Program
	for k := range 20 {
		y := math.Round(float64(k)*63.5) / 1000 // as a file rounds it
		row(&rows, 0, 10, y)
		row(&pieces, 0, 4, y)
		row(&pieces, 6, 10, y)
		row(&ragged, 0, 10, float64(k*k)/100)
	}
	row(&single, 0, 1, 0)
	slanted := rows.Transform(path.Rotate(33))
	for name, p := range map[string]path.Program{"rows": rows, "pieces": pieces, "slanted": slanted} {
		assert.InDelta(t, 0.0635, spacingOf(p), 0.001, name)
	}
	for name, p := range map[string]path.Program{"ragged": ragged, "single": single, "none": {}} {
		assert.Zero(t, spacingOf(p), name)
	}
}

// spacingOf returns the spacing measured in the direction of the first stroke.
func spacingOf(p path.Program) float64 {
	dir := 0
	if len(p.Strokes) > 0 {
		dir = directionOf(p.PointsOf(0))
	}
	return common(rowGaps(p)[0][dir])
}

func TestMeasureRows(t *testing.T) {
	var p path.Program
	for k := range 30 {
		y := float64(k) * 0.1
		p.Append(path.Stroke{}, path.Point{X: 10, Y: y}, path.Point{Y: y})
	}
	crossed := p.Transform(path.Rotate(90))
	for i := range crossed.Strokes[:20] {
		p.Append(path.Stroke{}, crossed.PointsOf(i)...)
	}
	p = p.Transform(path.Rotate(-30))
	got := MeasureRows(p)
	assert.Len(t, got, 2)
	for i, want := range []float64{150, 60} {
		assert.InDelta(t, want, got[i].Degrees, 1e-9)
		assert.InDelta(t, 0.1, got[i].SpacingMM, 1e-9)
	}
	assert.Empty(t, MeasureRows(path.Program{}))
}

// A short mark whose direction a grid of 0.001 mm has turned does not stand for its rows,
// though it comes first.
func TestMeasureRowsBehindAShortMark(t *testing.T) {
	var p path.Program
	p.Append(path.Stroke{}, path.Point{X: 5, Y: -0.2}, path.Point{X: 5.054, Y: -0.199})
	for k := range 30 {
		y := float64(k) * 0.1
		p.Append(path.Stroke{}, path.Point{Y: y}, path.Point{X: 10, Y: y})
	}
	got := MeasureRows(p)
	assert.Len(t, got, 1)
	assert.InDelta(t, 0, got[0].Degrees, 1e-9)
	assert.InDelta(t, 0.1, got[0].SpacingMM, 1e-9)
}

// Crosses 13 mm apart are no rows.
func TestMeasureRowsOfCrosses(t *testing.T) {
	var p path.Program
	for i := range 81 {
		c := path.Point{X: 13 * float64(i%9), Y: 13 * float64(i/9)}
		p.Append(path.Stroke{}, c.Add(path.Point{X: -1.5}), c.Add(path.Point{X: 1.5}))
		p.Append(path.Stroke{}, c.Add(path.Point{Y: -1.5}), c.Add(path.Point{Y: 1.5}))
	}
	assert.Empty(t, MeasureRows(p))
}
