package hatch

import (
	"math"
	"slices"

	"furrow/path"
)

// weld is the greatest gap between spans that counts as none, and the greatest
// length of a span that counts as nothing, mm: what rounding leaves between
// shapes that share an edge.
const weld = 1e-7

// painter knows, while it crosses edges along a row, which layer is topmost.
// Every ring is closed, so that each row leaves it as it was.
type painter struct {
	f      *flat
	wind   []int32   // by region
	have   []int32   // by gate: inputs that are on
	inside []int32   // the layers one is inside, bottom first
	flips  int       // of which swap marked and bare
	marks  [2][]bool // by layer: marked when topmost; the same inside an odd number of swaps
}

// newPainter marks the layers for which marked reports true; marked is asked
// with swapped false and true.
func newPainter(f *flat, marked func(l *layer, swapped bool) bool) *painter {
	p := &painter{f: f, wind: make([]int32, len(f.regions)), have: make([]int32, len(f.gates))}
	for swapped := range 2 {
		p.marks[swapped] = make([]bool, len(f.layers))
		for i := range f.layers {
			p.marks[swapped][i] = marked(&f.layers[i], swapped == 1)
		}
	}
	return p
}

// clone returns a painter for another goroutine.
func (p *painter) clone() *painter {
	q := *p
	q.wind, q.have, q.inside = slices.Clone(p.wind), slices.Clone(p.have), nil
	return &q
}

// cross crosses an edge and reports whether that changed a layer.
func (p *painter) cross(tag int32) bool {
	id := tag >> 1
	r := &p.f.regions[id]
	was := p.wind[id]
	is := was + 1 - 2*(tag&1)
	p.wind[id] = is
	on := is&r.mask != 0
	if on == (was&r.mask != 0) {
		return false
	}
	if r.out >= 0 {
		p.toggle(r.out, on)
		return true
	}
	return p.count(^r.out, on)
}

// count switches an input of a gate.
func (p *painter) count(id int32, on bool) (changed bool) {
	g := &p.f.gates[id]
	was := p.have[id] >= g.need
	if on {
		p.have[id]++
	} else {
		p.have[id]--
	}
	is := p.have[id] >= g.need
	if was == is {
		return false
	}
	if g.layer >= 0 {
		p.toggle(g.layer, is)
		changed = true
	}
	for _, out := range g.outs {
		changed = p.count(out, is) || changed
	}
	return changed
}

// toggle enters or leaves a layer.
func (p *painter) toggle(layer int32, enter bool) {
	if p.f.layers[layer].invert {
		if enter {
			p.flips++
		} else {
			p.flips--
		}
	}
	n := len(p.inside)
	switch {
	case enter && (n == 0 || p.inside[n-1] < layer):
		p.inside = append(p.inside, layer)
	case enter:
		i, _ := slices.BinarySearch(p.inside, layer)
		p.inside = slices.Insert(p.inside, i, layer)
	case p.inside[n-1] == layer:
		p.inside = p.inside[:n-1]
	default:
		i, _ := slices.BinarySearch(p.inside, layer)
		p.inside = slices.Delete(p.inside, i, i+1)
	}
}

// marked reports whether the topmost layer is marked here.
func (p *painter) marked() bool {
	n := len(p.inside)
	return n > 0 && p.marks[p.flips&1][p.inside[n-1]]
}

// row appends the marked spans of one row to out.
func (p *painter) row(crossings []cursor, out []path.Span) []path.Span {
	on := false
	span := path.Span{X0: math.Inf(-1), X1: math.Inf(-1)} // the last one, still open to be continued
	for i := range crossings {
		c := &crossings[i]
		if !p.cross(c.tag) {
			continue
		}
		switch is := p.marked(); {
		case is == on:
			continue
		case !is:
			span.X1 = c.x
		case c.x-span.X1 > weld:
			if span.X1-span.X0 > weld {
				out = append(out, span)
			}
			span.X0 = c.x
		}
		on = !on
	}
	if span.X1-span.X0 > weld {
		out = append(out, span)
	}
	return out
}
