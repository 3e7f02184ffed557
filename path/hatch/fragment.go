package hatch

import (
	"cmp"
	"slices"
)

// fragment is all sides that run between the same two spots, u < v, with
// whether there is marking on its left and on its right, as seen from u to v.
type fragment struct {
	u, v        int32
	changes     []change
	left, right bool
}

// change is how often region's winding number goes up where a fragment is
// crossed from its right to its left, as seen from u to v.
type change struct{ region, by int32 }

// fragments gathers the sides between the same spots. What goes there and back
// again is nothing.
func (a *arrangement) fragments() []fragment {
	type directed struct{ u, v, region, by, side int32 }
	all := make([]directed, len(a.sides))
	for i, s := range a.sides {
		if s.a < s.b {
			all[i] = directed{s.a, s.b, s.region, 1, int32(i)}
		} else {
			all[i] = directed{s.b, s.a, s.region, -1, int32(i)}
		}
	}
	slices.SortFunc(all, func(p, q directed) int {
		return cmp.Or(cmp.Compare(p.u, q.u), cmp.Compare(p.v, q.v), cmp.Compare(p.region, q.region))
	})
	a.fragmentOf = make([]int32, len(all))
	changes := make([]change, 0, len(all))
	var out []fragment
	for i := 0; i < len(all); {
		u, v, first, begin := all[i].u, all[i].v, len(changes), i
		for i < len(all) && all[i].u == u && all[i].v == v {
			region, by := all[i].region, int32(0)
			for ; i < len(all) && all[i].u == u && all[i].v == v && all[i].region == region; i++ {
				by += all[i].by
			}
			if by != 0 {
				changes = append(changes, change{region, by})
			}
		}
		id := int32(-1)
		if n := len(changes); n > first {
			id = int32(len(out))
			out = append(out, fragment{u: u, v: v, changes: changes[first:n:n]})
		}
		for _, d := range all[begin:i] {
			a.fragmentOf[d.side] = id
		}
	}
	return out
}
