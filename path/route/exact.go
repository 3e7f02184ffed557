package route

import (
	"math"
	"slices"

	"furrow/path"
)

// exactTree finds the smallest tree of the complete graph, as treeFinder does,
// but with a k-d tree for the ways out of a component: a box of nodes is passed
// over where all belong to the component, or where the least that travel over
// the distance to it costs, plus the lowest penalty in it, is no gain. Nodes are
// known by their slots in the k-d tree.
type exactTree struct {
	kd      *kdTree
	least   func(mm float64) float64
	penalty []float64 // of each slot
	lowest  []float64 // penalty in each node of kd
	owner   []int32   // component of each slot
	part    []int32   // component of all points of each node of kd, or -1
	joined  joined
	best    []exit // of each component
}

// exit is the cheapest way found out of a component.
type exit struct {
	cost   float64
	a, b   int32
	likely bool // by one of the likely edges
}

// find returns the cost of the smallest tree with penalties, or -Inf where there
// is none or b is told to stop. It adds the edges that it uses to the likely
// ones.
func (x *exactTree) find(b *bounder) float64 {
	x.prepare(b)
	sum := 0.0
	for x.joined.parts > 1 {
		if !x.round(b) {
			return math.Inf(-1)
		}
		before := x.joined.parts
		for _, w := range x.best {
			if w.a < 0 || !x.joined.join(b.nodes[w.a].item, b.nodes[w.b].item) {
				continue
			}
			sum += w.cost
			if !w.likely {
				b.know(w.a, w.b)
			}
		}
		if x.joined.parts == before {
			return math.Inf(-1) // one-way items that nothing can reach
		}
	}
	return sum
}

// prepare makes the k-d tree, once, and puts the penalties into it.
func (x *exactTree) prepare(b *bounder) {
	if x.kd == nil {
		at := make([]path.Point, len(b.nodes))
		for i := range b.nodes {
			at[i] = rest(b.cost, b.nodes[i].end)
		}
		x.kd = newKDTree(at, nil)
		x.least = func(float64) float64 { return 0 }
		if r, ok := b.cost.(Resting); ok {
			x.least = r.Least
		}
	}
	x.penalty = x.penalty[:0]
	for _, i := range x.kd.index {
		x.penalty = append(x.penalty, b.penalty(i))
	}
	x.lowest = append(x.lowest[:0], make([]float64, len(x.kd.nodes))...)
	for i := len(x.kd.nodes) - 1; i >= 0; i-- { // children stand behind their parents
		if n := &x.kd.nodes[i]; n.right == 0 {
			x.lowest[i] = slices.Min(x.penalty[n.lo:n.hi])
		} else {
			x.lowest[i] = min(x.lowest[i+1], x.lowest[n.right])
		}
	}
	x.joined.reset(b.items)
	x.joined.parts = b.parts()
}

// round finds the cheapest way out of every component: first by likely edges,
// then by all. It reports false when b is told to stop.
func (x *exactTree) round(b *bounder) bool {
	x.best = x.best[:0]
	for range b.items {
		x.best = append(x.best, exit{cost: math.Inf(1), a: -1, b: -1})
	}
	for _, e := range b.edges {
		x.offer(b, exit{cost: b.priced(e), a: e.a, b: e.b, likely: true})
	}
	x.findParts(b)
	for slot, i := range x.kd.index {
		if slot%4096 == 4095 && b.stop() {
			return false
		}
		if b.nodes[i].item != b.special {
			x.visit(b, int32(slot), 0, x.floor(int32(slot), 0))
		}
	}
	return true
}

// offer takes a way between two nodes where it is the cheapest so far out of
// their components; of two that cost the same, the one between lower nodes, so
// that components agree and make no ring.
func (x *exactTree) offer(b *bounder, w exit) {
	p, q := x.joined.root(b.nodes[w.a].item), x.joined.root(b.nodes[w.b].item)
	if p == q {
		return
	}
	w.a, w.b = min(w.a, w.b), max(w.a, w.b)
	for _, c := range [2]int32{p, q} {
		o := x.best[c]
		if w.cost < o.cost || w.cost == o.cost && (w.a < o.a || w.a == o.a && w.b < o.b) {
			x.best[c] = w
		}
	}
}

// findParts finds the component of each slot and of nodes of kd that have one.
func (x *exactTree) findParts(b *bounder) {
	x.owner = x.owner[:0]
	for _, i := range x.kd.index {
		x.owner = append(x.owner, x.joined.root(b.nodes[i].item))
	}
	x.part = append(x.part[:0], make([]int32, len(x.kd.nodes))...)
	for i := len(x.kd.nodes) - 1; i >= 0; i-- {
		n := &x.kd.nodes[i]
		all := x.owner[n.lo:n.hi]
		if n.right != 0 {
			all = []int32{x.part[i+1], x.part[n.right]}
		}
		x.part[i] = all[0]
		for _, c := range all {
			if c != all[0] {
				x.part[i] = -1
			}
		}
	}
}

// visit looks for a way out from a slot in a node of kd, to which any costs at
// least floor.
func (x *exactTree) visit(b *bounder, slot, node int32, floor float64) {
	c := x.owner[slot]
	if x.part[node] == c || floor > x.best[c].cost {
		return
	}
	n := &x.kd.nodes[node]
	if n.right != 0 {
		l, r := node+1, n.right
		to, far := x.floor(slot, l), x.floor(slot, r)
		if far < to {
			l, r, to, far = r, l, far, to
		}
		x.visit(b, slot, l, to)
		x.visit(b, slot, r, far)
		return
	}
	i := x.kd.index[slot]
	for s := n.lo; s < n.hi; s++ {
		if j := x.kd.index[s]; x.owner[s] != c && b.inTree(i, j) {
			x.offer(b, exit{cost: b.priced(b.edge(i, j)), a: i, b: j})
		}
	}
}

// floor returns what any way from a slot into a node of kd costs at least.
func (x *exactTree) floor(slot, node int32) float64 {
	d := math.Sqrt(dist2(&x.kd.nodes[node].box, x.kd.at[slot]))
	return x.least(d) + x.penalty[slot] + x.lowest[node]
}
