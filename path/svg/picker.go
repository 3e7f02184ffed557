package svg

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"furrow/path"
)

// picker is one text of Options: a CSS selector, the label of a layer, or a
// colour; whatever it can be read as.
type picker struct {
	text      string
	label     string // of a layer; in quotes it is nothing else
	selectors []selector
	colour    path.Paint
	isColour  bool
	used      bool
}

func newPicker(text string) (*picker, error) {
	p := &picker{text: text, label: text}
	if n := len(text); n > 1 && text[0] == '"' && text[n-1] == '"' {
		p.label = text[1 : n-1]
		return p, nil
	}
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
	if n.name == "g" && layerLabel(n) == p.label {
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
type pickers struct {
	parts, only, skip, invert, places []*picker
	paints                            []path.Paint // of shapes, where a colour may pick
}

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
	}{{o.Parts, &p.parts}, {o.Only, &p.only}, {o.Skip, &p.skip}, {o.Invert, &p.invert}, {o.Places, &p.places}} {
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

// placed returns the indices of Options.Places that pick the element itself.
func (p *pickers) placed(n *node) (picks []int) {
	for i, one := range p.places {
		if one.picks(n) {
			picks = append(picks, i)
		}
	}
	return picks
}

// wanted adds what the colour of a shape says, and reports whether it stays.
func (p *pickers) wanted(in picked, c path.Paint) (part int, ok bool) {
	p.note(c)
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
		ok = !one.picksColour(c) && ok
	}
	return part, ok
}

// all lists the pickers of every kind.
func (p *pickers) all() []*picker { return slices.Concat(p.parts, p.only, p.skip, p.invert, p.places) }

// note keeps a colour for the names of the document.
func (p *pickers) note(c path.Paint) {
	c.Opacity = 1
	if len(p.paints) < maxNotedPaints && !slices.Contains(p.paints, c) {
		p.paints = append(p.paints, c)
	}
}

// maxNotedPaints bounds the colours that a slip is compared with.
const maxNotedPaints = 32

// unused warns of texts that picked nothing, and returns those that nothing in
// the document bears: an element that is not drawn may still be picked, and a
// colour may be that of a shape which was skipped.
func (p *pickers) unused(t *tree, w *warnings) []string {
	skipped := slices.ContainsFunc(p.skip, func(one *picker) bool { return one.used })
	var unpicked []string
	for _, one := range p.all() {
		if one.used {
			continue
		}
		w.add(Warning{Message: fmt.Sprintf("%q picks nothing in this file", clip(one.text))})
		if !(one.isColour && skipped) && !slices.ContainsFunc(t.nodes, one.picks) {
			unpicked = append(unpicked, one.text)
		}
	}
	return unpicked
}

// names lists what may pick something: ids, classes and names of layers, in
// document order, then colours.
func (p *pickers) names(t *tree) []string {
	var names []string
	add := func(name string) {
		if len(names) < maxNames && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, n := range t.nodes {
		if id := n.attr("id"); id != "" {
			add("#" + id)
		}
		for _, class := range strings.Fields(n.attr("class")) {
			add("." + class)
		}
		if label := layerLabel(n); n.name == "g" && label != "" {
			add(label)
		}
	}
	for _, c := range p.paints {
		add(fmt.Sprintf("#%02x%02x%02x", eightBits(c.R), eightBits(c.G), eightBits(c.B)))
	}
	return names
}

func eightBits(v float64) uint8 { return uint8(math.Round(255 * v)) }

// maxNames bounds the names that a slip is compared with.
const maxNames = 1000
