package hatch

// chain is consecutive sides of a ring that rise together, or fall together,
// those on one row between them included. It leads from the ring's point foot
// up to its point end: to higher points where the ring rises there, and to lower
// ones where it falls.
type chain struct {
	ring, foot, end int32
	tag             int32 // region<<1, +1 where the ring falls
	next            int32 // another chain that starts at the same row, or -1
}

// chains is the rings of an artwork as they cross the rows of a grid. Its
// slices are kept from set to set.
type chains struct {
	f      *flat
	g      grid
	rows   []int32 // by point of all rings: its row, as rowOf says
	start  []int32 // by ring: the index of its first point's row
	chains []chain
	head   []int32 // by row: the last chain that starts there, or -1
	total  int64   // crossings
}

// build cuts the rings into chains.
func (c *chains) build(f *flat, g *grid) {
	c.f, c.g, c.chains, c.total = f, *g, c.chains[:0], 0
	points := f.points()
	c.rows, c.start, c.head = resize(c.rows, points), resize(c.start, len(f.rings)), resize(c.head, int(g.n))
	if c.chains == nil {
		c.chains = make([]chain, 0, points/8)
	}
	for i := range c.head {
		c.head[i] = -1
	}
	next := int32(0)
	for i := range f.rings {
		c.start[i] = next
		c.ring(int32(i))
		next += int32(len(f.rings[i].points))
	}
}

func resize(s []int32, n int) []int32 {
	if cap(s) < n {
		return make([]int32, n)
	}
	return s[:n]
}

// rowsOf returns the rows of the points of a ring.
func (c *chains) rowsOf(ring int32) []int32 {
	return c.rows[c.start[ring]:][:len(c.f.rings[ring].points)]
}

func (c *chains) ring(id int32) {
	r := &c.f.rings[id]
	rows := c.rowsOf(id)
	for i, p := range r.points {
		rows[i] = c.g.rowOf(c.g.height(p))
	}
	n := int32(len(rows))
	first, way := int32(-1), int32(0) // of the sides since the last turn: 1 up, -1 down; side i ends at point i
	last := rows[n-1]
	for i, k := range rows {
		if rise := k - last; rise*way < 0 || first < 0 && rise != 0 {
			c.add(id, first, int32(i), way)
			first, way = int32(i), 1|rise>>31
		}
		last = k
	}
	c.add(id, first, n, way)
}

// add adds the chain of the sides first ≤ i < end of a ring, which lead up, or down where
// way is -1.
func (c *chains) add(ring, first, end, way int32) {
	if first < 0 {
		return
	}
	n := len(c.f.rings[ring].points)
	ch := chain{ring: ring, foot: wrap(first-1, n), end: end - 1, tag: c.f.rings[ring].region << 1}
	if way < 0 {
		ch.foot, ch.end, ch.tag = ch.end, ch.foot, ch.tag|1
	}
	k0, k1 := c.reach(&ch)
	c.total += int64(k1 - k0)
	ch.next = c.head[k0]
	c.head[k0] = int32(len(c.chains))
	c.chains = append(c.chains, ch)
}

// reach returns the rows k0 ≤ k < k1 that a chain crosses.
func (c *chains) reach(ch *chain) (k0, k1 int32) {
	rows := c.rowsOf(ch.ring)
	return rows[ch.foot], rows[ch.end]
}

// stepOf returns the step from point to point of a chain.
func stepOf(tag int32) int32 { return 1 - 2*(tag&1) }

// wrap returns the index of the point of a ring of n that is meant by -1 or n
// too.
func wrap(i int32, n int) int32 {
	switch {
	case i < 0:
		return i + int32(n)
	case int(i) >= n:
		return i - int32(n)
	}
	return i
}
