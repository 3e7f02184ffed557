package hatch

import (
	"cmp"
	"slices"
)

// fragment is all sides that run between the same two spots, u < v, with
// whether there is marking on its left and on its right, as seen from u to v.
type fragment struct {
	u, v           int32
	first, changes int32 // among those of the arrangement
	left, right    bool
}

// change is how often region's winding number goes up where a fragment is
// crossed from its right to its left, as seen from u to v.
type change struct{ region, by int32 }

// changesAt returns what changes where a fragment is crossed.
func (a *arrangement) changesAt(f *fragment) []change { return a.changes[f.first : f.first+f.changes] }

// fragments gathers the sides between the same spots. What goes there and back
// again is nothing.
func (a *arrangement) fragments() []fragment {
	from := bundle(len(a.spots), len(a.sides), func(i int) int32 { return min(a.sides[i].a, a.sides[i].b) })
	a.fragmentOf = make([]int32, len(a.sides))
	a.changes = make([]change, 0, len(a.sides))
	out := make([]fragment, 0, len(a.sides))
	for u := range a.spots {
		list := from.of(int32(u))
		slices.SortFunc(list, func(i, k int32) int {
			p, q := &a.sides[i], &a.sides[k]
			return cmp.Or(cmp.Compare(max(p.a, p.b), max(q.a, q.b)), cmp.Compare(p.region, q.region))
		})
		for len(list) > 0 {
			n := 1
			for v := max(a.sides[list[0]].a, a.sides[list[0]].b); n < len(list); n++ {
				if s := &a.sides[list[n]]; max(s.a, s.b) != v {
					break
				}
			}
			out = a.gather(list[:n], out)
			list = list[n:]
		}
	}
	return out
}

// gather appends the fragment of sides between the same spots, unless they cancel
// out.
func (a *arrangement) gather(sides []int32, out []fragment) []fragment {
	s := &a.sides[sides[0]]
	f := fragment{u: min(s.a, s.b), v: max(s.a, s.b), first: int32(len(a.changes))}
	for i := 0; i < len(sides); {
		c := change{region: a.sides[sides[i]].region}
		for ; i < len(sides) && a.sides[sides[i]].region == c.region; i++ {
			if a.sides[sides[i]].a == f.u {
				c.by++
			} else {
				c.by--
			}
		}
		if c.by != 0 {
			a.changes = append(a.changes, c)
		}
	}
	id := int32(-1)
	if f.changes = int32(len(a.changes)) - f.first; f.changes > 0 {
		id = int32(len(out))
		out = append(out, f)
	}
	for _, i := range sides {
		a.fragmentOf[i] = id
	}
	return out
}
