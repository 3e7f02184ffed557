package hatch

import "furrow/path"

// border finds what of a boundary is near.
type border struct {
	edges  []borderEdge
	boxes  []path.Rect // round those
	sorted []int32     // by place
	tree   tree        // over those
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
	n := points(rings)
	b := &border{edges: make([]borderEdge, 0, n), boxes: make([]path.Rect, 0, n)}
	first := 0
	for _, r := range rings {
		for i, p := range r {
			next := (i + 1) % len(r)
			if only == nil || only[first+i] {
				b.edges = append(b.edges, borderEdge{a: p, b: r[next], number: int32(first + i),
					next: int32(first + next)})
				b.boxes = append(b.boxes, path.EmptyRect().Include(p).Include(r[next]))
			}
		}
		first += len(r)
	}
	b.sorted = byPlace(b.boxes)
	b.tree = newTree(inSequence(b.boxes, b.sorted))
	return b
}

// near reports that two segments that do not cross are no farther than d apart.
func near(a, b, p, q path.Point, d float64) bool {
	d *= d
	return apart(a, p, q) <= d || apart(b, p, q) <= d || apart(p, a, b) <= d || apart(q, a, b) <= d
}

// apart returns the square of the distance of c from the segment from a to b.
func apart(c, a, b path.Point) float64 {
	v := c.Sub(nearestOn(c, a, b))
	return v.Dot(v)
}

func nearestOn(c, a, b path.Point) path.Point {
	v := b.Sub(a)
	along, l := c.Sub(a).Dot(v), v.Dot(v)
	switch {
	case along <= 0:
		return a
	case along >= l:
		return b
	}
	return a.Add(v.Mul(along / l))
}
