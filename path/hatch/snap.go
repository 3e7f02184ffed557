package hatch

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"furrow/path"
)

// pixel is the pitch of the grid that the corners of united regions lie on,
// mm: near the greatest gap that counts as none, and a power of two, so that
// grid numbers and millimetres convert exactly.
const pixel = 1.0 / (1 << 23)

// spot is a point of the grid, in pixels.
type spot struct{ x, y int64 }

func spotOf(p path.Point) spot {
	return spot{int64(math.Round(p.X / pixel)), int64(math.Round(p.Y / pixel))}
}

func (s spot) point() path.Point {
	return path.Point{X: float64(s.x) * pixel, Y: float64(s.y) * pixel}
}

// to returns the vector from s to t, in pixels, exactly.
func (s spot) to(t spot) path.Point {
	return path.Point{X: float64(t.x - s.x), Y: float64(t.y - s.y)}
}

// side is a side of a ring of some region, between two spots.
type side struct{ a, b, region int32 }

// split says that a side is to run through a spot.
type split struct {
	side, spot int32
	along      float64
}

// arrangement is sides that meet nowhere but at their ends, after snap: the
// method is snap rounding (Hobby, "Practical segment intersection with finite
// precision output", 1999). Every end and every crossing is moved to the
// centre of its pixel, and every side that passes through such a pixel is led
// through that centre. No side moves by more than a pixel, and what comes out
// crosses nothing, which his paper proves.
type arrangement struct {
	spots   []spot
	ids     map[spot]int32
	sides   []side
	tree    [][]bounds // by level from the leaves up: boxes of fanout sides or boxes
	splits  []split
	corners int32 // spots below this number are corners of rings, the others crossings
}

const fanout = 8

// bounds is a box in pixels.
type bounds struct{ x0, y0, x1, y1 int64 }

func (b bounds) meets(c bounds) bool {
	return b.x0 <= c.x1 && c.x0 <= b.x1 && b.y0 <= c.y1 && c.y0 <= b.y1
}

func (b bounds) union(c bounds) bounds {
	return bounds{min(b.x0, c.x0), min(b.y0, c.y0), max(b.x1, c.x1), max(b.y1, c.y1)}
}

// maxCrossings bounds how many crossings one region may have: the time goes up
// with their number times the sides at one height: 20 s for a thousand sides
// that all cross each other. Drawings have thousands of crossings at most.
const maxCrossings = 1 << 17

// arrange snaps the rings of f.
func arrange(f *flat) (*arrangement, error) {
	a := &arrangement{ids: make(map[spot]int32, f.points())}
	for _, r := range f.rings {
		a.ring(r.points, r.region)
	}
	if len(a.sides) == 0 {
		return a, nil
	}
	a.corners = int32(len(a.spots))
	a.plant()
	a.joinWithin(len(a.tree)-1, 0)
	if a.full() {
		return nil, fmt.Errorf("edges cross each other more than %d times: their region cannot be united for an outline, inset or contours", maxCrossings)
	}
	for id := a.corners; int(id) < len(a.spots); id++ {
		a.through(id)
	}
	a.cut()
	return a, nil
}

func (a *arrangement) full() bool { return len(a.spots)-int(a.corners) > maxCrossings }

func (a *arrangement) id(s spot) int32 {
	id, ok := a.ids[s]
	if !ok {
		id = int32(len(a.spots))
		a.ids[s] = id
		a.spots = append(a.spots, s)
	}
	return id
}

func (a *arrangement) ring(pts []path.Point, region int32) {
	prev := a.id(spotOf(pts[len(pts)-1]))
	for _, p := range pts {
		id := a.id(spotOf(p))
		if id != prev {
			a.sides = append(a.sides, side{prev, id, region})
		}
		prev = id
	}
}

// box returns the bounds of a side with a pixel to spare.
func (a *arrangement) box(i int) bounds {
	p, q := a.spots[a.sides[i].a], a.spots[a.sides[i].b]
	return bounds{min(p.x, q.x) - 1, min(p.y, q.y) - 1, max(p.x, q.x) + 1, max(p.y, q.y) + 1}
}

// plant builds the tree of boxes. Sides that follow each other in a ring are
// near each other, so their sequence is a good tree as it is.
func (a *arrangement) plant() {
	level := group(len(a.sides), a.box)
	a.tree = append(a.tree, level)
	for len(level) > 1 {
		below := level
		level = group(len(below), func(i int) bounds { return below[i] })
		a.tree = append(a.tree, level)
	}
}

func group(n int, box func(int) bounds) []bounds {
	out := make([]bounds, 0, (n+fanout-1)/fanout)
	for i := 0; i < n; i += fanout {
		b := box(i)
		for j := i + 1; j < min(i+fanout, n); j++ {
			b = b.union(box(j))
		}
		out = append(out, b)
	}
	return out
}

// below returns the range of what box i of a level is made of.
func (a *arrangement) below(level, i int) (lo, hi int) {
	n := len(a.sides)
	if level > 0 {
		n = len(a.tree[level-1])
	}
	return i * fanout, min(i*fanout+fanout, n)
}

// joinWithin meets every pair of sides under one box.
func (a *arrangement) joinWithin(level, i int) {
	lo, hi := a.below(level, i)
	for p := lo; p < hi && !a.full(); p++ {
		if level > 0 {
			a.joinWithin(level-1, p)
		}
		for q := p + 1; q < hi; q++ {
			a.join(level-1, p, q)
		}
	}
}

// join meets every side under one box with every side under another; level -1
// is the sides themselves.
func (a *arrangement) join(level, i, j int) {
	if level < 0 {
		if a.box(i).meets(a.box(j)) {
			a.meet(int32(i), int32(j))
		}
		return
	}
	if !a.tree[level][i].meets(a.tree[level][j]) {
		return
	}
	ilo, ihi := a.below(level, i)
	jlo, jhi := a.below(level, j)
	for p := ilo; p < ihi; p++ {
		for q := jlo; q < jhi; q++ {
			a.join(level-1, p, q)
		}
	}
}

// meet leads two sides through each other's ends and their crossing.
func (a *arrangement) meet(i, j int32) {
	s, t := a.sides[i], a.sides[j]
	a.lead(i, t.a)
	a.lead(i, t.b)
	a.lead(j, s.a)
	a.lead(j, s.b)
	if s.a == t.a || s.a == t.b || s.b == t.a || s.b == t.b {
		return
	}
	p := a.spots[s.a]
	r, u, v := p.to(a.spots[s.b]), p.to(a.spots[t.a]), p.to(a.spots[t.b])
	w := v.Sub(u)
	c0, c1 := r.Cross(u), r.Cross(v)
	d0, d1 := u.Cross(w), u.Sub(r).Cross(w)
	if (c0 < 0) == (c1 < 0) || (d0 < 0) == (d1 < 0) {
		return
	}
	den := r.Cross(w)
	if den == 0 {
		return
	}
	f := min(max(d0/den, 0), 1)
	x := spot{p.x + int64(math.Round(r.X*f)), p.y + int64(math.Round(r.Y*f))}
	id := a.id(x)
	if id < a.corners {
		a.lead(i, id)
		a.lead(j, id)
	}
}

// lead makes side i run through a spot when it passes through its pixel.
func (a *arrangement) lead(i, spot int32) {
	s := a.sides[i]
	if s.a == spot || s.b == spot {
		return
	}
	p := a.spots[s.a]
	d, q := p.to(a.spots[s.b]), p.to(a.spots[spot])
	if q.X < min(0, d.X)-0.5 || q.X > max(0, d.X)+0.5 || q.Y < min(0, d.Y)-0.5 || q.Y > max(0, d.Y)+0.5 {
		return
	}
	if math.Abs(d.Cross(q)) <= (math.Abs(d.X)+math.Abs(d.Y))/2 {
		a.splits = append(a.splits, split{i, spot, d.Dot(q)})
	}
}

// through leads every side that passes through the pixel of a spot to it.
func (a *arrangement) through(id int32) {
	s := a.spots[id]
	b := bounds{s.x, s.y, s.x, s.y}
	var walk func(level, i int)
	walk = func(level, i int) {
		if level < 0 {
			a.lead(int32(i), id)
			return
		}
		if !a.tree[level][i].meets(b) {
			return
		}
		lo, hi := a.below(level, i)
		for p := lo; p < hi; p++ {
			walk(level-1, p)
		}
	}
	walk(len(a.tree)-1, 0)
}

// cut replaces the sides by their pieces between the spots they run through.
func (a *arrangement) cut() {
	slices.SortFunc(a.splits, func(s, t split) int {
		return cmp.Or(cmp.Compare(s.side, t.side), cmp.Compare(s.along, t.along), cmp.Compare(s.spot, t.spot))
	})
	out := make([]side, 0, len(a.sides)+len(a.splits))
	next := 0
	for i, s := range a.sides {
		for ; next < len(a.splits) && int(a.splits[next].side) == i; next++ {
			if id := a.splits[next].spot; id != s.a {
				out = append(out, side{s.a, id, s.region})
				s.a = id
			}
		}
		if s.a != s.b {
			out = append(out, s)
		}
	}
	a.sides = out
}
