package hatch

import (
	"math"

	"furrow/path"
)

// disc touches a boundary from inside.
type disc struct {
	c path.Point
	r float64
}

// tangent is a disc that touches an edge at m, and shrinks until no other edge reaches
// into it.
type tangent struct {
	disc
	m, n    path.Point // the edge's normal there
	other   path.Point // where it touches the last edge that made it smaller
	smaller bool
}

// disc returns the greatest disc inside the boundary, of radius at most hi,
// that touches it in the middle of the piece from p to q; opposite reports that
// it also touches on the opposite side.
func (v vicinity) disc(p, q path.Point, hi float64) (d disc, opposite bool) {
	n, _ := normal(p, q)
	t := tangent{m: between(p, q, 0.5), n: n}
	t.grow(hi)
	if v.known {
		for _, id := range v.edges {
			if gap(&v.border.boxes[id], t.c) < t.r*t.r {
				t.shrink(&v.border.edges[id])
			}
		}
	} else if len(v.tree[0]) > 0 {
		t.under(v.border, len(v.tree)-1, 0)
	}
	return t.disc, t.smaller && t.m.Sub(t.c).Dot(t.other.Sub(t.c)) < -t.r*t.r/2
}

func (t *tangent) grow(r float64) { t.disc = disc{t.m.Add(t.n.Mul(r)), r} }

// shrink makes the disc as small as an edge asks for.
func (t *tangent) shrink(e *borderEdge) {
	for range 30 {
		q := nearestOn(t.c, e.a, e.b)
		d, r := q.Sub(t.c), t.r*(1-1e-9)
		if !(d.Dot(d) < r*r) {
			return
		}
		w := q.Sub(t.m)
		depth := w.Dot(t.n)
		if depth <= 0 {
			t.r, t.smaller = 0, false
			return
		}
		t.other, t.smaller = q, true
		t.grow(min(w.Dot(w)/(2*depth), t.r))
	}
}

// under looks under a box of a level of a border's tree, into the nearest boxes first.
func (t *tangent) under(b *border, level, i int) {
	if level == 0 {
		t.shrink(&b.edges[b.sorted[i]])
		return
	}
	var gaps [fanout]float64
	first := i * fanout
	below := b.tree[level-1][first:min(first+fanout, len(b.tree[level-1]))]
	for k := range below {
		gaps[k] = gap(&below[k], t.c)
	}
	for range below {
		next, least := -1, math.Inf(1)
		for k, g := range gaps[:len(below)] {
			if g < least {
				next, least = k, g
			}
		}
		if next < 0 {
			return
		}
		gaps[next] = math.Inf(1)
		if gap(&below[next], t.c) < t.r*t.r { // the disc may be another by now
			t.under(b, level-1, first+next)
		}
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
