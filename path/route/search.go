package route

// breadth is how many neighbours are tried at each cut of an exchange.
var breadth = [maxCuts]int{0, 10, 5, 3, 2, 1}

// search improves a tour by exchanges of up to maxCuts edges, found by the
// gain criterion of Lin and Kernighan (1973): the edges removed so far cost
// more than those added. Since a cell is never torn, the end to which a new
// edge leads tells which edge goes next.
type search struct {
	*tour
	x      exchange
	near   neighbours
	eps    float64 // gains below are rounding
	gained float64 // since the last commit
	cuts   int     // of an exchange at most

	queue  []int32 // ring of the ends to look at
	queued []bool
	left   []bool // items that nothing has changed beside since reorient left them as they are
	head   int
	count  int

	directed []bool  // items that must not be reversed; nil: none
	sum      []int32 // directed items before each position
	before   []int32 // the item that each must come before, or -1; nil: none
	keep     bool    // log changes, so that they can be taken back
	log      []change
	items    []int32 // what the changes in log replaced
}

// change is what it takes to undo one: the items from position base on, or the
// variant of the one there.
type change struct {
	base, n int32
	variant int32 // -1: of a run of items
}

func newSearch(t *tour) *search {
	s := &search{tour: t, cuts: maxCuts - 1}
	s.queue, s.queued = make([]int32, len(t.ends)), make([]bool, len(t.ends))
	s.left = make([]bool, len(t.seq))
	s.eps = 1e-9 * t.total() / float64(len(t.seq))
	s.constrain()
	return s
}

// constrain notes which items are directed or have to come before others.
func (s *search) constrain() {
	s.before = newWaits(s.work).next
	any := s.before != nil
	directed := make([]bool, len(s.seq))
	for i, c := range s.work.cells {
		directed[i] = s.work.directed(c)
		any = any || directed[i]
	}
	if !any {
		return
	}
	if int(s.depot) < len(s.ends) {
		directed[s.depot>>1] = true
		if s.before != nil {
			s.before = append(s.before, -1)
		}
	}
	s.directed = directed
	s.sum = make([]int32, len(s.seq)+1)
	s.recount(0, len(s.seq))
}

// recount updates sum after the items of n positions from base on have changed.
func (s *search) recount(base, n int) {
	if s.directed == nil {
		return
	}
	if base+n > len(s.seq) {
		base, n = 0, len(s.seq)
	}
	for p := base; p < base+n; p++ {
		s.sum[p+1] = s.sum[p]
		if s.directed[s.seq[p]>>1] {
			s.sum[p+1]++
		}
	}
}

func (s *search) push(e int32) {
	s.left[e>>1] = false
	if s.queued[e] {
		return
	}
	s.queued[e] = true
	i := s.head + s.count
	if i >= len(s.queue) {
		i -= len(s.queue)
	}
	s.queue[i] = e
	s.count++
}

// pushAll puts every end in the queue, in the sequence of the tour.
func (s *search) pushAll() {
	for _, e := range s.seq {
		s.push(e)
		s.push(e ^ 1)
	}
}

// settle improves until no end in the queue leads to a gain. It reports false
// when stop told it to leave off.
func (s *search) settle(stop func() bool) bool {
	for n := 0; s.count > 0; n++ {
		if n&1023 == 1023 && stop() {
			return false
		}
		e := s.queue[s.head]
		if s.head++; s.head == len(s.queue) {
			s.head = 0
		}
		s.count--
		s.queued[e] = false
		for s.reorient(e>>1) || s.improve(e) {
		}
	}
	return true
}

// improve makes the first exchange with a gain that begins with the edge at e.
func (s *search) improve(e int32) bool {
	f := s.link(e)
	s.x.t[0], s.x.t[1] = f, e
	return s.extend(1, s.edge(e, f))
}

// extend adds a cut to an exchange of k cuts whose removed edges cost gain more
// than the added ones, which do not close it yet.
func (s *search) extend(k int, gain float64) bool {
	last := s.x.t[2*k-1]
	old := s.link(last)
	for i, f := range s.near.of(last) {
		if i == breadth[k] && len(s.seq) > fewItems {
			break
		}
		g := gain - s.edge(last, f)
		if g <= s.eps {
			if s.near.sorted {
				break
			}
			continue
		}
		if f == old || s.isCut(f, k) {
			continue
		}
		loose := s.link(f)
		s.x.t[2*k], s.x.t[2*k+1] = f, loose
		g += s.edge(f, loose)
		if closed := g - s.edge(loose, s.x.t[0]); closed > s.eps && s.exchange(k+1, closed) {
			return true
		}
		if k+1 < s.cuts && s.extend(k+1, g) {
			return true
		}
	}
	return false
}

func (s *search) isCut(e int32, k int) bool {
	for _, c := range s.x.t[:2*k] {
		if c == e {
			return true
		}
	}
	return false
}

// exchange makes the exchange of k edges, if it is allowed, and puts its ends
// in the queue.
func (s *search) exchange(k int, gain float64) bool {
	if !s.x.valid(s.tour, k) || !s.apply(k) {
		return false
	}
	s.gained += gain
	for _, e := range s.x.t[:2*k] {
		s.push(e)
	}
	return true
}
