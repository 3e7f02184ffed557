package svg

import (
	"fmt"

	"furrow/path"
)

// picker is one text of Options: a CSS selector, the label of a layer, or a
// colour; whatever it can be read as.
type picker struct {
	text      string
	selectors []selector
	colour    path.Paint
	isColour  bool
	used      bool
}

func newPicker(text string) (*picker, error) {
	p := &picker{text: text}
	p.colour, p.isColour = parseColour(text)
	var err error
	if p.selectors, err = parseSelectors(text); err != nil {
		p.selectors = nil // a layer may have any name
	}
	if text == "" {
		return nil, fmt.Errorf("an empty selector: name a colour, id, class or layer")
	}
	return p, nil
}

func (p *picker) picks(n *node) bool {
	for i := range p.selectors {
		if p.selectors[i].match(n) {
			p.used = true
			return true
		}
	}
	if n.name == "g" && layerLabel(n) == p.text {
		p.used = true
		return true
	}
	return false
}

// picksColour compares as a screen would show it.
func (p *picker) picksColour(c path.Paint) bool {
	same := func(a, b float64) bool { return a-b < 1.0/512 && b-a < 1.0/512 }
	if !p.isColour || !same(p.colour.R, c.R) || !same(p.colour.G, c.G) || !same(p.colour.B, c.B) {
		return false
	}
	p.used = true
	return true
}

// layerLabel returns the name that a drawing program gave to a group: its
// attribute "label" of whatever namespace, or "data-name".
func layerLabel(n *node) string {
	for i := range n.Attr {
		a := &n.Attr[i]
		if a.Key == "label" && a.Namespace != "" || a.Key == "data-name" {
			return a.Val
		}
	}
	return ""
}

// pickers are those of Options.
type pickers struct{ parts, only, skip, invert []*picker }

// picked is what the pickers say of an element and those round it.
type picked struct {
	part               int
	only, skip, invert bool
}

func newPickers(o Options) (pickers, error) {
	var p pickers
	for _, l := range []struct {
		texts []string
		to    *[]*picker
	}{{o.Parts, &p.parts}, {o.Only, &p.only}, {o.Skip, &p.skip}, {o.Invert, &p.invert}} {
		for _, text := range l.texts {
			one, err := newPicker(text)
			if err != nil {
				return p, err
			}
			*l.to = append(*l.to, one)
		}
	}
	return p, nil
}

// inside adds what holds for n to what holds round it.
func (p *pickers) inside(n *node, outer picked) picked {
	any := func(list []*picker) bool {
		hit := false
		for _, one := range list {
			hit = one.picks(n) || hit
		}
		return hit
	}
	for i, one := range p.parts {
		if one.picks(n) {
			outer.part = max(outer.part, i+1)
		}
	}
	outer.only = any(p.only) || outer.only
	outer.skip = any(p.skip) || outer.skip
	outer.invert = any(p.invert) || outer.invert
	return outer
}

// wanted adds what the colour of a shape says, and reports whether it stays.
func (p *pickers) wanted(in picked, c path.Paint) (part int, ok bool) {
	part = in.part
	for i, one := range p.parts {
		if one.picksColour(c) {
			part = max(part, i+1)
		}
	}
	ok = len(p.only) == 0 || in.only
	for _, one := range p.only {
		ok = one.picksColour(c) || ok
	}
	for _, one := range p.skip {
		ok = ok && !one.picksColour(c)
	}
	return part, ok
}

// unused warns of texts that picked nothing.
func (p *pickers) unused(w *warnings) {
	for _, list := range [][]*picker{p.parts, p.only, p.skip, p.invert} {
		for _, one := range list {
			if !one.used {
				w.add(Warning{Message: fmt.Sprintf("%q picks nothing in this file", clip(one.text))})
			}
		}
	}
}
