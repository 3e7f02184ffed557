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
	nodes []kdNode     // children stand behind their parents, the left one next to it
	at    []path.Point // sorted into slots so that every node holds a run of them
	index []int32      // of the point at each slot; its complement where that is off
	slot  []int32      // of each index
	tags  []int32      // of each index; nil: all 0
}

type kdNode struct {
	box    path.Rect
	lo, hi int32 // its run of slots
	right  int32 // child; 0 in a leaf
	live   int32 // points switched on
	tag    int32 // of all its points, or -1 where they differ
}

// newKDTree makes a tree of points, all on, and takes the slice over. tags may be nil.
func newKDTree(at []path.Point, tags []int32) *kdTree {
	t := &kdTree{
		at:    at,
		tags:  tags,
		index: make([]int32, len(at)),
		slot:  make([]int32, len(at)),
		nodes: make([]kdNode, 0, nodesOf(len(at))),
	}
	for i := range t.index {
		t.index[i] = int32(i)
	}
	t.build(0, int32(len(at)))
	for s, i := range t.index {
		t.slot[i] = int32(s)
	}
	return t
}

// nodesOf returns how many nodes a tree of n points has.
func nodesOf(n int) int {
	if n <= leafSize {
		return 1
	}
	return 1 + nodesOf(n/2) + nodesOf(n-n/2)
}

// tag returns that of the point with an index.
func (t *kdTree) tag(index int32) int32 {
	if t.tags == nil {
		return 0
	}
	return t.tags[index]
}

func (t *kdTree) build(lo, hi int32) int32 {
	self := int32(len(t.nodes))
	n := kdNode{box: path.EmptyRect(), lo: lo, hi: hi, live: hi - lo}
	for i := lo; i < hi; i++ {
		n.box = n.box.Include(t.at[i])
		if tag := t.tag(t.index[i]); i == lo {
			n.tag = tag
		} else if tag != n.tag {
			n.tag = -1
		}
	}
	t.nodes = append(t.nodes, n)
	if hi-lo <= leafSize {
		return self
	}
	mid := n.middle()
	t.selectPoint(int(lo), int(hi)-1, int(mid), n.box.W() >= n.box.H())
	t.build(lo, mid)
	right := t.build(mid, hi)
	t.nodes[self].right = right
	return self
}

// middle returns the first slot of the right child.
func (n *kdNode) middle() int32 { return (n.lo + n.hi) / 2 }

// selectPoint partly sorts the slots from lo to hi along X or Y, so that in slot k
// stands what sorting would put there, nothing before it is greater and nothing behind
// it smaller.
func (t *kdTree) selectPoint(lo, hi, k int, alongX bool) {
	key := func(i int) float64 {
		if alongX {
			return t.at[i].X
		}
		return t.at[i].Y
	}
	for lo < hi {
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
				t.at[i], t.at[j] = t.at[j], t.at[i]
				t.index[i], t.index[j] = t.index[j], t.index[i]
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
	if t.index[s] >= 0 == live {
		return
	}
	t.index[s] = ^t.index[s]
	change := int32(-1)
	if live {
		change = 1
	}
	for i := int32(0); ; {
		n := &t.nodes[i]
		n.live += change
		switch {
		case n.right == 0:
			return
		case s < n.middle():
			i++
		default:
			i = n.right
		}
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
	if n.right == 0 {
		s.scan(n)
		return
	}
	a, b := i+1, n.right
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
func (s *nearestSearch) scan(n *kdNode) {
	at := s.tree.at[n.lo:n.hi]
	for k, index := range s.tree.index[n.lo:n.hi] {
		if index < 0 {
			continue
		}
		dx, dy := at[k].X-s.q.X, at[k].Y-s.q.Y
		d := float64(dx*dx) + float64(dy*dy)
		if d < s.best || d == s.best && index < s.index {
			s.best, s.index = d, index
		}
	}
}
