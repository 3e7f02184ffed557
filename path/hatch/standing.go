package hatch

import (
	"cmp"
	"slices"

	"furrow/path"
)

// standing is a side of something from its lower to its upper end.
type standing struct {
	x0, y0, x1, y1 float64
	of             int32 // what it is a side of
}

func newStanding(p, q path.Point, of int32) standing {
	if q.Y < p.Y {
		return standing{x0: q.X, y0: q.Y, x1: p.X, y1: p.Y, of: of}
	}
	return standing{x0: p.X, y0: p.Y, x1: q.X, y1: q.Y, of: of}
}

func (s *standing) at(y float64) float64 {
	return s.x0 + float64((s.x1-s.x0)*((y-s.y0)/(s.y1-s.y0)))
}

// reach tells which sides lie west of points, asked for from the lowest up.
type reach struct {
	sides  []standing // sorted by their lower ends
	next   int
	active []int32
	found  []int32
}

func newReach(sides []standing) *reach {
	slices.SortFunc(sides, func(s, t standing) int {
		if s.y0 != t.y0 {
			return cmp.Compare(s.y0, t.y0)
		}
		return cmp.Or(cmp.Compare(s.of, t.of), cmp.Compare(s.x0, t.x0))
	})
	return &reach{sides: sides}
}

// west returns what the sides are of that a row from far west to p crosses, for
// each side once. The slice is valid until the next call.
func (r *reach) west(p path.Point) []int32 {
	for ; r.next < len(r.sides) && r.sides[r.next].y0 <= p.Y; r.next++ {
		r.active = append(r.active, int32(r.next))
	}
	r.active = slices.DeleteFunc(r.active, func(i int32) bool { return r.sides[i].y1 <= p.Y })
	r.found = r.found[:0]
	for _, i := range r.active {
		if s := &r.sides[i]; s.at(p.Y) < p.X {
			r.found = append(r.found, s.of)
		}
	}
	return r.found
}
