package hatch

import "furrow/path"

// vicinity is what of a border may be near a stretch of one of its edges.
type vicinity struct {
	*border
	edges []int32 // numbers of those that count, where known
	known bool
}

// fewNear bounds the edges of a vicinity that is known: beyond it the border's tree
// finds what is nearest as quickly.
const fewNear = 64

// within appends to store the edges no farther than reach from the stretch from p to
// q, which is part of that of v, and returns them with what is known of the stretch.
func (v vicinity) within(p, q path.Point, reach float64, store []int32) (vicinity, []int32) {
	top, box := len(store), path.EmptyRect().Include(p).Include(q).Grow(reach)
	add := func(id int32) {
		round := &v.border.boxes[id]
		if !overlap(box, *round) {
			return
		}
		if e := &v.border.edges[id]; min(round.W(), round.H()) < reach || near(p, q, e.a, e.b, reach) {
			store = append(store, id)
		}
	}
	switch {
	case v.known:
		for _, id := range v.edges {
			add(id)
		}
	case p.Dist(q) <= 4*reach: // else its box is about much else
		v.tree.search(box, func(i int) bool {
			add(v.sorted[i])
			return len(store)-top <= fewNear
		})
		v.known = len(store)-top <= fewNear
	}
	if !v.known {
		return v, store[:top]
	}
	v.edges = store[top:]
	return v, store
}

// alone reports that no edge may come within d, the reach that v is for, of the stretch
// from p to q of edge e but those that it meets at corners of 60 degrees or more.
func (v vicinity) alone(e *borderEdge, p, q path.Point, d float64) bool {
	alone := true
	clear := func(id int32) bool {
		f := &v.border.edges[id]
		alone = f.number == e.number || e.meets(f) || !near(p, q, f.a, f.b, d)
		return alone
	}
	if v.known {
		for i := 0; i < len(v.edges) && clear(v.edges[i]); i++ {
		}
		return alone
	}
	v.tree.search(path.EmptyRect().Include(p).Include(q).Grow(d), func(i int) bool { return clear(v.sorted[i]) })
	return alone
}

// meets reports that f goes on where e ends, or before it, at a corner of 60 degrees or
// more.
func (e *borderEdge) meets(f *borderEdge) bool {
	along, way := e.b.Sub(e.a), f.b.Sub(f.a)
	return (f.next == e.number || f.number == e.next) && along.Dot(way) >= -along.Len()*way.Len()/2
}
