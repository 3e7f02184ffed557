package inspect

import (
	"math"
	"slices"

	"furrow/path"
)

// edge is a straight piece of a boundary. What is measured lies on its left.
type edge struct {
	a, b         path.Point
	along        path.Point // of unit length
	length       float64
	turnA, turnB float64 // by how much the directions that face it turn at its ends, radians, counter-clockwise above 0
	spread       float64 // from its normal, of all directions that face it, radians
	prev, next   int32
}

const (
	// smooth is the greatest turn to the left between two edges that are taken for
	// pieces of one curve, radians.
	smooth = 40 * math.Pi / 180
	// slack is by how much sides may lean to each other and still be parallel,
	// radians.
	slack = math.Pi / 180
)

// newEdges returns the edges of rings, which have what is measured on their
// left, or on their right when it is backwards.
func newEdges(rings [][]path.Point, backwards bool) []edge {
	n := 0
	for _, ring := range rings {
		n += len(ring)
	}
	all := make([]edge, 0, n)
	for _, ring := range rings {
		ring = distinct(ring)
		if backwards {
			slices.Reverse(ring)
		}
		first := len(all)
		for i, a := range ring {
			b := ring[(i+1)%len(ring)]
			d := b.Sub(a)
			all = append(all, edge{a: a, b: b, along: d.Mul(1 / d.Len()), length: d.Len()})
		}
		link(all[first:], int32(first))
	}
	return all
}

// distinct returns a ring without the points that are so near to the one before
// that the direction between them is rounding; none of a ring that is no larger.
func distinct(ring []path.Point) []path.Point {
	const near = touching / 5
	var out []path.Point
	for _, p := range ring {
		if n := len(out); n == 0 || p.Dist(out[n-1]) > near {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[len(out)-1].Dist(out[0]) <= near {
		out = out[:len(out)-1]
	}
	if len(out) < 3 {
		return nil
	}
	return out
}

// link joins the edges of one ring, whose first has the index first.
func link(ring []edge, first int32) {
	n := len(ring)
	for i := range ring {
		k := (i + 1) % n
		e, f := &ring[i], &ring[k]
		e.next, f.prev = first+int32(k), first+int32(i)
		turn := math.Atan2(e.along.Cross(f.along), e.along.Dot(f.along))
		if turn < smooth { // else a corner that sticks out, which faces nothing
			e.turnB, f.turnA = turn, turn
		}
	}
	for i := range ring {
		e := &ring[i]
		e.spread = max(math.Abs(e.turnA), math.Abs(e.turnB)) + slack
	}
}

// sees reports that something in the direction u, of unit length, from the place
// s along e stands straight across: u is normal to the edge or, at an end, lies
// between the normals there.
func (e *edge) sees(u path.Point, s float64) bool {
	normal := path.Point{X: -e.along.Y, Y: e.along.X}
	lean := math.Atan2(normal.Cross(u), normal.Dot(u))
	lo, hi := -slack, slack
	if s == 0 {
		lo, hi = lo+min(0, -e.turnA), hi+max(0, -e.turnA)
	}
	if s == e.length {
		lo, hi = lo+min(0, e.turnB), hi+max(0, e.turnB)
	}
	return lo <= lean && lean <= hi
}

// near returns the place along e that is nearest to p, and its distance.
func (e *edge) near(p path.Point) (s, dist float64) {
	s = min(max(p.Sub(e.a).Dot(e.along), 0), e.length)
	return s, p.Dist(e.at(s))
}

func (e *edge) at(s float64) path.Point {
	if s == e.length {
		return e.b
	}
	return e.a.Add(e.along.Mul(s))
}

// opposed reports that two edges cannot be told from facing each other by their
// directions alone: 1-x²/2 is never above cos x.
func (e *edge) opposed(f *edge) bool {
	x := e.spread + f.spread
	return -e.along.Dot(f.along) >= 1-x*x/2
}

// across is a place where two edges face each other.
type across struct {
	e, f  int32
	width float64
	at    path.Point // in the middle between them
}

// facing returns where e and f stand nearest to each other, if they face each
// other there, are apart, and no farther than reach.
func (e *edge) facing(f *edge, reach float64) (across, bool) {
	s, t, d := e.nearest(f)
	if !(d > touching && d <= reach) {
		return across{}, false
	}
	p, q := e.at(s), f.at(t)
	u := q.Sub(p).Mul(1 / d)
	if !e.sees(u, s) || !f.sees(u.Mul(-1), t) {
		return across{}, false
	}
	x := across{width: d, at: p.Add(q).Mul(0.5)}
	from, to := e.stretch(f)
	if math.Abs(e.along.Cross(f.along))*from.Dist(to) < d/1000 {
		x.at = from.Add(to).Mul(0.5)
	}
	return x, true
}

// stretch returns the ends of the stretch over which e and f face each other, in the
// middle between them; the place where they are nearest if they are not parallel.
func (e *edge) stretch(f *edge) (from, to path.Point) {
	s, t, _ := e.nearest(f)
	p, q := e.at(s), f.at(t)
	lo := max(0, f.b.Sub(e.a).Dot(e.along))
	hi := min(e.length, f.a.Sub(e.a).Dot(e.along))
	if hi <= lo || -e.along.Dot(f.along) <= math.Cos(2*slack) {
		mid := p.Add(q).Mul(0.5)
		return mid, mid
	}
	half := q.Sub(p).Mul(0.5)
	return e.at(lo).Add(half), e.at(hi).Add(half)
}

// nearest returns the places along e and f that are nearest to each other, and
// their distance; the edges do not cross.
func (e *edge) nearest(f *edge) (s, t, d float64) {
	s, d = e.near(f.a)
	if s2, d2 := e.near(f.b); d2 < d {
		s, t, d = s2, f.length, d2
	}
	if t2, d2 := f.near(e.a); d2 < d {
		s, t, d = 0, t2, d2
	}
	if t2, d2 := f.near(e.b); d2 < d {
		s, t, d = e.length, t2, d2
	}
	return s, t, d
}
