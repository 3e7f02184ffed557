package route

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Every effort looks at whole cells first, then at smaller and smaller pieces, and at single
// spans in the end, without which a sequence could never be left half way.
func TestLevelsGoDownToSingleSpans(t *testing.T) {
	for effort, all := range levels {
		require.EqualValues(t, wholeCells, all[0].rows, effort)
		require.EqualValues(t, 1, all[len(all)-1].rows, effort)
		for i, l := range all[1:] {
			require.Less(t, l.rows, all[i].rows, effort)
		}
	}
}

// turned returns a sequence with the items from i to j passed the other way.
func turned(seq []int32, i, j int) []int32 {
	part := slices.Clone(seq)
	slices.Reverse(part[i : j+1])
	for k := i; k <= j; k++ {
		part[k] ^= 1
	}
	return part
}

// Once a tour of few items is settled, no two edges of it can be exchanged for cheaper ones:
// every run of items is turned round, and the whole walked again.
func TestSettledToursHaveNoCheaperTurn(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 1))
	for range 60 {
		tr, at := anyTour(r, 4+r.IntN(8), true)
		s := newSearch(tr)
		s.near, s.cuts = allEnds(tr), 3
		s.pushAll()
		require.True(t, s.settle(func() bool { return false }))
		p := tr.plan()
		settled := tr.work.total(tr.work.along(p), at)
		for i := range p.seq {
			for j := i; j < len(p.seq); j++ {
				q := plan{turned(p.seq, i, j), p.variant}
				require.GreaterOrEqual(t, tr.work.total(tr.work.along(q), at), settled-1e-9, "%d to %d", i, j)
			}
		}
	}
}

// anyKicker is one for a closed tour of open lines.
func anyKicker(r *rand.Rand, n int) *kicker {
	w := newWork(mixed(r, n, true), Length{}, 0)
	s := newSearch(newTour(w, w.greedy(nil), ends{cyclic: true}))
	s.near, s.keep = newNeighbours(s.tour, nil), true
	return newKicker(s, 3)
}

// A swap leaves two runs behind a place in turn, none longer than the span, and all else as
// it was.
func TestSwapsOfNeighbouringRuns(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 2))
	for _, n := range []int{3, 12, 31, 200} {
		k := anyKicker(r, n)
		span := min(n/3, 50)
		one, two := map[int]bool{}, map[int]bool{}
		for range 60 * span {
			p := r.IntN(n)
			seq := append(slices.Clone(k.seq[p:]), k.seq[:p]...) // from the place on
			k.gained = 0
			was := k.total()
			k.swap(p)
			require.InDelta(t, was-k.total(), k.gained, 1e-9)
			now := follow(k.tour, seq[0])
			a := slices.Index(seq, now[1]) - 1
			b := slices.Index(now, seq[1]) - 1
			require.True(t, 1 <= a && a <= span && 1 <= b && b <= span, "%d and %d of %d", a, b, n)
			want := slices.Concat(seq[:1], seq[1+a:1+a+b], seq[1:1+a], seq[1+a+b:])
			require.Equal(t, want, now)
			one[a], two[b] = true, true
			k.commit()
			k.clearQueue()
		}
		require.GreaterOrEqual(t, min(len(one), len(two)), span, "all lengths come about")
	}
}

// follow returns the items of a tour from an end on, at which the first is entered.
func follow(t *tour, from int32) []int32 { return ring(linksOf(t), from) }

// Where a tenth of the ways are long, disturbances begin with these.
func TestDisturbancesBeginWhereTheWayIsLong(t *testing.T) {
	m := &path.Marks{Settings: make([]path.Setting, 1)}
	for i := range 60 { // in tens, one behind the other, and far from each other
		x := float64(2*i + 100*(i/10))
		m.Lines = append(m.Lines, dash(x, 0, x+1.2, 0))
	}
	w := newWork(m, Length{}, 0)
	s := newSearch(newTour(w, w.greedy(nil), ends{}))
	s.near = newNeighbours(s.tour, nil)
	k := newKicker(s, 1)
	short, long := 0, 0
	for range 400 {
		e := s.seq[k.hot()] ^ 1
		if e < s.depot && s.link(e) < s.depot && s.ends[e].At.Dist(s.ends[s.link(e)].At) > 50 {
			long++
		} else {
			short++
		}
	}
	require.Greater(t, long, 20*short)
}

// A part of a sequence begins and ends next to what comes before and after it.
func TestEndsOfWindows(t *testing.T) {
	m := &path.Marks{Settings: make([]path.Setting, 1)}
	m.Lines = []path.Line{dash(0, 0, 1, 0), dash(2, 5, 2, 7), dash(8, 3, 9, 3)}
	w := newWork(m, Length{}, 0)
	from, to := &End{At: path.Point{X: -5}}, &End{At: path.Point{X: 50}}
	p := plan{seq: []int32{0, 3, 4}, variant: make([]int32, 3)} // the second against its direction
	at := func(e *End) [4]float64 { return [4]float64{e.At.X, e.At.Y, e.Dir.X, e.Dir.Y} }
	middle := view{w: w, p: p, lo: 1, hi: 2}.ends(ends{from: from, to: to})
	require.Equal(t, [4]float64{1, 0, 1, 0}, at(middle.from))
	require.Equal(t, [4]float64{8, 3, 1, 0}, at(middle.to))
	first := view{w: w, p: p, lo: 0, hi: 1}.ends(ends{from: from, to: to})
	require.Same(t, from, first.from)
	require.Equal(t, [4]float64{2, 7, 0, -1}, at(first.to))
	last := view{w: w, p: p, lo: 2, hi: 3}.ends(ends{from: from, to: to})
	require.Equal(t, [4]float64{2, 5, 0, -1}, at(last.from))
	require.Same(t, to, last.to)
	first = view{w: w, p: p, lo: 0, hi: 1}.ends(ends{cyclic: true})
	require.Equal(t, [4]float64{9, 3, 1, 0}, at(first.from))
	last = view{w: w, p: p, lo: 2, hi: 3}.ends(ends{cyclic: true})
	require.Equal(t, [4]float64{0, 0, 1, 0}, at(last.to))
	require.False(t, first.cyclic || last.cyclic || middle.cyclic)
}

// Looking at a part of a sequence, of whatever kinds, makes the whole no dearer and leaves
// the rest as it is.
func TestWindowsOfAnyKind(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 3))
	cheaper := 0
	for range 60 {
		m := mixed(r, 12, false)
		w := newWork(m, Length{}, 0)
		w, p := w.split(w.greedy(nil), 1+r.Int32N(3))
		n := len(p.seq)
		near := newNeighbours(newTour(w, plan{slices.Clone(p.seq), slices.Clone(p.variant)}, ends{}), nil)
		lo := r.IntN(n - 6)
		v := view{r: &router{marks: m, cost: Length{}, effort: Normal}, w: w, p: p, lo: lo, hi: lo + 6 + r.IntN(n-lo-5)}
		q := plan{slices.Clone(p.seq), slices.Clone(p.variant)}
		v.run(context.Background(), ends{}, near, budget{kicks: 20}, 0, q)
		require.Equal(t, p.seq[:lo], q.seq[:lo])
		require.Equal(t, p.seq[v.hi:], q.seq[v.hi:])
		was, is := w.total(w.along(p), ends{}), w.total(w.along(q), ends{})
		require.LessOrEqual(t, is, was+1e-9)
		if is < was-1e-9 {
			cheaper++
		}
		in := map[int32]bool{}
		for _, e := range q.seq {
			in[e>>1] = true
		}
		require.Len(t, in, n)
	}
	require.Greater(t, cheaper, 30)
}
