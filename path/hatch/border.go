package hatch

import (
	"math"

	"furrow/path"
)

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
				b.edges = append(b.edges, borderEdge{p, r[next], int32(first + i), int32(first + next)})
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

// alone reports that no edge may come within d of the stretch from p to q of
// edge e but those that it meets at corners of 60 degrees or more.
func (b *border) alone(e *borderEdge, p, q path.Point, d float64) bool {
	alone := true
	b.tree.search(path.EmptyRect().Include(p).Include(q).Grow(d), func(i int) bool {
		f := &b.edges[b.sorted[i]]
		along, way := e.b.Sub(e.a), f.b.Sub(f.a)
		meets := (f.next == e.number || f.number == e.next) && along.Dot(way) >= -along.Len()*way.Len()/2
		alone = meets || f.number == e.number || apart(p, q, f.a, f.b) > d
		return alone
	})
	return alone
}

// apart returns the distance of two segments that do not cross.
func apart(a, b, p, q path.Point) float64 {
	return min(a.Dist(nearestOn(a, p, q)), b.Dist(nearestOn(b, p, q)),
		p.Dist(nearestOn(p, a, b)), q.Dist(nearestOn(q, a, b)))
}

// disc returns the greatest disc inside the boundary, of radius at most hi,
// that touches it in the middle of the piece from p to q; opposite reports that
// it also touches on the opposite side.
func (b *border) disc(p, q path.Point, hi float64) (d disc, opposite bool) {
	n, _ := normal(p, q)
	m := between(p, q, 0.5)
	d.r = hi
	var other path.Point
	for range 30 {
		d.c = m.Add(n.Mul(d.r))
		touch, closer := b.nearest(d.c, d.r*(1-1e-9))
		if !closer {
			break
		}
		v := touch.Sub(m)
		depth := v.Dot(n)
		if depth <= 0 {
			return disc{c: d.c}, false
		}
		other, opposite = touch, true
		d.r = min(v.Dot(v)/(2*depth), d.r)
	}
	d.c = m.Add(n.Mul(d.r))
	return d, opposite && m.Sub(d.c).Dot(other.Sub(d.c)) < -d.r*d.r/2
}

// nearest returns the point of the border nearest to c within r.
func (b *border) nearest(c path.Point, r float64) (best path.Point, ok bool) {
	if len(b.edges) == 0 {
		return best, false
	}
	n := nearness{border: b, c: c, far: r * r}
	n.under(len(b.tree)-1, 0)
	return n.best, n.ok
}

// nearness is what was found near a place so far.
type nearness struct {
	*border
	c, best path.Point
	far     float64 // the square of its distance
	ok      bool
}

// under looks under a box of a level of the tree, into the nearest boxes first.
func (n *nearness) under(level, i int) {
	if level == 0 {
		e := &n.edges[n.sorted[i]]
		q := nearestOn(n.c, e.a, e.b)
		if d := q.Sub(n.c); d.Dot(d) < n.far {
			n.best, n.far, n.ok = q, d.Dot(d), true
		}
		return
	}
	var gaps [fanout]float64
	first := i * fanout
	below := n.tree[level-1][first:min(first+fanout, len(n.tree[level-1]))]
	for k := range below {
		gaps[k] = gap(&below[k], n.c)
	}
	for range below {
		next, least := -1, n.far
		for k, g := range gaps[:len(below)] {
			if g < least {
				next, least = k, g
			}
		}
		if next < 0 {
			return
		}
		gaps[next] = math.Inf(1)
		n.under(level-1, first+next)
	}
}

// gap returns the square of how far p is from a box.
func gap(b *path.Rect, p path.Point) float64 {
	x, y := 0.0, 0.0
	if p.X < b.Min.X {
		x = b.Min.X - p.X
	} else if p.X > b.Max.X {
		x = p.X - b.Max.X
	}
	if p.Y < b.Min.Y {
		y = b.Min.Y - p.Y
	} else if p.Y > b.Max.Y {
		y = p.Y - b.Max.Y
	}
	return float64(x*x) + float64(y*y)
}

func nearestOn(c, a, b path.Point) path.Point {
	v := b.Sub(a)
	if l := v.Dot(v); l > 0 {
		return between(a, b, c.Sub(a).Dot(v)/l)
	}
	return a
}

// trail is pieces of lines between the centres of discs. Neighbouring discs
// differ in radius by no more than their distance, so that what is near a disc
// is found among those of about its own size.
type trail struct {
	pieces [][2]path.Point
	cells  map[cell][]int32
}

// cell is a square with a side of 2^size mm.
type cell struct {
	size int32
	x, y int64
}

func newTrail() *trail { return &trail{cells: map[cell][]int32{}} }

func (t *trail) len() int { return len(t.pieces) }

func sizeOf(r float64) int32 {
	_, exp := math.Frexp(r)
	return int32(exp)
}

func cellOf(p path.Point, size int32) cell {
	side := math.Ldexp(1, int(size))
	return cell{size, int64(math.Floor(p.X / side)), int64(math.Floor(p.Y / side))}
}

// add adds the piece from a to the centre of d. Pieces much longer than d is
// wide, of which there are few, lie in larger squares, so as not to fill
// thousands.
func (t *trail) add(a path.Point, d disc) {
	id := int32(len(t.pieces))
	t.pieces = append(t.pieces, [2]path.Point{a, d.c})
	box := path.EmptyRect().Include(a).Include(d.c)
	size := sizeOf(max(d.r, a.Dist(d.c)/4))
	lo, hi := cellOf(box.Min, size), cellOf(box.Max, size)
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			c := cell{size, x, y}
			t.cells[c] = append(t.cells[c], id)
		}
	}
}

// near reports that a quarter of d touches one of the pieces before the given
// number.
func (t *trail) near(d disc, before int) bool {
	r := d.r / 4
	corner := path.Point{X: r, Y: r}
	for size := sizeOf(d.r) - 1; size <= sizeOf(d.r)+1; size++ {
		lo, hi := cellOf(d.c.Sub(corner), size), cellOf(d.c.Add(corner), size)
		for x := lo.x; x <= hi.x; x++ {
			for y := lo.y; y <= hi.y; y++ {
				for _, id := range t.cells[cell{size, x, y}] {
					p := t.pieces[id]
					if int(id) < before && d.c.Dist(nearestOn(d.c, p[0], p[1])) < r {
						return true
					}
				}
			}
		}
	}
	return false
}
