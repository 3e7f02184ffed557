package hatch

import (
	"cmp"
	"slices"

	"furrow/path"
)

// nest sets Before of each closed line to the smallest one round it. Lines may
// touch and not cross.
func nest(lines []path.Line) {
	areas := make([]float64, len(lines))
	var sides []standing
	var order []int32
	place := make([]path.Point, len(lines))
	for i := range lines {
		if l := &lines[i]; l.Closed {
			areas[i] = abs(area(l.Points))
			sides = appendSides(sides, l.Points, int32(i))
			order = append(order, int32(i))
			place[i] = midway(l.Points)
		}
	}
	slices.SortStableFunc(order, func(i, k int32) int { return cmp.Compare(place[i].Y, place[k].Y) })
	r := newReach(sides)
	round := make([]bool, len(lines)) // by line: it goes round the place of the one in turn
	for _, i := range order {
		west := r.west(place[i])
		for _, k := range west {
			round[k] = !round[k]
		}
		for _, k := range west {
			if b := lines[i].Before; round[k] && areas[k] > areas[i] && (b < 0 || areas[k] < areas[b]) {
				lines[i].Before = int(k)
			}
		}
		for _, k := range west {
			round[k] = false
		}
	}
}

// midway returns the middle of the longest side of a ring: other rings may touch its
// corners.
func midway(ring []path.Point) path.Point {
	p, far := ring[0], -1.0
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if d := a.Dist(b); d > far {
			p, far = between(a, b, 0.5), d
		}
	}
	return p
}

// appendSides adds the sides of a ring that are not level.
func appendSides(sides []standing, ring []path.Point, of int32) []standing {
	p := ring[len(ring)-1]
	for _, q := range ring {
		if p.Y != q.Y {
			sides = append(sides, newStanding(p, q, of))
		}
		p = q
	}
	return sides
}

// area returns the signed area of a ring, mm², positive counter-clockwise.
func area(pts []path.Point) float64 {
	sum := 0.0
	for i := range pts {
		sum += pts[i].Sub(pts[0]).Cross(pts[(i+1)%len(pts)].Sub(pts[0]))
	}
	return sum / 2
}

func abs(x float64) float64 { return max(x, -x) }
