// Package pick says what a person picks of artwork: by id, class, layer or colour,
// or in the words of the artwork's own format. It knows no format; readers ask it
// of each element and shape.
package pick

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"furrow/path"
	"furrow/path/colour"
)

// Options are texts that pick: an id (#logo), a class (.deep), the name of a layer,
// a colour, or whatever else the format of the artwork understands. A text in double
// quotes is the name of a layer and nothing else, as in `"Layer 2"`. The zero value
// picks nothing and leaves everything.
type Options struct {
	Groups []string // Shape.Group is 1 + the index of the last one that picks the element or one round it
	Only   []string // where there are any, only what one of them picks, with all inside
	Skip   []string // leaves out what one of them picks, with all inside
	Invert []string // sets Shape.Invert on what one of them picks, with all inside
	Places []string // an element that one of them picks is a Document.Places
}

// Element is something of a document that can be picked, with all inside it.
type Element interface {
	ID() string
	Classes() string // separated by spaces
	Layer() string   // the name that it bears as a layer, or empty
}

// Match reports that a text in the words of a format picks an element.
type Match[E Element] func(E) bool

// text is one of Options, as whatever it can be read.
type text[E Element] struct {
	text      string
	id, class string
	layer     string
	match     Match[E] // or nil
	colour    path.Paint
	isColour  bool
	used      bool
}

func newText[E Element](s string, parse func(string) (Match[E], error)) (*text[E], error) {
	if s == "" {
		return nil, fmt.Errorf("an empty selector: name a colour, id, class or layer")
	}
	p := &text[E]{text: s, layer: s}
	if n := len(s); n > 1 && s[0] == '"' && s[n-1] == '"' {
		p.layer = s[1 : n-1]
		return p, nil
	}
	p.colour, p.isColour = colour.Parse(s)
	if parse != nil {
		p.match, _ = parse(s) // what is none may be the name of a layer
		return p, nil
	}
	switch s[0] {
	case '#':
		p.id = s[1:]
	case '.':
		p.class = s[1:]
	}
	return p, nil
}

// picks reports that the text picks an element by itself.
func (p *text[E]) picks(e E) bool {
	hit := p.match != nil && p.match(e) || p.id != "" && e.ID() == p.id ||
		p.class != "" && slices.Contains(strings.Fields(e.Classes()), p.class) ||
		p.layer != "" && e.Layer() == p.layer
	p.used = p.used || hit
	return hit
}

// picksColour compares as a screen would show it.
func (p *text[E]) picksColour(c path.Paint) bool {
	same := func(a, b float64) bool { return a-b < 1.0/512 && b-a < 1.0/512 }
	if !p.isColour || !same(p.colour.R, c.R) || !same(p.colour.G, c.G) || !same(p.colour.B, c.B) {
		return false
	}
	p.used = true
	return true
}

// Picker answers for the elements and shapes of one document, and keeps what was
// asked. The zero value picks nothing and leaves everything.
type Picker[E Element] struct {
	groups, only, skip, invert, places []*text[E]
	paints                             []path.Paint // of shapes, where a colour may pick
}

// New reads what picks. parse reads a text in the words of the document's format;
// where it is nil, ids and classes are understood, and names of layers and colours
// in any case. The error is an empty text.
func New[E Element](o Options, parse func(string) (Match[E], error)) (Picker[E], error) {
	var p Picker[E]
	for _, l := range []struct {
		texts []string
		to    *[]*text[E]
	}{{o.Groups, &p.groups}, {o.Only, &p.only}, {o.Skip, &p.skip}, {o.Invert, &p.invert}, {o.Places, &p.places}} {
		for _, s := range l.texts {
			one, err := newText(s, parse)
			if err != nil {
				return p, err
			}
			*l.to = append(*l.to, one)
		}
	}
	return p, nil
}

// Picked is what is said of an element and those round it.
type Picked struct {
	Group        int
	Only         bool
	Skip, Invert bool
}

// Inside adds what holds for e to what holds round it.
func (p *Picker[E]) Inside(e E, outer Picked) Picked {
	any := func(list []*text[E]) bool {
		hit := false
		for _, one := range list {
			hit = one.picks(e) || hit
		}
		return hit
	}
	for i, one := range p.groups {
		if one.picks(e) {
			outer.Group = max(outer.Group, i+1)
		}
	}
	outer.Only = any(p.only) || outer.Only
	outer.Skip = any(p.skip) || outer.Skip
	outer.Invert = any(p.invert) || outer.Invert
	return outer
}

// Placed returns the indices of Options.Places that pick the element itself.
func (p *Picker[E]) Placed(e E) (picks []int) {
	for i, one := range p.places {
		if one.picks(e) {
			picks = append(picks, i)
		}
	}
	return picks
}

// all lists the texts of every kind.
func (p *Picker[E]) all() []*text[E] {
	return slices.Concat(p.groups, p.only, p.skip, p.invert, p.places)
}

// Wanted adds what the colour of a shape says, and reports whether it stays.
func (p *Picker[E]) Wanted(in Picked, c path.Paint) (group int, ok bool) {
	p.note(c)
	group = in.Group
	for i, one := range p.groups {
		if one.picksColour(c) {
			group = max(group, i+1)
		}
	}
	ok = len(p.only) == 0 || in.Only
	for _, one := range p.only {
		ok = one.picksColour(c) || ok
	}
	for _, one := range p.skip {
		ok = !one.picksColour(c) && ok
	}
	return group, ok
}

// note keeps a colour for the names of the document.
func (p *Picker[E]) note(c path.Paint) {
	c.Opacity = 1
	if len(p.paints) < maxPaints && !slices.Contains(p.paints, c) {
		p.paints = append(p.paints, c)
	}
}

// maxPaints bounds the colours that a slip is compared with.
const maxPaints = 32

// Idle returns the texts that picked nothing.
func (p *Picker[E]) Idle() []string {
	var idle []string
	for _, one := range p.all() {
		if !one.used {
			idle = append(idle, one.text)
		}
	}
	return idle
}

// Unpicked returns the texts that nothing in the document bears, all of whose
// elements are handed in: one that is not drawn may still be picked, and a colour
// may be that of a shape which was skipped.
func (p *Picker[E]) Unpicked(elements []E) []string {
	skipped := slices.ContainsFunc(p.skip, func(one *text[E]) bool { return one.used })
	var unpicked []string
	for _, one := range p.all() {
		if !one.used && !(one.isColour && skipped) && !slices.ContainsFunc(elements, one.picks) {
			unpicked = append(unpicked, one.text)
		}
	}
	return unpicked
}

// Names lists what may pick something: ids, classes and names of layers, in the
// sequence of the elements, then colours.
func (p *Picker[E]) Names(elements []E) []string {
	var names []string
	add := func(name string) {
		if len(names) < maxNames && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	for _, e := range elements {
		if id := e.ID(); id != "" {
			add("#" + id)
		}
		for class := range strings.FieldsSeq(e.Classes()) {
			add("." + class)
		}
		if layer := e.Layer(); layer != "" {
			add(layer)
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
