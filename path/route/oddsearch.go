package route

import (
	"cmp"
	"slices"
)

// oddSearch finds the odd sets that trees leave less than once on average. It
// joins groups into larger and larger clusters, those first that trees join the
// most, and looks at each cluster on the way.
type oddSearch struct {
	b        *bounder
	use      []float64 // of each likely edge: by how many trees, on average
	joined   joined
	clusters []cluster // by their root
	found    [][]int32 // groups of each set; nil where a better one has taken its place
}

// cluster is some groups that trees join.
type cluster struct {
	groups []int32
	edges  []int32 // likely ones with an end in it; those inside twice or not at all
	need   int
	inside float64 // how often trees go from a group of it to another
	best   int32   // set that was found in it last, or -1
	lack   float64 // of that: how much less than once it is left
}

const (
	leastUse  = 0.02 // of an edge worth a look
	leastLack = 0.2  // of a set worth a multiplier; less is noise
)

// newOddSearch begins with a cluster for each outermost odd set and for each
// group in none, so that what is found lies round the sets that there are.
func newOddSearch(b *bounder, use []float64) *oddSearch {
	s := &oddSearch{b: b, use: use, clusters: make([]cluster, len(b.need))}
	s.joined.reset(len(b.need))
	for g, n := range b.need {
		s.clusters[g] = cluster{groups: []int32{int32(g)}, need: int(n), best: -1}
	}
	for i, e := range b.edges {
		if use[i] >= leastUse {
			for _, n := range [2]int32{e.a, e.b} {
				c := &s.clusters[b.nodes[n].group]
				c.edges = append(c.edges, int32(i))
			}
		}
	}
	first := make([]int32, len(b.odd.up)) // group of each set
	for g := len(b.need) - 1; g >= 0; g-- {
		if set := b.odd.outermost(int32(g)); set >= 0 {
			first[set] = int32(g)
		}
	}
	for g := range int32(len(b.need)) {
		if set := b.odd.outermost(g); set >= 0 && first[set] != g {
			s.join(first[set], g)
		}
	}
	return s
}

// run returns the groups of each set found, inner sets before those round them.
func (s *oddSearch) run() [][]int32 {
	var edges []int32
	for i, u := range s.use {
		if u >= leastUse {
			edges = append(edges, int32(i))
		}
	}
	slices.SortFunc(edges, func(i, j int32) int {
		return cmp.Or(cmp.Compare(s.use[j], s.use[i]), cmp.Compare(i, j))
	})
	for _, i := range edges {
		if p, q := s.ends(i); p != q {
			s.look(s.join(p, q))
		}
	}
	return slices.DeleteFunc(s.found, func(groups []int32) bool { return groups == nil })
}

// ends returns the roots of the clusters that an edge joins.
func (s *oddSearch) ends(edge int32) (p, q int32) {
	e := &s.b.edges[edge]
	return s.joined.root(s.b.nodes[e.a].group), s.joined.root(s.b.nodes[e.b].group)
}

// join makes one of the clusters of two groups and returns its root.
func (s *oddSearch) join(g, h int32) int32 {
	p, q := s.joined.root(g), s.joined.root(h)
	large, small := &s.clusters[p], &s.clusters[q]
	if len(large.edges) < len(small.edges) {
		large, small = small, large
	}
	for _, i := range small.edges {
		if x, y := s.ends(i); x != y && min(x, y) == min(p, q) && max(x, y) == max(p, q) {
			large.inside += s.use[i]
		}
	}
	large.groups = append(large.groups, small.groups...)
	large.edges = append(large.edges, small.edges...)
	large.need += small.need
	large.inside += small.inside
	if small.best >= 0 && (large.best < 0 || small.lack > large.lack) {
		large.best, large.lack = small.best, small.lack
	}
	s.joined.join(p, q)
	whole := *large
	*large, *small = cluster{}, cluster{}
	root := s.joined.root(p)
	s.clusters[root] = whole
	return root
}

// look notes a cluster that is left too seldom as a set. Of two such sets, one
// not much larger than the other that it holds, the better is kept.
func (s *oddSearch) look(root int32) {
	c := &s.clusters[root]
	lack := 1 - (float64(c.need) - 2*c.inside)
	if c.need%2 == 0 || lack < leastLack {
		return
	}
	if c.best >= 0 && 2*len(s.found[c.best]) > len(c.groups) {
		if lack < c.lack {
			return
		}
		s.found[c.best] = nil
	}
	c.best, c.lack = int32(len(s.found)), lack
	s.found = append(s.found, slices.Clone(c.groups))
}
