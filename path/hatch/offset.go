package hatch

import (
	"math"
	"slices"

	"furrow/path"
)

// offset returns the boundary of the region within rings (marked side on the
// left) grown by d mm, or shrunk by −d, with round corners. Every point of the
// strip that is added or taken away has its nearest boundary point on an edge,
// so that it lies in the rectangle of depth d on that edge, or at a corner, so
// that it lies in the sector between the two rectangles there; and no point of
// those is farther than d. The strip is thus the union of rectangles and
// sectors, exactly but for the arcs, which are cut into chords no farther than
// tolerance from them.
func offset(rings [][]path.Point, d, tolerance float64) [][]path.Point {
	if d == 0 || len(rings) == 0 {
		return rings
	}
	f := flatRings(rings, path.NonZero)
	f.add(strip(rings, d, tolerance), path.NonZero, d < 0)
	return boundary(f, newPainter(f, func(l *layer, _ bool) bool { return !l.bare }))
}

// shrunk returns rings with the strip of depth d taken away as a bare layer on
// top, for rows, which need no boundary.
func shrunk(rings [][]path.Point, d, tolerance float64) *flat {
	f := flatRings(rings, path.NonZero)
	f.add(strip(rings, -d, tolerance), path.NonZero, true)
	return f
}

// strip returns rings that go a positive number of times round every point
// nearer than |d| to the boundary on its outer side, or on its inner side
// where d is negative: the sum of all rectangles and sectors, in which the
// sides that neighbours share cancel out.
func strip(rings [][]path.Point, d, tolerance float64) [][]path.Point {
	out := make([][]path.Point, 0, 2*len(rings))
	for _, r := range rings {
		edge := slices.Clone(r)
		if d > 0 {
			slices.Reverse(edge)
		}
		side := parallel(edge, math.Abs(d), tolerance)
		slices.Reverse(side)
		out = append(out, edge, side)
	}
	return out
}

// parallel returns the line at distance d left of a closed ring: round about
// corners that turn right, back to the corner and out again at the others.
func parallel(ring []path.Point, d, tolerance float64) []path.Point {
	n := len(ring)
	step := arcStep(d, tolerance)
	out := make([]path.Point, 0, 4*n)
	for i, p := range ring {
		q, r := ring[(i+1)%n], ring[(i+2)%n]
		a, b := normal(p, q).Mul(d), normal(q, r).Mul(d)
		out = append(out, p.Add(a), q.Add(a))
		if a.Cross(b) > 0 {
			out = append(out, q)
			continue
		}
		turn := math.Atan2(a.Cross(b), a.Dot(b))
		if turn > 0 { // straight back: atan2(-0, -1) may be either
			turn = -turn
		}
		for k, m := 1, int(math.Ceil(-turn/step)); k < m; k++ {
			s, c := math.Sincos(turn * float64(k) / float64(m))
			out = append(out, q.Add(path.Point{
				X: float64(a.X*c) - float64(a.Y*s),
				Y: float64(a.X*s) + float64(a.Y*c),
			}))
		}
	}
	return out
}

// arcStep returns the angle of a chord of a circle of radius d: within the
// tolerance of the arc, and within a two-thousandth of d, so that even arcs
// alone keep the area of the strip to a thousandth.
func arcStep(d, tolerance float64) float64 {
	return 2 * math.Acos(1-min(tolerance/d, 5e-4))
}

// normal returns the unit vector 90 degrees left of the way from p to q.
func normal(p, q path.Point) path.Point {
	v := q.Sub(p)
	l := v.Len()
	return path.Point{X: -v.Y / l, Y: v.X / l}
}
