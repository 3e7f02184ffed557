package proof

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/path"
)

// blanks are those of a load, found by their place: rows that run across parts meet all of
// them in turn, there and back. The one that held the last mark is tried first.
type blanks struct {
	all    []emit.Blank
	last   int
	cell   float64          // as wide and high as the largest of them, so that each lies in four cells at most
	within map[cellOf][]int // the blanks that reach into a cell
}

// cellOf is the column and row of a square of the plane.
type cellOf struct{ x, y int }

func newBlanks(all []emit.Blank) *blanks {
	b := &blanks{all: all, within: map[cellOf][]int{}}
	for _, one := range all {
		r := reach(one)
		b.cell = max(b.cell, r.W(), r.H())
	}
	for i, one := range all {
		low, high := b.at(reach(one).Min), b.at(reach(one).Max)
		for x := low.x; x <= high.x; x++ {
			for y := low.y; y <= high.y; y++ {
				b.within[cellOf{x, y}] = append(b.within[cellOf{x, y}], i)
			}
		}
	}
	return b
}

// at is the cell in which a point lies.
func (b *blanks) at(p path.Point) cellOf {
	return cellOf{int(math.Floor(p.X / b.cell)), int(math.Floor(p.Y / b.cell))}
}

// hold reports that one of the blanks holds a mark, which then ends on it.
func (b *blanks) hold(mv emit.Move, from path.Point) bool {
	if holds(b.all[b.last], mv, from) {
		return true
	}
	for _, i := range b.within[b.at(mv.To)] {
		if holds(b.all[i], mv, from) {
			b.last = i
			return true
		}
	}
	return false
}

func (b *blanks) nearest(p path.Point) emit.Blank {
	return slices.MinFunc(b.all, func(x, y emit.Blank) int {
		return cmp.Compare(x.Rect.Centre().Dist(p), y.Rect.Centre().Dist(p))
	})
}

// upright reports that the blank is a rectangle along X and Y.
func upright(b emit.Blank) bool { return !b.Round && b.Turn == 0 }

// holds reports that a mark lies on a blank or its bleed. One that is not upright holds a
// straight mark whose ends it holds.
func holds(b emit.Blank, mv emit.Move, from path.Point) bool {
	switch {
	case upright(b):
		return !words.Past(mv.Bounds(from), allowed(b))
	case mv.Turn == emit.Straight:
		mm, _ := b.Beyond(from, mv.To)
		return mm <= words.PastSide
	}
	mm, _ := b.Beyond(mv.Way(from)...)
	return mm <= words.PastSide
}

// past words how far a mark leaves a blank.
func past(b emit.Blank, mv emit.Move, from path.Point) string {
	if upright(b) {
		return words.PastSides(mv.Bounds(from), b.Rect)
	}
	mm, _ := b.Form().Beyond(mv.Way(from)...)
	if b.Round {
		return fmt.Sprintf("%.2f mm past its round edge", mm)
	}
	return fmt.Sprintf("%.2f mm past its edge", mm)
}

// allowed is where marks may lie.
func allowed(b emit.Blank) path.Rect { return b.Allowed().Bounds() }

// reach is where marks may lie that are not told of.
func reach(b emit.Blank) path.Rect { return allowed(b).Grow(2 * words.PastSide) }
