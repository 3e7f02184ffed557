package route

import (
	"math"

	"furrow/path"
)

// exactTree finds the smallest tree of the complete graph, as treeFinder does,
// but with a k-d tree for the ways out of a component: a box of nodes is passed
// over where all belong to the component, or where the least that travel over
// the distance to it costs, plus the lowest penalty in it, is no gain.
type exactTree struct {
	kd     *kdTree
	least  func(mm float64) float64
	lowest []float64 // penalty in each node of kd
	part   []int32   // component of all its points, or -1
	joined joined
	best   []exit // of each component
}

// exit is the cheapest way found out of a component.
type exit struct {
	cost float64
	a, b int32
}

// find returns the cost of the smallest tree with penalties. It adds the edges
// that it uses to the likely ones.
func (x *exactTree) find(b *bounder) float64 {
	x.prepare(b)
	sum := 0.0
	for x.joined.parts > 1 {
		x.round(b)
		before := x.joined.parts
		for _, w := range x.best {
			if w.a < 0 || !x.joined.join(b.nodes[w.a].item, b.nodes[w.b].item) {
				continue
			}
			sum += w.cost
			b.know(w.a, w.b)
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
	x.lowest = x.lowest[:0]
	for range x.kd.nodes {
		x.lowest = append(x.lowest, math.Inf(1))
	}
	for i := len(x.kd.nodes) - 1; i >= 0; i-- { // children stand behind their parents
		n := &x.kd.nodes[i]
		if n.left == 0 {
			for _, p := range x.kd.points[n.lo:n.hi] {
				x.lowest[i] = min(x.lowest[i], b.penalty(p.index))
			}
			continue
		}
		x.lowest[i] = min(x.lowest[n.left], x.lowest[n.right])
	}
	x.joined.reset(b.items)
	x.joined.parts = b.parts()
}

// round finds the cheapest way out of every component: first by likely edges,
// then by all.
func (x *exactTree) round(b *bounder) {
	x.best = x.best[:0]
	for range b.items {
		x.best = append(x.best, exit{math.Inf(1), -1, -1})
	}
	for _, e := range b.edges {
		x.offer(b, e.a, e.b, b.priced(e))
	}
	x.findParts(b)
	for _, p := range x.kd.points {
		if b.nodes[p.index].item != b.special {
			x.visit(b, p.index, p.at, 0)
		}
	}
}

// offer takes the way between two nodes where it is the cheapest so far out of
// their components; of two that cost the same, the one between lower nodes, so
// that components agree and make no ring.
func (x *exactTree) offer(b *bounder, i, j int32, cost float64) {
	p, q := x.joined.root(b.nodes[i].item), x.joined.root(b.nodes[j].item)
	if p == q {
		return
	}
	w := exit{cost, min(i, j), max(i, j)}
	for _, c := range [2]int32{p, q} {
		o := x.best[c]
		if w.cost < o.cost || w.cost == o.cost && (w.a < o.a || w.a == o.a && w.b < o.b) {
			x.best[c] = w
		}
	}
}

func (x *exactTree) findParts(b *bounder) {
	x.part = append(x.part[:0], make([]int32, len(x.kd.nodes))...)
	for i := len(x.kd.nodes) - 1; i >= 0; i-- {
		n := &x.kd.nodes[i]
		if n.left != 0 {
			x.part[i] = x.part[n.left]
			if x.part[n.right] != x.part[i] {
				x.part[i] = -1
			}
			continue
		}
		for k, p := range x.kd.points[n.lo:n.hi] {
			c := x.joined.root(b.nodes[p.index].item)
			if k == 0 {
				x.part[i] = c
			} else if x.part[i] != c {
				x.part[i] = -1
			}
		}
	}
}

// visit looks for a way out from node i, at a place, in a node of kd.
func (x *exactTree) visit(b *bounder, i int32, at path.Point, node int32) {
	c := x.joined.root(b.nodes[i].item)
	if x.part[node] == c {
		return
	}
	n := &x.kd.nodes[node]
	if x.floor(b, i, at, node) > x.best[c].cost {
		return
	}
	if n.left != 0 {
		l, r := n.left, n.right
		if x.floor(b, i, at, r) < x.floor(b, i, at, l) {
			l, r = r, l
		}
		x.visit(b, i, at, l)
		x.visit(b, i, at, r)
		return
	}
	for _, p := range x.kd.points[n.lo:n.hi] {
		if b.inTree(i, p.index) {
			x.offer(b, i, p.index, b.priced(b.edge(i, p.index)))
		}
	}
}

// floor returns what any way from node i into a node of kd costs at least.
func (x *exactTree) floor(b *bounder, i int32, at path.Point, node int32) float64 {
	d := math.Sqrt(dist2(&x.kd.nodes[node].box, at))
	return x.least(d) + b.penalty(i) + x.lowest[node]
}
