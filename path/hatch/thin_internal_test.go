package hatch

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// round is a circle of n corners, counter-clockwise.
func round(c path.Point, r float64, n int) (ring []path.Point) {
	for i := range n {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(n))
		ring = append(ring, c.Add(path.Point{X: r * cos, Y: r * sin}))
	}
	return ring
}

func bar10(y, height float64) []path.Point {
	return plate(0, y, 10, y+height).Path.Points
}

// A dot gets a dash of twice the tolerance in its middle where its radius is between the
// two bounds; a bar a line along its middle, from where both its sides face each other; and
// a hole's ring a closed one.
func TestCentresByHand(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		dashes int
	}{{0, 0.6, 1}, {0.3, 0.6, 1}, {0.49, 0.51, 1}, {0.51, 0.6, 0}, {0.1, 0.49, 0}, {0, 0.3, 0}} {
		lines := centres([][]path.Point{round(path.Point{X: 3, Y: -2}, 0.5, 60)}, nil, c.lo, c.hi, 0.01)
		require.Len(t, lines, c.dashes, "%+v", c)
		if c.dashes == 1 {
			require.Len(t, lines[0].Points, 2)
			require.InDelta(t, 0, lines[0].Points[0].Dist(path.Point{X: 2.99, Y: -2}), 2e-3)
			require.InDelta(t, 0, lines[0].Points[1].Dist(path.Point{X: 3.01, Y: -2}), 2e-3)
			require.False(t, lines[0].Closed)
		}
	}
	for _, height := range []float64{1, 0.2} {
		for lo, n := range map[float64]int{0: 1, 0.45 * height: 1, 0.55 * height: 0} {
			lines := centres([][]path.Point{bar10(3, height)}, nil, lo, 0.6, 0.001)
			require.Len(t, lines, n, "%g %g", height, lo)
			if n == 0 {
				continue
			}
			ends := path.BoundsOf(lines[0].Points)
			require.InDelta(t, 3+height/2, ends.Min.Y, 1e-6)
			require.InDelta(t, 3+height/2, ends.Max.Y, 1e-6)
			require.InDelta(t, height/2, ends.Min.X, height/2)
			require.InDelta(t, 10-height/2, ends.Max.X, height/2)
			require.Len(t, lines[0].Points, 2, "it is straight")
		}
	}
	require.Empty(t, centres([][]path.Point{bar10(0, 1)}, nil, 0, 0.45, 0.001), "too wide")
	pipe := [][]path.Point{round(path.Point{}, 2, 90), backwards(round(path.Point{}, 1.6, 90))}
	lines := centres(pipe, nil, 0, 0.3, 0.002)
	require.Len(t, lines, 1)
	require.True(t, lines[0].Closed)
	for _, p := range lines[0].Points {
		require.InDelta(t, 1.8, p.Len(), 5e-3)
	}
	require.InDelta(t, 2*math.Pi*1.8, length(&lines[0]), 0.1)
	two := centres([][]path.Point{bar10(0, 0.5), bar10(4, 0.5), round(path.Point{X: 20}, 0.25, 40)}, nil, 0, 0.6, 0.001)
	require.Len(t, two, 3, "each by itself")
	// Only the edges that are marked count: of a bar its lower side alone has nothing opposite.
	require.Empty(t, centres([][]path.Point{bar10(0, 0.5)}, []bool{true, false, false, false}, 0, 0.6, 0.001))
	require.Len(t, centres([][]path.Point{bar10(0, 0.5)}, []bool{true, false, true, false}, 0, 0.6, 0.001), 1)
	require.Empty(t, centres(nil, nil, 0, 1, 0.1))
}

// What is alike all along is one line, however it bends; where a part ends, so does it, and
// goes on in the next.
func TestCentresOfBends(t *testing.T) {
	var ring []path.Point // half a ring of width 0.4
	for i := range 61 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 60)
		ring = append(ring, path.Point{X: 5 * cos, Y: 5 * sin})
	}
	for i := range 61 {
		sin, cos := math.Sincos(math.Pi * float64(60-i) / 60)
		ring = append(ring, path.Point{X: 4.6 * cos, Y: 4.6 * sin})
	}
	lines := centres([][]path.Point{ring}, nil, 0, 0.3, 0.002)
	require.Len(t, lines, 1)
	require.InDelta(t, math.Pi*4.8, length(&lines[0]), 0.6)
	for _, p := range lines[0].Points {
		require.InDelta(t, 4.8, p.Len(), 0.02)
	}
	bell := []path.Point{{}, {X: 5}, {X: 5, Y: 2}, {X: 9, Y: 2}, {X: 9}, {X: 14}, {X: 14, Y: 5}, {X: 9, Y: 5},
		{X: 9, Y: 3}, {X: 5, Y: 3}, {X: 5, Y: 5}, {Y: 5}}
	lines = centres([][]path.Point{bell}, nil, 0, 0.7, 0.002)
	require.Len(t, lines, 1, "the bar alone")
	ends := path.BoundsOf(lines[0].Points)
	require.InDelta(t, 2.5, ends.Min.Y, 0.01)
	require.InDelta(t, 2.5, ends.Max.Y, 0.01)
	require.InDelta(t, 5, ends.Min.X, 0.6)
	require.InDelta(t, 9, ends.Max.X, 0.6)
}

// Contours of a bar are rings at half a spacing and a whole one more each, and a line along
// its middle where more than a spacing is left between the last; none of less.
func TestContoursOfABar(t *testing.T) {
	for height, want := range map[float64]struct {
		rings int
		line  bool
	}{0.9: {0, true}, 1.5: {1, false}, 2.3: {1, true}, 2.6: {1, true}, 3.5: {2, false}} {
		fill := &Group{Setting: path.Setting{SpacingMM: 1}}
		lines, err := contours(&enclosed{rings: [][]path.Point{plate(0, 0, 20, height).Path.Points}}, fill, 0.01)
		require.NoError(t, err)
		rings, open := 0, 0
		for _, l := range lines {
			if l.Closed {
				box := path.BoundsOf(l.Points)
				require.InDelta(t, 0.5+float64(rings), box.Min.Y, 1e-6, height)
				require.InDelta(t, height-0.5-float64(rings), box.Max.Y, 1e-6, height)
				rings++
			} else {
				require.InDelta(t, height/2, l.Points[0].Y, 1e-6)
				require.InDelta(t, 20-height, length(&l), height)
				open++
			}
		}
		require.Equal(t, want.rings, rings, height)
		require.Equal(t, want.line, open == 1, "%g: %d", height, open)
	}
	fill := &Group{Setting: path.Setting{SpacingMM: 1}, Inset: 0.2}
	lines, err := contours(&enclosed{rings: [][]path.Point{plate(0, 0, 20, 2.9).Path.Points}}, fill, 0.01)
	require.NoError(t, err)
	require.Len(t, lines, 2, "at 0.2 and 1.2")
	require.InDelta(t, 0.2, path.BoundsOf(lines[0].Points).Min.Y, 1e-6)
	require.InDelta(t, 1.2, path.BoundsOf(lines[1].Points).Min.Y, 1e-6)
}

// The tip of a tooth that nearly reaches a long side is found wherever it stands, though
// only a short stretch of the side is as near to it.
func TestTipsBesideLongSides(t *testing.T) {
	for x := 2.0; x < 17; x += 0.37 {
		ring := []path.Point{{}, {X: 20}, {X: 20, Y: 4}, {X: x + 1.5, Y: 4}, {X: x, Y: 0.58},
			{X: x - 1.5, Y: 4}, {Y: 4}}
		lines := centres([][]path.Point{ring}, nil, 0, 0.3, 0.001)
		require.Len(t, lines, 1, x)
		box := path.BoundsOf(lines[0].Points)
		require.InDelta(t, x, box.Centre().X, 0.1)
		require.InDelta(t, 0.29, box.Min.Y, 0.02)
	}
}

// What a group makes pale is told with the area that shows.
func TestPaleByTheirGroup(t *testing.T) {
	for opacity, pale := range map[float64]bool{1.5: false, 0.1: true, 0.2: true, 0.3: false, 0.5: false} {
		s := plate(0, 0, 4, 3)
		s.In = &path.PaintGroup{Opacity: opacity}
		_, report, err := Fill(path.Artwork{Shapes: []path.Shape{plate(9, 0, 12, 3), s}},
			Settings{Groups: []Group{{Setting: path.Setting{SpacingMM: 0.05}}}})
		require.NoError(t, err)
		require.Equal(t, pale, len(report.Pale) == 1, opacity)
		if pale {
			require.Equal(t, 1, report.Pale[0].Shape)
			require.InDelta(t, 12, report.Pale[0].Area, 1e-3)
		}
	}
}

// outlined is a stroke along a square of 4 mm, as wide as told.
func outlined(width float64) path.Shape {
	s := plate(-width/2, -width/2, 4+width/2, 4+width/2)
	inner := plate(width/2, width/2, 4-width/2, 4-width/2).Path
	s.Path.Verbs, s.Path.Points = append(s.Path.Verbs, inner.Verbs...), append(s.Path.Points, inner.Points...)
	s.Rule, s.Width, s.Centre = path.EvenOdd, width, plate(0, 0, 4, 4).Path
	return s
}

// A thin stroke is traced once along its middle, closed where it is whole; what lies on top
// cuts it, and pieces go on over its start.
func TestThinSquaresByHand(t *testing.T) {
	white := func(s path.Shape) path.Shape {
		s.Paint = path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
		return s
	}
	traced := func(width float64, shapes ...path.Shape) []path.Line {
		marks, _, err := Fill(path.Artwork{Shapes: shapes}, Settings{Groups: []Group{{
			Setting: path.Setting{SpacingMM: 0.1}, MarkWidth: width}}})
		require.NoError(t, err)
		return marks.Lines
	}
	thin := outlined(0.05)
	lines := traced(0.1, thin)
	require.Len(t, lines, 1)
	require.True(t, lines[0].Closed)
	require.Equal(t, []path.Point{{}, {X: 4}, {X: 4, Y: 4}, {Y: 4}}, lines[0].Points)
	require.Empty(t, traced(0.04, thin), "wide enough for rows")
	require.Empty(t, traced(0.1, white(thin)))
	lines = traced(0.1, thin, white(plate(1.5, 3, 2.5, 5)))
	require.Len(t, lines, 1)
	require.False(t, lines[0].Closed)
	requireNear(t, []path.Point{{X: 1.5, Y: 4}, {Y: 4}, {}, {X: 4}, {X: 4, Y: 4}, {X: 2.5, Y: 4}}, lines[0].Points)
	lines = traced(0.1, thin, white(plate(1.5, 3, 2.5, 5)), white(plate(3, -1, 9, 1)))
	require.Len(t, lines, 2)
	requireNear(t, []path.Point{{X: 1.5, Y: 4}, {Y: 4}, {}, {X: 3}}, lines[0].Points)
	requireNear(t, []path.Point{{X: 4, Y: 1}, {X: 4, Y: 4}, {X: 2.5, Y: 4}}, lines[1].Points)
	lines = traced(0.1, thin, white(plate(-1, -1, 1, 1)))
	require.Len(t, lines, 1)
	requireNear(t, []path.Point{{X: 1}, {X: 4}, {X: 4, Y: 4}, {Y: 4}, {Y: 1}}, lines[0].Points)
	require.Empty(t, traced(0.1, thin, plate(-1, -1, 5, 5)), "hidden below rows")
	clipped := thin
	clipped.Clips = []*path.Clip{{Shapes: []path.Shape{plate(-1, -1, 2, 2)}}}
	lines = traced(0.1, clipped)
	require.Len(t, lines, 1)
	requireNear(t, []path.Point{{Y: 2}, {}, {X: 2}}, lines[0].Points)
	shared := &path.Clip{Shapes: []path.Shape{plate(-1, -1, 5, 5)}} // by the even-odd rule, as if once
	shared.Shapes[0].Rule = path.EvenOdd
	lower, upper := thin, white(plate(1.5, 3, 2.5, 5))
	lower.Clips, upper.Clips = []*path.Clip{shared}, []*path.Clip{shared}
	lines = traced(0.1, lower, upper)
	require.Len(t, lines, 1)
	requireNear(t, []path.Point{{X: 1.5, Y: 4}, {Y: 4}, {}, {X: 4}, {X: 4, Y: 4}, {X: 2.5, Y: 4}}, lines[0].Points)
	twice := outlined(0.05)
	lines = traced(0.1, twice, thin)
	require.Len(t, lines, 1, "one drawn twice is marked once")
}
