package hatch

import "furrow/path"

// border finds what of a boundary is near.
type border struct {
	edges  []borderEdge
	sorted []int32 // by place
	tree   tree    // over those
}

// borderEdge is an edge of a ring, numbered over all rings as the one after it
// is.
type borderEdge struct {
	a, b         path.Point
	number, next int32
}

// newBorder takes the edges of rings, or those of them that only marks,
// numbered over all rings, where that is not nil.
func newBorder(rings [][]path.Point, only []bool) *border {
	b := &border{}
	var boxes []path.Rect
	first := 0
	for _, r := range rings {
		for i, p := range r {
			next := (i + 1) % len(r)
			if only == nil || only[first+i] {
				b.edges = append(b.edges, borderEdge{a: p, b: r[next], number: int32(first + i),
					next: int32(first + next)})
				boxes = append(boxes, path.EmptyRect().Include(p).Include(r[next]))
			}
		}
		first += len(r)
	}
	b.sorted = byPlace(boxes)
	sorted := make([]path.Rect, len(boxes))
	for i, k := range b.sorted {
		sorted[i] = boxes[k]
	}
	b.tree = newTree(sorted)
	return b
}

func (b *border) length() float64 {
	sum := 0.0
	for i := range b.edges {
		sum += b.edges[i].a.Dist(b.edges[i].b)
	}
	return sum
}

// apart returns the distance of two segments that do not cross.
func apart(a, b, p, q path.Point) float64 {
	return min(a.Dist(nearestOn(a, p, q)), b.Dist(nearestOn(b, p, q)),
		p.Dist(nearestOn(p, a, b)), q.Dist(nearestOn(q, a, b)))
}

func nearestOn(c, a, b path.Point) path.Point {
	v := b.Sub(a)
	if l := v.Dot(v); l > 0 {
		return between(a, b, c.Sub(a).Dot(v)/l)
	}
	return a
}
