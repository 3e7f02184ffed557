package hatch

import (
	"slices"

	"furrow/path"
)

// tree finds boxes that meet: level 0 is the boxes, and each further level the
// boxes round fanout of the level below. Boxes that follow each other should be
// near each other.
type tree [][]path.Rect

const fanout = 8

func newTree(boxes []path.Rect) tree {
	t := tree{boxes}
	for len(boxes) > 1 {
		var above []path.Rect
		for i, b := range boxes {
			if i%fanout == 0 {
				above = append(above, b)
			} else {
				above[len(above)-1] = above[len(above)-1].Union(b)
			}
		}
		t = append(t, above)
		boxes = above
	}
	return t
}

// scattered reports that boxes that follow each other are not near each other:
// along a line the boxes of a level are together no longer than those below.
func (t tree) scattered() bool {
	lowest := longs(t[0])
	return slices.ContainsFunc(t[1:], func(level []path.Rect) bool { return longs(level) > 2*lowest })
}

// longs returns half of what is round all boxes.
func longs(boxes []path.Rect) float64 {
	sum := 0.0
	for _, b := range boxes {
		sum += b.W() + b.H()
	}
	return sum
}

// search calls found with the boxes that meet r, in sequence, until it returns
// false.
func (t tree) search(r path.Rect, found func(i int) bool) {
	if len(t[0]) > 0 {
		t.searchUnder(len(t)-1, 0, r, found)
	}
}

func (t tree) searchUnder(level, i int, r path.Rect, found func(i int) bool) bool {
	if !overlap(t[level][i], r) {
		return true
	}
	if level == 0 {
		return found(i)
	}
	for k := i * fanout; k < min(i*fanout+fanout, len(t[level-1])); k++ {
		if !t.searchUnder(level-1, k, r, found) {
			return false
		}
	}
	return true
}

// pairs calls found with every two boxes that meet, until it returns false.
func (t tree) pairs(found func(i, j int) bool) {
	if len(t[0]) > 0 {
		t.pairsUnder(len(t)-1, 0, 0, found)
	}
}

// pairsUnder finds the pairs of a box under box i and another under box j of a
// level.
func (t tree) pairsUnder(level, i, j int, found func(i, j int) bool) bool {
	if !overlap(t[level][i], t[level][j]) {
		return true
	}
	if level == 0 {
		return i == j || found(i, j)
	}
	n := len(t[level-1])
	for p := i * fanout; p < min(i*fanout+fanout, n); p++ {
		q := j * fanout
		if i == j {
			q = p
		}
		for ; q < min(j*fanout+fanout, n); q++ {
			if !t.pairsUnder(level-1, p, q, found) {
				return false
			}
		}
	}
	return true
}

func overlap(a, b path.Rect) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}
