package route

import "math"

// treeFinder finds the smallest tree that joins all items by likely edges, by
// the method of Borůvka: every component takes its cheapest way out, until one
// component is left.
type treeFinder struct {
	joined joined
	live   []int32   // likely edges still between components
	cost   []float64 // of each, with penalties
	best   []int32   // of each component: index in live, or -1
	used   []int32   // the tree's edges
}

// find returns the cost of the smallest tree with penalties. It counts in degree
// how often that uses each group, and how often it leaves odd sets.
func (f *treeFinder) find(b *bounder, degree []float64) float64 {
	f.joined.reset(b.items)
	f.joined.parts = b.parts()
	f.live, f.cost, f.used = f.live[:0], f.cost[:0], f.used[:0]
	for i, e := range b.edges {
		f.live = append(f.live, int32(i))
		f.cost = append(f.cost, b.priced(e))
	}
	sum := 0.0
	for f.joined.parts > 1 && len(f.live) > 0 {
		f.pick(b)
		for _, i := range f.best {
			if i < 0 {
				continue
			}
			e := &b.edges[f.live[i]]
			if f.joined.join(b.nodes[e.a].item, b.nodes[e.b].item) {
				sum += f.cost[i]
				b.take(e.a, e.b, degree)
				f.used = append(f.used, f.live[i])
			}
		}
	}
	if f.joined.parts > 1 {
		return math.Inf(-1) // the likely edges do not reach everything
	}
	return sum
}

// pick drops the edges inside components and finds the cheapest out of each; of
// two that cost the same, the one that comes first.
func (f *treeFinder) pick(b *bounder) {
	f.best = f.best[:0]
	for range b.items {
		f.best = append(f.best, -1)
	}
	n := 0
	for i, at := range f.live {
		e := &b.edges[at]
		p, q := f.joined.root(b.nodes[e.a].item), f.joined.root(b.nodes[e.b].item)
		if p == q {
			continue
		}
		f.live[n], f.cost[n] = at, f.cost[i]
		for _, c := range [2]int32{p, q} {
			if f.best[c] < 0 || f.cost[n] < f.cost[f.best[c]] {
				f.best[c] = int32(n)
			}
		}
		n++
	}
	f.live, f.cost = f.live[:n], f.cost[:n]
}

// joined tells which items hang together.
type joined struct {
	up    []int32
	parts int
}

func (j *joined) reset(n int) {
	j.up = j.up[:0]
	for i := range n {
		j.up = append(j.up, int32(i))
	}
	j.parts = n
}

func (j *joined) root(i int32) int32 {
	for j.up[i] != i {
		j.up[i] = j.up[j.up[i]]
		i = j.up[i]
	}
	return i
}

// join reports whether a and b did not hang together before.
func (j *joined) join(a, b int32) bool {
	a, b = j.root(a), j.root(b)
	if a == b {
		return false
	}
	j.up[max(a, b)] = min(a, b)
	j.parts--
	return true
}
