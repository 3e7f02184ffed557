package route

import (
	"math"

	"furrow/path"
)

// leafSize is how many points a leaf of a kdTree holds at most.
const leafSize = 16

// kdTree finds the nearest of a fixed set of points, of which any may be
// switched off and on. Points are known by their index in the slice that the
// tree was made from; each carries a tag.
type kdTree struct {
	nodes  []kdNode
	points []kdPoint // sorted so that every node holds a run of them
	leaf   []int32   // node of each slot of points
	slot   []int32   // slot of each index
	tags   []int32   // of each index; nil: all 0
}

type kdNode struct {
	box         path.Rect
	lo, hi      int32 // its run of points
	left, right int32 // 0 in a leaf
	parent      int32 // -1 at the root
	live        int32 // points switched on
	tag         int32 // of all its points, or -1 where they differ
}

type kdPoint struct {
	at    path.Point
	index int32
	live  bool
}

// newKDTree makes a tree of points, all on. tags may be nil.
func newKDTree(at []path.Point, tags []int32) *kdTree {
	t := &kdTree{
		points: make([]kdPoint, len(at)),
		tags:   tags,
		leaf:   make([]int32, len(at)),
		slot:   make([]int32, len(at)),
		nodes:  make([]kdNode, 0, 4*len(at)/leafSize+1),
	}
	for i, p := range at {
		t.points[i] = kdPoint{at: p, index: int32(i), live: true}
	}
	t.build(0, int32(len(at)), -1)
	for s, p := range t.points {
		t.slot[p.index] = int32(s)
	}
	return t
}

// tag returns that of a point.
func (t *kdTree) tag(p *kdPoint) int32 {
	if t.tags == nil {
		return 0
	}
	return t.tags[p.index]
}

func (t *kdTree) build(lo, hi, parent int32) int32 {
	self := int32(len(t.nodes))
	n := kdNode{box: path.EmptyRect(), lo: lo, hi: hi, parent: parent, live: hi - lo}
	for i := lo; i < hi; i++ {
		p := &t.points[i]
		n.box = n.box.Include(p.at)
		if tag := t.tag(p); i == lo {
			n.tag = tag
		} else if tag != n.tag {
			n.tag = -1
		}
	}
	t.nodes = append(t.nodes, n)
	if hi-lo <= leafSize {
		for i := lo; i < hi; i++ {
			t.leaf[i] = self
		}
		return self
	}
	mid := (lo + hi) / 2
	selectPoint(t.points[lo:hi], int(mid-lo), n.box.W() >= n.box.H())
	left := t.build(lo, mid, self)
	right := t.build(mid, hi, self)
	t.nodes[self].left, t.nodes[self].right = left, right
	return self
}

// selectPoint partly sorts p along X or Y so that p[k] stands where sorting
// would put it, none before it is greater and none behind it smaller.
func selectPoint(p []kdPoint, k int, alongX bool) {
	key := func(i int) float64 {
		if alongX {
			return p[i].at.X
		}
		return p[i].at.Y
	}
	for lo, hi := 0, len(p)-1; lo < hi; {
		pivot := key((lo + hi) / 2)
		i, j := lo, hi
		for i <= j {
			for key(i) < pivot {
				i++
			}
			for key(j) > pivot {
				j--
			}
			if i <= j {
				p[i], p[j] = p[j], p[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return
		}
	}
}

// set switches a point on or off.
func (t *kdTree) set(index int32, live bool) {
	s := t.slot[index]
	if t.points[s].live == live {
		return
	}
	t.points[s].live = live
	change := int32(-1)
	if live {
		change = 1
	}
	for n := t.leaf[s]; n >= 0; n = t.nodes[n].parent {
		t.nodes[n].live += change
	}
}

// dist2 returns the squared distance from q to the nearest point of r.
func dist2(r *path.Rect, q path.Point) float64 {
	dx := max(r.Min.X-q.X, 0, q.X-r.Max.X)
	dy := max(r.Min.Y-q.Y, 0, q.Y-r.Max.Y)
	return float64(dx*dx) + float64(dy*dy)
}

// nearest returns the index of the live point nearest to q, or -1.
func (t *kdTree) nearest(q path.Point) int32 {
	s := nearestSearch{tree: t, q: q, best: math.Inf(1), index: -1}
	if len(t.nodes) > 0 && t.nodes[0].live > 0 {
		s.visit(0)
	}
	return s.index
}

type nearestSearch struct {
	tree  *kdTree
	q     path.Point
	best  float64 // squared
	index int32
}

func (s *nearestSearch) visit(i int32) {
	n := &s.tree.nodes[i]
	if n.left == 0 {
		s.scan(s.tree.points[n.lo:n.hi])
		return
	}
	a, b := n.left, n.right
	da, db := dist2(&s.tree.nodes[a].box, s.q), dist2(&s.tree.nodes[b].box, s.q)
	if db < da {
		a, b, da, db = b, a, db, da
	}
	if s.tree.nodes[a].live > 0 && da <= s.best {
		s.visit(a)
	}
	if s.tree.nodes[b].live > 0 && db <= s.best {
		s.visit(b)
	}
}

// scan takes the lower index of two at the same distance, so that the result
// does not depend on how the tree was split.
func (s *nearestSearch) scan(points []kdPoint) {
	for k := range points {
		p := &points[k]
		if !p.live {
			continue
		}
		dx, dy := p.at.X-s.q.X, p.at.Y-s.q.Y
		d := float64(dx*dx) + float64(dy*dy)
		if d < s.best || d == s.best && p.index < s.index {
			s.best, s.index = d, p.index
		}
	}
}
