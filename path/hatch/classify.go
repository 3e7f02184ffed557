package hatch

import (
	"cmp"
	"math"
	"slices"

	"furrow/path"
)

// fragment is all sides that run between the same two spots, u < v.
type fragment struct {
	u, v    int32
	changes []change
	chain   int32 // fragments in a row, with nothing branching off, have one number
}

// change is how often region's winding number goes up where a fragment is
// crossed from its right to its left, as seen from u to v.
type change struct{ region, by int32 }

// fragments gathers the sides between the same spots. What goes there and back
// again is nothing.
func (a *arrangement) fragments() []fragment {
	type directed struct{ u, v, region, by int32 }
	all := make([]directed, len(a.sides))
	for i, s := range a.sides {
		if s.a < s.b {
			all[i] = directed{s.a, s.b, s.region, 1}
		} else {
			all[i] = directed{s.b, s.a, s.region, -1}
		}
	}
	slices.SortFunc(all, func(p, q directed) int {
		return cmp.Or(cmp.Compare(p.u, q.u), cmp.Compare(p.v, q.v), cmp.Compare(p.region, q.region))
	})
	changes := make([]change, 0, len(all))
	var out []fragment
	for i := 0; i < len(all); {
		u, v, first := all[i].u, all[i].v, len(changes)
		for i < len(all) && all[i].u == u && all[i].v == v {
			region, by := all[i].region, int32(0)
			for ; i < len(all) && all[i].u == u && all[i].v == v && all[i].region == region; i++ {
				by += all[i].by
			}
			if by != 0 {
				changes = append(changes, change{region, by})
			}
		}
		if n := len(changes); n > first {
			out = append(out, fragment{u: u, v: v, changes: changes[first:n:n], chain: -1})
		}
	}
	return out
}

// incidence lists the fragments at each spot.
func (a *arrangement) incidence(frags []fragment) (start, list []int32) {
	start = make([]int32, len(a.spots)+1)
	for _, f := range frags {
		start[f.u+1]++
		start[f.v+1]++
	}
	for i := 1; i < len(start); i++ {
		start[i] += start[i-1]
	}
	list = make([]int32, start[len(a.spots)])
	next := slices.Clone(start)
	for i, f := range frags {
		for _, s := range [...]int32{f.u, f.v} {
			list[next[s]] = int32(i)
			next[s]++
		}
	}
	return start, list
}

// chainUp numbers the chains and returns how many there are.
func (a *arrangement) chainUp(frags []fragment) int32 {
	start, list := a.incidence(frags)
	n := int32(0)
	for i := range frags {
		if frags[i].chain >= 0 {
			continue
		}
		frags[i].chain = n
		for _, end := range [...]int32{frags[i].u, frags[i].v} {
			for at, f := end, int32(i); start[at+1]-start[at] == 2; {
				g := list[start[at]] + list[start[at]+1] - f
				if frags[g].chain >= 0 || !continues(&frags[f], &frags[g], at) {
					break
				}
				frags[g].chain = n
				at, f = frags[g].u+frags[g].v-at, g
			}
		}
		n++
	}
	return n
}

// continues reports that f and g, which meet at a spot, bound the same.
func continues(f, g *fragment, at int32) bool {
	flip := int32(1)
	if (f.v == at) != (g.u == at) {
		flip = -1
	}
	return slices.EqualFunc(f.changes, g.changes, func(p, q change) bool {
		return p.region == q.region && p.by == flip*q.by
	})
}

// level is a direction that no side of a drawing has by design: the states on
// both sides of a chain are found on a line in this direction through the
// piece of it that stands steepest.
var level = path.Point{X: math.Cos(0.7391), Y: math.Sin(0.7391)}

// standing is a fragment in the plane turned to that direction.
type standing struct {
	x0, y0, x1, y1 float64 // from its lower to its upper end
	frag           int32
	falls          bool // from u to v
}

func (s *standing) at(y float64) float64 {
	return s.x0 + float64((s.x1-s.x0)*((y-s.y0)/(s.y1-s.y0)))
}

func (a *arrangement) stand(frags []fragment) []standing {
	g := grid{dir: level}
	out := make([]standing, 0, len(frags))
	for i, f := range frags {
		p, q := g.turn(a.spots[f.u].point()), g.turn(a.spots[f.v].point())
		s := standing{p.X, p.Y, q.X, q.Y, int32(i), q.Y < p.Y}
		if s.falls {
			s = standing{q.X, q.Y, p.X, p.Y, int32(i), true}
		}
		out = append(out, s)
	}
	slices.SortFunc(out, func(s, t standing) int {
		return cmp.Or(cmp.Compare(s.y0, t.y0), cmp.Compare(s.frag, t.frag))
	})
	return out
}

// banks is whether there is marking on the two sides of the fragments of a
// chain. Which bank is left depends on the way a fragment runs: left is the
// left of those whose first change is upwards.
type banks struct{ left, right bool }

// of returns the banks as seen from u to v of f.
func (b banks) of(f *fragment) banks {
	if f.changes[0].by > 0 {
		return b
	}
	return banks{b.right, b.left}
}

// steepest returns, by chain, the index of its fragment that spans most height.
func steepest(frags []fragment, stand []standing, chains int32) []int32 {
	best := make([]int32, chains)
	for i := range best {
		best[i] = -1
	}
	for i, s := range stand {
		b := &best[frags[s.frag].chain]
		if *b < 0 || s.y1-s.y0 > stand[*b].y1-stand[*b].y0 {
			*b = int32(i)
		}
	}
	return best
}

// classify finds the banks of every chain by what p marks.
func (a *arrangement) classify(frags []fragment, p *painter) []banks {
	n := a.chainUp(frags)
	stand := a.stand(frags)
	best := steepest(frags, stand, n)
	height := func(c int32) float64 { s := &stand[best[c]]; return s.y0 + (s.y1-s.y0)/2 }
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(c, d int32) int { return cmp.Or(cmp.Compare(height(c), height(d)), cmp.Compare(c, d)) })
	out := make([]banks, n)
	var active []int32
	next := 0
	for _, c := range order {
		y := height(c)
		for ; next < len(stand) && stand[next].y0 <= y; next++ {
			active = append(active, int32(next))
		}
		active = slices.DeleteFunc(active, func(i int32) bool { return stand[i].y1 <= y })
		out[c] = probe(frags, stand, active, best[c], y, p).of(&frags[stand[best[c]].frag])
	}
	return out
}

// probe returns what p marks left and right of stand[of], seen from u to v, at
// height y.
func probe(frags []fragment, stand []standing, active []int32, of int32, y float64, p *painter) banks {
	x := stand[of].at(y)
	crossAll := func(way int32) {
		for _, i := range active {
			if s := &stand[i]; i != of && s.at(y) < x {
				p.crossFragment(&frags[s.frag], s.falls, way)
			}
		}
	}
	own := &stand[of]
	crossAll(1)
	west := p.marked()
	p.crossFragment(&frags[own.frag], own.falls, 1)
	east := p.marked()
	p.crossFragment(&frags[own.frag], own.falls, -1)
	crossAll(-1)
	if own.falls { // west of what falls is its right
		return banks{east, west}
	}
	return banks{west, east}
}

// crossFragment goes from west to east over a fragment, or back with way -1.
func (p *painter) crossFragment(f *fragment, falls bool, way int32) {
	for _, c := range f.changes {
		by := -c.by * way // eastwards over what rises is from left to right
		if falls {
			by = -by
		}
		for ; by > 0; by-- {
			p.cross(c.region << 1)
		}
		for ; by < 0; by++ {
			p.cross(c.region<<1 | 1)
		}
	}
}
