package hatch

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// The middle of the longest stretch, by hand: an L of six corners, whose longest side is
// in two edges with a doubled point; of a ring with one corner, half of the way round.
func TestLongestStretch(t *testing.T) {
	ring := []path.Point{{}, {X: 6}, {X: 6}, {X: 10}, {X: 10, Y: 2}, {X: 2, Y: 2}, {X: 2, Y: 5}, {Y: 5}}
	edge, along := longestStretch(ring, []int{0, 3, 4, 5, 6, 7})
	require.Equal(t, 0, edge)
	require.InDelta(t, 5, along, 1e-12)
	edge, along = longestStretch(ring, []int{3, 5}) // 2 + 8 mm, and 3 + 2 + 5 + 10
	require.Equal(t, 7, edge, "3 + 2 mm on, and half of the side down")
	require.InDelta(t, 5, along, 1e-12)
	edge, along = longestStretch(ring, []int{5}) // all round, 30 mm
	require.Equal(t, 0, edge)
	require.InDelta(t, 5, along, 1e-12)
	edge, along = longestStretch([]path.Point{{X: 1}, {X: 1}, {X: 1}}, []int{0})
	require.Zero(t, along)
	require.Less(t, edge, 3)
}

// A line of equal paint lies within the tolerance of its ellipse, however flat it is:
// the middles of its chords, and its corners exactly.
func TestLinesOfEqualPaint(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 7))
	for range 100 {
		back := path.Rotate(360 * r.Float64()).Mul(path.Scale(0.2+20*r.Float64(), 0.2+20*r.Float64()))
		g := &path.Gradient{Radial: true, Focus: path.Point{X: 0.3}, Start: 0.5 * r.Float64()}
		at, tolerance := 0.2+2*r.Float64(), 0.001+0.02*r.Float64()
		ring := circleAt(g, at, back, tolerance)
		to, ok := back.Inverse()
		require.True(t, ok)
		c, radius := path.Point{X: 0.3 * (1 - at)}, g.Start+at*(1-g.Start)
		for i, p := range ring {
			require.InDelta(t, radius, to.Apply(p).Dist(c), 1e-9)
			m := p.Lerp(ring[(i+1)%len(ring)], 0.5)
			u := to.Apply(m).Sub(c)
			on := back.Apply(c.Add(u.Mul(radius / u.Len())))
			require.LessOrEqual(t, m.Dist(on), tolerance*1.001, "%d chords", len(ring))
		}
		require.Less(t, len(ring), int(8+2*math.Pi/math.Acos(1-tolerance/(41*radius))),
			"no finer than the larger axis asks for")
	}
	require.Nil(t, circleAt(&path.Gradient{Start: 0.5}, -1, path.Identity, 0.01), "no circle")
}

// The signed area and the breadth of rings, by hand.
func TestRingsByHand(t *testing.T) {
	triangle := []path.Point{{X: 5, Y: 5}, {X: 9, Y: 5}, {X: 5, Y: 8}}
	require.InDelta(t, 6, area(triangle), 1e-12)
	require.InDelta(t, -6, area([]path.Point{triangle[0], triangle[2], triangle[1]}), 1e-12)
	require.InDelta(t, 3, breadth(triangle), 1e-12)
	require.InDelta(t, 12, way(triangle, 0, 0), 1e-12)
	require.InDelta(t, 4, way(triangle, 0, 1), 1e-12)
	require.InDelta(t, 8, way(triangle, 1, 0), 1e-12)
}

// A gap as wide as may be closed is closed, and a span as short as may be is kept.
func TestTidyingToTheBound(t *testing.T) {
	row := func() []path.Span { return []path.Span{{X0: 0, X1: 2}, {X0: 3, X1: 4}, {X0: 4.5, X1: 7}} }
	require.Equal(t, []path.Span{{X0: 0, X1: 7}}, joinNear(row(), 1))
	require.Equal(t, []path.Span{{X0: 0, X1: 2}, {X0: 3, X1: 7}}, joinNear(row(), 0.75))
	require.Equal(t, row(), joinNear(row(), 0.25))
	require.Equal(t, row(), (&tidier{shortest: 1}).dropShort(row()))
	short := tidier{shortest: 2.5}
	require.Equal(t, []path.Span{{X0: 4.5, X1: 7}}, short.dropShort(row()))
	require.Equal(t, Dust{Spans: 2, MM: 3}, short.dust())
}

// The blends of W3C's Compositing and Blending Level 1 (10.1, from memory), of a backdrop
// and a source, by hand.
func TestBlendsByHand(t *testing.T) {
	for _, c := range []struct {
		mode    path.Blend
		b, s, w float64
	}{
		{path.Normal, 0.3, 0.8, 0.8}, {path.Multiply, 0.3, 0.5, 0.15}, {path.Screen, 0.25, 0.5, 0.625},
		{path.Darken, 0.3, 0.5, 0.3}, {path.Lighten, 0.3, 0.5, 0.5},
		{path.Overlay, 0.25, 0.4, 0.2}, {path.Overlay, 0.75, 0.4, 0.7}, {path.HardLight, 0.4, 0.25, 0.2},
		{path.HardLight, 0.4, 0.75, 0.7},
		{path.ColourDodge, 0.3, 0.5, 0.6}, {path.ColourDodge, 0.8, 0.5, 1}, {path.ColourDodge, 0, 1, 0},
		{path.ColourDodge, 0.3, 1, 1},
		{path.ColourBurn, 0.7, 0.5, 0.4}, {path.ColourBurn, 0.2, 0.5, 0}, {path.ColourBurn, 1, 0, 1},
		{path.ColourBurn, 0.5, 0, 0},
		{path.SoftLight, 0.5, 0.25, 0.375}, {path.SoftLight, 0.5, 0.75, 0.603553}, {path.SoftLight, 0.3, 0.75,
			0.423861}, {path.SoftLight, 0.25, 0.75, 0.375},
		{path.SoftLight, 0.16, 0.75, 0.279168},
		{path.Difference, 0.3, 0.5, 0.2}, {path.Difference, 0.5, 0.3, 0.2}, {path.Exclusion, 0.25, 0.5, 0.5},
	} {
		require.InDelta(t, c.w, blended(c.mode, c.b, c.s), 1e-6, "%+v", c)
	}
}

// What is left of a polyline keeps its ends, is some of its points in their sequence, and
// passes all others within the tolerance; none of it could be left out alone.
func TestSimplifiedLines(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 5))
	for range 200 {
		var pts []path.Point
		at := path.Point{}
		for range 2 + r.IntN(40) {
			at = at.Add(path.Point{X: r.Float64(), Y: r.NormFloat64() * 0.2})
			pts = append(pts, at)
		}
		tolerance := 0.3 * r.Float64()
		got := simplify(pts, tolerance)
		require.Equal(t, pts[0], got[0])
		require.Equal(t, pts[len(pts)-1], got[len(got)-1])
		k := 0
		for _, p := range pts {
			if k < len(got) && p == got[k] {
				k++
				continue
			}
			require.LessOrEqual(t, p.Dist(nearestOn(p, got[k-1], got[k])), tolerance+1e-12)
		}
		require.Equal(t, len(got), k)
	}
	straight := []path.Point{{}, {X: 1}, {X: 2, Y: 0.09}, {X: 3}, {X: 4}}
	require.Len(t, simplify(straight, 0.1), 2)
	require.Equal(t, []path.Point{{}, {X: 2, Y: 0.09}, {X: 4}}, simplify(straight, 0.05))
	require.True(t, turnsBack([]path.Point{{}, {X: 1}}, path.Point{X: 0.5, Y: 9}))
	require.False(t, turnsBack([]path.Point{{}, {X: 1}}, path.Point{X: 1.5, Y: 9}))
	require.False(t, turnsBack([]path.Point{{X: 1}}, path.Point{}), "one point has no direction")
}

// A mix of colours that are not opaque, co = cs·(1−αb) + cb·(1−αs) + αs·αb·B(Cb, Cs), by hand.
func TestMixesByHand(t *testing.T) {
	near := func(want, got colour) {
		t.Helper()
		require.InDeltaSlice(t, []float64{want.r, want.g, want.b, want.a}, []float64{got.r, got.g, got.b, got.a}, 1e-12)
	}
	source := colour{0.2, 0.1, 0.4, 0.4} // 0.5, 0.25 and 1 at 0.4
	near(colour{0.5*0.6 + 0.4*0.25, 0.5*0.6 + 0.4*0.125, 0.5*0.6 + 0.4*0.5, 1},
		mix(path.Multiply, colour{0.5, 0.5, 0.5, 1}, source))
	near(colour{0.2*0.4 + 0.3*0.6 + 0.24*0.25, 0.1*0.4 + 0.3*0.6 + 0.24*0.125, 0.4*0.4 + 0.3*0.6 + 0.24*0.5, 0.76},
		mix(path.Multiply, colour{0.3, 0.3, 0.3, 0.6}, source))
	near(colour{0.2*0.4 + 0.3*0.6 + 0.24*0.75, 0.1*0.4 + 0.3*0.6 + 0.24*0.625, 0.4*0.4 + 0.3*0.6 + 0.24*1, 0.76},
		mix(path.Screen, colour{0.3, 0.3, 0.3, 0.6}, source))
	near(source, mix(path.Multiply, colour{}, source))
	near(colour{0.3, 0.3, 0.3, 0.6}, mix(path.Multiply, colour{0.3, 0.3, 0.3, 0.6}, colour{}))
	near(colour{0.2 + 0.3*0.6, 0.1 + 0.3*0.6, 0.4 + 0.3*0.6, 0.76}, mix(path.Normal, colour{0.3, 0.3, 0.3, 0.6},
		source))
	near(colour{0.1, 0.05, 0.2, 0.2}, source.fade(0.5))
	require.InDelta(t, 0.1+0.6, source.least(), 1e-12)
	require.InDelta(t, 0.2125*0.2+0.7154*0.1+0.0721*0.4, source.luminance(), 1e-12)
	near(colour{0.25, 0.125, 0.5, 0.5}, newColour(path.Paint{R: 0.5, G: 0.25, B: 1, Opacity: 0.5}))
	near(colour{0.5, 0.25, 1, 1}, newColour(path.Paint{R: 0.5, G: 0.25, B: 1, Opacity: 1.5}))
	near(colour{}, newColour(path.Paint{R: 0.5, Opacity: -1}))
}
