package inspect

import (
	"cmp"
	"iter"
	"slices"

	"furrow/path"
)

// touching is the greatest distance that counts as none, mm: what the flattening
// of strokes and the decimals of a file leave between shapes that are to touch.
const touching = 0.005

// mostPairs bounds the pairs of edges that are compared at once: some seconds.
const mostPairs = 4e8

// ruler measures one side of a boundary: bridges on the marked side, gaps on the
// other.
type ruler struct {
	edges     []edge
	box       path.Rect
	tolerance float64 // of the boundary
}

// measure looks for what is narrower than the mark, and on for the narrowest
// place at all.
func (r *ruler) measure(mark float64) (w Widths) {
	far := r.box.W() + r.box.H()
	for reach := mark; len(r.edges) > 0; reach = min(2*reach, far) {
		x := newIndex(r.edges, r.box, reach)
		if x == nil || x.pairs() > mostPairs {
			return w
		}
		first := w.Reach == 0
		found := r.within(x, reach, first)
		if first {
			w.Thin = r.places(found)
		}
		w.Reach = reach
		if len(found) > 0 {
			w.Least = &r.places(r.firstPlace(found))[0]
		}
		if w.Least != nil || reach >= far {
			return w
		}
	}
	return w
}

// asNarrow is how many times as wide as the narrowest place what belongs to it may be,
// where none is narrower than the mark.
const asNarrow = 1.25

// within returns where edges face each other no farther apart than reach with
// nothing between them, the narrowest first: all, or those that are about as narrow as
// the narrowest.
func (r *ruler) within(x *index, reach float64, all bool) []across {
	var found []across
	keep := reach
	for cell := range x.nx * x.ny {
		ids := x.in(cell)
		for i, a := range ids {
			e := &r.edges[a]
			for _, b := range ids[i+1:] {
				f := &r.edges[b]
				if !e.opposed(f) {
					continue
				}
				if y, ok := e.facing(f, keep); ok && x.cellOf(y.at) == cell && r.free(ids, &y) {
					y.e, y.f = a, b
					found = append(found, y)
					if !all {
						keep = min(keep, asNarrow*y.width)
					}
				}
			}
		}
	}
	found = slices.DeleteFunc(found, func(y across) bool { return y.width > keep })
	slices.SortFunc(found, func(p, q across) int {
		return cmp.Or(cmp.Compare(p.width, q.width), cmp.Compare(p.e, q.e), cmp.Compare(p.f, q.f))
	})
	return found
}

// free reports that none of the edges reaches into the disc that just fits
// between the two of y.
func (r *ruler) free(ids []int32, y *across) bool {
	radius := float64(y.width/2*0.97) - float64(2*r.tolerance)
	for _, id := range ids {
		if _, d := r.edges[id].near(y.at); d < radius {
			return false
		}
	}
	return true
}

// places joins what follows one another along both edges. found is sorted.
func (r *ruler) places(found []across) []Thin {
	facing := newPartners(found, len(r.edges))
	groups := make(groups, len(found))
	for i, y := range found {
		groups[i] = int32(i)
		for k := range r.beside(y, &facing) {
			if k < i {
				groups.join(i, k)
			}
		}
	}
	return r.placesOf(found, groups)
}

// firstPlace returns what of found is one place with the first of it.
func (r *ruler) firstPlace(found []across) (place []across) {
	facing := newPartners(found, len(r.edges))
	in := make([]bool, len(found))
	in[0] = true
	for todo := []int{0}; len(todo) > 0; {
		y := found[todo[len(todo)-1]]
		todo = todo[:len(todo)-1]
		for k := range r.beside(y, &facing) {
			if !in[k] {
				in[k], todo = true, append(todo, k)
			}
		}
	}
	for i, y := range found {
		if in[i] {
			place = append(place, y)
		}
	}
	return place
}

// beside yields the indices of what stands across beside y along both edges, and its own.
func (r *ruler) beside(y across, facing *partners) iter.Seq[int] {
	return func(yield func(int) bool) {
		for _, e := range r.around(y.e) {
			for _, f := range r.around(y.f) {
				if k := facing.of(min(e, f), max(e, f)); k >= 0 && !yield(k) {
					return
				}
			}
		}
	}
}

// around returns an edge and two on each side of it: a tiny one between may face
// another way.
func (r *ruler) around(e int32) [5]int32 {
	prev, next := r.edges[e].prev, r.edges[e].next
	return [...]int32{r.edges[prev].prev, prev, e, next, r.edges[next].next}
}

// groups holds for each index another one of its group, the least one its own.
type groups []int32

func (g groups) first(i int) int {
	for int(g[i]) != i {
		g[i] = g[g[i]]
		i = int(g[i])
	}
	return i
}

func (g groups) join(i, k int) {
	a, b := g.first(i), g.first(k)
	g[max(a, b)] = int32(min(a, b))
}

// placesOf makes one of each group: as wide as its narrowest part and, of several
// as narrow, at that nearest to the middle of it all. The first of a group is
// its narrowest.
func (r *ruler) placesOf(found []across, g groups) []Thin {
	boxes := make([]path.Rect, len(found))
	nearest := make([]int32, len(found))
	for i, y := range found {
		first := g.first(i)
		if nearest[i] = int32(i); first == i {
			boxes[i] = path.EmptyRect()
		}
		from, to := r.edges[y.e].stretch(&r.edges[y.f])
		boxes[first] = boxes[first].Include(from).Include(to)
	}
	for i, y := range found {
		first := g.first(i)
		middle := boxes[first].Centre()
		if y.width <= found[first].width*1.001 && y.at.Dist(middle) < found[nearest[first]].at.Dist(middle) {
			nearest[first] = int32(i)
		}
	}
	var list []Thin
	for i, y := range found {
		if g.first(i) == i {
			list = append(list, Thin{At: found[nearest[i]].at, Width: y.width, Length: boxes[i].Min.Dist(boxes[i].Max)})
		}
	}
	return list
}
