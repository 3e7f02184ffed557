package hatch

import (
	"math"

	"furrow/path"
)

// entered is a region whose rings all go round all of a tile, so often altogether.
type entered struct{ region, times int32 }

// reduce leaves out of t.pieces[from:] what does not count in their tile. Into what covers
// all of it the painter goes.
func (t *tiler) reduce(q tile, from int) {
	box, n := path.Rect{Min: q.lo.point(), Max: q.hi.point()}, from
	for k, end := from, from; k < len(t.pieces); k = end {
		region := t.pieces[k].region
		for end = k + 1; end < len(t.pieces) && t.pieces[end].region == region; end++ {
		}
		if times, even := windings(t.pieces[k:end], box); even {
			t.within = append(t.within, entered{region, times})
			t.enter(region, times)
		} else {
			n += copy(t.pieces[n:], t.pieces[k:end])
		}
	}
	t.pieces = t.pieces[:n]
	if !t.swaps {
		cover := t.cover()
		t.hide(from, cover)
		t.settle(from, cover)
	}
}

// enter lets the painter go into a region so many times, or out of it where that is less
// than 0.
func (t *tiler) enter(region, times int32) {
	for ; times > 0; times-- {
		t.p.cross(region << 1)
	}
	for ; times < 0; times++ {
		t.p.cross(region<<1 | 1)
	}
}

// leave lets the painter go back out of t.within[from:].
func (t *tiler) leave(from int) {
	for _, e := range t.within[from:] {
		t.enter(e.region, -e.times)
	}
	t.within = t.within[:from]
}

// cover returns the topmost layer that covers the tile and hides what is below it, or
// none. What the painter is in covers all of it: it went in where all rings are even, and
// no other ring can put out a gate that is on.
func (t *tiler) cover() int32 {
	for i := len(t.p.inside) - 1; i >= 0; i-- {
		if l := t.p.inside[i]; t.f.layers[l].solid {
			return l
		}
	}
	return none
}

// hide leaves out the layers below one.
func (t *tiler) hide(from int, cover int32) {
	n := from
	for _, r := range t.pieces[from:] {
		if l := t.owner[r.region]; l == none || l > cover {
			t.pieces[n] = r
			n++
		}
	}
	t.pieces = t.pieces[:n]
}

// settle leaves out the layers next above the one that covers the tile, or the bare page,
// that show the same, where nothing shows through others.
func (t *tiler) settle(from int, cover int32) {
	if n := len(t.p.inside); n > 0 && t.p.inside[n-1] != cover {
		return
	}
	shows := showsBare
	if t.p.marked() {
		shows = showsMark
	}
	other := int32(math.MaxInt32) // the lowest layer that shows something else; rings are not sorted by layers
	for _, r := range t.pieces[from:] {
		switch l := t.owner[r.region]; {
		case l == none || !t.f.layers[l].solid:
			return
		case t.p.shows[0][l] != shows:
			other = min(other, l)
		}
	}
	t.hide(from, other-1)
}

// windings returns how often rings go round all of a box; even is false where it is not as
// often everywhere, or may not be.
func windings(rings []part, box path.Rect) (times int32, even bool) {
	middle := box.Centre().Y
	for i := range rings {
		pts := rings[i].points
		p := pts[len(pts)-1]
		for _, q := range pts {
			switch {
			case p.X == q.X && p.X == box.Max.X:
				times += upAcross(p.Y, q.Y, middle)
			case p.X == q.X && p.X == box.Min.X, p.Y == q.Y && (p.Y == box.Min.Y || p.Y == box.Max.Y):
			default:
				return 0, false
			}
			p = q
		}
	}
	return times, true
}

// upAcross returns 1 where the way from a up to b passes a height, -1 where the way down
// does.
func upAcross(a, b, height float64) int32 {
	switch {
	case a <= height && b > height:
		return 1
	case b <= height && a > height:
		return -1
	}
	return 0
}
