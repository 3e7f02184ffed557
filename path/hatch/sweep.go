package hatch

import (
	"cmp"
	"math"
	"slices"
)

// cursor is a chain at the row that the sweep has come to.
type cursor struct {
	x      float64 // where it crosses the row
	x0, dx float64 // of its current edge, as the rows of that edge
	k0, k1 int32
	edge   int32
	left   int32 // edges after the current one
	step   int32
	tag    int32
}

// sweep walks up the rows with the chains that cross the current one in order
// of their crossings. From row to row that order hardly changes: the crossings
// need no buckets, and mostly no sorting.
type sweep struct {
	c      *chains
	active []cursor
	fresh  []cursor
}

func (s *sweep) cursor(ch *chain) cursor {
	e := &s.c.edges[ch.first]
	return cursor{
		x: e.x0, x0: e.x0, dx: e.dx, k0: e.k0, k1: e.k1,
		edge: ch.first, left: ch.len - 1, step: ch.step, tag: ch.tag,
	}
}

// start prepares for row k: chains that begin below and reach it are active.
func (s *sweep) start(k int32) {
	s.active = s.active[:0]
	if k == 0 {
		return
	}
	for i := range s.c.chains {
		ch := &s.c.chains[i]
		last := s.c.edges[ch.first+(ch.len-1)*ch.step]
		if s.c.edges[ch.first].k0 < k && k < last.k1 {
			s.active = append(s.active, s.cursor(ch))
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
		c.x = c.x0 + float64(float64(k-c.k0)*c.dx)
		x := c.x
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

// step moves c along its chain to the edge that crosses row k; it reports
// false where the chain ends below.
func (s *sweep) step(c *cursor, k int32) bool {
	for k >= c.k1 {
		if c.left == 0 {
			return false
		}
		c.edge += c.step
		c.left--
		e := &s.c.edges[c.edge]
		c.x0, c.dx, c.k0, c.k1 = e.x0, e.dx, e.k0, e.k1
	}
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

// enter merges the chains that begin at row k into the active ones.
func (s *sweep) enter(k int32) {
	s.fresh = s.fresh[:0]
	for i := s.c.head[k]; i >= 0; i = s.c.chains[i].next {
		s.fresh = append(s.fresh, s.cursor(&s.c.chains[i]))
	}
	if len(s.fresh) == 0 {
		return
	}
	sortByX(s.fresh)
	n := len(s.active) - 1
	s.active = append(s.active, s.fresh...)
	for i, j := len(s.active)-1, len(s.fresh)-1; j >= 0; i-- {
		if n >= 0 && s.active[n].x > s.fresh[j].x {
			s.active[i] = s.active[n]
			n--
		} else {
			s.active[i] = s.fresh[j]
			j--
		}
	}
}
