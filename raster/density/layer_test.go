package density_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"furrow/path"
	"furrow/raster/density"
	"furrow/raster/grid"
)

// hatched returns a rectangle of w x h mm round the origin, filled with rows
// spacing apart and then turned.
func hatched(w, h, spacing, degrees float64) path.Program {
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.5, SpacingMM: spacing}}}
	n := int(math.Round(h / spacing))
	for k := range n {
		y := (float64(k) - float64(n-1)/2) * spacing
		p.Append(path.Stroke{}, path.Point{X: -w / 2, Y: y}, path.Point{X: w / 2, Y: y})
	}
	return p.Transform(path.Rotate(degrees))
}

// join returns the strokes of all programs, with the settings of the first.
func join(programs ...path.Program) path.Program {
	p := path.Program{Settings: programs[0].Settings}
	for _, q := range programs {
		for i, s := range q.Strokes {
			p.Append(s, q.PointsOf(i)...)
		}
	}
	return p
}

func length(p path.Program) (sum float64) {
	for i := range p.Strokes {
		pts := p.PointsOf(i)
		for j := 1; j < len(pts); j++ {
			sum += pts[j-1].Dist(pts[j])
		}
	}
	return sum
}

func total(l *density.Layer) (sum float64) {
	for _, v := range l.Value {
		sum += float64(v)
	}
	return sum / (l.PxPerMM * l.PxPerMM)
}

// mean returns the mean value over a square round the origin.
func mean(l *density.Layer, side float64) float64 { return meanAt(l, path.Point{}, side) }

// meanAt returns the mean value over a square round a place, to the nearest pixels.
func meanAt(l *density.Layer, c path.Point, side float64) float64 {
	a := l.Pixel(path.Point{X: c.X - side/2, Y: c.Y + side/2})
	b := l.Pixel(path.Point{X: c.X + side/2, Y: c.Y - side/2})
	sum, n := 0.0, 0
	for y := int(math.Round(a.Y)); y < int(math.Round(b.Y)); y++ {
		for x := int(math.Round(a.X)); x < int(math.Round(b.X)); x++ {
			sum += float64(l.Value[y*l.W+x])
			n++
		}
	}
	return sum / float64(n)
}

// Rows s apart lay down 1/s of length per area: plain geometry.
func TestMeanDensityOfRowsIsOneOverSpacing(t *testing.T) {
	const s = 0.1
	for _, c := range []struct {
		name string
		prog path.Program
		want float64
	}{
		{"0 degrees", hatched(16, 16, s, 0), 1 / s},
		{"90 degrees", hatched(16, 16, s, 90), 1 / s},
		{"45 degrees", hatched(16, 16, s, 45), 1 / s},
		{"17 degrees", hatched(16, 16, s, 17), 1 / s},
		{"crossed", join(hatched(16, 16, s, 0), hatched(16, 16, s, 90)), 2 / s},
		{"crossed at 45 degrees", join(hatched(16, 16, s, 45), hatched(16, 16, s, 135)), 2 / s},
	} {
		for _, pxPerMM := range []float64{2, 9.7, 31} {
			for _, width := range []float64{0.03, 0.1, 0.22} {
				l := density.Density(c.prog, grid.New(c.prog.Bounds().Grow(1), pxPerMM), width)
				assert.InEpsilon(t, c.want, mean(l, 100*s), 0.01, "%s, %g px/mm, mark %g mm", c.name, pxPerMM, width)
			}
		}
	}
}

// So it does over any square inside with sides of at least 100 spacings, at any
// angle.
func TestMeanDensityOfAnyInteriorSquare(t *testing.T) {
	const s, seed = 0.05, 4
	rnd := rand.New(rand.NewPCG(seed, seed))
	for range 40 {
		degrees := 360 * rnd.Float64()
		rows := hatched(20, 20, s, degrees)
		want := 1 / s
		if rnd.IntN(2) == 1 {
			rows, want = join(rows, hatched(20, 20, s, degrees+90)), 2/s
		}
		pxPerMM, width := 3+30*rnd.Float64(), 0.01+0.2*rnd.Float64()
		l := density.Density(rows, grid.New(rows.Bounds().Grow(1), pxPerMM), width)
		for range 10 {
			side := 100 * s * (1 + rnd.Float64())
			room := 9.5 - side/math.Sqrt2 // its corners lie in the turned square's inner circle
			far, dir := room*rnd.Float64(), 2*math.Pi*rnd.Float64()
			at := path.Point{X: far * math.Cos(dir), Y: far * math.Sin(dir)}
			assert.InEpsilon(t, want, meanAt(l, at, side), 0.01,
				"seed %d: %g degrees, %g px/mm, mark %g mm, %g mm at %v", seed, degrees, pxPerMM, width, side, at)
		}
	}
}

// Density times area, summed, is the marked length, whatever the angle, the
// pixel and the width of the mark.
func TestDensityKeepsTheMarkedLength(t *testing.T) {
	const seed = 20
	rnd := rand.New(rand.NewPCG(seed, seed))
	p := path.Program{}
	for range 500 {
		pts := make([]path.Point, 2+rnd.IntN(6))
		for i := range pts {
			pts[i] = path.Point{X: 40 * rnd.Float64(), Y: 30 * rnd.Float64()}
		}
		p.Append(path.Stroke{Kind: path.LineStroke}, pts...)
	}
	for _, pxPerMM := range []float64{0.4, 3, 20} {
		for _, width := range []float64{0.01, 0.08, 1} {
			l := density.Density(p, grid.New(p.Bounds().Grow(1+2/pxPerMM), pxPerMM), width)
			assert.InEpsilon(t, length(p), total(l), 0.001, "seed %d, %g px/mm, mark %g mm", seed, pxPerMM, width)
		}
	}
}

func TestDensityOfNothing(t *testing.T) {
	l := density.Density(path.Program{}, grid.New(path.Rect{}, 10), 0.1)
	assert.Zero(t, l.Max())
}
