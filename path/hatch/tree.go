package hatch

import (
	"math"
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

// byPlace returns the numbers of boxes in a sequence in which those that follow each
// other are near each other: that of Morton ("A computer oriented geodetic data base",
// 1966), by the interleaved digits of X and Y.
func byPlace(boxes []path.Rect) []int32 {
	all := path.EmptyRect()
	for _, b := range boxes {
		all = all.Union(b)
	}
	cell := max(all.W(), all.H())/(1<<16-1) + math.SmallestNonzeroFloat64
	keys := make([]uint64, len(boxes)) // with the number in the lower half
	for i, b := range boxes {
		c := b.Centre().Sub(all.Min)
		keys[i] = (spread16(uint64(c.X/cell))|spread16(uint64(c.Y/cell))<<1)<<32 | uint64(i)
	}
	slices.Sort(keys)
	out := make([]int32, len(keys))
	for i, k := range keys {
		out[i] = int32(uint32(k))
	}
	return out
}

// inSequence returns the boxes of those numbers.
func inSequence(boxes []path.Rect, numbers []int32) []path.Rect {
	out := make([]path.Rect, len(numbers))
	for i, k := range numbers {
		out[i] = boxes[k]
	}
	return out
}

// spread16 puts a 0 before each of the lower 16 binary digits.
func spread16(x uint64) uint64 {
	x = (x | x<<8) & 0x00ff00ff
	x = (x | x<<4) & 0x0f0f0f0f
	x = (x | x<<2) & 0x33333333
	return (x | x<<1) & 0x55555555
}

// search calls found with the boxes that meet r, in sequence, until it returns
// false.
func (t tree) search(r path.Rect, found func(i int) bool) {
	if len(t[0]) > 0 {
		t.searchUnder(len(t)-1, 0, 1, r, found)
	}
}

// searchUnder looks at the boxes of a level from first to below last.
func (t tree) searchUnder(level, first, last int, r path.Rect, found func(i int) bool) bool {
	boxes := t[level]
	for i := first; i < min(last, len(boxes)); i++ {
		switch {
		case !overlap(boxes[i], r):
		case level == 0 && !found(i), level > 0 && !t.searchUnder(level-1, i*fanout, i*fanout+fanout, r, found):
			return false
		}
	}
	return true
}

func overlap(a, b path.Rect) bool {
	return a.Min.X <= b.Max.X && b.Min.X <= a.Max.X && a.Min.Y <= b.Max.Y && b.Min.Y <= a.Max.Y
}
