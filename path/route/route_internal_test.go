package route

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"sync/atomic"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func TestEffortGoesBySize(t *testing.T) {
	marks := func(spans, lines int) *path.Marks {
		return &path.Marks{Rows: []path.RowSet{{Spans: make([]path.Span, spans)}}, Lines: make([]path.Line, lines)}
	}
	require.Equal(t, Normal, effort(marks(199_990, 10), BySize))
	require.Equal(t, Quick, effort(marks(199_990, 11), BySize))
	require.Equal(t, Best, effort(marks(200_001, 0), Best))
	closed := marks(199_984, 2) // which count sixteen
	closed.Lines[0].Closed, closed.Lines[1].Closed = true, true
	require.Equal(t, Normal, effort(closed, BySize))
	closed.Lines = append(closed.Lines, path.Line{})
	require.Equal(t, Quick, effort(closed, BySize))
}

// The passes of one job share its effort; a few outlines get no less than rows.
func TestPhasesShareTheEffort(t *testing.T) {
	l := levels[Normal][0]
	require.Equal(t, l.most, l.kicks(1_000_000, 1))
	require.Equal(t, l.most/20, l.kicks(1_000_000, 1.0/20))
	require.Equal(t, l.least/20, l.kicks(10, 1.0/20))
}

// scattered is rows of spans here and there, one set after the other, and lines.
func scattered(seed uint64) path.Marks {
	r := rand.New(rand.NewPCG(seed, 2))
	m := path.Marks{Settings: make([]path.Setting, 1)}
	for i := range 2 {
		set := path.RowSet{Dir: path.Point{X: 1}, Spacing: 0.1, Start: []int32{0}, OneWay: i == 1 && seed%2 == 0}
		set.Origin.Y = 30 * float64(i)
		for range 100 {
			for x := 10 * r.Float64(); x < 60 && r.IntN(5) > 0; x += 1 + 10*r.Float64() {
				set.Spans = append(set.Spans, path.Span{X0: x, X1: x + 0.5})
			}
			set.Start = append(set.Start, int32(len(set.Spans)))
		}
		m.Rows = append(m.Rows, set)
	}
	for range 5 {
		at := path.Point{X: 60 * r.Float64(), Y: 60 * r.Float64()}
		corner := []path.Point{at, {X: at.X + 1, Y: at.Y}, {X: at.X, Y: at.Y + 1}}
		m.Lines = append(m.Lines, path.Line{Before: -1, Closed: true, Points: corner})
	}
	return m
}

// The plan from which the search may go on is what None makes.
func TestSerpentineIsWhatNoneMakes(t *testing.T) {
	for seed := range uint64(6) {
		m := scattered(seed)
		w := newWork(&m, Length{}, 0)
		w, _ = w.split(w.greedy(nil), 1)
		p := w.serpentine(0)
		o := newOutput(&m, Length{})
		for _, e := range p.seq {
			o.add(w, w.units[w.cells[e>>1].lo], e&1, 0)
		}
		want, report, err := Sequence(context.Background(), m, Length{}, Options{Effort: None})
		require.NoError(t, err)
		require.Equal(t, want, o.program)
		require.InEpsilon(t, report.Cost, w.total(w.along(p), ends{}), 1e-9)
	}
}

// againstCells makes every way but that to the next row dear, so that cells are no use.
type againstCells struct{ Length }

func (againstCells) Travel(from, to End) float64 {
	d := to.At.Sub(from.At)
	if d.Y == 0 || d.X*d.X+d.Y*d.Y < 0.5 {
		return 0.01
	}
	return 1 + d.Len()
}

func TestNeverDearerThanSerpentine(t *testing.T) {
	for seed := range uint64(12) {
		m := scattered(seed)
		_, plain, err := Sequence(context.Background(), m, againstCells{}, Options{Effort: None})
		require.NoError(t, err)
		for _, effort := range []Effort{Quick, Normal} {
			opt := Options{Effort: effort, Worth: 1e9}
			if effort == Quick && seed < 4 {
				opt.Bound = 2
			}
			_, r, err := Sequence(context.Background(), m, againstCells{}, opt)
			require.NoError(t, err)
			require.LessOrEqual(t, r.Cost, plain.Cost*(1+1e-9))
			require.Equal(t, opt.Bound > 0, r.Bound > 0)
			require.LessOrEqual(t, r.Bound, r.Cost*(1+1e-9))
		}
	}
}

// Looking ends where it pays no longer, and at the number of looks; on any number of
// CPUs alike.
func TestLookingEndsWhereItNoLongerPays(t *testing.T) {
	m := scattered(1)
	cost := func(opt Options) float64 {
		opt.Effort = Normal
		_, r, err := Sequence(context.Background(), m, againstCells{}, opt)
		require.NoError(t, err)
		return r.Cost
	}
	all, dear := cost(Options{}), cost(Options{Worth: 1})
	require.Less(t, all, dear)
	require.LessOrEqual(t, cost(Options{Worth: 1e-9}), dear)
	require.Equal(t, dear, cost(Options{Looks: 1}))
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	require.Equal(t, dear, cost(Options{Worth: 1}))
}

// What is remembered is what the cost says.
func TestPricesAreThoseOfTheCost(t *testing.T) {
	m := scattered(3)
	w := newWork(&m, againstCells{}, 0)
	tr := newTour(w, w.greedy(nil), ends{})
	r := rand.New(rand.NewPCG(1, 1))
	for range 20_000 {
		e, f := r.Int32N(tr.depot), r.Int32N(tr.depot)
		require.Equal(t, tr.cost.Travel(tr.ends[min(e, f)], tr.ends[max(e, f)].reversed()), tr.edge(e, f))
	}
}

// Kicks that need not pay are made to the last one, also once they save nothing: a batch
// then may save a little less than nothing, by rounding.
func TestKicksThatNeedNotPayAreAllMade(t *testing.T) {
	for seed := range uint64(2) {
		m := scattered(seed)
		w := newWork(&m, Length{}, 0)
		w, p := w.split(w.greedy(nil), 1)
		s := newSearch(newTour(w, p, ends{}))
		s.near = newNeighbours(s.tour, nil)
		s.pushAll()
		never := func() bool { return false }
		require.True(t, s.settle(never))
		kicks := 0
		newKicker(s, seed).run(context.Background(), budget{kicks: 12 * batch}, func(n int) {
			require.LessOrEqual(t, n, batch, "seed %d: ended early after %d kicks", seed, kicks)
			kicks += n
		})
		require.Equal(t, 12*batch, kicks, "seed %d", seed)
	}
}

// counted counts the ways that are asked for.
type counted struct {
	Length
	ways *atomic.Int64
}

func (c counted) Travel(from, to End) float64 {
	c.ways.Add(1)
	return c.Length.Travel(from, to)
}

// Looks are as many as there may be, and not a batch of kicks more, of which each takes a
// thousand to turn a closed line of many points.
func TestLooksAreBounded(t *testing.T) {
	m := path.Marks{Settings: make([]path.Setting, 1)}
	for i := range 7 {
		l := path.Line{Before: -1, Closed: true}
		for k := range 600 {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 600)
			l.Points = append(l.Points, path.Point{X: float64(5*i) + 2*cos, Y: float64(i*i) + 2*sin})
		}
		m.Lines = append(m.Lines, l)
	}
	ways := func(opt Options) int64 {
		c := counted{ways: new(atomic.Int64)}
		_, _, err := Sequence(context.Background(), m, c, opt)
		require.NoError(t, err)
		return c.ways.Load()
	}
	most := ways(Options{Effort: Quick}) + 300_000
	require.LessOrEqual(t, ways(Options{Effort: Normal, Looks: 300_000, Worth: 1e-12}), most)
	require.Greater(t, ways(Options{Effort: Normal}), 2*most)
}
