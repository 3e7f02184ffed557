package hatch

import (
	"math"
	"slices"

	"furrow/path"
)

// square is a square of spots: those from its corner to below corner + size.
type square struct {
	corner spot
	size   int64
}

func (q square) holds(s spot) bool {
	return s.x >= q.corner.x && s.y >= q.corner.y && s.x-q.corner.x < q.size && s.y-q.corner.y < q.size
}

// quarter returns one of its four quarters.
func (q square) quarter(i int64) square {
	h := q.size / 2
	return square{spot{q.corner.x + i%2*h, q.corner.y + i/2*h}, h}
}

const (
	// crowd is how many sides a square has to have to be quartered.
	crowd = 12
	// stubborn is after how many quarterings that leave several quarters with nearly
	// all of the sides, as of sides that lie on each other, they are left as they are.
	stubborn = 2
	// margin is within how many pixels of a square a side counts as in it: what
	// crosses, or ends, in the square's outermost pixels is near it by less.
	margin = 1.5
	// maxLooks bounds how often a side is looked at, in one square after the other: ten to a
	// hundred times where edges cross, and more where very many lie close beside each other.
	maxLooks = 1 << 26
)

// meeting finds where sides meet, in squares that have few of them each. The slices
// are kept from square to square.
type meeting struct {
	*arrangement
	ids   []int32 // the sides in the square, behind those in the squares round it
	lines []segment
	hot   []int32 // the spots in the square
	found []spot
	looks int // at sides, in all squares
}

// segment is a side with its ends.
type segment struct {
	id   int32
	a, b int32
	p    spot
	d    path.Point
}

// meet splits sides at each other's ends and at their crossings. Where there are too
// many it returns a TangleError.
func (a *arrangement) meet(sides []int32) error {
	if a.hopeless(sides) {
		return &TangleError{Crossings: a.estimate(sides)}
	}
	m := meeting{arrangement: a, ids: sides}
	if !m.square(a.whole(), 0, len(sides), 0) {
		return &TangleError{Crossings: max(a.estimate(sides), float64(a.crossings())), Beside: !a.full()}
	}
	return nil
}

// firsts returns the sides that are their own twins, with room for as many.
func firsts(twin []int32) []int32 {
	ids := make([]int32, 0, 2*len(twin))
	for i, first := range twin {
		if first == int32(i) {
			ids = append(ids, first)
		}
	}
	return ids
}

// whole returns a square round all spots.
func (a *arrangement) whole() square {
	lo, hi := a.spots[0], a.spots[0]
	for _, s := range a.spots {
		lo.x, lo.y, hi.x, hi.y = min(lo.x, s.x), min(lo.y, s.y), max(hi.x, s.x), max(hi.y, s.y)
	}
	q := square{lo, 1}
	for q.size <= max(hi.x-lo.x, hi.y-lo.y) {
		q.size *= 2
	}
	return q
}

// square looks into a square whose sides are m.ids[from:to]; stuck says how often
// quartering it has been in vain.
func (m *meeting) square(q square, from, to, stuck int) bool {
	n, top := to-from, len(m.ids)
	m.looks += n
	if n <= crowd || stuck == stubborn || q.size < 16 {
		m.leaf(q, m.ids[from:to])
		return !m.full() && m.looks <= maxLooks
	}
	cut := [5]int{top}
	for i := range 4 {
		m.ids = m.within(q.quarter(int64(i)), m.ids[from:to], m.ids)
		cut[i+1] = len(m.ids)
	}
	for i := range 4 {
		in := stuck
		if cut[i+1]-cut[i] > n*7/8 && cut[4]-top > n*3/2 {
			in++
		}
		if !m.square(q.quarter(int64(i)), cut[i], cut[i+1], in) {
			return false
		}
	}
	m.ids = m.ids[:top]
	return true
}

// within appends those of the sides that lie in a square, or within the margin of it.
func (a *arrangement) within(q square, sides, out []int32) []int32 {
	half := float64(q.size)/2 + margin
	for _, id := range sides {
		s := &a.sides[id]
		u, v := a.spots[s.a], a.spots[s.b]
		p := path.Point{X: float64(u.x-q.corner.x) - float64(q.size)/2, Y: float64(u.y-q.corner.y) - float64(q.size)/2}
		d := path.Point{X: float64(v.x - u.x), Y: float64(v.y - u.y)}
		if p.X > half && p.X+d.X > half || p.X < -half && p.X+d.X < -half ||
			p.Y > half && p.Y+d.Y > half || p.Y < -half && p.Y+d.Y < -half {
			continue
		}
		if math.Abs(p.Cross(d)) <= half*(math.Abs(d.X)+math.Abs(d.Y)) {
			out = append(out, id)
		}
	}
	return out
}

// leaf leads the sides of a square through all ends and crossings in it.
func (m *meeting) leaf(q square, ids []int32) {
	if len(ids) < 2 {
		return
	}
	m.lines, m.hot, m.found = m.lines[:0], m.hot[:0], m.found[:0]
	for _, id := range ids {
		s := m.sides[id]
		l := segment{id: id, a: s.a, b: s.b, p: m.spots[s.a], d: m.spots[s.a].to(m.spots[s.b])}
		m.lines = append(m.lines, l)
		for _, end := range [...]int32{s.a, s.b} {
			if q.holds(m.spots[end]) {
				m.hot = append(m.hot, end)
			}
		}
	}
	slices.Sort(m.hot)
	m.hot = slices.Compact(m.hot)
	m.crossings(q)
	for _, id := range m.hot {
		for i := range m.lines {
			m.lead(&m.lines[i], id)
		}
		if len(m.splits) > maxSplits {
			return
		}
	}
}

// crossings adds those in a square to its spots.
func (m *meeting) crossings(q square) {
	for i := range m.lines {
		for k := range m.lines[i+1:] {
			if x, ok := crossing(&m.lines[i], &m.lines[i+1+k]); ok && q.holds(x) {
				m.found = append(m.found, x)
			}
		}
	}
	known := m.isHot
	if len(m.found) > crowd { // each looks at all before it: as where all lines of a star cross
		known = m.remembered()
	}
	for _, x := range m.found {
		if known(x) {
			continue
		}
		m.hot = append(m.hot, int32(len(m.spots)))
		m.spots = append(m.spots, x)
	}
}

func (m *meeting) isHot(x spot) bool {
	return slices.ContainsFunc(m.hot, func(id int32) bool { return m.spots[id] == x })
}

// remembered returns isHot for spots that become hot where they are not.
func (m *meeting) remembered() func(x spot) bool {
	hot := make(map[spot]bool, len(m.hot)+len(m.found))
	for _, id := range m.hot {
		hot[m.spots[id]] = true
	}
	return func(x spot) (was bool) {
		was, hot[x] = hot[x], true
		return was
	}
}

// crossing returns the spot where two sides cross that share no end.
func crossing(s, t *segment) (x spot, ok bool) {
	if s.a == t.a || s.a == t.b || s.b == t.a || s.b == t.b {
		return x, false
	}
	r, w, u := s.d, t.d, s.p.to(t.p)
	v := u.Add(w)
	if asunder(0, r.X, u.X, v.X) || asunder(0, r.Y, u.Y, v.Y) {
		return x, false
	}
	c0, c1 := r.Cross(u), r.Cross(v)
	d0, d1 := u.Cross(w), u.Sub(r).Cross(w)
	if (c0 < 0) == (c1 < 0) || (d0 < 0) == (d1 < 0) {
		return x, false
	}
	den := r.Cross(w)
	if den == 0 {
		return x, false
	}
	f := min(max(d0/den, 0), 1)
	return spot{s.p.x + int64(math.Round(r.X*f)), s.p.y + int64(math.Round(r.Y*f))}, true
}

// asunder reports that the stretches from a to b and from c to d are apart.
func asunder(a, b, c, d float64) bool { return max(a, b) < min(c, d) || max(c, d) < min(a, b) }

// lead makes a side run through a spot when it passes through its pixel.
func (m *meeting) lead(s *segment, id int32) {
	if s.a == id || s.b == id {
		return
	}
	d, q := s.d, s.p.to(m.spots[id])
	if q.X < min(0, d.X)-0.5 || q.X > max(0, d.X)+0.5 || q.Y < min(0, d.Y)-0.5 || q.Y > max(0, d.Y)+0.5 {
		return
	}
	if math.Abs(d.Cross(q)) <= (math.Abs(d.X)+math.Abs(d.Y))/2 {
		m.splits = append(m.splits, split{s.id, id})
	}
}

// glance is what an estimate of crossings looks at: squares so many times quartered, and
// so many pairs of the sides in each.
type glance struct{ depth, pairs int }

// At a glance it tells, before any work, of what crosses far too often; in detail how often.
var atAGlance, inDetail = glance{2, 1 << 12}, glance{4, 1 << 14}

// hopeless reports that sides cross so much too often that a few pairs of them show it.
func (a *arrangement) hopeless(sides []int32) bool {
	if len(sides) < 1<<11 { // not even if every two of them did
		return false
	}
	n, hits := a.estimateIn(a.whole(), sides, atAGlance)
	return hits >= 100 && n > 4*maxCrossings
}

// estimate returns about how often sides cross.
func (a *arrangement) estimate(sides []int32) float64 {
	n, _ := a.estimateIn(a.whole(), sides, inDetail)
	return n
}

func (a *arrangement) estimateIn(q square, ids []int32, g glance) (n float64, hits int) {
	if g.depth == 0 || len(ids) < 2 {
		return a.sample(q, ids, g.pairs)
	}
	for i := range int64(4) {
		c := q.quarter(i)
		more, seen := a.estimateIn(c, a.within(c, ids, nil), glance{g.depth - 1, g.pairs})
		n, hits = n+more, hits+seen
	}
	return n, hits
}

// sample tries so many of the pairs of sides, or all where they are few.
func (a *arrangement) sample(q square, ids []int32, most int) (about float64, hits int) {
	line := func(id int32) *segment {
		s := a.sides[id]
		return &segment{id: id, a: s.a, b: s.b, p: a.spots[s.a], d: a.spots[s.a].to(a.spots[s.b])}
	}
	n, tried := len(ids), 0
	pairs := float64(n) * float64(n-1) / 2
	step := max(1, int(pairs/float64(most)))
	for i, skip := 0, 0; i < n; i++ { // the pairs in sequence, every step-th
		for k := i + 1 + skip; ; k += step {
			if k >= n {
				skip = k - n
				break
			}
			tried++
			if x, ok := crossing(line(ids[i]), line(ids[k])); ok && q.holds(x) {
				hits++
			}
		}
	}
	return pairs * float64(hits) / float64(max(tried, 1)), hits
}
