package route

import (
	"context"
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func dash(x0, y0, x1, y1 float64) path.Line {
	return path.Line{Before: -1, Points: []path.Point{{X: x0, Y: y0}, {X: x1, Y: y1}}}
}

// What is marked is counted, and of a single line the bound is known: the way there.
func TestSmallestJobs(t *testing.T) {
	m := path.Marks{Settings: []path.Setting{{}}, Lines: []path.Line{dash(3, 0, 5, 0)}}
	start := path.Point{}
	_, r, err := Sequence(context.Background(), m, Length{}, Options{Effort: Quick, Bound: 20, Start: &start})
	require.NoError(t, err)
	require.Equal(t, 1, r.Lines)
	require.Zero(t, r.Sweeps)
	require.InDelta(t, 3, r.Cost, 1e-9)
	require.InDelta(t, 3, r.Bound, 1e-9)
	m.Lines = append(m.Lines, dash(0, 1, 1, 1), dash(7, 1, 8, 1))
	m.Rows = []path.RowSet{{Dir: path.Point{X: 1}, Spacing: 1, Start: []int32{0, 1, 2},
		Spans: []path.Span{{X1: 1}, {X1: 1}}}}
	_, r, err = Sequence(context.Background(), m, Length{}, Options{Effort: Quick})
	require.NoError(t, err)
	require.Equal(t, 3, r.Lines)
	require.Equal(t, 2, r.Sweeps)
	_, r, err = Sequence(context.Background(), path.Marks{}, Length{}, Options{Effort: Quick, Bound: 20})
	require.NoError(t, err)
	require.Zero(t, r.Lines+r.Sweeps)
}

// Pieces are of about the same length, each with its middle as heavy as its strokes.
func TestPiecesByHand(t *testing.T) {
	var m path.Marks
	m.Settings = []path.Setting{{}}
	for i := range 8 { // of lengths 1 and 3 in turn
		y := float64(i)
		m.Lines = append(m.Lines, dash(0, y, 1+2*float64(i%2), y))
	}
	prog, _, err := Sequence(context.Background(), m, Length{}, Options{Effort: Quick, Start: &path.Point{}})
	require.NoError(t, err)
	all := cut(&prog, 0, len(prog.Strokes), 4)
	require.Len(t, all, 4)
	for k, p := range all {
		require.Equal(t, 2*k, p.from)
		require.Equal(t, 2*k+2, p.to)
		var want path.Point
		for i := p.from; i < p.to; i++ {
			pts := prog.PointsOf(i)
			want = want.Add(pts[0].Add(pts[1]).Mul(pts[0].Dist(pts[1]) / 2 / 4))
		}
		require.InDelta(t, 0, want.Dist(p.middle), 1e-12)
	}
}

// A round over very many places ends where it is told to.
func TestRoundsEndWhenTold(t *testing.T) {
	m := path.Marks{Settings: []path.Setting{{}}}
	for i := range 2200 {
		x, y := float64(i%50), float64(i/50)
		m.Lines = append(m.Lines, dash(x, y, x+0.5, y))
	}
	b := newBounder(newWork(&m, Length{}, 0), nil, false)
	b.prepare()
	for _, stopped := range []bool{true, false} {
		b.stop = func() bool { return stopped }
		x := &exactTree{}
		x.prepare(b)
		require.Equal(t, !stopped, x.round(b))
	}
}

// The ends of a span lie where it does, and lead out of it.
func TestEndsOfSpans(t *testing.T) {
	dir := path.Point{X: 0.6, Y: 0.8}
	m := path.Marks{Settings: []path.Setting{{}, {}}, Rows: []path.RowSet{{Setting: 1, Dir: dir, Spacing: 2,
		Origin: path.Point{X: 5, Y: 7}, Start: []int32{0, 1, 2}, Spans: []path.Span{{X0: 1, X1: 4}, {X0: 2, X1: 7}}}}}
	w := newWork(&m, Length{}, 0)
	require.Len(t, w.units, 2)
	for _, u := range w.units {
		s := m.Rows[0].Spans[u.row]
		a, b := w.end(u, 0, 0), w.end(u, 1, 0)
		require.InDelta(t, 0, b.At.Sub(a.At).Dist(dir.Mul(s.X1-s.X0)), 1e-12)
		require.InDelta(t, 0, a.Dir.Dist(dir.Mul(-1)), 1e-12)
		require.Equal(t, dir, b.Dir)
		require.EqualValues(t, 1, a.Setting)
		require.EqualValues(t, 1, b.Setting)
		require.InDelta(t, s.X0, a.At.Sub(m.Rows[0].Origin).Dot(dir), 1e-12)
		require.InDelta(t, 2*float64(u.row), math.Abs(a.At.Sub(m.Rows[0].Origin).Cross(dir)), 1e-12)
	}
}
