package hatch

import (
	"math"
	"slices"

	"furrow/path"
)

// sideTree finds the sides of rings that a line may cross.
type sideTree struct {
	from, to []path.Point // of the sides, ring by ring
	sorted   []int32      // by place
	tree     tree         // over those
	found    []int32
}

func newSideTree(rings []ring) *sideTree {
	s := &sideTree{}
	var boxes []path.Rect
	for _, ring := range rings {
		last := ring.points[len(ring.points)-1]
		for _, p := range ring.points {
			s.from, s.to = append(s.from, last), append(s.to, p)
			boxes = append(boxes, path.EmptyRect().Include(last).Include(p))
			last = p
		}
	}
	s.sorted = byPlace(boxes)
	s.tree = newTree(inSequence(boxes, s.sorted))
	return s
}

// along calls cross, in the sequence of the rings, with all sides that the line through a
// along dir, of length 1, may cross.
func (s *sideTree) along(a, dir path.Point, cross func(from, to path.Point)) {
	s.found = s.found[:0]
	s.under(len(s.tree)-1, 0, len(s.tree[len(s.tree)-1]), a, dir)
	slices.Sort(s.found)
	for _, i := range s.found {
		cross(s.from[i], s.to[i])
	}
}

// under looks at the boxes of a level from first to below last.
func (s *sideTree) under(level, first, last int, a, dir path.Point) {
	boxes := s.tree[level]
	for i := first; i < min(last, len(boxes)); i++ {
		switch {
		case !onLine(boxes[i], a, dir):
		case level == 0:
			s.found = append(s.found, s.sorted[i])
		default:
			s.under(level-1, i*fanout, i*fanout+fanout, a, dir)
		}
	}
}

// onLine reports that a box lies on the line through a along dir, or so near to it that
// rounding might have it there.
func onLine(box path.Rect, a, dir path.Point) bool {
	d := dir.Cross(box.Centre().Sub(a))
	return math.Abs(d) <= (math.Abs(dir.Y)*box.W()+math.Abs(dir.X)*box.H())/2+2*lean
}
