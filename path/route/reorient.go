package route

import "math"

// reorient turns or starts an item the cheapest way that its neighbours leave
// it, and reports whether that gains anything.
func (s *search) reorient(item int32) bool {
	if s.left[item] || 2*item >= s.depot || s.work.variants(s.work.cells[item]) < 2 {
		return false
	}
	now, best, v, side := s.bestVariant(item)
	if s.left[item] = now-best <= s.eps; s.left[item] {
		return false
	}
	s.gained += now - best
	s.turn(item, v, side)
	return true
}

// turn puts an item into another variant, entered at side.
func (s *search) turn(item, v, side int32) {
	p := s.pos[item]
	s.save(int(p), 1)
	s.log[len(s.log)-1].variant = s.variant[item]
	s.seq[p] = 2*item + side
	s.setVariant(item, v)
	for e := 2 * item; e < 2*item+2; e++ {
		s.push(e)
		s.push(s.link(e))
	}
}

// itemCost returns the travel to, in and from an item where it stands, if it
// were marked in variant v and entered at side.
func (s *search) itemCost(item, v, side int32) float64 {
	return s.itemCostBelow(math.Inf(1), item, v, side)
}

// itemCostBelow is itemCost where that is below most; else it may be less, but not below
// most.
func (s *search) itemCostBelow(most float64, item, v, side int32) float64 {
	e := s.seq[s.pos[item]]
	from, to := s.link(e), s.link(e^1)
	c := s.work.cells[item]
	in, out := s.work.cellEnd(c, v, side), s.work.cellEnd(c, v, side^1)
	cost := s.innerCost(item, v)
	if from>>1 == item { // alone in a cyclic tour
		return cost + s.travel(&out, &in)
	}
	if cost += s.edgeTo(from, &in); cost >= most {
		return cost
	}
	return cost + s.edgeTo(to, &out)
}

func (s *search) edgeTo(e int32, end *End) float64 {
	if e >= s.depot && s.free[e&1] {
		return 0
	}
	return s.travel(&s.ends[e], end)
}

func (s *search) innerCost(item, v int32) float64 {
	if s.work.cells[item].len() == 1 {
		return 0
	}
	return s.inner[2*item+v]
}

// bestVariant returns what an item costs as it is, the cheapest variant of it where it
// stands, and the side to enter it at. Of a closed line with many points it looks at some
// first, then closer and closer round the best.
func (s *search) bestVariant(item int32) (now, best float64, v, side int32) {
	c := s.work.cells[item]
	v, side = s.variant[item], s.seq[s.pos[item]]&1
	now = s.itemCost(item, v, side)
	best = now
	as := side
	try := func(w int32) {
		for d := range int32(2) {
			if d == 1 && s.work.directed(c) {
				continue
			}
			if cost := s.itemCostBelow(best, item, w, as^d); cost < best {
				best, v, side = cost, w, as^d
			}
		}
	}
	n := s.work.variants(c)
	step := max(1, n/closedProbes)
	for w := int32(0); w < n; w += step {
		try(w)
	}
	for step > 1 {
		step = (step + 1) / 2
		centre := v
		try((centre + step) % n)
		try((centre - step + n) % n)
		if step == 1 {
			break
		}
	}
	return now, best, v, side
}

// closedProbes is how many points of a closed line are looked at first.
const closedProbes = 24
