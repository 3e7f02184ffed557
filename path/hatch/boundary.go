package hatch

import (
	"slices"

	"furrow/path"
)

// boundary returns the edges of what m marks as rings with the marked side on
// their left: outer edges counter-clockwise, holes clockwise. Rings touch at
// most at corners.
func boundary(f *flat, m marker) (enclosed, error) {
	a, frags, err := arranged(f, m)
	if err != nil {
		return enclosed{}, err
	}
	return enclosed{a.boundary(frags), int(a.corners), a.crossings()}, nil
}

// arranged returns the fragments of the rings of f with what m marks beside
// them.
func arranged(f *flat, m marker) (*arrangement, []fragment, error) {
	a, err := arrange(f)
	if err != nil {
		return nil, nil, err
	}
	frags := a.fragments()
	a.classify(frags, m)
	return a, frags, nil
}

func (a *arrangement) boundary(frags []fragment) [][]path.Point { return a.stitch(arrows(frags)) }

// arrow is a piece of boundary with the marked side on its left.
type arrow struct{ from, to int32 }

// arrows returns the fragments that are marked on one side.
func arrows(frags []fragment) (all []arrow) {
	for i := range frags {
		switch f := &frags[i]; {
		case f.left == f.right:
		case f.left:
			all = append(all, arrow{f.u, f.v})
		default:
			all = append(all, arrow{f.v, f.u})
		}
	}
	return all
}

// stitch joins arrows to rings.
func (a *arrangement) stitch(arrows []arrow) [][]path.Point {
	slices.SortFunc(arrows, func(p, q arrow) int { return int(p.from) - int(q.from) })
	start := make([]int32, len(a.spots)+1)
	for _, w := range arrows {
		start[w.from+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	used := make([]bool, len(arrows))
	var rings [][]path.Point
	for i := range arrows {
		var ring []int32
		for at := int32(i); at >= 0 && !used[at]; at = a.turn(arrows, start, at) {
			used[at] = true
			ring = append(ring, arrows[at].from)
		}
		if len(ring) < 3 {
			continue
		}
		if pts := a.straighten(ring); len(pts) > 2 && !seam(pts) {
			rings = append(rings, pts)
		}
	}
	return rings
}

// seam reports that a ring is at most two pixels wide on average: what rounding leaves
// between shapes whose edges lie on each other aslant and end at different places.
func seam(ring []path.Point) bool {
	length := 0.0
	for i, p := range ring {
		length += p.Dist(ring[(i+1)%len(ring)])
	}
	return abs(area(ring)) <= length*pixel
}

// turn returns the arrow that goes on from arrow at: where several start, the
// first one clockwise from the way back, so that marked regions that touch at
// a corner get rings of their own. It returns -1 where none starts.
func (a *arrangement) turn(arrows []arrow, start []int32, at int32) int32 {
	w := arrows[at]
	back := a.spots[w.to].to(a.spots[w.from])
	best := int32(-1)
	var bestWay path.Point
	for i := start[w.to]; i < start[w.to+1]; i++ {
		way := a.spots[w.to].to(a.spots[arrows[i].to])
		if best < 0 || clockwiseBefore(back, way, bestWay) {
			best, bestWay = i, way
		}
	}
	return best
}

// clockwiseBefore reports that turning clockwise from the direction back one
// meets p before q; back itself comes last.
func clockwiseBefore(back, p, q path.Point) bool {
	hp, hq := halfTurn(back, p), halfTurn(back, q)
	if hp != hq {
		return hp < hq
	}
	return orient(p, q) < 0
}

// halfTurn returns 0 for directions less than half a turn clockwise of back, 1
// for the others, 2 for back itself.
func halfTurn(back, p path.Point) int {
	switch c := orient(back, p); {
	case c < 0:
		return 0
	case c == 0 && back.Dot(p) > 0:
		return 2
	}
	return 1
}

// straighten turns spots into points and leaves out crossings that lie, within
// a pixel, on the way from the one before to the one after: those with edges
// that turned out not to show.
func (a *arrangement) straighten(ring []int32) []path.Point {
	n, first := len(ring), a.turning(ring)
	before, kept, left := ring[first], n, make([]bool, n)
	for k := 1; k < n; k++ {
		i := (first + k) % n
		p, s, q := a.spots[before], a.spots[ring[i]], a.spots[ring[(i+1)%n]]
		d, e := p.to(q), p.to(s)
		along := d.Dot(e)
		if ring[i] >= a.corners && along > 0 && along < d.Dot(d) && abs(d.Cross(e)) <= d.Len() {
			left[i] = true
			kept--
		} else {
			before = ring[i]
		}
	}
	out := make([]path.Point, 0, kept)
	for i, id := range ring {
		if !left[i] {
			out = append(out, a.spots[id].point())
		}
	}
	return out
}

// turning returns the place in a ring of a spot that is not left out whatever the others
// are: a corner, or where there is none the westernmost spot and of those the lowest.
func (a *arrangement) turning(ring []int32) int {
	least := 0
	for i, id := range ring {
		if id < a.corners {
			return i
		}
		if s, t := a.spots[id], a.spots[ring[least]]; s.x < t.x || s.x == t.x && s.y < t.y {
			least = i
		}
	}
	return least
}
