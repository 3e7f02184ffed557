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
	left   int32   // sides after it
	ring   int32
	tag    int32
}

// sweep walks up the rows with the chains that cross the current one in order
// of their crossings. From row to row that order hardly changes: the crossings
// need no buckets, and mostly no sorting.
type sweep struct {
	c      *chains
	active []cursor
}

// cursor returns a chain at the row where it starts.
func (s *sweep) cursor(ch *chain) cursor {
	k := s.c.rowsOf(ch.ring)[ch.foot]
	c := cursor{k1: k, top: ch.foot, left: ch.len, ring: ch.ring, tag: ch.tag}
	s.step(&c, k)
	c.x = c.x0
	return c
}

// start prepares a new sweep for row k: chains that begin below and reach it are active.
// Below row 0 there are none.
func (s *sweep) start(k int32) {
	if k == 0 {
		return
	}
	for i := range s.c.chains {
		if k0, k1 := s.c.reach(&s.c.chains[i]); k0 < k && k < k1 {
			s.active = append(s.active, s.cursor(&s.c.chains[i]))
		}
	}
}

// row moves to row k, the one after the last, and returns the crossings sorted.
func (s *sweep) row(k int32) []cursor {
	s.advance(k)
	s.enter(k)
	return s.active
}

// advance moves the active chains to row k and drops those that end below.
func (s *sweep) advance(k int32) {
	act := s.active
	n, moves := 0, 0
	last, lost := math.Inf(-1), false
	for i := range act {
		c := &act[i]
		if k >= c.k1 && !s.step(c, k) {
			continue
		}
		x := c.x0 + float64(float64(k-c.k0)*c.dx)
		c.x = x
		if n != i {
			act[n] = *c
		}
		switch {
		case x >= last:
			last = x
		case moves > 8*n+64:
			lost = true
		default:
			moves += sink(act, n)
		}
		n++
	}
	s.active = act[:n]
	if lost { // too far out of order to insert one by one
		sortByX(s.active)
	}
}

// step moves c along its chain to the side that crosses row k; it reports
// false where the chain ends below.
func (s *sweep) step(c *cursor, k int32) bool {
	rows := s.c.rowsOf(c.ring)
	foot := c.top
	for k >= c.k1 {
		if c.left == 0 {
			return false
		}
		c.left--
		foot = c.top
		c.top = wrap(foot+stepOf(c.tag), len(rows))
		c.k0, c.k1 = c.k1, rows[c.top]
	}
	pts := s.c.f.rings[c.ring].points
	c.x0, c.dx = s.c.g.edge(pts[foot], pts[c.top], c.k0)
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
	moves, lost := 0, false
	for i := s.c.head[k]; i >= 0; i = s.c.chains[i].next {
		n := len(s.active)
		s.active = append(s.active, s.cursor(&s.c.chains[i]))
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
