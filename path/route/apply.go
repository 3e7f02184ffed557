package route

// apply rewrites the tour by the exchange of k edges, all but one segment. It
// reports false, with the tour as it was, where a constraint forbids the
// exchange.
func (s *search) apply(k int) bool {
	keep, ok := s.anchor(k)
	if !ok {
		return false
	}
	n := len(s.seq)
	kept := s.x.run[keep]
	first, length := s.x.bounds(int(kept.index), k, n)
	base := (first + length) % n
	old := s.save(base, n-length)
	step := 1
	if kept.reversed {
		step = k - 1
	}
	at := base
	for i := (keep + step) % k; i != keep; i = (i + step) % k {
		first, length := s.x.bounds(int(s.x.run[i].index), k, n)
		from := (first - base + n) % n
		at = s.write(at, old[from:from+length], s.x.run[i].reversed != kept.reversed)
	}
	s.recount(base, n-length)
	if s.before != nil && !s.inTurn(base, n-length) {
		s.undo()
		return false
	}
	return true
}

// anchor returns the place in run of the segment to leave as it is: the longest
// that is passed as the directed ones are, or, where something has to come
// before something else, the one with the depot. It reports false where
// directed segments are passed in opposite ways.
func (s *search) anchor(k int) (keep int, ok bool) {
	var ways [2]bool // in which directed segments are passed
	if s.directed != nil {
		for _, seg := range s.x.run[:k] {
			if first, length := s.x.bounds(int(seg.index), k, len(s.seq)); s.hasDirected(first, length) {
				ways[seg.way()] = true
			}
		}
	}
	if ways[0] && ways[1] {
		return 0, false
	}
	best := 0
	for i, seg := range s.x.run[:k] {
		first, length := s.x.bounds(int(seg.index), k, len(s.seq))
		if s.before != nil && s.hasDepot(first, length) {
			return i, true
		}
		if length > best && !ways[1-seg.way()] {
			keep, best = i, length
		}
	}
	return keep, true
}

func (seg segmentAt) way() int {
	if seg.reversed {
		return 1
	}
	return 0
}

// write puts items at the positions from at on, and returns the position
// behind.
func (s *search) write(at int, items []int32, reversed bool) int {
	for i := range items {
		e := items[i]
		if reversed {
			e = items[len(items)-1-i] ^ 1
		}
		s.seq[at] = e
		s.pos[e>>1] = int32(at)
		if at++; at == len(s.seq) {
			at = 0
		}
	}
	return at
}

// save logs n items from position base on and returns them.
func (s *search) save(base, n int) []int32 {
	if !s.keep {
		s.commit()
	}
	at := len(s.items)
	end := base + n
	s.items = append(s.items, s.seq[base:min(end, len(s.seq))]...)
	if end > len(s.seq) {
		s.items = append(s.items, s.seq[:end-len(s.seq)]...)
	}
	s.log = append(s.log, change{base: int32(base), n: int32(n), variant: -1})
	return s.items[at:]
}

// commit forgets how to undo what has been done.
func (s *search) commit() { s.log, s.items = s.log[:0], s.items[:0] }

// undo takes back the last change in the log.
func (s *search) undo() {
	c := s.log[len(s.log)-1]
	at := len(s.items) - int(c.n)
	s.write(int(c.base), s.items[at:], false)
	if c.variant >= 0 {
		s.setVariant(s.items[at]>>1, c.variant)
	}
	s.recount(int(c.base), int(c.n))
	s.log, s.items = s.log[:len(s.log)-1], s.items[:at]
}

// rollback takes back everything since the last commit.
func (s *search) rollback() {
	for len(s.log) > 0 {
		s.undo()
	}
}

// hasDirected reports whether any of n items from position first on must not
// be reversed.
func (s *search) hasDirected(first, n int) bool {
	end := first + n
	if end <= len(s.seq) {
		return s.sum[end] > s.sum[first]
	}
	return s.sum[len(s.seq)] > s.sum[first] || s.sum[end-len(s.seq)] > 0
}

// hasDepot reports whether the depot is among n items from position first on.
func (s *search) hasDepot(first, n int) bool {
	return s.after(int32(first), s.depot>>1) < n
}

// after returns how far behind position p an item comes, round the tour.
func (s *search) after(p, item int32) int {
	d := int(s.pos[item] - p)
	if d < 0 {
		d += len(s.seq)
	}
	return d
}

// inTurn reports whether those of n items from position base on that have to
// come before others do. All others are on the same side of those as before: what
// stays where it is has the depot in it.
func (s *search) inTurn(base, n int) bool {
	start := s.pos[s.depot>>1]
	for i := range n {
		item := s.seq[(base+i)%len(s.seq)] >> 1
		if b := s.before[item]; b >= 0 && s.after(start, item) > s.after(start, b) {
			return false
		}
	}
	return true
}

// setVariant marks a cell in another variant.
func (s *search) setVariant(item, v int32) {
	c := s.work.cells[item]
	s.variant[item] = v
	s.ends[2*item] = s.work.cellEnd(c, v, 0)
	s.ends[2*item+1] = s.work.cellEnd(c, v, 1)
}
