package route

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Likely edges are those of the tour, and of each end to its five nearest, once each: by
// comparing all pairs of ends.
func TestLikelyEdgesAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 1))
	for range 30 {
		w := newWork(mixed(r, 2+r.IntN(30), true), Length{}, 0)
		tr := newTour(w, w.greedy(nil), ends{})
		near := newNeighbours(tr, nil)
		b := newBounder(w, nil, false)
		b.likely(tr, near)
		want := map[[2]int32]bool{}
		for e := range tr.depot {
			all := slices.Clone(near.of(e))
			for _, f := range all[:min(5, len(all))] {
				want[[2]int32{min(e, f), max(e, f)}] = true
			}
			if f := tr.link(e); f < tr.depot {
				want[[2]int32{min(e, f), max(e, f)}] = true
			}
		}
		got := map[[2]int32]bool{}
		for _, e := range b.edges {
			key := [2]int32{min(e.a, e.b), max(e.a, e.b)}
			require.False(t, got[key], "once")
			got[key] = true
			require.InDelta(t, b.nodes[e.a].end.At.Dist(b.nodes[e.b].end.At), e.cost, 1e-12)
		}
		require.Equal(t, want, got)
	}
}

// The node of each end of a tour is the one that stands where it does and leads the same way.
func TestNodesOfATour(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 2))
	for range 40 {
		tr, _ := anyTour(r, 1+r.IntN(12), false)
		if slices.ContainsFunc(tr.work.cells, func(c cell) bool { return c.len() > 1 }) {
			w, p := tr.work.split(plan{tr.plan().seq, tr.variant}, 1)
			tr = newTour(w, p, ends{})
		}
		for i := range tr.work.cells {
			if n := tr.work.variants(tr.work.cells[i]); n > 1 {
				(&search{tour: tr}).setVariant(int32(i), r.Int32N(n))
			}
		}
		b := newBounder(tr.work, nil, false)
		nodes := b.nodesOf(tr)
		for e := range tr.depot {
			require.Equal(t, tr.ends[e], b.nodes[nodes[e]].end)
			require.Equal(t, e>>1, b.nodes[nodes[e]].item)
		}
	}
}

// The sets that hold two groups, those that hold one of them, and the largest, by looking
// at all members.
func TestOddSetsAgainstTheirMembers(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 3))
	for range 60 {
		n := 4 + r.IntN(12)
		o := newOddSets(n)
		var members [][]int32 // of each set, with those inside it
		for range 5 {
			first := r.IntN(n)
			var groups []int32
			for g := range int32(n) {
				if int(g) >= first && int(g) < first+1+r.IntN(4) {
					groups = append(groups, g)
				}
			}
			for _, m := range members { // whole sets, or none of them
				if slices.ContainsFunc(m, func(g int32) bool { return slices.Contains(groups, g) }) {
					groups = append(groups, m...)
				}
			}
			for range members {
				for _, m := range members {
					if slices.ContainsFunc(m, func(g int32) bool { return slices.Contains(groups, g) }) {
						groups = append(groups, m...)
					}
				}
			}
			slices.Sort(groups)
			groups = slices.Compact(groups)
			if len(groups) == 0 || slices.ContainsFunc(members,
				func(m []int32) bool { return len(m) == len(groups) && m[0] == groups[0] }) {
				continue
			}
			o.add(groups)
			members = append(members, groups)
		}
		for i := range o.width {
			o.width[i] = r.Float64()
		}
		o.prepare()
		in := func(s int, g int32) bool { return slices.Contains(members[s], g) }
		smallest := func(holds func(s int) bool, largest bool) int32 {
			best := int32(-1)
			for s := range members {
				if holds(s) && (best < 0 || (len(members[s]) < len(members[best])) != largest) {
					best = int32(s)
				}
			}
			return best
		}
		for g := range int32(n) {
			require.Equal(t, smallest(func(s int) bool { return in(s, g) }, false), o.of[g])
			require.Equal(t, smallest(func(s int) bool { return in(s, g) }, true), o.outermost(g))
			sum := 0.0
			for s := range members {
				if in(s, g) {
					sum += o.width[s]
				}
			}
			require.InDelta(t, sum, o.around(o.of[g]), 1e-12)
			h := r.Int32N(int32(n))
			require.Equal(t, smallest(func(s int) bool { return in(s, g) && in(s, h) }, false), o.shared(g, h))
			clear(o.left)
			o.leave(o.of[g], o.of[h])
			o.leave(o.of[g], -1)
			for s := range members {
				want := 0.0
				if in(s, g) != in(s, h) {
					want++
				}
				if in(s, g) {
					want++
				}
				require.Equal(t, want, o.left[s])
			}
		}
	}
}

// The cheapest few are kept in their sequence, behind those that were there before.
func TestCheapestAreKept(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 4))
	for range 200 {
		ways := []exit{{cost: 9}, {cost: 1}}[:r.IntN(3)]
		ways, from, n := slices.Clone(ways), len(ways), 1+r.IntN(3)
		var all []exit
		for i := range 1 + r.IntN(6) {
			w := exit{cost: float64(r.IntN(8)), a: int32(i)}
			all = append(all, w)
			ways = keepCheapest(ways, from, n, w)
		}
		slices.SortStableFunc(all, func(a, b exit) int { return cmp.Compare(a.cost, b.cost) })
		require.Equal(t, all[:min(n, len(all))], ways[from:])
	}
	for range 100 {
		b := bounder{loose: 1 + r.IntN(2)}
		for range 3 + r.IntN(6) {
			b.net, b.need = append(b.net, float64(r.IntN(9))), append(b.need, 1)
		}
		groups := len(b.net)
		if b.loose == 1 {
			groups--
		}
		var all []int
		for g := range groups {
			all = append(all, g)
		}
		slices.SortStableFunc(all, func(g, h int) int { return cmp.Compare(b.net[g], b.net[h]) })
		require.Equal(t, all[:b.loose], b.lowest(b.loose))
	}
}

// A settled search ends within a thousand ends where it is told to stop.
func TestSettlingStops(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 5))
	w := newWork(mixed(r, 1200, true), Length{}, 0)
	s := newSearch(newTour(w, w.greedy(nil), ends{}))
	s.near = newNeighbours(s.tour, nil)
	s.pushAll()
	asked := 0
	require.False(t, s.settle(func() bool { asked++; return true }))
	require.Equal(t, 1, asked)
	require.Positive(t, s.count)
	requireTour(t, s.tour)
	require.True(t, s.settle(func() bool { asked++; return false }))
	require.Greater(t, asked, 2)
	require.Less(t, asked, 100, "not at every end")
}

// Phases share the effort by their spans, in equal parts at least; strokes count twice where
// a bound is asked for.
func TestPartsOfPhases(t *testing.T) {
	m := scattered(2)
	n := numStrokes(&m)
	w := newWork(&m, Length{}, 0)
	ro := router{marks: &m, phases: 3}
	require.InDelta(t, 1, ro.part(w), 1e-12)
	few := *w
	few.units = w.units[:n/2]
	require.InDelta(t, float64(n/2)/float64(n), ro.part(&few), 1e-12)
	few.units = w.units[:n/5]
	require.InDelta(t, 1./3, ro.part(&few), 1e-12)
	for bound, times := range map[int]int{0: 1, 1: 2, 3: 2} {
		var of int
		_, report, err := Sequence(context.Background(), m, Length{}, Options{Effort: Quick, Bound: bound,
			Progress: func(_, total int) { of = total }})
		require.NoError(t, err)
		require.Equal(t, times*n, of, bound)
		require.Equal(t, bound, report.Iterations)
		require.Equal(t, bound > 0, report.Bound > 0)
		require.LessOrEqual(t, report.Bound, report.Cost*(1+1e-9), fmt.Sprint(bound))
	}
}

// Where a phase begins and ends: at the start and back there, or at its own first end, or
// where the last one left off.
func TestWherePhasesBegin(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 6))
	m := mixed(r, 5, true)
	w := newWork(m, Length{}, 0)
	start := &path.Point{X: 3, Y: 4}
	for _, c := range []struct {
		begun, back, last bool
		start             *path.Point
		from, to          string
		cyclic            bool
	}{
		{}, {start: start, from: "start"}, {back: true, last: true, cyclic: true},
		{back: true, last: true, start: start, from: "start", to: "start"},
		{back: true, start: start, from: "start"}, {begun: true, from: "last"}, {begun: true, start: start,
			from: "last"},
		{begun: true, back: true, last: true, from: "last", to: "first"},
		{begun: true, back: true, last: true, start: start, from: "last", to: "start"}, {begun: true, back: true,
			from: "last"},
	} {
		ro := router{marks: m, cost: Length{}, opt: Options{Start: c.start, Return: c.back}, out: newOutput(m,
			Length{})}
		if c.begun {
			ro.out.add(w, w.units[0], 0, 0)
			ro.out.add(w, w.units[1], 1, 0)
		}
		named := map[string]*End{"": nil, "start": {At: *start, Kind: path.LineStroke}, "last": &ro.out.last,
			"first": &ro.out.first}
		at := ro.where(w, c.last)
		require.Equal(t, named[c.from], at.from, "%+v", c)
		require.Equal(t, named[c.to], at.to, "%+v", c)
		require.Equal(t, c.cyclic, at.cyclic, "%+v", c)
		want := ro.out.travel
		if c.begun && c.start != nil {
			want += start.Dist(ro.out.first.At)
		}
		if c.begun && c.back {
			to := ro.out.first.At
			if c.start != nil {
				to = *start
			}
			want += ro.out.last.At.Dist(to)
		}
		require.InDelta(t, want, ro.ends(ro.out), 1e-12)
	}
}

// Of ways that cost the same, each component takes the one between the lowest nodes,
// whichever is offered first.
func TestWaysOfTheSameCost(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 5))
	for range 100 {
		b := &bounder{items: 4, nodes: make([]boundNode, 12)}
		for i := range b.nodes {
			b.nodes[i].item = int32(i) / 3
		}
		var offers []exit
		for range 1 + r.IntN(12) {
			offers = append(offers, exit{a: r.Int32N(12), b: r.Int32N(12), cost: float64(r.IntN(3))})
		}
		x := &exactTree{best: make([]exit, b.items)}
		x.joined.reset(b.items)
		for i := range x.best {
			x.best[i] = exit{cost: math.Inf(1), a: -1, b: -1}
		}
		for _, w := range offers {
			x.offer(b, w)
		}
		for item := range int32(b.items) {
			want := exit{cost: math.Inf(1), a: -1, b: -1}
			for _, w := range offers {
				w.a, w.b = min(w.a, w.b), max(w.a, w.b)
				if p, q := w.a/3, w.b/3; p == q || p != item && q != item {
					continue
				}
				if cmp.Or(cmp.Compare(w.cost, want.cost), cmp.Compare(w.a, want.a), cmp.Compare(w.b, want.b)) < 0 {
					want = w
				}
			}
			require.Equal(t, want, x.best[item])
		}
	}
}

// A node of the tree of places has a component where all its places are of that.
func TestPartsOfTheTree(t *testing.T) {
	r := rand.New(rand.NewPCG(12, 6))
	for range 20 {
		b := randomBounder(r, Length{})
		b.prepare()
		x := &exactTree{}
		x.prepare(b)
		for range r.IntN(2 * b.items) { // joins near ones more often
			i := r.IntN(len(x.kd.index))
			k := min(i+r.IntN(4), len(x.kd.index)-1)
			x.joined.join(b.nodes[x.kd.index[i]].item, b.nodes[x.kd.index[k]].item)
		}
		x.findParts(b)
		inner := 0
		for i := range x.kd.nodes {
			n := &x.kd.nodes[i]
			want := x.joined.root(b.nodes[x.kd.index[n.lo]].item)
			for slot := n.lo; slot < n.hi; slot++ {
				require.Equal(t, x.joined.root(b.nodes[x.kd.index[slot]].item), x.owner[slot])
				if x.owner[slot] != x.owner[n.lo] {
					want = -1
				}
			}
			require.Equal(t, want, x.part[i])
			if n.right != 0 {
				inner++
			}
		}
		require.Positive(t, inner)
	}
}
