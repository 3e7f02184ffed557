package hatch

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// Very many rings are united tile by tile. In a tile little is left of them: where a
// layer covers all of it and hides what is below, that is left out, and so is what is
// laid on it without changing what is marked. Most tiles of shapes in heaps are then
// empty or full, and the others are small enough for the processor's caches.
//
// A ring is cut to a tile by its half-planes, one after the other (Sutherland and
// Hodgman, "Reentrant polygon clipping", 1974), which leaves how often it goes round each
// point of the tile as it is. Sides are cut at spots, so that they move by less than a
// pixel each time. What tiles have in common is their rims: the boundary pieces there
// cancel out, and the others are joined to rings.

const (
	// manyPoints is how many points rings have that are united tile by tile.
	manyPoints = 1 << 17
	// crowded is how many points a tile may have that halving does not help: the pieces of
	// rims lie on each other, and time grows with the square of their number.
	crowded = 1 << 12
	// tilePoints is how many points a tile has at most, if halving it helps.
	tilePoints = 1 << 7
)

// tile is a rectangle of spots, rims and all.
type tile struct{ lo, hi spot }

// part is what a tile has of a ring.
type part struct {
	ring
	box path.Rect
}

// tiler unites what p marks of f.
type tiler struct {
	f         *flat
	p         *painter
	most      int          // points of a tile
	owner     []int32      // by region: the layer that is only on within it, or none
	swaps     bool         // some layer swaps marked and bare
	pieces    []part       // of the tiles under way, those of a part behind those of the whole
	points    []path.Point // of those
	rings     []ring       // of the tile being united
	within    []entered    // what the painter is in, of all tiles under way
	crossings int
	crowded   bool // a tile has too much that comes to one place
	edges     []tileEdge
	rims      []rimEdge
}

// tileEdge is a piece of boundary with the marked side on its left.
type tileEdge struct {
	from, to spot
	corner   bool // from is a corner of a ring
}

// rimEdge is an end of a piece of boundary on a rim.
type rimEdge struct {
	upright bool
	at      int64 // of the rim, across it
	along   int64
	by      int // 1 where the piece begins, -1 where it ends
}

// tiledBoundary is boundary in tiles of at most so many points, if halving them helps.
func tiledBoundary(f *flat, p *painter, most int) (enclosed, error) {
	t := newTiler(f, p, most)
	switch {
	case len(t.pieces) == 0:
		return enclosed{}, nil
	case t.hopeless(), !t.tile(t.all(), 0, 0) && !t.crowded:
		return enclosed{}, t.tangled()
	case t.crowded:
		return boundary(f, p)
	}
	t.meetRims()
	return enclosed{t.stitch(), f.points(), t.crossings}, nil
}

func newTiler(f *flat, p *painter, most int) *tiler {
	t := &tiler{f: f, p: p, most: most, owner: f.owners()}
	t.swaps = slices.ContainsFunc(f.layers, func(l layer) bool { return l.invert })
	t.pieces = make([]part, len(f.rings))
	for i, r := range f.rings {
		t.pieces[i] = part{r, path.BoundsOf(r.points)}
	}
	return t
}

// all returns a tile round everything.
func (t *tiler) all() tile {
	box := path.EmptyRect()
	for i := range t.pieces {
		box = box.Union(t.pieces[i].box)
	}
	lo, hi := spotOf(box.Min), spotOf(box.Max)
	return tile{spot{lo.x - 1, lo.y - 1}, spot{hi.x + 1, hi.y + 1}}
}

// hopeless reports that sides cross so much too often that some of them show it.
func (t *tiler) hopeless() bool {
	const most = 1 << 11
	a, ids := arrangement{}, newPlaces(2*most)
	step := t.f.points()/most + 1
	i := 0
	for _, r := range t.f.rings {
		for ; i < len(r.points); i += step {
			p := r.points[wrap(int32(i-1), len(r.points))]
			a.sides = append(a.sides, side{a: ids.of(spotOf(p)), b: ids.of(spotOf(r.points[i]))})
		}
		i -= len(r.points)
	}
	a.spots = ids.spots
	n, hits := a.sample(a.whole(), firsts(a.twins()), most*most)
	return hits >= 100 && n*float64(step)*float64(step) > 4*maxCrossings
}

// tangled returns the error of edges that cross too often.
func (t *tiler) tangled() error {
	a := &arrangement{}
	a.place(t.f)
	return &TangleError{Crossings: max(a.estimate(firsts(a.twins())), maxCrossings)}
}

// owners returns, by region, the layer that is on nowhere but within it, or none.
func (f *flat) owners() []int32 {
	owner := make([]int32, len(f.regions))
	for i, r := range f.regions {
		owner[i] = none
		if r.out >= 0 {
			owner[i] = r.out
		} else if g := &f.gates[^r.out]; g.layer >= 0 && g.ins[0] == int32(i) {
			owner[i] = g.layer
		}
	}
	return owner
}

// tile unites what a tile has of t.pieces[from:]; stuck says how often halving it has
// been in vain. It reports false where it gives up.
func (t *tiler) tile(q tile, from, stuck int) bool {
	within := len(t.within)
	defer func() { t.leave(within) }()
	t.reduce(q, from)
	n := t.count(from)
	whole := stuck > stubborn || max(q.hi.x-q.lo.x, q.hi.y-q.lo.y) < 16
	if t.crowded = whole && n > crowded; t.crowded {
		return false
	}
	if n <= t.most || whole {
		return t.unite(q, from)
	}
	return t.divide(q, from, n, stuck)
}

// divide unites a tile of n points half by half.
func (t *tiler) divide(q tile, from, n, stuck int) bool {
	top, first := len(t.pieces), len(t.points)
	upright := q.hi.x-q.lo.x >= q.hi.y-q.lo.y
	low, high := q.halves(upright)
	t.cut(t.pieces[from:top], upright, high.lo, false)
	middle := len(t.pieces)
	t.cut(t.pieces[from:top], upright, high.lo, true)
	if t.count(top) > n*3/2 {
		stuck++
	}
	ok := t.tile(high, middle, stuck)
	t.pieces = t.pieces[:middle]
	ok = ok && t.tile(low, top, stuck)
	t.pieces, t.points = t.pieces[:top], t.points[:first]
	return ok
}

// count returns the number of points of t.pieces[from:].
func (t *tiler) count(from int) (n int) {
	for i := range t.pieces[from:] {
		n += len(t.pieces[from+i].points)
	}
	return n
}

// halves cuts a tile by an upright line, or a level one.
func (q tile) halves(upright bool) (low, high tile) {
	low, high = q, q
	if upright {
		low.hi.x = (q.lo.x + q.hi.x) / 2
		high.lo.x = low.hi.x
	} else {
		low.hi.y = (q.lo.y + q.hi.y) / 2
		high.lo.y = low.hi.y
	}
	return low, high
}

// cut appends what lies below an upright or level line through a spot of some pieces, or
// what lies above it.
func (t *tiler) cut(pieces []part, upright bool, through spot, above bool) {
	line := through.point()
	at := away(line, upright)
	for i := range pieces {
		q := &pieces[i]
		switch lo, hi := away(q.box.Min, upright), away(q.box.Max, upright); {
		case lo >= at && above, hi < at && !above:
			t.pieces = append(t.pieces, *q)
		case lo < at && hi >= at:
			first := len(t.points)
			t.points = clip(t.points, q.points, upright, at, above)
			if pts := t.points[first:]; len(pts) > 2 {
				t.pieces = append(t.pieces, part{ring{pts, q.region}, path.BoundsOf(pts)})
			}
		}
	}
}

// away returns how far a point lies along the direction that an upright or a level line
// cuts.
func away(p path.Point, upright bool) float64 {
	if upright {
		return p.X
	}
	return p.Y
}

// clip appends what of a ring lies above an upright or level line, or below it.
func clip(out, ring []path.Point, upright bool, at float64, above bool) []path.Point {
	p := ring[len(ring)-1]
	in := away(p, upright) >= at == above
	for _, q := range ring {
		is := away(q, upright) >= at == above
		switch {
		case is && !in:
			out = append(out, crossed(q, p, upright, at, above))
		case in && !is:
			out = append(out, crossed(p, q, upright, at, above))
		}
		if is {
			out = append(out, q)
		}
		p, in = q, is
	}
	return out
}

// crossed returns the spot where the side between p, which is kept, and q crosses a line:
// the same whichever of them is kept, and however the side leads.
func crossed(p, q path.Point, upright bool, at float64, above bool) path.Point {
	if above {
		p, q = q, p
	}
	share := (at - away(p, upright)) / (away(q, upright) - away(p, upright))
	x := away(p, !upright) + float64((away(q, !upright)-away(p, !upright))*share)
	x = math.Round(x/pixel) * pixel
	if upright {
		return path.Point{X: at, Y: x}
	}
	return path.Point{X: x, Y: at}
}

// unite adds the boundary of what is marked in a tile: where that goes on beyond it, the
// pieces on its rim are the other way round from the rim.
func (t *tiler) unite(q tile, from int) bool {
	if t.p.marked() {
		t.rimOf(q)
	}
	if len(t.pieces) == from {
		return true
	}
	t.rings = t.rings[:0]
	for i := range t.pieces[from:] {
		t.rings = append(t.rings, t.pieces[from+i].ring)
	}
	a, frags, err := arranged(&flat{rings: t.rings}, t.p)
	if err != nil {
		return false
	}
	t.crossings += a.crossings()
	for _, w := range arrows(frags) {
		u, v := a.spots[w.from], a.spots[w.to]
		switch {
		case u.x == v.x && (u.x == q.lo.x || u.x == q.hi.x):
			t.rim(true, u.x, u.y, v.y)
		case u.y == v.y && (u.y == q.lo.y || u.y == q.hi.y):
			t.rim(false, u.y, u.x, v.x)
		default:
			corner := w.from < a.corners && u.x != q.lo.x && u.x != q.hi.x && u.y != q.lo.y && u.y != q.hi.y
			t.edges = append(t.edges, tileEdge{u, v, corner})
		}
	}
	return t.crossings <= maxCrossings
}

// rimOf adds all of a tile's rim.
func (t *tiler) rimOf(q tile) {
	t.rim(false, q.lo.y, q.lo.x, q.hi.x)
	t.rim(true, q.hi.x, q.lo.y, q.hi.y)
	t.rim(false, q.hi.y, q.hi.x, q.lo.x)
	t.rim(true, q.lo.x, q.hi.y, q.lo.y)
}

func (t *tiler) rim(upright bool, at, from, to int64) {
	t.rims = append(t.rims, rimEdge{upright, at, from, 1}, rimEdge{upright, at, to, -1})
}

// meetRims adds what is left of the rims where those of neighbours are taken together.
func (t *tiler) meetRims() {
	slices.SortFunc(t.rims, func(r, s rimEdge) int {
		if r.upright != s.upright {
			if r.upright {
				return 1
			}
			return -1
		}
		return cmp.Or(cmp.Compare(r.at, s.at), cmp.Compare(r.along, s.along))
	})
	sum := 0
	for i, r := range t.rims {
		if sum != 0 {
			t.rest(t.rims[i-1], r.along, sum)
		}
		sum += r.by
	}
	t.rims = nil
}

// rest adds the piece of a rim from r on to a place along it, or sum -1 back.
func (t *tiler) rest(r rimEdge, to int64, sum int) {
	u, v := spot{r.along, r.at}, spot{to, r.at}
	if r.upright {
		u, v = spot{r.at, r.along}, spot{r.at, to}
	}
	if sum < 0 {
		u, v = v, u
	}
	if u != v {
		t.edges = append(t.edges, tileEdge{from: u, to: v})
	}
}

// stitch joins the edges to rings.
func (t *tiler) stitch() [][]path.Point {
	a, ids := arrangement{}, newPlaces(len(t.edges))
	for _, corners := range [...]bool{true, false} {
		for _, e := range t.edges {
			if e.corner == corners {
				ids.of(e.from)
			}
		}
		if corners {
			a.corners = int32(len(ids.spots))
		}
	}
	all := make([]arrow, len(t.edges))
	for i, e := range t.edges {
		all[i] = arrow{ids.of(e.from), ids.of(e.to)}
	}
	a.spots = ids.spots
	return a.stitch(all)
}
