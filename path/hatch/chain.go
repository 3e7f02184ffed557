package hatch

import "furrow/path"

// edge is a side of a ring that crosses the rows k0 ≤ k < k1, at
// x0 + (k−k0)·dx.
type edge struct {
	x0, dx float64
	k0, k1 int32
}

// chain is consecutive edges of a ring that rise together, or fall together:
// edges[first], edges[first+step]... in the sequence of rising rows.
type chain struct {
	first, len, step int32
	tag              int32 // region<<1, +1 where the ring falls
	next             int32 // another chain that starts at the same row, or -1
}

// chains is the rings of an artwork as they cross the rows of a grid. Its
// slices are kept from set to set.
type chains struct {
	edges  []edge
	chains []chain
	head   []int32 // by row: the last chain that starts there, or -1
	total  int64   // crossings
}

// build cuts the rings into chains.
func (c *chains) build(f *flat, g *grid) {
	c.edges, c.chains, c.total = c.edges[:0], c.chains[:0], 0
	if n := f.points(); cap(c.edges) < n {
		c.edges = make([]edge, 0, n)
	}
	c.head = resize(c.head, int(g.n))
	for i := range c.head {
		c.head[i] = -1
	}
	for _, r := range f.rings {
		c.ring(r.points, r.region<<1, g)
	}
}

func resize(s []int32, n int) []int32 {
	if cap(s) < n {
		return make([]int32, n)
	}
	return s[:n]
}

// vertex is a point in the turned frame, its height in rows.
type vertex struct {
	x, t float64
	k    int32
}

func (c *chains) ring(pts []path.Point, tag int32, g *grid) {
	first := int32(len(c.edges))
	falls := int32(0)
	a := g.vertex(pts[len(pts)-1])
	for _, p := range pts {
		b := g.vertex(p)
		if a.k == b.k {
			a = b
			continue
		}
		lo, hi, down := a, b, int32(0)
		if b.k < a.k {
			lo, hi, down = b, a, 1
		}
		if down != falls {
			c.close(first, tag|falls)
			first, falls = int32(len(c.edges)), down
		}
		c.side(lo, hi)
		a = b
	}
	c.close(first, tag|falls)
}

// side adds the edge from lo up to hi.
func (c *chains) side(lo, hi vertex) {
	c.total += int64(hi.k - lo.k)
	dx := (hi.x - lo.x) / (hi.t - lo.t)
	c.edges = append(c.edges, edge{cross(lo, hi, dx, float64(lo.k)), dx, lo.k, hi.k})
}

// cross returns where the edge from lo to hi crosses the height t: between its
// ends, also where it ends a little short of that or is level but for rounding.
func cross(lo, hi vertex, dx, t float64) float64 {
	x := lo.x + float64((t-lo.t)*dx)
	switch {
	case dx >= 0 && x > hi.x, dx < 0 && x < hi.x:
		return hi.x
	case dx >= 0 && x < lo.x, dx < 0 && x > lo.x:
		return lo.x
	}
	return x
}

// close ends the chain of the edges from first on.
func (c *chains) close(first, tag int32) {
	n := int32(len(c.edges)) - first
	if n == 0 {
		return
	}
	ch := chain{first: first, len: n, step: 1, tag: tag}
	if tag&1 == 1 {
		ch.first, ch.step = first+n-1, -1
	}
	row := &c.head[c.edges[ch.first].k0]
	ch.next = *row
	*row = int32(len(c.chains))
	c.chains = append(c.chains, ch)
}
