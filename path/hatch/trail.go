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
	cells  map[cell][]int32
	sizes  uint64 // of the cells, as bits, each with all that are 64 apart
}

// cell is a square with a side of 2^size mm.
type cell struct {
	size int32
	x, y int64
}

func newTrail() *trail { return &trail{cells: map[cell][]int32{}} }

func (t *trail) len() int { return len(t.pieces) }

func sizeOf(r float64) int32 {
	_, exp := math.Frexp(r)
	return int32(exp)
}

func cellOf(p path.Point, size int32) cell {
	side := math.Ldexp(1, int(size))
	return cell{size, int64(math.Floor(p.X / side)), int64(math.Floor(p.Y / side))}
}

// add adds the piece from a to the centre of d. Pieces much longer than d is
// wide, of which there are few, lie in larger squares, so as not to fill
// thousands.
func (t *trail) add(a path.Point, d disc) {
	id := int32(len(t.pieces))
	t.pieces = append(t.pieces, [2]path.Point{a, d.c})
	box := path.EmptyRect().Include(a).Include(d.c)
	size := sizeOf(max(d.r, a.Dist(d.c)/4))
	t.sizes |= 1 << (uint32(size) % 64)
	lo, hi := cellOf(box.Min, size), cellOf(box.Max, size)
	for x := lo.x; x <= hi.x; x++ {
		for y := lo.y; y <= hi.y; y++ {
			c := cell{size, x, y}
			t.cells[c] = append(t.cells[c], id)
		}
	}
}

// near reports that a quarter of d touches one of the pieces before the given
// number.
func (t *trail) near(d disc, before int) bool {
	r := d.r / 4
	corner := path.Point{X: r, Y: r}
	for size := sizeOf(d.r) - 1; size <= sizeOf(d.r)+1; size++ {
		if t.sizes>>(uint32(size)%64)&1 == 0 {
			continue
		}
		lo, hi := cellOf(d.c.Sub(corner), size), cellOf(d.c.Add(corner), size)
		for x := lo.x; x <= hi.x; x++ {
			for y := lo.y; y <= hi.y; y++ {
				for _, id := range t.cells[cell{size, x, y}] {
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
