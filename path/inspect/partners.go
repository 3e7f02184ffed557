package inspect

import (
	"cmp"
	"slices"
)

// partners finds where two edges face each other, by the lower of their numbers.
type partners struct {
	start []int32   // by edge, into pairs
	pairs []partner // of one edge one behind the other, rising
}

// partner is the higher of two edges, and where they face each other: an index in what
// was found.
type partner struct{ edge, found int32 }

func newPartners(found []across, edges int) partners {
	p := partners{start: make([]int32, edges+1), pairs: make([]partner, len(found))}
	for i := range found {
		p.start[min(found[i].e, found[i].f)+1]++
	}
	for e := range edges {
		p.start[e+1] += p.start[e]
	}
	next := append([]int32(nil), p.start...)
	for i, y := range found {
		e := min(y.e, y.f)
		p.pairs[next[e]] = partner{max(y.e, y.f), int32(i)}
		next[e]++
	}
	for e := range edges {
		slices.SortFunc(p.ofEdge(int32(e)), func(a, b partner) int { return cmp.Compare(a.edge, b.edge) })
	}
	return p
}

func (p *partners) ofEdge(e int32) []partner { return p.pairs[p.start[e]:p.start[e+1]] }

// of returns where edges e < f face each other, or -1.
func (p *partners) of(e, f int32) int {
	all := p.ofEdge(e)
	i, ok := slices.BinarySearchFunc(all, f, func(q partner, f int32) int { return cmp.Compare(q.edge, f) })
	if !ok {
		return -1
	}
	return int(all[i].found)
}
