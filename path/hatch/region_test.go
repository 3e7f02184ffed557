package hatch_test

import (
	"math"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

func TestInsetMovesEdgesInside(t *testing.T) {
	p := rowsOf(0.1)
	p.Inset = 0.05
	// The grid is that of the shape, so that the first row stays half a spacing
	// inside; a hole grows.
	m := fill(t, art(solid(rect(0, 0, 10, 10)), knock(rect(4, 4, 6, 6))), p)
	set := &m.Rows[0]
	require.Equal(t, 100, set.NumRows())
	requireRow := func(k int, want ...float64) {
		t.Helper()
		row := set.Row(k)
		require.Len(t, row, len(want)/2)
		for i, s := range row {
			require.InDelta(t, want[2*i], s.X0, 1e-6)
			require.InDelta(t, want[2*i+1], s.X1, 1e-6)
		}
	}
	requireRow(10, 0.05, 9.95)
	requireRow(50, 0.05, 3.95, 6.05, 9.95)
}

// Shapes that touch or overlap are one region: no inset where they meet.
func TestInsetUnitesWhatTouches(t *testing.T) {
	p := rowsOf(0.1)
	p.Inset = 0.05
	for _, second := range []path.Path{rect(5, 0, 10, 10), rect(3, 0, 10, 10), rect(5+5e-8, 0, 10, 10)} {
		m, r, err := hatch.Fill(art(solid(rect(0, 0, 5, 10)), solid(second)), hatch.Settings{Groups: []hatch.Group{p}})
		require.NoError(t, err)
		require.Equal(t, 100, r.Spans)
		require.InDelta(t, 9.9, m.Rows[0].Row(50)[0].X1-m.Rows[0].Row(50)[0].X0, 1e-6)
	}
}

// What an inset erases is traced once along its centre, and reported: a bar, a
// ring, a bent bar, the thin end of a wedge.
func TestThinPartsKeepACentrePass(t *testing.T) {
	p := rowsOf(0.1, 30)
	p.Inset = 0.1
	ring := both(disc(0, 0, 5.05), disc(0, 0, 4.95))
	bent := polygon(0, 0, 10, 0, 10, 10, 9.9, 10, 9.9, 0.1, 0, 0.1)
	for _, tt := range []struct {
		name   string
		shape  path.Shape
		lines  int
		length float64
		within float64
		rows   bool
	}{
		{"bar", solid(rect(0, 0, 10, 0.1)), 1, 10, 0.3, false},
		{"ring", evenOdd(ring), 1, 10 * math.Pi, 0.1, false},
		{"bent bar", solid(bent), 1, 19.9, 0.4, false},
		{"wedge", solid(polygon(0, -0.5, 10, 0, 0, 0.5)), 1, 2, 0.4, true},
		{"bar with a head", evenOdd(polygon(0, 0, 10, 0, 10, -1, 12, -1, 12, 1, 10, 1, 10, 0.1, 0, 0.1)),
			1, 10, 0.3, true},
		{"square", solid(rect(0, 0, 10, 10)), 0, 0, 0, true},
	} {
		m, r, err := hatch.Fill(art(tt.shape), hatch.Settings{Groups: []hatch.Group{p}})
		require.NoError(t, err)
		require.Equal(t, tt.rows, len(m.Rows) > 0, tt.name)
		require.Len(t, m.Lines, tt.lines, tt.name)
		require.Equal(t, tt.lines, r.Thin, tt.name)
		require.InDelta(t, tt.length, r.ThinMM, tt.within, tt.name)
	}
}

func TestOutlineOffsets(t *testing.T) {
	a := art(solid(rect(0, 0, 10, 10)), knock(rect(4, 4, 6, 6)))
	p := rowsOf(1)
	for _, d := range []float64{0, 0.5, -0.5} {
		p.Outline = hatch.Outline{When: hatch.Only, Offset: d}
		m := fill(t, a, p)
		require.Empty(t, m.Rows)
		require.Len(t, m.Lines, 2)
		round := 0.0
		if d > 0 {
			round = 2*math.Pi*d - 8*d // round corners outside
		}
		edge, hole := m.Lines[0], m.Lines[1]
		if edge.Before >= 0 {
			edge, hole = hole, edge
		}
		require.GreaterOrEqual(t, hole.Before, 0, "the hole comes before the edge")
		require.InDelta(t, 40+8*d+round, lineLength(edge), 1e-3, "the edge, outside by %v", d)
		corners := 0.0
		if d < 0 {
			corners = 8*d - 2*math.Pi*d
		}
		require.InDelta(t, 8-8*d+corners, lineLength(hole), 1e-3, "the hole, inside by %v", d)
	}
}

func lineLength(l path.Line) float64 {
	sum := 0.0
	for i := 1; i < len(l.Points); i++ {
		sum += l.Points[i-1].Dist(l.Points[i])
	}
	if l.Closed {
		sum += l.Points[len(l.Points)-1].Dist(l.Points[0])
	}
	return sum
}

func TestOutlineOverlap(t *testing.T) {
	p := rowsOf(1)
	p.Outline = hatch.Outline{When: hatch.Only, Overlap: 0.75}
	for _, a := range []path.Artwork{art(solid(rect(0, 0, 10, 10))), art(solid(disc(0, 0, 5)))} {
		m := fill(t, a, p)
		require.Len(t, m.Lines, 1)
		l := m.Lines[0]
		require.False(t, l.Closed)
		perimeter := 40.0
		if a.Bounds().Min.X < 0 {
			perimeter = 10 * math.Pi
		}
		require.InDelta(t, perimeter+0.75, lineLength(l), 0.01)
	}
	p.Outline.Overlap = 1e6
	require.InDelta(t, 80, lineLength(fill(t, art(solid(rect(0, 0, 10, 10))), p).Lines[0]), 1e-5, "once round at most")
	p.Outline.Overlap = 0
	require.True(t, fill(t, art(solid(disc(0, 0, 5))), p).Lines[0].Closed, "no corner: begun anywhere")
}

// A group's outline is that of all its shapes together, in the places where they
// show, clips included.
func TestOutlineOfWhatShows(t *testing.T) {
	p := rowsOf(1)
	p.Outline = hatch.Outline{When: hatch.Only}
	total := func(a path.Artwork, groups ...hatch.Group) (mm float64) {
		for _, l := range fill(t, a, groups...).Lines {
			mm += lineLength(l)
		}
		return mm
	}
	require.InDelta(t, 60, total(art(solid(rect(0, 0, 10, 10)), solid(rect(5, 0, 20, 10))), p), 1e-5, "overlapping")
	require.InDelta(t, 60, total(art(solid(rect(0, 0, 10, 10)), solid(rect(10, 0, 20, 10))), p), 1e-5, "touching")
	require.InDelta(t, 30, total(art(solid(rect(0, 0, 10, 10)), knock(rect(5, -1, 20, 11))), p), 1e-5, "half hidden")
	clipped := solid(rect(0, 0, 10, 10))
	clipped.Clips = []*path.Clip{{Shapes: []path.Shape{solid(rect(5, -5, 20, 20))}}}
	require.InDelta(t, 30, total(art(clipped), p), 1e-5, "clipped")
}

func TestContours(t *testing.T) {
	p := rowsOf(1)
	p.Contours = true
	m := fill(t, art(solid(rect(0, 0, 10, 10))), p)
	require.Empty(t, m.Rows)
	require.Len(t, m.Lines, 5)
	for i, l := range m.Lines {
		require.InDelta(t, 4*(9-2*float64(i)), lineLength(l), 1e-4, "contour %d", i)
	}
	// A strip of 1.4 spacings that is left in the middle gets a centre line.
	m = fill(t, art(solid(rect(0, 0, 20, 2.4))), p)
	require.Len(t, m.Lines, 2)
	require.InDelta(t, 1.2, m.Lines[1].Points[0].Y, 1e-6)

	// Length times spacing is about the area, for a shape with holes and curves.
	fine := rowsOf(0.05)
	fine.Contours = true
	m = fill(t, art(solid(disc(0, 0, 5)), knock(disc(1, 1, 2))), fine)
	sum := 0.0
	for _, l := range m.Lines {
		sum += lineLength(l) * 0.05
	}
	require.InEpsilon(t, math.Pi*(25-4), sum, 1e-2)
}

func TestPaleShapesAreReported(t *testing.T) {
	tint := solid(rect(0, 0, 10, 10))
	tint.Paint = path.Paint{R: 0.9, G: 0.9, B: 0.9, Opacity: 1}
	shadow := solid(rect(20, 0, 30, 10))
	shadow.Paint.Opacity = 0.2
	_, r, err := hatch.Fill(art(tint, shadow, solid(rect(0, 0, 5, 5)), knock(rect(0, 9, 10, 10))), hatching(0.1, 33))
	require.NoError(t, err)
	require.Len(t, r.Pale, 2)
	require.Equal(t, 0, r.Pale[0].Shape)
	require.InDelta(t, 65, r.Pale[0].Area, 1e-6)
	require.InDelta(t, 100, r.Pale[1].Area, 1e-6)
	_, r, _ = hatch.Fill(art(solid(rect(0, 0, 10, 10))), hatching(0.1, 33))
	require.Empty(t, r.Pale)
}

// 200 bars across 200 bars: 160,000 crossings, and a hole in every mesh.
func TestOutlineOfALattice(t *testing.T) {
	var bars []path.Shape
	for i := range 200 {
		at := float64(i)
		bars = append(bars, solid(rect(at, -1, at+0.5, 200.5)), solid(rect(-1, at, 200.5, at+0.5)))
	}
	p := rowsOf(1)
	p.Outline = hatch.Outline{When: hatch.Only}
	m := fill(t, art(bars...), p)
	require.Len(t, m.Lines, 1+199*199)
}

// An inset wider than everything leaves the same centre lines however wide it
// is, and a dash of a dot, which has no centre line.
func TestInsetWiderThanEverything(t *testing.T) {
	bent := polygon(0, 0, 10, 0, 10, 10, 9.9, 10, 9.9, 0.1, 0, 0.1)
	a := art(solid(bent), solid(disc(20, 5, 1)), solid(rect(30, 0, 32, 2)), solid(rect(40, 0, 50, 2)),
		solid(polygon(60, 0, 62, 0, 61, 1.74)))
	var first path.Marks
	for i, inset := range []float64{20, 100, 1000} {
		p := rowsOf(0.1)
		p.Inset = inset
		m, r, err := hatch.Fill(a, hatch.Settings{Groups: []hatch.Group{p}})
		require.NoError(t, err)
		require.Empty(t, m.Rows)
		require.Equal(t, 5, r.Thin)
		if i == 0 {
			first = m
		}
		require.Equal(t, first.Lines, m.Lines, "inset %g", inset)
	}
	require.InDelta(t, 19.9, lineLength(first.Lines[0]), 0.4, "along the bent bar")
	require.InDelta(t, 20, first.Lines[1].Points[0].X, 0.01, "the dot's middle")
	require.InDelta(t, 31, first.Lines[2].Points[0].X, 0.2, "the square's middle")
	require.InDelta(t, 8, lineLength(first.Lines[3]), 1.5, "along the bar")
	require.InDelta(t, 61, first.Lines[4].Points[0].X, 0.01, "the triangle's middle")
}
