package hatch

import (
	"slices"

	"furrow/path"
)

// group is a path.Group, or the root of what a mask paints.
type group struct {
	in      int32 // the group round it; page; or none, of a mask's root
	opacity float64
	blend   path.Blend
	mask    int32 // the root of its mask, or none
	alpha   bool  // of a root: its opacity counts, not its luminance
	first   int32 // of a root: the first of its layers
}

// What is no group.
const (
	page int32 = -1
	none int32 = -2
)

// faintest is the opacity from which on a paint is there at all: half of the
// least step that a picture of 8 bits a channel can show.
const faintest = 1.0 / 510

// childOf returns the group in g that is or holds group h; ok is false where h is
// not inside g.
func (f *flat) childOf(g, h int32) (child int32, ok bool) {
	for h >= 0 {
		up := f.groups[h].in
		if up == g {
			return h, true
		}
		h = up
	}
	return 0, false
}

// composed reports, where the topmost layer does not decide alone, whether the
// place is marked.
func (p *painter) composed() bool {
	top := p.top()
	p.topmost, p.margin = top, 0
	if top < 0 || !p.owned[top] {
		return false
	}
	p.margin = p.least() - p.below
	return p.margin < 0 != (p.flips&1 == 1)
}

// top returns the topmost layer that is not wholly transparent at p.place, or -1.
func (p *painter) top() int32 {
	p.shades = p.shades[:0]
	for i := p.shownInside() - 1; i >= 0; i-- {
		id := p.inside[i]
		if p.f.layers[id].solid || p.opacity(i) >= faintest {
			return id
		}
	}
	return -1
}

// shownInside returns the number of layers that one is inside but those of masks, which
// come last.
func (p *painter) shownInside() int {
	n := len(p.inside)
	for n > 0 && p.inside[n-1] >= p.f.shown {
		n--
	}
	return n
}

// opacity returns that of layer p.inside[i] at p.place, with all groups round it, and
// keeps its paint in p.shades.
func (p *painter) opacity(i int) float64 {
	l := &p.f.layers[p.inside[i]]
	p.shades = append(p.shades, p.paintOf(l))
	a := p.shades[len(p.shades)-1].a
	for g := l.group; g >= 0 && a > 0; g = p.f.groups[g].in {
		a *= p.opacityOf(&p.f.groups[g])
	}
	return a
}

// opacityOf returns that of a group at p.place, its mask included.
func (p *painter) opacityOf(g *group) float64 {
	if g.mask < 0 {
		return g.opacity
	}
	root := &p.f.groups[g.mask]
	i, _ := slices.BinarySearch(p.inside, root.first)
	sum, _ := p.lay(g.mask, colour{}, i)
	if root.alpha {
		return g.opacity * sum.a
	}
	return g.opacity * sum.luminance()
}

// least returns the least channel at p.place of all that is painted there, over
// white. What a solid layer hides does not count.
func (p *painter) least() float64 {
	first := 0
	for i := len(p.inside) - 1; i > 0; i-- {
		if p.f.layers[p.inside[i]].solid {
			first = i
			break
		}
	}
	sum, _ := p.lay(page, colour{}, first)
	return sum.least()
}

// lay lays the layers of group g, from p.inside[i] on, over b and returns which
// one comes after them.
func (p *painter) lay(g int32, b colour, i int) (colour, int) {
	for i < len(p.inside) {
		l := &p.f.layers[p.inside[i]]
		if l.group == g {
			b = over(b, p.shadeOf(i))
			i++
			continue
		}
		child, ok := p.f.childOf(g, l.group)
		if !ok {
			break
		}
		var whole colour
		whole, i = p.lay(child, colour{}, i)
		c := &p.f.groups[child]
		b = mix(c.blend, b, whole.fade(p.opacityOf(c)))
	}
	return b, i
}

// shadeOf returns what layer p.inside[i] paints at p.place, where the topmost was found.
func (p *painter) shadeOf(i int) colour {
	if k := p.shownInside() - 1 - i; k >= 0 && k < len(p.shades) {
		return p.shades[k]
	}
	return p.paintOf(&p.f.layers[p.inside[i]])
}

// paintOf returns what a layer paints at p.place.
func (p *painter) paintOf(l *layer) colour {
	if l.ramp == nil {
		return l.paint
	}
	return newColour(l.ramp.At(p.place))
}
