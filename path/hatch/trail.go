package hatch

import (
	"math"

	"furrow/path"
)

// trail is pieces of lines between the centres of discs. Neighbouring discs
// differ in radius by no more than their distance, so that what is near a disc
// is found among those of about its own size.
type trail struct {
	pieces [][2]path.Point
	cells  [64]map[cell][]int32 // by size, those that are 64 apart in one
}

// cell is a square with a side of 2^size mm, by its column and row, of which as much as
// there is room for: pieces in far squares that share a cell are told apart by where they lie.
type cell uint64

func newTrail() *trail { return &trail{} }

func (t *trail) len() int { return len(t.pieces) }

func sizeOf(r float64) int32 {
	_, exp := math.Frexp(r)
	return int32(exp)
}

// cellsOf returns the columns and rows of the squares of a size that a box touches.
func cellsOf(box path.Rect, size int32) (x0, y0, x1, y1 int64) {
	side := math.Ldexp(1, int(size))
	at := func(v float64) int64 { return int64(math.Floor(v / side)) }
	return at(box.Min.X), at(box.Min.Y), at(box.Max.X), at(box.Max.Y)
}

func cellAt(x, y int64) cell { return cell(uint64(uint32(x))<<32 | uint64(uint32(y))) }

// of returns the cells of a size.
func (t *trail) of(size int32) *map[cell][]int32 { return &t.cells[uint32(size)%64] }

// add adds the piece from a to the centre of d. Pieces much longer than d is
// wide, of which there are few, lie in larger squares, so as not to fill
// thousands.
func (t *trail) add(a path.Point, d disc) {
	id := int32(len(t.pieces))
	t.pieces = append(t.pieces, [2]path.Point{a, d.c})
	size := sizeOf(max(d.r, a.Dist(d.c)/4))
	cells := t.of(size)
	if *cells == nil {
		*cells = map[cell][]int32{}
	}
	x0, y0, x1, y1 := cellsOf(path.EmptyRect().Include(a).Include(d.c), size)
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			c := cellAt(x, y)
			(*cells)[c] = append((*cells)[c], id)
		}
	}
}

// near reports that a quarter of d touches one of the pieces before the given
// number.
func (t *trail) near(d disc, before int) bool {
	r := d.r / 4
	box := path.EmptyRect().Include(d.c).Grow(r)
	for size := sizeOf(d.r) - 1; size <= sizeOf(d.r)+1; size++ {
		cells := *t.of(size)
		if cells == nil {
			continue
		}
		x0, y0, x1, y1 := cellsOf(box, size)
		for x := x0; x <= x1; x++ {
			for y := y0; y <= y1; y++ {
				for _, id := range cells[cellAt(x, y)] {
					p := t.pieces[id]
					if int(id) < before && d.c.Dist(nearestOn(d.c, p[0], p[1])) < r {
						return true
					}
				}
			}
		}
	}
	return false
}
