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

// side is a side of a ring of some region, between two spots, or a piece of one.
type side struct {
	a, b, region int32
	point        int32 // at which it ends, numbered over all rings
}

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
	cuts    []cutting
	tree    tree // over them
	splits  []split
	points  int32 // of all rings
	corners int32 // spots below this number are corners of rings, the others crossings

	fragmentOf []int32 // by side: its fragment, or -1 where sides cancel out
}

// cutting is a stretch of a side: long sides are looked for in several boxes,
// so that a slanting one is not near everything.
type cutting struct {
	side int32
	box  path.Rect // in pixels
}

// cuttings is how many stretches a side as long as the drawing is cut into.
const cuttings = 16

// maxCrossings bounds how many crossings one region may have, and with it time
// and memory. Drawings have thousands of crossings at most.
const maxCrossings = 1 << 21

// maxSplits bounds the places where sides meet others, of which those that lie on
// each other have many without a crossing: 270 MB.
const maxSplits = 1 << 24

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
	a.tree.pairs(a.meetCuttings)
	if a.full() {
		return nil, fmt.Errorf("edges cross or cover each other more than %d times: their region cannot be united for an outline, inset or contours", maxCrossings)
	}
	for id := a.corners; int(id) < len(a.spots); id++ {
		a.through(id)
	}
	a.cut()
	return a, nil
}

func (a *arrangement) full() bool {
	return len(a.spots)-int(a.corners) > maxCrossings || len(a.splits) > maxSplits
}

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
			a.sides = append(a.sides, side{prev, id, region, a.points})
		}
		prev = id
		a.points++
	}
}

// plant builds the tree. Sides that follow each other in a ring are near each
// other, so their sequence is a good tree as it is, unless most are long, or the
// rings come in no sequence of place.
func (a *arrangement) plant() {
	all := path.EmptyRect()
	for _, s := range a.spots {
		all = all.Include(path.Point{X: float64(s.x), Y: float64(s.y)})
	}
	longest := max(all.W(), all.H())/cuttings + 1
	a.cuts = make([]cutting, 0, len(a.sides))
	for i := range a.sides {
		a.cutUp(int32(i), longest)
	}
	a.tree = a.newTree()
	if len(a.cuts) > 2*len(a.sides) || a.tree.scattered() {
		cell := func(x float64) float64 { return math.Floor(x * 4 / longest) }
		slices.SortStableFunc(a.cuts, func(c, d cutting) int {
			p, q := c.box.Min, d.box.Min
			return cmp.Or(cmp.Compare(cell(p.Y), cell(q.Y)), cmp.Compare(cell(p.X), cell(q.X)))
		})
		a.tree = a.newTree()
	}
}

func (a *arrangement) newTree() tree {
	boxes := make([]path.Rect, len(a.cuts))
	for i, c := range a.cuts {
		boxes[i] = c.box
	}
	return newTree(boxes)
}

// cutUp adds the cuttings of a side, with boxes that have room for rounding and
// for a pixel.
func (a *arrangement) cutUp(i int32, longest float64) {
	s := a.sides[i]
	p := path.Point{X: float64(a.spots[s.a].x), Y: float64(a.spots[s.a].y)}
	d := a.spots[s.a].to(a.spots[s.b])
	n := math.Ceil(max(abs(d.X), abs(d.Y)) / longest)
	from := p
	for k := 1.0; k <= n; k++ {
		to := p.Add(d.Mul(k / n))
		a.cuts = append(a.cuts, cutting{i, path.EmptyRect().Include(from).Include(to).Grow(2)})
		from = to
	}
}

// meetCuttings lets the sides of two cuttings meet; it reports false when there
// are too many crossings.
func (a *arrangement) meetCuttings(i, j int) bool {
	if s, t := a.cuts[i].side, a.cuts[j].side; s != t {
		a.meet(min(s, t), max(s, t))
	}
	return !a.full()
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
	at := path.Point{X: float64(s.x), Y: float64(s.y)}
	a.tree.search(path.Rect{Min: at, Max: at}, func(i int) bool {
		a.lead(a.cuts[i].side, id)
		return true
	})
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
				out = append(out, side{s.a, id, s.region, s.point})
				s.a = id
			}
		}
		if s.a != s.b {
			out = append(out, s)
		}
	}
	a.sides = out
}
