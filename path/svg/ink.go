package svg

import (
	"furrow/path"
)

// ink is what a fill or stroke is painted with.
type ink struct {
	paint    path.Paint // of a gradient or pattern its mean, for who picks by colour
	gradient *path.Gradient
	pattern  *node
	opacity  float64 // of the pattern
}

// ink resolves a paint; ok is false when nothing is to be drawn.
func (w *walker) ink(n *node, st *state, p paint, opacity float64) (ink, bool) {
	i, ok := w.resolve(n, st, p)
	i.opacity = opacity
	if i.paint.Opacity *= opacity; !ok || i.pattern == nil && i.paint.Opacity < invisible && i.gradient == nil {
		return i, false
	}
	if i.gradient != nil && opacity < 1 { // else all shapes share it, of however many stops
		i.gradient = i.gradient.Fade(opacity)
	}
	return i, true
}

func (w *walker) resolve(n *node, st *state, p paint) (ink, bool) {
	switch p.kind {
	case paintColour:
		return ink{paint: p.colour}, true
	case paintCurrent:
		return ink{paint: st.style.colour}, true
	case paintServer:
		return w.server(n, st, p)
	case paintContextFill, paintContextStroke:
		return w.fromContext(p.kind)
	}
	return ink{}, false
}

// context is the element that a marker or use is drawn for.
type context struct {
	n  *node
	st *state
}

// fromContext resolves context-fill and context-stroke (SVG 2, 13.2): the paint of
// the element that is drawn there, and none where there is no such element.
func (w *walker) fromContext(kind paintKind) (ink, bool) {
	last := len(w.contexts) - 1
	if last < 0 {
		return ink{}, false
	}
	c := w.contexts[last]
	w.contexts = w.contexts[:last] // it may refer to one of its own
	defer func() { w.contexts = append(w.contexts, c) }()
	s := &c.st.style
	if kind == paintContextFill {
		return w.ink(c.n, c.st, s.fill, s.fillOpacity)
	}
	return w.ink(c.n, c.st, s.stroke, s.strokeOpacity)
}

// server resolves a reference to a gradient or pattern.
func (w *walker) server(n *node, st *state, p paint) (ink, bool) {
	t := w.tree.ids[p.server]
	if t != nil {
		switch t.name {
		case "linearGradient", "radialGradient":
			if i, ok := w.gradient(n, st, t); ok {
				return i, true
			}
			return w.fallback(n, st, p)
		case "pattern":
			return ink{pattern: t}, true
		case "solidcolor", "solidColor":
			return w.solid(t), true
		}
	}
	if p.fallback == nil {
		w.warnDrawn(n, st, path.Reference, "paint %q is not in the file; not painted", clip(p.server))
	}
	return w.fallback(n, st, p)
}

func (w *walker) fallback(n *node, st *state, p paint) (ink, bool) {
	if p.fallback == nil {
		return ink{}, false
	}
	return w.resolve(n, st, *p.fallback)
}

// lay emits a shape painted with an ink.
func (w *walker) lay(n *node, st *state, s path.Shape, i ink) {
	if i.pattern != nil {
		w.tiles(n, st, s, i)
		return
	}
	s.Paint, s.Gradient = i.paint, i.gradient
	w.emit(n, st, s)
}

// chain returns t and the elements that it takes attributes and content from by
// reference, the nearest first.
func (w *walker) chain(t *node) []*node {
	var list []*node
	for len(list) < maxUseDepth && t != nil {
		list = append(list, t)
		t = w.tree.ids[localID(t.href())]
	}
	return list
}

// servant reads the attributes of a paint server, which may stand on any element
// of its chain.
type servant struct {
	w     *walker
	chain []*node
	style style // of the first
}

func (w *walker) servant(t *node) servant {
	return servant{w: w, chain: w.chain(t), style: w.cascade(t, w.ancestorStyle(t))}
}

func (s *servant) attr(name string) string {
	for _, t := range s.chain {
		if v, ok := t.lookup(name); ok {
			return v
		}
	}
	return ""
}

// transform returns the value of a transform attribute, or of the property on the
// element itself, which wins.
func (s *servant) transform(name string) path.Matrix {
	m, ok := path.Identity, true
	f := s.w.metrics(&s.style)
	switch text := s.attr(name); {
	case s.style.transform != "":
		m, ok = parseTransform(s.style.transform, f, s.w.view)
	case text != "":
		m, ok = parseTransform(text, f, s.w.view)
	}
	if !ok {
		s.w.warn(s.chain[0], path.BadValue, "%s is ignored: it cannot be read", name)
	}
	return m
}

// length reads a length in user units, or in parts of the bounding box.
func (s *servant) length(name string, d direction, box bool, missing string) float64 {
	text := s.attr(name)
	if text == "" {
		text = missing
	}
	l, ok := parseLength(text)
	if !ok {
		s.w.warn(s.chain[0], path.BadValue, "%s is ignored: %q", name, clip(text))
		l, _ = parseLength(missing)
	}
	view := s.w.view
	if box {
		view = viewport{1, 1}
	}
	return l.px(s.w.metrics(&s.style), view, d)
}
