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
	wind   []around  // by region
	have   []int32   // by gate: inputs that are on
	inside []int32   // the layers one is inside, bottom first
	flips  int       // of which swap marked and bare
	marks  [2][]bool // by layer: marked when topmost; the same inside an odd number of swaps
	alone  []paint   // by region: what it shows where nothing else is
}

// paint is what a region shows on its own.
type paint uint8

const (
	unclear paint = iota // it takes others to tell
	showsBare
	showsMark
)

// around is how often the rings of a region go round the place where a painter
// is, with what the painter needs of the region.
type around struct {
	number, mask int32
	out          int32
	plain        bool // out is a layer that does not swap
}

// newPainter marks the layers for which marked reports true; marked is asked
// with swapped false and true.
func newPainter(f *flat, marked func(l *layer, swapped bool) bool) *painter {
	p := &painter{f: f, wind: make([]around, len(f.regions)), have: make([]int32, len(f.gates)), alone: make([]paint, len(f.regions))}
	for i, r := range f.regions {
		p.wind[i] = around{0, r.mask, r.out, r.out >= 0 && !f.layers[r.out].invert}
	}
	for swapped := range p.marks {
		p.marks[swapped] = make([]bool, len(f.layers))
	}
	for i := range f.layers {
		p.show(int32(i), marked(&f.layers[i], false), marked(&f.layers[i], true))
	}
	return p
}

// show says whether a layer is marked when topmost, and inside an odd number of
// swaps.
func (p *painter) show(layer int32, plain, swapped bool) {
	p.marks[0][layer], p.marks[1][layer] = plain, swapped
	in := p.f.layers[layer].in
	switch {
	case in < 0 || !p.wind[in].plain:
	case plain:
		p.alone[in] = showsMark
	default:
		p.alone[in] = showsBare
	}
}

// clone returns a painter for another goroutine.
func (p *painter) clone() *painter {
	q := *p
	q.wind, q.have, q.inside = slices.Clone(p.wind), slices.Clone(p.have), nil
	return &q
}

// cross crosses an edge and reports whether the place beyond is marked.
func (p *painter) cross(tag int32) bool {
	w := &p.wind[tag>>1]
	was := w.number & w.mask
	w.number += 1 - 2*(tag&1)
	on := w.number&w.mask != 0
	switch n := len(p.inside); {
	case on == (was != 0):
	case w.plain && n == 0: // into a layer that lies alone
		p.inside = append(p.inside, w.out)
	case w.plain && n == 1 && !on: // and out of it
		p.inside = p.inside[:0]
	case w.out >= 0:
		p.toggle(w.out, on)
	default:
		p.count(^w.out, on)
	}
	return p.marked()
}

// count switches an input of a gate.
func (p *painter) count(id int32, on bool) {
	g := &p.f.gates[id]
	was := p.have[id] >= g.need
	if on {
		p.have[id]++
	} else {
		p.have[id]--
	}
	is := p.have[id] >= g.need
	if was == is {
		return
	}
	if g.layer >= 0 {
		p.toggle(g.layer, is)
	}
	for _, out := range g.outs {
		p.count(out, is)
	}
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
	span := path.Span{X0: math.Inf(-1), X1: math.Inf(-1)} // the last one, still open to be continued
	begin := func(x float64) {
		if x-span.X1 > weld {
			if span.X1-span.X0 > weld {
				out = append(out, span)
			}
			span.X0 = x
		}
	}
	on := false
	for i := 0; i < len(crossings); i++ {
		c := &crossings[i]
		if i+1 < len(crossings) && len(p.inside) == 0 && c.tag^1 == crossings[i+1].tag {
			// Into a region that lies alone and out of it.
			if shows := p.alone[c.tag>>1]; shows != unclear {
				i++
				if shows == showsMark {
					begin(c.x)
					span.X1 = crossings[i].x
				}
				continue
			}
		}
		switch is := p.cross(c.tag); {
		case is == on:
		case is:
			on = true
			begin(c.x)
		default:
			on = false
			span.X1 = c.x
		}
	}
	if span.X1-span.X0 > weld {
		out = append(out, span)
	}
	return out
}
