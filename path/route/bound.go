package route

import (
	"slices"
)

// The bound of Held and Karp (1970), for strokes as edges that every sequence
// holds. A sequence is a tree of travel between the items, so that it costs no
// less than the smallest such tree. That stays true when every end e is given a
// penalty and the travel between e and f costs penalty(e) + penalty(f) more: a
// sequence uses every end once, and so costs the sum of all penalties more. The
// best penalties push the smallest tree towards using every end once as well.
// Sets of ends that a sequence cannot but leave, see oddSets, add to it.
//
// Both are sought on a graph of likely edges only, but the bound is only ever
// taken from the smallest tree of the complete graph, so that it holds whatever
// the penalties and sets are. Constraints are left out, save that one-way rows
// are entered at one side and left at the other: without them there are only
// more sequences.

// boundNode is a place where an item may be entered or left.
type boundNode struct {
	end   End
	item  int32
	group int32 // whose penalty it has
	way   uint8 // wayIn, wayOut, or both
}

const (
	wayIn = 1 << iota
	wayOut
	wayBoth = wayIn | wayOut
)

// bounder seeks a bound for one work.
type bounder struct {
	cost    Cost
	plain   bool
	nodes   []boundNode
	items   int
	need    []float64 // how often a sequence uses each group
	pi      []float64 // penalty of each group
	odd     oddSets   // of groups
	net     []float64 // penalty of each group, less the widths of the sets it is in
	loose   int       // ends of the sequence that lie anywhere
	special int32     // item left out of the tree of a closed tour, or -1
	edges   []boundEdge
	tree    treeFinder
	exact   exactTree
	stop    func() bool
}

// boundEdge is the travel between two nodes, without penalties.
type boundEdge struct {
	cost   float64
	a, b   int32
	shared int32 // smallest odd set that holds both, or -1
}

// newBounder returns a bounder for sequences of a work that begin at from, if
// not nil, and return there, or to their own beginning, if closed.
func newBounder(w *work, from *End, closed bool) *bounder {
	b := &bounder{cost: w.cost, special: -1, loose: 2, stop: func() bool { return false }}
	_, b.plain = w.cost.(Length)
	b.nodes = make([]boundNode, 0, 2*len(w.cells)+1)
	for i, c := range w.cells {
		b.addItem(w, int32(i), c)
	}
	b.items = len(w.cells)
	if from != nil {
		b.need = append(b.need, 1)
		b.nodes = append(b.nodes, boundNode{end: *from, item: int32(b.items),
			group: int32(len(b.need) - 1), way: wayBoth})
		b.items++
		b.loose = 1
	}
	if closed {
		b.loose = 0
		b.special = int32(b.items - 1)
		if from != nil {
			b.need[len(b.need)-1] = 2
		}
	}
	b.pi = make([]float64, len(b.need))
	b.odd = newOddSets(len(b.need))
	return b
}

// addItem adds the nodes of a cell of one unit.
func (b *bounder) addItem(w *work, item int32, c cell) {
	group := int32(len(b.need))
	if u := w.units[c.lo]; w.closed(u) {
		b.need = append(b.need, 2)
		for v := range w.variants(c) {
			for side := range int32(2) { // at the same place, but in other directions
				b.nodes = append(b.nodes, boundNode{end: w.cellEnd(c, v, side), item: item, group: group, way: wayBoth})
			}
		}
		return
	}
	ways := [2]uint8{wayBoth, wayBoth}
	if w.directed(c) {
		ways = [2]uint8{wayIn, wayOut}
	}
	b.need = append(b.need, 1, 1)
	b.nodes = append(b.nodes,
		boundNode{end: w.cellEnd(c, 0, 0), item: item, group: group, way: ways[0]},
		boundNode{end: w.cellEnd(c, 0, 1), item: item, group: group + 1, way: ways[1]})
}

// inTree reports whether the travel between two nodes may be in the tree.
func (b *bounder) inTree(i, j int32) bool {
	return b.nodes[i].item != b.special && b.nodes[j].item != b.special && b.allowed(i, j)
}

// allowed reports whether a sequence may go between two nodes.
func (b *bounder) allowed(i, j int32) bool {
	m, n := &b.nodes[i], &b.nodes[j]
	return m.item != n.item &&
		(m.way&wayIn != 0 && n.way&wayOut != 0 || m.way&wayOut != 0 && n.way&wayIn != 0)
}

// travel returns the cost between two nodes.
func (b *bounder) travel(i, j int32) float64 {
	if b.plain {
		return b.nodes[i].end.At.Dist(b.nodes[j].end.At)
	}
	return b.cost.Travel(b.nodes[i].end, b.nodes[j].end.reversed())
}

// penalty returns that of a node, less the widths of the odd sets it is in.
func (b *bounder) penalty(i int32) float64 { return b.net[b.nodes[i].group] }

// prepare makes ready to find a tree with the multipliers as they are.
func (b *bounder) prepare() {
	b.odd.prepare()
	b.net = b.net[:0]
	for g, pi := range b.pi {
		b.net = append(b.net, pi-b.odd.around(b.odd.of[g]))
	}
}

// priced returns the penalised cost of an edge: less the widths of the odd sets
// that it leaves, but not of those that hold both its ends.
func (b *bounder) priced(e boundEdge) float64 {
	return e.cost + b.penalty(e.a) + b.penalty(e.b) + 2*b.odd.around(e.shared)
}

// edge returns the edge between two nodes.
func (b *bounder) edge(i, j int32) boundEdge {
	return boundEdge{cost: b.travel(i, j), a: i, b: j, shared: b.odd.shared(b.nodes[i].group, b.nodes[j].group)}
}

// share finds the odd sets that hold both ends of likely edges.
func (b *bounder) share() {
	for i := range b.edges {
		e := &b.edges[i]
		e.shared = b.odd.shared(b.nodes[e.a].group, b.nodes[e.b].group)
	}
}

// take counts that a tree has the edge between two nodes.
func (b *bounder) take(i, j int32, degree []float64) {
	g, h := b.nodes[i].group, b.nodes[j].group
	degree[g]++
	degree[h]++
	b.odd.leave(b.odd.of[g], b.odd.of[h])
}

// parts returns how many items the tree joins.
func (b *bounder) parts() int {
	if b.special >= 0 {
		return b.items - 1
	}
	return b.items
}

// beside returns the penalised cost of what a sequence has beside the tree, less
// all penalties, and counts its ends in degree: the ends of the sequence, or the
// two ways to the item left out.
func (b *bounder) beside(degree []float64) float64 {
	sum := 0.0
	for g, n := range b.need {
		sum -= float64(n * b.pi[g])
	}
	for _, w := range b.odd.width {
		sum += w
	}
	if b.loose > 0 {
		for _, g := range b.lowest(b.loose) {
			sum += b.net[g]
			degree[g]++
			b.odd.leave(b.odd.of[g], -1)
		}
	}
	if b.special >= 0 {
		sum += b.join(degree)
	}
	return sum
}

// join returns the penalised cost of the cheapest way to each end of the item
// left out, or of the two cheapest where it has no ends of its own.
func (b *bounder) join(degree []float64) float64 {
	var ways []exit
	for i := range b.nodes {
		if b.nodes[i].item != b.special {
			continue
		}
		from := len(ways)
		if from > 0 && b.nodes[i].group == b.nodes[ways[0].a].group {
			from = 0 // one more place of the same line
		}
		n := int(b.need[b.nodes[i].group])
		for j := range b.nodes {
			if b.allowed(int32(i), int32(j)) {
				w := exit{cost: b.priced(b.edge(int32(i), int32(j))), a: int32(i), b: int32(j)}
				ways = keepCheapest(ways, from, n, w)
			}
		}
	}
	sum := 0.0
	for _, w := range ways {
		sum += w.cost
		b.take(w.a, w.b, degree)
	}
	return sum
}

// keepCheapest puts w in its place among ways[from:], of which n are kept.
func keepCheapest(ways []exit, from, n int, w exit) []exit {
	i := len(ways)
	for i > from && ways[i-1].cost > w.cost {
		i--
	}
	if i < from+n {
		ways = slices.Insert(ways, i, w)
		ways = ways[:min(len(ways), from+n)]
	}
	return ways
}

// lowest returns the n groups of strokes with the lowest penalties, less
// widths.
func (b *bounder) lowest(n int) []int {
	var low []int
	groups := len(b.need)
	if b.loose == 1 {
		groups-- // the start
	}
	for g := range groups {
		i := len(low)
		for i > 0 && b.net[low[i-1]] > b.net[g] {
			i--
		}
		if i < n {
			low = slices.Insert(low, i, g)[:min(n, len(low)+1)]
		}
	}
	return low
}

// evaluate returns the bound that the penalties give, and adds the tree's edges
// to the graph of likely ones.
func (b *bounder) evaluate() float64 {
	degree := make([]float64, len(b.need))
	b.prepare()
	return b.exact.find(b) + b.beside(degree)
}

// nearLikely is to how many neighbours of an end the likely edges go at first.
const nearLikely = 5

// likely makes the graph of likely edges: every end to its nearest neighbours,
// and the edges of a good tour.
func (b *bounder) likely(t *tour, near neighbours) {
	nodeOf := b.nodesOf(t)
	b.edges = make([]boundEdge, 0, nearLikely*len(nodeOf)*3/4) // neighbours are often so both ways
	nearest := func(e int32) []int32 { return near.of(e)[:min(nearLikely, len(near.of(e)))] }
	for e := range t.depot {
		for _, f := range nearest(e) {
			if e < f || !slices.Contains(nearest(f), e) {
				b.know(nodeOf[e], nodeOf[f])
			}
		}
		f := t.link(e)
		if f < t.depot && e < f && !slices.Contains(nearest(e), f) && !slices.Contains(nearest(f), e) {
			b.know(nodeOf[e], nodeOf[f])
		}
	}
}

// know adds a likely edge, if it may be in the tree.
func (b *bounder) know(i, j int32) {
	if b.inTree(i, j) {
		b.edges = append(b.edges, b.edge(i, j))
	}
}

// nodesOf returns the node of every end of a tour, as its closed lines start now.
func (b *bounder) nodesOf(t *tour) []int32 {
	at := make([]int32, t.depot)
	n := int32(0)
	for i, c := range t.work.cells {
		if u := t.work.units[c.lo]; t.work.closed(u) {
			at[2*i], at[2*i+1] = n+2*t.variant[i], n+2*t.variant[i]+1
			n += 2 * t.work.variants(c)
			continue
		}
		at[2*i], at[2*i+1] = n, n+1
		n += 2
	}
	return at
}
