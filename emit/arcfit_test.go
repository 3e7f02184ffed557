package emit_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func withArcs(p machine.Profile) machine.Profile {
	c := *p.GCode
	c.Arcs = true
	p.GCode = &c
	return p
}

// outlined is a curve as an outline, flattened within tolerance.
func outlined(curve path.Path, tolerance float64) path.Program {
	prog := path.Program{Settings: setting(50), ToleranceMM: tolerance}
	curve.Flatten(tolerance, func(pts []path.Point, _ bool) { prog.Append(path.Stroke{Kind: path.LineStroke}, pts...) })
	return prog
}

func circle(radius float64) path.Path {
	var p path.Path
	p.MoveTo(path.Point{X: radius})
	p.ArcTo(path.Point{}, path.Point{X: radius}, path.Point{Y: radius}, 0, -2*math.Pi, path.Point{X: radius})
	return p
}

// randomCurve is bends of all sizes, each going on where the last one ended.
func randomCurve(r *rand.Rand) path.Path {
	var p path.Path
	at := path.Point{X: 10 * r.Float64()}
	near := func() path.Point {
		return at.Add(path.Point{X: r.NormFloat64(), Y: r.NormFloat64()}.Mul(20 * r.Float64() * r.Float64()))
	}
	p.MoveTo(at)
	for range 4 {
		a, b, c := near(), near(), near()
		p.CubeTo(a, b, c)
		at = c
		a, b = near(), near()
		p.QuadTo(a, b)
		at = b
	}
	return p
}

// A circle is three arcs, or two and less than the chords of a third.
func TestArcsOfACircle(t *testing.T) {
	for _, radius := range []float64{0.5, 3, 40, 300} {
		for _, tolerance := range []float64{0.0005, 0.002, 0.01, 0.02} {
			moves := planned(t, outlined(circle(radius), tolerance), withArcs(gantry(nil)))
			require.Equal(t, emit.Clockwise, moves[1].Turn, "radius %g, tolerance %g", radius, tolerance)
			require.LessOrEqual(t, len(moves), 5, "radius %g, tolerance %g", radius, tolerance)
		}
	}
}

// What the file marks lies within twice the tolerance of the chords of the curve
// that was drawn, and the other way round, but for the rounding to the grid:
// of ends, of centres and of what the fit leaves to it.
func TestArcsKeepTheTolerance(t *testing.T) {
	const rounding = 0.0025
	for seed := range uint64(8) {
		curve := randomCurve(rand.New(rand.NewPCG(seed, 4)))
		for _, tolerance := range []float64{0.0005, 0.002, 0.01, 0.05, 0.2} {
			name := fmt.Sprintf("seed %d, tolerance %g", seed, tolerance)
			m, err := emit.Plan(outlined(curve, tolerance/2), withArcs(gantry(nil)))
			require.NoError(t, err)
			marked, err := m.Program()
			require.NoError(t, err)
			drawn := outlined(curve, tolerance/20)
			require.Less(t, farthest(marked.Points, drawn.Points), tolerance+rounding, name)
			require.Less(t, farthest(drawn.Points, marked.Points), tolerance+rounding, name)
		}
	}
}

// farthest returns the greatest distance of a vertex of line from way.
func farthest(line, way []path.Point) float64 {
	far := 0.0
	for _, p := range line {
		near := math.Inf(1)
		for i := range way[1:] {
			near = min(near, toPiece(p, way[i], way[i+1]))
		}
		far = max(far, near)
	}
	return far
}

// toPiece returns the distance of p from the straight piece from a to b.
func toPiece(p, a, b path.Point) float64 {
	d := b.Sub(a)
	if d == (path.Point{}) {
		return p.Dist(a)
	}
	t := max(0, min(1, p.Sub(a).Dot(d)/d.Dot(d)))
	return p.Dist(a.Add(d.Mul(t)))
}

// Fewer moves are what arcs are for.
func TestArcsSaveMoves(t *testing.T) {
	curve := randomCurve(rand.New(rand.NewPCG(1, 4)))
	prog := outlined(curve, 0.01)
	require.Less(t, 3*len(planned(t, prog, withArcs(gantry(nil)))), len(planned(t, prog, gantry(nil))))
}

// Corners stay corners: polygons whose sides an arc would leave by more than
// the tolerance, a straight line, and what is meant as it is.
func TestArcsLeavePolygonsAlone(t *testing.T) {
	for _, tt := range []struct {
		corners   int
		tolerance float64
	}{{2, 0.01}, {8, 0.01}, {40, 0.01}, {40, 0.05}, {400, 0}} {
		var pts []path.Point
		for i := range tt.corners + 1 {
			sin, cos := path.SinCos(360 * float64(i) / float64(tt.corners))
			pts = append(pts, path.Point{X: 20 * cos, Y: 20 * sin})
		}
		prog := path.Program{Settings: setting(50), ToleranceMM: tt.tolerance}
		prog.Append(path.Stroke{Kind: path.LineStroke}, pts...)
		for _, m := range planned(t, prog, withArcs(gantry(nil))) {
			require.Equal(t, emit.Straight, m.Turn, "%d corners", tt.corners)
		}
	}
}
