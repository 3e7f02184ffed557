package route

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// mixed is lines here and there, some of them closed, some before others, and rows, all of
// them one-way or none. With plain there are open lines alone.
func mixed(r *rand.Rand, n int, plain bool) *path.Marks {
	at := func() path.Point { return path.Point{X: 20 * r.Float64(), Y: 20 * r.Float64()} }
	m := &path.Marks{Settings: make([]path.Setting, 1)}
	for i := range n {
		l := path.Line{Before: -1, Points: []path.Point{at(), at(), at()}}
		if !plain {
			l.Closed = r.IntN(3) == 0
			if i > 0 && r.IntN(4) == 0 {
				l.Before = r.IntN(i)
			}
		}
		m.Lines = append(m.Lines, l)
	}
	if !plain {
		set := path.RowSet{Dir: path.Point{X: 1}, Spacing: 0.5, Start: []int32{0}, OneWay: r.IntN(2) == 0}
		for range 6 {
			for x := 5 * r.Float64(); x < 20; x += 2 + 9*r.Float64() {
				set.Spans = append(set.Spans, path.Span{X0: x, X1: x + 1})
			}
			set.Start = append(set.Start, int32(len(set.Spans)))
		}
		m.Rows = append(m.Rows, set)
	}
	return m
}

// anyEnds is where a sequence may have to begin and end.
func anyEnds(r *rand.Rand, w *work) (at ends) {
	some := func() *End {
		if r.IntN(2) == 0 {
			return nil
		}
		return &End{At: path.Point{X: 20 * r.Float64(), Y: 20 * r.Float64()}, Kind: path.LineStroke}
	}
	if r.IntN(3) == 0 && w.free() {
		return ends{cyclic: true}
	}
	return ends{from: some(), to: some()}
}

func anyTour(r *rand.Rand, n int, plain bool) (*tour, ends) {
	w := newWork(mixed(r, n, plain), Length{}, 0)
	at := anyEnds(r, w)
	return newTour(w, w.greedy(at.from), at), at
}

// requireTour holds that every item is there once, where it is said to be.
func requireTour(t *testing.T, tr *tour) {
	t.Helper()
	items := len(tr.ends) / 2
	require.Len(t, tr.seq, items)
	for i, e := range tr.seq {
		require.EqualValues(t, i, tr.pos[e>>1])
	}
	seen := slices.Clone(tr.seq)
	for i := range seen {
		seen[i] >>= 1
	}
	slices.Sort(seen)
	require.Len(t, slices.Compact(seen), items)
}

// linksOf returns the edges of a tour: by each end the one on the other side.
func linksOf(tr *tour) map[int32]int32 {
	links := map[int32]int32{}
	for i, e := range tr.seq {
		left, next := e^1, tr.seq[(i+1)%len(tr.seq)]
		links[left], links[next] = next, left
	}
	return links
}

// A tour costs what its sequence does, each edge leads back, and its plan is what it was
// made of, whichever way round it lies.
func TestToursCostWhatTheirSequenceDoes(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 1))
	for range 200 {
		tr, at := anyTour(r, 2+r.IntN(9), r.IntN(2) == 0)
		requireTour(t, tr)
		want := tr.work.total(tr.work.along(tr.plan()), at)
		require.InDelta(t, want, tr.total(), 1e-9)
		for e, f := range linksOf(tr) {
			require.Equal(t, f, tr.link(e))
		}
		if at.cyclic || !tr.work.free() {
			continue
		}
		p := tr.plan()
		k := r.IntN(len(tr.seq)) // the same from another place, and from the other end
		tr.seq = append(slices.Clone(tr.seq[k:]), tr.seq[:k]...)
		if r.IntN(2) == 0 {
			slices.Reverse(tr.seq)
			for i := range tr.seq {
				tr.seq[i] ^= 1
			}
		}
		for i, e := range tr.seq {
			tr.pos[e>>1] = int32(i)
		}
		require.Equal(t, p.seq, tr.plan().seq)
		require.InDelta(t, want, tr.total(), 1e-9)
	}
}

// ring walks along links and items from an end, and returns the ends at which items are
// entered.
func ring(links map[int32]int32, from int32) (entered []int32) {
	for e := from; ; {
		entered = append(entered, e)
		if e = links[e^1]; e == from {
			return entered
		}
	}
}

// mayBe reports that a ring of items, from the depot on where there is one, holds the
// constraints.
func mayBe(s *search, entered []int32) bool {
	if s.directed == nil {
		return true
	}
	side := int32(-1)
	for _, e := range entered {
		if s.directed[e>>1] {
			if side >= 0 && e&1 != side {
				return false
			}
			side = e & 1
		}
	}
	if side == 1 { // the other way round
		slices.Reverse(entered)
	}
	if !s.waiting() {
		return true
	}
	depot := slices.IndexFunc(entered, func(e int32) bool { return e>>1 == s.depot>>1 })
	at := map[int32]int{}
	for i := range entered {
		at[entered[(depot+i)%len(entered)]>>1] = i
	}
	for item, c := range s.work.cells {
		if b := s.work.awaited(c); b >= 0 && at[int32(item)] > at[b] {
			return false
		}
	}
	return true
}

// awaited is the cell that one comes before, by the lines of the marks, or -1.
func (w *work) awaited(c cell) int32 {
	u := w.units[c.lo]
	if !u.isLine() || w.marks.Lines[u.row].Before < 0 {
		return -1
	}
	return int32(slices.IndexFunc(w.cells, func(o cell) bool {
		v := w.units[o.lo]
		return v.isLine() && int(v.row) == w.marks.Lines[u.row].Before
	}))
}

func (s *search) waiting() bool {
	return slices.ContainsFunc(s.work.cells, func(c cell) bool { return s.work.awaited(c) >= 0 })
}

// An exchange is valid where the edges that it leaves and adds are one ring through all
// items, and is made unless a constraint is broken: the tour is that ring then, and what it
// was when taken back. Edges are drawn at random, and the ring is walked end by end.
func TestExchangesAgainstRings(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 2))
	made, invalid, forbidden := 0, 0, 0
	for range 4000 {
		tr, at := anyTour(r, 5+r.IntN(8), r.IntN(3) == 0)
		if at.cyclic && len(tr.seq) < 6 {
			continue
		}
		s := newSearch(tr)
		s.keep = true
		k := 2 + r.IntN(min(4, len(tr.seq)-2))
		links := linksOf(tr)
		for i, p := range r.Perm(len(tr.seq))[:k] {
			e := tr.seq[p]
			s.x.t[2*i], s.x.t[2*i+1] = e, links[e]
			if r.IntN(2) == 0 {
				s.x.t[2*i], s.x.t[2*i+1] = links[e], e
			}
		}
		before := slices.Clone(tr.seq)
		for i := range k {
			f, g := s.x.t[2*i+1], s.x.t[(2*i+2)%(2*k)]
			links[f], links[g] = g, f
		}
		entered := ring(links, before[0])
		whole := len(entered) == len(before)
		require.Equal(t, whole, s.x.valid(tr, k), "%v of %v", s.x.t[:2*k], before)
		if !whole {
			invalid++
			continue
		}
		ok := mayBe(s, entered)
		require.Equal(t, ok, s.apply(k), "%v of %v", s.x.t[:2*k], before)
		requireTour(t, tr)
		if !ok {
			forbidden++
			require.Equal(t, before, tr.seq)
			continue
		}
		made++
		require.Equal(t, links, linksOf(tr))
		for i, e := range tr.seq {
			if s.directed != nil {
				n := int32(0)
				if s.directed[e>>1] {
					n = 1
				}
				require.Equal(t, s.sum[i]+n, s.sum[i+1])
			}
		}
		s.rollback()
		require.Equal(t, before, tr.seq)
		requireTour(t, tr)
	}
	require.Greater(t, made, 700)
	require.Greater(t, invalid, 500)
	require.Greater(t, forbidden, 100)
}

// What a search says that it has gained is what the tour has become cheaper; a kick may
// cost, and says so; taken back it is what it was. Constraints hold all the time.
func TestGainsAreWhatToursSave(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 3))
	never := func() bool { return false }
	for range 60 {
		tr, at := anyTour(r, 4+r.IntN(25), r.IntN(3) == 0)
		s := newSearch(tr)
		s.near = newNeighbours(tr, nil)
		holds := func() {
			t.Helper()
			requireTour(t, tr)
			require.InDelta(t, tr.work.total(tr.work.along(tr.plan()), at), tr.total(), 1e-9)
			require.True(t, mayBe(s, slices.Clone(tr.seq)), "%v", tr.seq)
		}
		first := tr.total()
		s.pushAll()
		require.True(t, s.settle(never))
		require.InDelta(t, first-tr.total(), s.gained, 1e-9)
		require.GreaterOrEqual(t, s.gained, 0.0)
		holds()
		require.Zero(t, s.count)
		s.commit()
		k := newKicker(s, 5)
		k.keep = true
		for range 12 {
			k.gained = 0
			was, seq, variant := tr.total(), slices.Clone(tr.seq), slices.Clone(tr.variant)
			for range 3 {
				k.kick()
			}
			require.InDelta(t, was-tr.total(), k.gained, 1e-9)
			holds()
			require.True(t, k.settle(never))
			require.InDelta(t, was-tr.total(), k.gained, 1e-9)
			holds()
			k.rollback()
			require.Equal(t, seq, tr.seq)
			require.Equal(t, variant, tr.variant)
			require.InDelta(t, was, tr.total(), 1e-9)
			k.clearQueue()
			k.commit()
			k.once(never)
			require.LessOrEqual(t, tr.total(), was+1e-9)
			holds()
			requireLeft(t, s)
		}
	}
}

// requireLeft requires that no item gains by being turned that is not looked at because
// nothing beside it has changed.
func requireLeft(t *testing.T, s *search) {
	t.Helper()
	for item := range int32(len(s.work.cells)) {
		if s.left[item] {
			now, best, _, _ := s.bestVariant(item)
			require.LessOrEqual(t, now-best, s.eps+1e-12)
		}
	}
}

// The cheapest way to mark an item where it stands is that of trying all, and its cost is
// what the tour then has more or less.
func TestBestWaysAgainstAllOfThem(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 4))
	turned := 0
	for range 150 {
		tr, _ := anyTour(r, 1+r.IntN(9), false)
		s := newSearch(tr)
		s.keep = true
		for item := range int32(len(tr.work.cells)) {
			c := tr.work.cells[item]
			now := s.itemCost(item, tr.variant[item], tr.seq[tr.pos[item]]&1)
			whole := tr.total()
			least := math.Inf(1)
			for v := range tr.work.variants(c) {
				for side := range int32(2) {
					if tr.work.directed(c) && side != tr.seq[tr.pos[item]]&1 {
						continue
					}
					cost := s.itemCost(item, v, side)
					least = min(least, cost)
					s.turn(item, v, side)
					require.InDelta(t, whole+cost-now, tr.total(), 1e-9)
					s.undo()
					require.InDelta(t, whole, tr.total(), 1e-9)
				}
			}
			_, best, v, side := s.bestVariant(item)
			require.InDelta(t, least, best, 1e-12)
			require.InDelta(t, least, s.itemCost(item, v, side), 1e-12)
			if tr.work.variants(c) > 1 {
				gained := s.gained
				better := s.reorient(item)
				require.Equal(t, now-least > 1e-9, better)
				require.InDelta(t, whole-tr.total(), s.gained-gained, 1e-9)
				if better {
					turned++
				}
			}
		}
	}
	require.Greater(t, turned, 100)
}
