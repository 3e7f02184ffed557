package hatch

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Where hundreds of sides change places from one row to the next, and as many begin on one,
// rows are the same: slivers that lead from X = i to X = −i between two rows, and bars from
// there on, drawn from the right to the left, by hand.
func TestRowsOfSidesThatChangePlaces(t *testing.T) {
	const n = 300
	var rings [][]path.Point
	for i := n; i > 0; i-- {
		x := float64(i)
		rings = append(rings, []path.Point{{X: x}, {X: x + 0.4}, {X: x + 0.4, Y: 1.6}, {X: 0.4 - x, Y: 2.4},
			{X: 0.4 - x, Y: 5}, {X: -x, Y: 5}, {X: -x, Y: 2.4}, {X: x, Y: 1.6}})
		rings = append(rings, []path.Point{{X: -2*n + x, Y: 3}, {X: -2*n + x + 0.7, Y: 3}, {X: -2*n + x + 0.7, Y: 5},
			{X: -2*n + x, Y: 5}})
	}
	w := filler{f: flatRings(rings, path.NonZero), workers: 1}
	set, err := w.rows(newGrid(path.Point{X: 1}, 0, 5, 1, true), newPainter(w.f, func(*layer) bool { return true }), nil)
	require.NoError(t, err)
	require.Equal(t, 5, set.NumRows())
	for k := range 5 { // at 0.5, 1.5 ... 4.5
		row := set.Row(k)
		switch k {
		case 0, 1:
			require.Len(t, row, n)
			for i, s := range row {
				require.InDeltaSlice(t, []float64{float64(i + 1), float64(i) + 1.4}, []float64{s.X0, s.X1}, 1e-9)
			}
		case 2:
			require.Len(t, row, n)
			for i, s := range row {
				require.InDeltaSlice(t, []float64{float64(i - n), float64(i-n) + 0.4}, []float64{s.X0, s.X1}, 1e-9)
			}
		default:
			require.Len(t, row, 2*n-1, "that at -300 goes on in the first sliver")
			for i, s := range row[:n-1] {
				x := float64(i+1) - 2*n
				require.InDeltaSlice(t, []float64{x, x + 0.7}, []float64{s.X0, s.X1}, 1e-9)
			}
		}
	}
}

// The turn of two vectors of whole numbers is told exactly, however near they are to
// one line.
func TestTurnsAreExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	near := 0
	for range 20_000 {
		size := int64(1) << (1 + r.IntN(44))
		p := [2]int64{r.Int64N(size) - size/2, r.Int64N(size) - size/2}
		k := r.Int64N(40) - 20
		q := [2]int64{k*p[0] + r.Int64N(3) - 1, k*p[1] + r.Int64N(3) - 1}
		left, right := new(big.Int), new(big.Int)
		left.Mul(big.NewInt(p[0]), big.NewInt(q[1]))
		right.Mul(big.NewInt(p[1]), big.NewInt(q[0]))
		v := path.Point{X: float64(p[0]), Y: float64(p[1])}
		u := path.Point{X: float64(q[0]), Y: float64(q[1])}
		require.Equal(t, left.Cmp(right), orient(v, u), "%v %v", p, q)
		if v.Cross(u) != 0 && math.Abs(v.Cross(u)) < 1e-12*v.Len()*u.Len() {
			near++
		}
	}
	require.Greater(t, near, 100)
}

// Of two ways the first clockwise from the way back is the one of the smaller angle, and
// back itself is a whole round.
func TestFirstClockwise(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 8))
	anyWay := func() path.Point {
		for {
			if p := (path.Point{X: float64(r.IntN(7) - 3), Y: float64(r.IntN(7) - 3)}); p != (path.Point{}) {
				return p
			}
		}
	}
	for range 5000 {
		back, p, q := anyWay(), anyWay(), anyWay()
		clockwise := func(v path.Point) float64 {
			a := math.Atan2(back.Y, back.X) - math.Atan2(v.Y, v.X)
			for a < 1e-9 {
				a += 2 * math.Pi
			}
			for a > 2*math.Pi+1e-9 {
				a -= 2 * math.Pi
			}
			return a
		}
		want := clockwise(p) < clockwise(q)-1e-9
		require.Equal(t, want, clockwiseBefore(back, p, q), "back %v: %v and %v", back, p, q)
	}
}

// Corners of the drawing stay, also on a straight side; crossings with what does not show
// go, and those at which the boundary turns stay.
func TestCornersOfBoundaries(t *testing.T) {
	white := func(s path.Shape) path.Shape {
		s.Paint = path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
		return s
	}
	corners := func(shapes ...path.Shape) (n []int) {
		rings, err := Boundary(path.Artwork{Shapes: shapes}, Settings{})
		require.NoError(t, err)
		for _, r := range rings {
			n = append(n, len(r))
		}
		return n
	}
	five := path.Shape{Paint: path.Paint{Opacity: 1}}
	for i, p := range []path.Point{{}, {X: 2}, {X: 4}, {X: 4, Y: 4}, {Y: 4}} {
		if i == 0 {
			five.Path.MoveTo(p)
		} else {
			five.Path.LineTo(p)
		}
	}
	require.Equal(t, []int{5}, corners(five))
	require.Equal(t, []int{4}, corners(white(plate(-1, 1, 2, 2)), plate(0, 0, 4, 4)))
	require.Equal(t, []int{12}, corners(plate(1, 0, 2, 4), plate(0, 1, 4, 2)))
	require.Equal(t, []int{8}, corners(plate(0, 0, 4, 4), white(plate(-1, 1, 2, 2))))
	require.Equal(t, []int{4, 4}, corners(plate(0, 0, 4, 4), white(plate(-1, 1, 5, 2))))
	require.Equal(t, []int{4, 4}, corners(plate(0, 0, 4, 4), white(plate(1, 1, 2, 2))), "a hole")
	require.Equal(t, []int{4, 4}, corners(plate(0, 0, 2, 2), plate(2, 2, 4, 4)), "touching at a corner")
	require.Empty(t, corners(plate(0, 0, 4, 4), white(plate(-1, -1, 5, 5))))
	require.Empty(t, corners(plate(0, 0, 4, 0)))
}

// The grid lays as many rows as come nearest to the spacing, a half counting up, in the
// middle of the height, or stretched to fill it.
func TestGridsByHand(t *testing.T) {
	for _, c := range []struct {
		lo, hi, spacing float64
		stretch         bool
		n               int32
		first, apart    float64
	}{
		{lo: 0, hi: 10, spacing: 1, n: 10, first: 0.5, apart: 1},
		{lo: -3, hi: 7.4, spacing: 1, n: 10, first: -2.3, apart: 1},
		{lo: 0, hi: 10.5, spacing: 1, n: 11, first: 0.25, apart: 1},
		{lo: 0, hi: 10.4, spacing: 1, stretch: true, n: 10, first: 0.52, apart: 1.04},
		{lo: 2, hi: 2.3, spacing: 1, n: 1, first: 2.15, apart: 1},
		{lo: 2, hi: 2, spacing: 1, stretch: true, n: 1, first: 2, apart: 1},
		{lo: 0, hi: 10.5 - 1e-7, spacing: 1, n: 11, first: 0.25, apart: 1},
		{lo: 0, hi: 10.5 - 1e-5, spacing: 1, n: 10, first: 0.75, apart: 1},
	} {
		g := newGrid(path.Point{Y: 1}, c.lo, c.hi, c.spacing, c.stretch)
		require.Equal(t, c.n, g.n, "%+v", c)
		require.Equal(t, c.n/2, g.mid)
		require.InDelta(t, c.first, g.y0, 1e-4, "%+v", c)
		require.InDelta(t, c.apart, g.spacing, 1e-12, "%+v", c)
		set := g.rowSet()
		require.Equal(t, path.Point{Y: 1}, set.Dir)
		for k := range c.n {
			l := g.line(k) // rows along Y lie at X = −height
			require.InDelta(t, -c.first-float64(k)*c.apart, l.a.X, 1e-4)
			require.InDelta(t, 0, l.a.Y, 1e-12)
			set.Start = make([]int32, c.n+1)
			require.InDelta(t, 0, set.At(int(k), 0).Dist(l.a), 1e-9)
			require.InDelta(t, float64(k), g.height(l.a), 1e-9)
		}
	}
	g := newGrid(path.Point{X: 1}, 0, 1e9, 1, false)
	require.EqualValues(t, maxRows+1, g.n)
	w := filler{f: flatRings([][]path.Point{{{}, {X: 1}, {Y: 1}}}, path.NonZero)}
	require.ErrorContains(t, w.prepare(&g), "more than 134217728 rows: use a wider spacing")
}
