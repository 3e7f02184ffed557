package grid_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/raster/grid"

	"github.com/stretchr/testify/require"
)

// mark is a rectangle along a line with round ends.
type mark struct {
	a, b  path.Point
	width float64
}

func (m mark) on(s *grid.Samples) {
	s.Mark(m.a, m.b, m.width)
	s.Dot(m.a, m.width)
	s.Dot(m.b, m.width)
}

// holds reports, by the distance of a point from a line, that a place lies in it.
func (m mark) holds(c path.Point) bool {
	t := 0.0
	if d := m.b.Sub(m.a); d.Len() > 0 {
		t = min(1, max(0, c.Sub(m.a).Dot(d)/d.Dot(d)))
	}
	return c.Dist(m.a.Lerp(m.b, t)) < m.width/2
}

// What is covered is what a plain test of each of the 16 places of each pixel finds.
func TestSamplesAreThePlacesWithinAMark(t *testing.T) {
	g := grid.Grid{W: 23, H: 17, TopLeft: path.Point{X: -3, Y: 5}, PxPerMM: 3}
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 5))
		s := grid.NewSamples(g)
		var marks []mark
		for range 1 + r.IntN(4) {
			place := func() path.Point { return path.Point{X: -5 + 12*r.Float64(), Y: -3 + 10*r.Float64()} }
			m := mark{a: place(), b: place(), width: 0.12 + r.Float64()}
			switch r.IntN(4) {
			case 0:
				m.b.Y = m.a.Y
			case 1:
				m.b = m.a
			}
			marks = append(marks, m)
			m.on(s)
		}
		for y := range g.H {
			for x := range g.W {
				n := 0
				for k := range 16 {
					c := path.Point{X: -3 + (float64(x)+(float64(k%4)+0.5)/4)/3,
						Y: 5 - (float64(y)+(float64(k/4)+0.5)/4)/3}
					for _, m := range marks {
						if m.holds(c) {
							n++
							break
						}
					}
				}
				require.InDelta(t, float64(n)/16, float64(s.Share(y*g.W+x)), 1e-6, "seed %d: pixel %d, %d", seed, x, y)
			}
		}
	}
}

// Many marks over each other cover what one does, and the area is the stadium's.
func TestSamplesCountOnce(t *testing.T) {
	g := grid.Grid{W: 120, H: 60, TopLeft: path.Point{Y: 6}, PxPerMM: 10}
	s := grid.NewSamples(g)
	for range 5 {
		mark{path.Point{X: 3, Y: 3}, path.Point{X: 9, Y: 3}, 2}.on(s)
	}
	sum := 0.0
	for i := range g.W * g.H {
		sum += float64(s.Share(i)) / (g.PxPerMM * g.PxPerMM)
	}
	require.InDelta(t, 6*2+math.Pi, sum, 0.02)
}

// The thinnest line leaves a trace wherever it passes, and a line of no number none.
func TestSamplesCatchThinLines(t *testing.T) {
	g := grid.Grid{W: 10, H: 10, TopLeft: path.Point{Y: 10}, PxPerMM: 1}
	for i := range 20 {
		s := grid.NewSamples(g)
		at := 0.03 + float64(i)*0.5
		s.Mark(path.Point{X: at, Y: -5}, path.Point{X: at, Y: 15}, 1e-6)
		for y := range g.H {
			sum := float32(0)
			for x := range g.W {
				sum += s.Share(y*g.W + x)
			}
			require.Positive(t, sum, "at %g", at)
			require.LessOrEqual(t, sum, float32(0.5))
		}
	}
	s := grid.NewSamples(g)
	s.Mark(path.Point{X: math.NaN()}, path.Point{X: 5, Y: 5}, 1)
	s.Dot(path.Point{X: 50, Y: 50}, 1)
	s.Dot(path.Point{X: math.NaN()}, 1)
	for i := range 100 {
		require.Zero(t, s.Share(i))
	}
}
