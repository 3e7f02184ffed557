package hatch

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

var square4 = []path.Point{{}, {X: 4}, {X: 4, Y: 4}, {Y: 4}}

func backwards(ring []path.Point) (out []path.Point) {
	for i := range ring {
		out = append(out, ring[len(ring)-1-i])
	}
	return out
}

func requireNear(t *testing.T, want, got []path.Point) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		require.InDelta(t, 0, want[i].Dist(got[i]), 1e-12, "%d: %v, want %v", i, got[i], want[i])
	}
}

// The line inside a square is a square; that of a tooth whose sides are shorter than it is
// deep goes back to each corner and out again.
func TestLinesInsideByHand(t *testing.T) {
	line, corner := parallel(square4, 1, 0.01)
	requireNear(t, []path.Point{{X: 1, Y: 1}, {X: 3, Y: 1}, {X: 3, Y: 3}, {X: 1, Y: 3}}, line)
	require.Equal(t, []int32{0, 1, 2, 3}, corner)
	// A corner of 90 degrees has the sine 1: one point stands for it up to a depth of half
	// the shorter side.
	line, corner = parallel([]path.Point{{}, {X: 2}, {X: 2, Y: 6}, {Y: 6}}, 0.99, 0.01)
	require.Len(t, line, 4)
	require.Len(t, corner, 4)
	line, corner = parallel([]path.Point{{}, {X: 2}, {X: 2, Y: 6}, {Y: 6}}, 1.01, 0.01)
	require.Len(t, line, 12)
	requireNear(t, []path.Point{{X: 1.01}, {}, {Y: 1.01}}, line[:3])
	require.Equal(t, []int32{0, 0, 0, 1, 1, 1, 2, 2, 2, 3, 3, 3}, corner)
	// A corner of 60 degrees is too sharp for one point, however long its sides are.
	line, _ = parallel([]path.Point{{}, {X: 100}, {X: 50, Y: 50 * math.Sqrt(3)}}, 1, 0.01)
	require.Len(t, line, 9)
	require.Equal(t, path.Point{}, line[1])
}

// Round about a corner the line is an arc, in as few chords as keep within the tolerance
// that arcStep tells, all as long.
func TestArcsByHand(t *testing.T) {
	for _, c := range []struct{ d, tolerance, sagitta float64 }{
		{d: 1, tolerance: 0.002, sagitta: 5e-4},    // a two-thousandth of d
		{d: 0.01, tolerance: 0.002, sagitta: 2e-4}, // a tenth of the tolerance
		{d: 10, tolerance: 0.002, sagitta: 2e-3},   // the tolerance
		{d: 0.01, tolerance: 0.05, sagitta: 1e-3},  // a tenth of d
	} {
		line, corner := parallel(backwards(square4), c.d, c.tolerance)
		chords := 1
		for c.d*(1-math.Cos(math.Pi/4/float64(chords))) > c.sagitta {
			chords++
		}
		require.Len(t, line, 4*(chords+1), "%+v", c)
		for i, p := range line {
			q := backwards(square4)[corner[i]]
			require.InDelta(t, c.d, p.Dist(q), 1e-12)
			if i > 0 && corner[i] == corner[i-1] {
				require.InDelta(t, 2*c.d*math.Sin(math.Pi/4/float64(chords)), p.Dist(line[i-1]), 1e-12)
				require.Less(t, line[i-1].Sub(q).Cross(p.Sub(q)), 0.0, "clockwise")
			}
		}
	}
	// Straight back is half a round, to the left of the way.
	out := joint(nil, path.Point{}, path.Point{Y: 1}, path.Point{Y: -1}, 5, 0.1)
	require.Len(t, out, int(math.Ceil(math.Pi/0.1))+1)
	require.InDelta(t, 0, out[16].Dist(path.Point{X: 1}), 1e-9)
	// A turn of less than half a chord is one point, where both lines meet.
	sin, cos := math.Sincos(-0.02)
	requireNear(t, []path.Point{{X: math.Tan(0.01), Y: 1}},
		joint(nil, path.Point{}, path.Point{Y: 1}, path.Point{X: -sin, Y: cos}, 5, 0.0401))
	require.Len(t, joint(nil, path.Point{}, path.Point{Y: 1}, path.Point{X: -sin, Y: cos}, 5, 0.0399), 2)
}

// Each side of the lines stands for the edge that it runs beside; one that leads round a
// corner, or to it, for the two that meet there.
func TestEdgesOfLines(t *testing.T) {
	_, edges := linesInside([][]path.Point{backwards(square4), square4}, []bool{true, false}, 1, 0.01)
	require.Equal(t, [][2]int32{{7, 7}, {4, 4}, {5, 5}, {6, 6}}, edges, "side k ends at point k")
	lines, edges := linesInside([][]path.Point{square4, backwards(square4)}, []bool{false, false}, 1, 0.05)
	require.Len(t, lines, 2)
	n := len(lines[1]) / 4
	require.Greater(t, n, 2)
	require.Len(t, edges, 4+4*n)
	for i, e := range edges[4:] {
		c := int32(i / n)
		before := []int32{7, 4, 5, 6}[c]
		if i%n == 0 {
			require.Equal(t, [2]int32{before, before}, e, "%d", i)
		} else {
			require.Equal(t, [2]int32{before, 4 + c}, e, "%d", i)
		}
	}
}

// An edge is lost where what is beside it at the depth does not show in full: of a
// dumb-bell the edges of its bar, and those that meet them; of what is too narrow all.
func TestLostEdges(t *testing.T) {
	lost := func(d float64, rings ...[]path.Point) []bool {
		_, lost, err := shrink(rings, d, 0.01)
		require.NoError(t, err)
		return lost
	}
	require.Equal(t, make([]bool, 8), lost(1, square4, []path.Point{{X: 9}, {X: 13}, {X: 13, Y: 4}, {X: 9, Y: 4}}))
	require.Equal(t, []bool{false, false, false, false, true, true, true}, lost(1, square4,
		[]path.Point{{X: 9}, {X: 13}, {X: 13, Y: 1.5}}))
	bell := []path.Point{{}, {X: 5}, {X: 5, Y: 2}, {X: 9, Y: 2}, {X: 9}, {X: 14}, {X: 14, Y: 5}, {X: 9, Y: 5},
		{X: 9, Y: 3}, {X: 5, Y: 3}, {X: 5, Y: 5}, {Y: 5}}
	got := lost(1, bell)
	for i, is := range got {
		switch i {
		case 2, 8: // the bar
			require.True(t, is, i)
		case 0, 4, 5, 6, 10, 11:
			require.False(t, is, i)
		}
	}
	require.Equal(t, make([]bool, 12), lost(0.4, bell), "no part is as narrow as that")
	moved, none, err := shrink([][]path.Point{square4}, 0, 0.01)
	require.NoError(t, err)
	require.Nil(t, none)
	require.Equal(t, [][]path.Point{square4}, moved)
}

// Areas of a square grown and shrunk, with round corners.
func TestOffsetAreas(t *testing.T) {
	for d, want := range map[float64]float64{1: 16 + 16 + math.Pi, -1: 4, 0: 16, -1.9: 0.04} {
		rings, err := offset([][]path.Point{square4}, d, 0.001)
		require.NoError(t, err)
		require.Len(t, rings, 1)
		require.InDelta(t, want, area(rings[0]), 1e-4*want, "%g", d)
	}
	rings, err := offset([][]path.Point{backwards(square4), plate(-4, -4, 8, 8).Path.Points}, -1, 0.001)
	require.NoError(t, err)
	require.Len(t, rings, 2, "a hole grows")
	require.InDelta(t, 100-32-math.Pi, area(rings[0])+area(rings[1]), 5e-3)
}

// A ring is left out where no disc of the diameter fits into its breadth, and its holes
// with it; a hole is not narrow by itself.
func TestNarrowRings(t *testing.T) {
	box := func(x, y, w, h float64) []path.Point {
		return []path.Point{{X: x, Y: y}, {X: x + w, Y: y}, {X: x + w, Y: y + h}, {X: x, Y: y + h}}
	}
	bar, upright, slit := box(0, 0, 20, 2), box(30, 0, 2, 20), backwards(box(5, 0.5, 9, 0.5))
	wide, hole := box(0, 10, 20, 9), backwards(box(5, 12, 1, 1))
	rings := [][]path.Point{bar, slit, upright, wide, hole}
	require.Equal(t, []bool{true, true, true, false, false}, narrow(rings, 2.001))
	require.Equal(t, []bool{false, false, false, false, false}, narrow(rings, 2))
	require.Equal(t, []bool{true, true, true, true, true}, narrow(rings, 9.5))
	// A hole of another part that starts on the ring of a narrow one is not its hole.
	beside := []path.Point{{X: 5}, {X: 6, Y: -3}, {X: 4, Y: -3}}
	require.Equal(t, []bool{true, false, false}, narrow([][]path.Point{bar, beside, box(0, -9, 20, 9)}, 3))
}
