package hatch

import (
	"math"

	"furrow/path"
)

// cornerCos is the cosine of the turn, 20 degrees, from which on a vertex is a
// corner, where the start of a line would show: less is a flattened curve.
const cornerCos = 0.9396926

// begin makes a closed line start, and end, in the middle of its longest
// stretch between corners, and go on over its start by overlap. A line without
// corners and overlap stays closed, to be started anywhere.
func begin(l path.Line, overlap float64) path.Line {
	corners := cornersOf(l.Points)
	if overlap <= 0 && len(corners) == 0 {
		return l
	}
	edge, along := longestStretch(l.Points, corners)
	pts := from(l.Points, edge, along)
	l.Points, l.Closed = goOn(append(pts, pts[0]), overlap), false
	return l
}

// cornersOf returns the indices of the vertices that are corners.
func cornersOf(pts []path.Point) []int {
	var out []int
	n := len(pts)
	for i, p := range pts {
		a, b := p.Sub(pts[(i+n-1)%n]), pts[(i+1)%n].Sub(p)
		if a.Dot(b) < cornerCos*a.Len()*b.Len() {
			out = append(out, i)
		}
	}
	return out
}

// longestStretch returns the middle of the longest stretch between corners: an
// edge and where on it, mm from its first end.
func longestStretch(pts []path.Point, corners []int) (edge int, along float64) {
	longest := -1.0
	for k, c := range corners {
		stop := corners[(k+1)%len(corners)]
		if l := way(pts, c, stop); l > longest {
			longest, edge = l, c
		}
	}
	along = max(longest, 0) / 2
	for {
		l := pts[edge].Dist(pts[(edge+1)%len(pts)])
		if along <= l {
			return edge, along
		}
		along -= l
		edge = (edge + 1) % len(pts)
	}
}

// way returns the length along a ring from vertex i on to vertex k, all round
// where they are the same.
func way(pts []path.Point, i, k int) float64 {
	sum := 0.0
	for {
		next := (i + 1) % len(pts)
		sum += pts[i].Dist(pts[next])
		if i = next; i == k {
			return sum
		}
	}
}

// from returns a ring that starts on an edge, along mm from its first end.
func from(pts []path.Point, edge int, along float64) []path.Point {
	n := len(pts)
	out := make([]path.Point, 0, n+2)
	a, b := pts[edge], pts[(edge+1)%n]
	if along > 0 {
		out = append(out, between(a, b, along/math.Max(a.Dist(b), along)))
	} else {
		out = append(out, a)
	}
	for i := 1; i <= n; i++ {
		if q := pts[(edge+i)%n]; q != out[len(out)-1] && (q != out[0] || i < n) {
			out = append(out, q)
		}
	}
	return out
}

// goOn lets a line that ends at its start go on along itself by overlap, once
// round at most.
func goOn(pts []path.Point, overlap float64) []path.Point {
	n := len(pts)
	for i := 1; overlap > 0 && i < n; i++ {
		a, b := pts[i-1], pts[i]
		l := a.Dist(b)
		if l >= overlap {
			return append(pts, between(a, b, overlap/l))
		}
		pts = append(pts, b)
		overlap -= l
	}
	return pts
}
