package hatch

import (
	"cmp"
	"math"
	"slices"
)

// cursor is a chain at the row that the sweep has come to.
type cursor struct {
	x      float64 // where it crosses the row
	x0, dx float64 // of its current side, as grid.edge has them
	k0, k1 int32   // the rows which that crosses
	top    int32   // the point that it ends at
	end    int32   // the one that the chain ends at
	ring   int32
	tag    int32
}

// sweep walks up the rows with the chains that cross the current one in order
// of their crossings. From row to row that order hardly changes: the crossings
// need no buckets, and mostly no sorting.
type sweep struct {
	c      *chains
	active []cursor
	due    []int32 // room for ended
}

// begin puts a chain that starts at row k behind the active ones.
func (s *sweep) begin(ch *chain, k int32) {
	s.active = append(s.active, cursor{k1: k, top: ch.foot, end: ch.end, ring: ch.ring, tag: ch.tag})
	c := &s.active[len(s.active)-1]
	s.step(c, k)
	c.x = c.x0
}

// start prepares a new sweep for row k: chains that begin below and reach it are active.
// Below row 0 there are none.
func (s *sweep) start(k int32) {
	if k == 0 {
		return
	}
	for i := range s.c.chains {
		if k0, k1 := s.c.reach(&s.c.chains[i]); k0 < k && k < k1 {
			s.begin(&s.c.chains[i], k0)
		}
	}
}

// row moves to row k, the one after the last, and returns the crossings sorted.
func (s *sweep) row(k int32) []cursor {
	s.advance(k)
	s.enter(k)
	return s.active
}

// advance moves the active chains to row k and sorts them.
func (s *sweep) advance(k int32) {
	s.climb(k)
	act := s.active
	moves, last, lost := 0, math.Inf(-1), false
	for i := range act {
		c := &act[i]
		x := c.x0 + float64(float64(k-c.k0)*c.dx)
		c.x = x
		switch {
		case x >= last:
			last = x
		case moves > 8*i+64:
			lost = true
		default:
			moves += sink(act, i)
		}
	}
	if lost { // too far out of order to insert one by one
		sortByX(s.active)
	}
}

// climb takes the active chains to the sides that cross row k and drops those that end
// below.
func (s *sweep) climb(k int32) {
	due := s.ended(k)
	over := due[:0] // never longer than what of due is read
	for _, i := range due {
		if !s.step(&s.active[i], k) {
			over = append(over, i)
		}
	}
	s.active = without(s.active, over)
}

// ended returns which of the active chains are on a side that ends below row k.
func (s *sweep) ended(k int32) []int32 {
	act := s.active
	s.due = slices.Grow(s.due[:0], len(act))[:len(act)]
	due, n := s.due, 0
	for i := range act {
		due[n] = int32(i)
		n += int(uint32(act[i].k1-k-1) >> 31) // one more where k1 ≤ k: a branch here nobody could predict
	}
	return due[:n]
}

// without drops chains by their places, which ascend.
func without(act []cursor, gone []int32) []cursor {
	n, from := 0, 0
	for _, i := range gone {
		n += copy(act[n:], act[from:i])
		from = int(i) + 1
	}
	return act[:n+copy(act[n:], act[from:])]
}

// step moves c along its chain to the side that crosses row k; it reports
// false where the chain ends below.
func (s *sweep) step(c *cursor, k int32) bool {
	rows := s.c.rowsOf(c.ring)
	foot, top, k0, k1 := c.top, c.top, c.k0, c.k1
	by := stepOf(c.tag)
	for k >= k1 {
		if top == c.end {
			return false
		}
		foot, top = top, wrap(top+by, len(rows))
		k0, k1 = k1, rows[top]
	}
	c.top, c.k0, c.k1 = top, k0, k1
	pts := s.c.f.rings[c.ring].points
	c.x0, c.dx = s.c.g.edge(pts[foot], pts[top], k0)
	return true
}

// sink moves act[n] down to its place and returns the steps.
func sink(act []cursor, n int) int {
	c := act[n]
	i := n
	for i > 0 && act[i-1].x > c.x {
		act[i] = act[i-1]
		i--
	}
	act[i] = c
	return n - i
}

func sortByX(c []cursor) {
	slices.SortStableFunc(c, func(a, b cursor) int { return cmp.Compare(a.x, b.x) })
}

// enter puts the chains that begin at row k among the active ones.
func (s *sweep) enter(k int32) {
	n := len(s.active)
	for i := s.c.head[k]; i >= 0; i = s.c.chains[i].next {
		s.begin(&s.c.chains[i], k)
	}
	moves, lost := 0, false
	for ; n < len(s.active); n++ {
		if moves > 8*n+64 {
			lost = true
		} else {
			moves += sink(s.active, n)
		}
	}
	if lost {
		sortByX(s.active)
	}
}
