package route

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// dear is a Cost that is not the distance, and keeps quiet about rests.
type dear struct{}

func (dear) Sweep(float64, int) bool { return false }

func (dear) Travel(from, to End) float64 {
	return 0.5 + from.At.Dist(to.At)*(3-from.Dir.Dot(to.Dir))
}

// The bound holds only if its tree is the smallest of the complete graph,
// whatever the multipliers are: here as found from all pairs of nodes.
func TestExactTreeIsTheSmallest(t *testing.T) {
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(seed, 17))
		b := randomBounder(rng, []Cost{Length{}, dear{}}[seed%2])
		got := 0.0
		for range 2 { // again, with what it has learnt
			b.prepare()
			got = b.exact.find(b)
			require.InDelta(t, smallestTree(b), got, 1e-9, "seed %d", seed)
		}
		require.LessOrEqual(t, got, b.tree.find(b, make([]float64, len(b.need)))+1e-9, "seed %d: likely edges", seed)
	}
}

// randomBounder returns one with random lines, penalties and odd sets, some
// round others.
func randomBounder(rng *rand.Rand, c Cost) *bounder {
	at := func() path.Point { return path.Point{X: rng.Float64(), Y: rng.Float64()} }
	m := path.Marks{Settings: []path.Setting{{}}}
	for range 2 + rng.IntN(40) {
		m.Lines = append(m.Lines, path.Line{Before: -1, Closed: rng.IntN(4) == 0,
			Points: []path.Point{at(), at(), at()}})
	}
	b := newBounder(newWork(&m, c, 0), nil, rng.IntN(2) == 0)
	for g := range b.pi {
		b.pi[g] = rng.NormFloat64()
	}
	for size := 3; size <= 9 && size < len(b.need); size *= 3 {
		first := rng.IntN(len(b.need) - size + 1)
		var groups []int32
		for g := range int32(len(b.need)) {
			if set := b.odd.outermost(g); int(g) >= first && int(g) < first+size || set >= 0 && rng.IntN(2) == 0 {
				groups = append(groups, g)
			}
		}
		if whole(b, groups) {
			b.odd.add(groups)
			b.odd.width[len(b.odd.width)-1] = rng.Float64()
		}
	}
	return b
}

// whole reports whether groups hold all of each set that they hold any of.
func whole(b *bounder, groups []int32) bool {
	for g := range int32(len(b.need)) {
		set := b.odd.outermost(g)
		touched := slices.ContainsFunc(groups, func(h int32) bool { return set >= 0 && b.odd.outermost(h) == set })
		if touched && !slices.Contains(groups, g) {
			return false
		}
	}
	return true
}

// smallestTree takes the cheapest of all edges that close no ring.
func smallestTree(b *bounder) float64 {
	type priced struct {
		boundEdge
		price float64
	}
	var all []priced
	for i := range int32(len(b.nodes)) {
		for j := range i {
			if b.inTree(i, j) {
				e := b.edge(i, j)
				price := e.cost
				for g, n := range [2]int32{b.nodes[i].group, b.nodes[j].group} {
					price += b.pi[n]
					for s := b.odd.of[n]; s >= 0; s = b.odd.up[s] {
						if !b.odd.holds(s, [2]int32{b.nodes[j].group, b.nodes[i].group}[g]) {
							price -= b.odd.width[s]
						}
					}
				}
				all = append(all, priced{e, price})
			}
		}
	}
	slices.SortFunc(all, func(x, y priced) int { return cmp.Compare(x.price, y.price) })
	var hang joined
	hang.reset(b.items)
	sum := 0.0
	for _, e := range all {
		if hang.join(b.nodes[e.a].item, b.nodes[e.b].item) {
			sum += e.price
		}
	}
	return sum
}

// holds reports whether a group is in a set.
func (o *oddSets) holds(set, g int32) bool {
	for s := o.of[g]; s >= 0; s = o.up[s] {
		if s == set {
			return true
		}
	}
	return false
}

// A cluster that is joined keeps the set that was found last and lacks most, the first of
// all, of number 0, as any other.
func TestJoinedClustersKeepTheirSet(t *testing.T) {
	for _, tt := range []struct {
		one, two, want cluster
	}{
		{cluster{best: 0, lack: 0.5}, cluster{best: -1}, cluster{best: 0, lack: 0.5}},
		{cluster{best: -1}, cluster{best: 0, lack: 0.5}, cluster{best: 0, lack: 0.5}},
		{cluster{best: 1, lack: 0.3}, cluster{best: 0, lack: 0.5}, cluster{best: 0, lack: 0.5}},
		{cluster{best: 0, lack: 0.5}, cluster{best: 1, lack: 0.3}, cluster{best: 0, lack: 0.5}},
		{cluster{best: -1}, cluster{best: -1}, cluster{best: -1}},
	} {
		s := oddSearch{clusters: []cluster{tt.one, tt.two}}
		s.joined.reset(2)
		got := s.clusters[s.join(0, 1)]
		require.Equal(t, tt.want.best, got.best)
		require.Equal(t, tt.want.lack, got.lack)
	}
}
