package route

import (
	"cmp"
	"runtime"
	"slices"
	"sync"

	"furrow/path"
)

// How many neighbours an end has: the nearest of any item, and the nearest of
// items of other cells, without which a search does not find the way out of a
// cell whose rows lie closer to each other than to anything else.
const (
	nearAny   = 8
	nearOther = 4
)

// closedPlaces is at how many points of a closed line neighbours are looked for.
const closedPlaces = 64

// neighbours holds, for every end of a tour, the ends of other items nearest to
// it, nearest first.
type neighbours struct {
	ends   []int32
	start  []int32 // those of e are ends[start[e]:start[e+1]]
	sorted bool    // by the travel to them, which no change of variant upsets
}

func (n *neighbours) of(e int32) []int32 {
	if int(e)+1 >= len(n.start) {
		return nil // the depot
	}
	return n.ends[n.start[e]:n.start[e+1]]
}

// nearFinder looks for the neighbours of the ends of a tour.
type nearFinder struct {
	t     *tour
	tree  *kdTree
	at    []path.Point // places, in the sequence of the items
	end   []int32      // an end at each place
	first []int32      // place of each item
	group []int32      // of each item; nil: neighbours of other groups are not wanted
}

// newNeighbours finds the neighbours of every end of a tour, whose items belong
// to groups, if given. It uses all CPUs and gives the same result on any number.
func newNeighbours(t *tour, group []int32) neighbours {
	f := nearFinder{t: t, group: group}
	sorted := f.addPlaces()
	const chunk = 1024
	items := len(t.work.cells)
	found := make([][]int32, (items+chunk-1)/chunk)
	counts := make([]int32, 2*items+1)
	var wait sync.WaitGroup
	next := make(chan int, len(found))
	for i := range found {
		next <- i
	}
	close(next)
	for range min(runtime.GOMAXPROCS(0), len(found)) {
		wait.Go(func() {
			for i := range next {
				found[i] = f.chunk(i*chunk, min((i+1)*chunk, items), counts)
			}
		})
	}
	wait.Wait()
	n := neighbours{sorted: sorted, start: counts, ends: slices.Concat(found...)}
	for e := range 2 * items {
		n.start[e+1] += n.start[e]
	}
	return n
}

// addPlaces fills the tree with every place that an item may be entered or left
// at. It reports whether each item has but one way to be marked.
func (f *nearFinder) addPlaces() (single bool) {
	w := f.t.work
	single = true
	var tags []int32
	for i, c := range w.cells {
		f.first = append(f.first, int32(len(f.at)))
		n, sides := w.variants(c), int32(2)
		single = single && n == 1
		if w.closed(w.units[c.lo]) {
			sides = 1
		}
		for v := int32(0); v < n; v += max(1, n/closedPlaces) {
			for side := range sides {
				f.at = append(f.at, rest(w.cost, w.cellEnd(c, v, side)))
				f.end = append(f.end, 2*int32(i)+side)
				if f.group != nil {
					tags = append(tags, f.group[i])
				}
			}
		}
	}
	f.first = append(f.first, int32(len(f.at)))
	f.tree = newKDTree(slices.Clone(f.at), tags)
	return single
}

// chunk returns the neighbours of items lo to hi, end by end, and notes how
// many each end has in counts, one place further on.
func (f *nearFinder) chunk(lo, hi int, counts []int32) []int32 {
	var all, places []int32
	s := kNearest{tree: f.tree, end: f.end}
	var costs []nearEnd
	for e := 2 * int32(lo); e < 2*int32(hi); e++ {
		if e&1 == 0 || !f.closed(e>>1) { // both ends of a closed line are at the same places
			places = f.gather(&s, e, places[:0])
		}
		costs = f.priced(e, places, costs[:0])
		for _, c := range costs {
			all = append(all, c.end)
		}
		counts[e+1] = int32(len(costs))
	}
	return all
}

// nearEnd is an end and the travel to it.
type nearEnd struct {
	cost float64
	end  int32
}

// gather appends the ends found next to the places of one end, each once.
func (f *nearFinder) gather(s *kNearest, e int32, to []int32) []int32 {
	s.item = e >> 1
	for p := f.first[e>>1]; p < f.first[e>>1+1]; p++ {
		if f.end[p] != e && f.first[e>>1+1]-f.first[e>>1] > 1 && !f.closed(e>>1) {
			continue // another side
		}
		s.without, s.k = -1, nearAny
		s.find(f.at[p])
		to = f.add(to, s.found)
		if f.group != nil {
			s.without, s.k = f.group[e>>1], nearOther
			s.find(f.at[p])
			to = f.add(to, s.found)
		}
	}
	slices.Sort(to)
	return slices.Compact(to)
}

// priced appends ends with the travel to them from e, the cheapest alone.
func (f *nearFinder) priced(e int32, ends []int32, to []nearEnd) []nearEnd {
	for _, end := range ends {
		to = append(to, nearEnd{f.t.unremembered(e, end), end})
	}
	slices.SortFunc(to, func(a, b nearEnd) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.end, b.end))
	})
	return to[:min(len(to), nearAny+nearOther)]
}

func (f *nearFinder) closed(item int32) bool {
	w := f.t.work
	return w.closed(w.units[w.cells[item].lo])
}

// add appends the ends at found places; a closed line has both of its there.
func (f *nearFinder) add(to []int32, found []near) []int32 {
	for _, n := range found {
		end := f.end[n.index]
		to = append(to, end)
		if f.closed(end >> 1) {
			to = append(to, end^1)
		}
	}
	return to
}

// within returns the neighbours among the cells of seq alone, which are known
// by their place in it.
func (n *neighbours) within(seq []int32) neighbours {
	at := make(map[int32]int32, len(seq))
	for i, e := range seq {
		at[e>>1] = int32(i)
	}
	part := neighbours{sorted: n.sorted, start: make([]int32, 1, 2*len(seq)+1)}
	for i := range 2 * len(seq) {
		for _, f := range n.of(seq[i/2]&^1 | int32(i)&1) {
			if k, ok := at[f>>1]; ok {
				part.ends = append(part.ends, 2*k+f&1)
			}
		}
		part.start = append(part.start, int32(len(part.ends)))
	}
	return part
}

// allEnds returns every end as a neighbour of every other, for tours of few
// items. Of a longer one, the depot is left out: that it is next to anything
// would fill every list with ends that lie anywhere.
func allEnds(t *tour) neighbours {
	n := neighbours{start: []int32{0}}
	for e := range int32(len(t.ends)) {
		for f := range int32(len(t.ends)) {
			if f>>1 != e>>1 {
				n.ends = append(n.ends, f)
			}
		}
		n.start = append(n.start, int32(len(n.ends)))
	}
	return n
}

// near is a place found near another.
type near struct {
	d2    float64
	index int32
}

// kNearest finds the k places nearest to a point, nearest first, except those
// of one item and those with the tag without.
type kNearest struct {
	tree    *kdTree
	end     []int32 // at each place
	q       path.Point
	k       int
	item    int32
	without int32
	found   []near
}

func (s *kNearest) find(q path.Point) {
	s.q, s.found = q, s.found[:0]
	if len(s.tree.at) > 0 {
		s.visit(0)
	}
}

func (s *kNearest) full(d2 float64) bool {
	return len(s.found) == s.k && d2 > s.found[s.k-1].d2
}

func (s *kNearest) visit(i int32) {
	n := &s.tree.nodes[i]
	if n.tag >= 0 && n.tag == s.without {
		return
	}
	if n.right == 0 {
		for slot := n.lo; slot < n.hi; slot++ {
			s.try(s.tree.at[slot], s.tree.index[slot])
		}
		return
	}
	a, b := i+1, n.right
	da, db := dist2(&s.tree.nodes[a].box, s.q), dist2(&s.tree.nodes[b].box, s.q)
	if db < da {
		a, b, da, db = b, a, db, da
	}
	if !s.full(da) {
		s.visit(a)
	}
	if !s.full(db) {
		s.visit(b)
	}
}

// try inserts a point; of two at the same distance the lower index goes first.
func (s *kNearest) try(at path.Point, index int32) {
	d := at.Sub(s.q)
	c := near{d.Dot(d), index}
	if s.full(c.d2) || s.end[index]>>1 == s.item || s.without >= 0 && s.tree.tag(index) == s.without {
		return
	}
	i := len(s.found)
	for i > 0 && (s.found[i-1].d2 > c.d2 || s.found[i-1].d2 == c.d2 && s.found[i-1].index > c.index) {
		i--
	}
	if i == s.k {
		return
	}
	if len(s.found) == s.k {
		s.found = s.found[:s.k-1]
	}
	s.found = slices.Insert(s.found, i, c)
}
