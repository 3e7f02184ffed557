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
	below  float64    // the least channel over white under which a place is dark
	wind   []around   // by region
	have   []int32    // by gate: inputs that are on
	inside []int32    // the layers one is inside, bottom first
	flips  int        // of which swap marked and bare
	vary   int        // of which change from place to place
	owned  []bool     // by layer: a dark place where it is topmost is marked
	shows  [2][]paint // by layer: what it shows when topmost; the same inside an odd number of swaps
	alone  []paint    // by region: what it shows where nothing else is
	line   line       // the row, where some paint varies
	place  path.Point // where one is on it
	cuts   []float64
	shades []colour // what the topmost layers paint there, from the top down

	topmost int32   // what composed found: the topmost layer,
	margin  float64 // and how far the least channel is above the threshold
}

// paint is what a layer or region shows.
type paint uint8

const (
	unclear paint = iota // it takes others, or the place, to tell
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

// rounding is how far from the threshold a channel counts as at it.
const rounding = 1e-9

// newPainter marks what is dark where the topmost layer is one that owned reports,
// or bare there within an odd number of swaps.
func newPainter(f *flat, owned func(l *layer) bool) *painter {
	p := &painter{
		f: f, below: f.above - rounding, wind: make([]around, len(f.regions)), have: make([]int32, len(f.gates)),
		owned: make([]bool, len(f.layers)), alone: make([]paint, len(f.regions)),
	}
	for i, r := range f.regions {
		plain := r.out >= 0 && !f.layers[r.out].invert && f.layers[r.out].ramp == nil
		p.wind[i] = around{number: 0, mask: r.mask, out: r.out, plain: plain}
	}
	for swapped := range p.shows {
		p.shows[swapped] = make([]paint, len(f.layers))
	}
	for i := range f.layers {
		p.show(int32(i), owned(&f.layers[i]))
	}
	return p
}

// show says whether places where a layer is topmost are marked where they are dark.
func (p *painter) show(layer int32, owned bool) {
	l := &p.f.layers[layer]
	p.owned[layer] = owned
	for swapped := range p.shows {
		shows := unclear
		switch {
		case !l.solid:
		case owned && l.bare == (swapped == 1):
			shows = showsMark
		default:
			shows = showsBare
		}
		p.shows[swapped][layer] = shows
	}
	if l.in >= 0 && !l.invert {
		p.alone[l.in] = p.shows[0][layer]
	}
}

// clone returns a painter for another goroutine.
func (p *painter) clone() *painter {
	q := *p
	q.wind, q.have, q.inside, q.cuts, q.shades = slices.Clone(p.wind), slices.Clone(p.have), nil, nil, nil
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
	by := -1
	if enter {
		by = 1
	}
	l := &p.f.layers[layer]
	if l.invert {
		p.flips += by
	}
	if l.ramp != nil {
		p.vary += by
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

// marked reports whether the place is marked, p.place where some paint varies.
func (p *painter) marked() bool {
	n := len(p.inside)
	if n == 0 {
		return false
	}
	switch p.shows[p.flips&1][p.inside[n-1]] {
	case showsMark:
		return true
	case showsBare:
		return false
	}
	return p.composed()
}

// varies reports that marking may change before the next crossing.
func (p *painter) varies() bool {
	n := len(p.inside)
	return p.vary > 0 && n > 0 && p.shows[p.flips&1][p.inside[n-1]] == unclear
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
	mark := func(x float64, is bool) {
		switch {
		case is == on:
		case is:
			begin(x)
		default:
			span.X1 = x
		}
		on = is
	}
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
		is := p.cross(c.tag)
		if p.vary > 0 && p.varies() {
			p.changes(c.x, crossings[i+1].x, func(is probe) { mark(is.x, is.marked) })
			continue
		}
		switch {
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
