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
//
// The lines at distance d beside the rings go round a point as often as the
// rings do, and once more for each rectangle and sector on it that is added, or
// once less for each that is taken away: a positive number of times round the
// points of the new region, and no others.
func offset(rings [][]path.Point, d, tolerance float64) ([][]path.Point, error) {
	if d <= 0 {
		moved, _, err := shrink(rings, -d, tolerance)
		return moved, err
	}
	lines := make([][]path.Point, len(rings))
	for i, r := range rings {
		r = slices.Clone(r)
		slices.Reverse(r)
		lines[i], _ = parallel(r, d, tolerance)
	}
	a, frags, err := arranged(flatRings(lines, path.NonZero), &winding{sign: -1})
	if err != nil {
		return nil, err
	}
	return a.boundary(frags), nil
}

// shrink is offset by −d. It also tells which edges do not show in the new
// boundary in full, numbered over all rings; edge i of a ring begins at its
// point i.
func shrink(rings [][]path.Point, d, tolerance float64) (moved [][]path.Point, lost []bool, err error) {
	if d == 0 {
		return rings, nil, nil
	}
	none := narrow(rings, 2*d)
	lines, edges := linesInside(rings, none, d, tolerance)
	a, frags, err := arranged(flatRings(lines, path.NonZero), &winding{sign: 1})
	if err != nil {
		return nil, nil, err
	}
	for i, r := range rings {
		lost = append(lost, slices.Repeat([]bool{none[i]}, len(r))...)
	}
	for i, s := range a.sides {
		if f := a.fragmentOf[i]; f < 0 || frags[f].left == frags[f].right {
			lost[edges[s.point][0]], lost[edges[s.point][1]] = true, true
		}
	}
	return a.boundary(frags), lost, nil
}

// linesInside returns the lines at depth d inside the rings, without those that
// are left out; and for each point of the lines, numbered over all, the one or
// two edges that the side ending there stands for.
func linesInside(rings [][]path.Point, out []bool, d, tolerance float64) (lines [][]path.Point, edges [][2]int32) {
	first := int32(0)
	for i, r := range rings {
		if !out[i] {
			line, corner := parallel(r, d, tolerance)
			lines = append(lines, line)
			for k, c := range corner {
				before, after := wrap(c-1, len(r)), c
				if corner[wrap(int32(k)-1, len(corner))] != c {
					after = before
				}
				edges = append(edges, [2]int32{first + before, first + after})
			}
		}
		first += int32(len(r))
	}
	return lines, edges
}

// narrow tells which rings bound a part that no disc of the given diameter fits
// into, by their breadth and that of the ring round them: nothing is left of
// those, and the lines beside them would only be a tangle.
func narrow(rings [][]path.Point, diameter float64) []bool {
	out := make([]bool, len(rings))
	var parts []int
	for i, r := range rings {
		if out[i] = area(r) > 0 && breadth(r) < diameter; out[i] {
			parts = append(parts, i)
		}
	}
	if len(parts) == 0 {
		return out
	}
	boxes := make([]path.Rect, len(parts))
	for i, k := range parts {
		boxes[i] = path.BoundsOf(rings[k])
	}
	sorted := byPlace(boxes)
	t := newTree(inSequence(boxes, sorted))
	for i, r := range rings {
		if out[i] || area(r) > 0 {
			continue
		}
		box := path.BoundsOf(r)
		t.search(box, func(at int) bool {
			k := sorted[at]
			out[i] = boxes[k].Union(box) == boxes[k] && goesRound(rings[parts[k]], between(r[0], r[1], 0.5))
			return !out[i]
		})
	}
	return out
}

// goesRound reports that a ring goes round a point, by how many of its sides lie west
// of it.
func goesRound(ring []path.Point, p path.Point) bool {
	in := false
	for _, s := range appendSides(nil, ring, 0) {
		if s.y0 <= p.Y && p.Y < s.y1 && s.at(p.Y) < p.X {
			in = !in
		}
	}
	return in
}

// breadth returns a bound on the diameter of discs inside a ring.
func breadth(ring []path.Point) float64 {
	box := path.BoundsOf(ring)
	return min(box.W(), box.H())
}

// winding is the marker of what rings go round a positive number of times, or
// with sign -1 a negative one.
type winding struct{ number, sign int32 }

func (w *winding) cross(tag int32) bool {
	w.number += 1 - 2*(tag&1)
	return w.marked()
}

func (w *winding) marked() bool { return w.number*w.sign > 0 }

// shrunk returns rings with the strip of depth d taken away as a bare layer on
// top, for rows, which need no boundary: rings that go a positive number of
// times round every point of the strip, the sum of all rectangles and sectors,
// in which the sides that neighbours share cancel out.
func shrunk(rings [][]path.Point, d, tolerance float64) *flat {
	strip := make([][]path.Point, 0, 2*len(rings))
	for _, r := range rings {
		side, _ := parallel(r, d, tolerance)
		slices.Reverse(side)
		strip = append(strip, r, side)
	}
	f := flatRings(rings, path.NonZero)
	f.add(strip, path.NonZero, true)
	return f
}

// parallel returns the line at distance d left of a closed ring: round about
// corners that turn right, and at the others back to the corner and out again.
// Where that changes nothing in the union, one point stands for them. It also
// returns the corner that each point of the line belongs to.
func parallel(ring []path.Point, d, tolerance float64) (out []path.Point, corner []int32) {
	n := len(ring)
	step := arcStep(d, tolerance)
	out, corner = make([]path.Point, 0, n), make([]int32, 0, n)
	last := ring[n-1]
	a, la := normal(last, ring[0])
	for i, q := range ring {
		b, lb := normal(q, ring[(i+1)%n])
		out = joint(out, q, a.Mul(d), b.Mul(d), min(la, lb), step)
		for len(corner) < len(out) {
			corner = append(corner, int32(i))
		}
		a, la = b, lb
	}
	return out, corner
}

// joint appends the line round corner q from q+a to q+b, on edges of length l
// or more.
func joint(out []path.Point, q, a, b path.Point, l, step float64) []path.Point {
	sin, cos := a.Cross(b), a.Dot(b) // times d²
	d := a.Len()
	switch {
	case sin > 0 && (cos < 0 || sin > d*l/2):
		return append(out, q.Add(a), q, q.Add(b))
	case sin > 0, cos > 0 && -sin < d*d*step/2:
		// The bisector cuts what two rectangles share into halves, each part
		// of the other rectangle while it is shorter than that: sin ≤ l/2.
		// Outside, the tip of a turn half a chord wide is nearer than the
		// tolerance to the arc.
		return append(out, q.Add(a.Add(b).Mul(d*d/(d*d+cos))))
	}
	turn := math.Atan2(sin, cos)
	if turn > 0 { // straight back: atan2(-0, -1) may be either
		turn = -turn
	}
	out = append(out, q.Add(a))
	for k, m := 1, int(math.Ceil(-turn/step)); k < m; k++ {
		s, c := math.Sincos(turn * float64(k) / float64(m))
		out = append(out, q.Add(path.Point{
			X: float64(a.X*c) - float64(a.Y*s),
			Y: float64(a.X*s) + float64(a.Y*c),
		}))
	}
	return append(out, q.Add(b))
}

// arcStep returns the angle of a chord of a circle of radius d: within a tenth of the
// tolerance of the arc, since contours cut arcs into chords level by level, or, where
// that is more and within the tolerance, within a two-thousandth of d, so that the area
// of a wide strip is right to a thousandth; and short enough to look round.
func arcStep(d, tolerance float64) float64 {
	return 2 * math.Acos(1-min(tolerance/d, max(tolerance/(10*d), 5e-4), 0.1))
}

// normal returns the unit vector 90 degrees left of the way from p to q, and
// the length of the way.
func normal(p, q path.Point) (n path.Point, length float64) {
	v := q.Sub(p)
	l := v.Len()
	return path.Point{X: -v.Y / l, Y: v.X / l}, l
}
