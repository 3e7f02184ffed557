package svg

import (
	"net/url"
	"strings"

	"furrow/path"
)

// use draws the element that a use refers to, as if it stood inside it (SVG 2,
// 5.5).
func (w *walker) use(n *node, st *state) {
	target := w.target(n)
	if target == nil {
		return
	}
	if len(w.uses) >= maxUseDepth {
		w.limit(n, "use elements refer to each other more than %d deep", maxUseDepth)
		return
	}
	w.contexts = append(w.contexts, context{n, st})
	w.by(n, func() {
		switch target.name {
		case "symbol", "svg":
			st.used = n
			if w.visit(target, usesMultiply) {
				w.enter(target, st, viewportElement)
			}
		default:
			w.element(target, st)
		}
	})
	w.contexts = w.contexts[:len(w.contexts)-1]
}

// by draws what a use or marker leads to. What stands in it may be of another size there, as
// it takes over other properties, so that no box is kept.
func (w *walker) by(n *node, draw func()) {
	w.uses, w.boxes = append(w.uses, n), lastBox{}
	draw()
	w.uses, w.boxes = w.uses[:len(w.uses)-1], lastBox{}
}

// target returns what n refers to, or nil with a warning.
func (w *walker) target(n *node) *node {
	href := n.href()
	local := strings.HasPrefix(href, "#")
	t := w.tree.ids[localID(href)]
	switch {
	case href == "":
		return nil
	case !local:
		w.warn(n, path.Reference, "other files are not opened: %q", clip(href))
		return nil
	case t == nil:
		w.warn(n, path.Reference, "refers to %q, which is not in the file", clip(href))
		return nil
	case w.cyclic(n, t):
		w.warn(n, path.Reference, "refers to itself; left out")
		return nil
	}
	return t
}

// cyclic reports that t is n, or round n or one of the uses that led here.
func (w *walker) cyclic(n, t *node) bool {
	for i := len(w.uses); i >= 0; i-- {
		if i < len(w.uses) {
			n = w.uses[i]
		}
		for a := n; a != nil; a = a.parent {
			if a == t {
				return true
			}
		}
	}
	return false
}

// sizeInUse returns the box of a symbol or svg that a use draws: the size comes
// from the use, else from the element, else it is the whole viewport.
func (w *walker) sizeInUse(n *node, st *state) box {
	own := geometry{w: w, n: n, s: &st.style}
	b := box{w: w.view.w, h: w.view.h}
	if n.name == "svg" {
		b.x, b.y = own.length("x", horizontal), own.length("y", vertical)
	}
	for _, g := range [...]geometry{own, {w: w, n: st.used, s: &style{}}} {
		if v, ok := g.maybe("width", horizontal); ok {
			b.w = v
		}
		if v, ok := g.maybe("height", vertical); ok {
			b.h = v
		}
	}
	return b
}

// choose draws the first child of a switch whose conditions hold (SVG 2, 5.7), of
// those that can be drawn: where a foreign object comes first, an editor has left a
// picture of it behind.
func (w *walker) choose(n *node, st *state) {
	var first *node
	for _, c := range n.children {
		if c.name == "" || c.foreign || !conditions(c) {
			continue
		}
		if first == nil {
			first = c
		}
		if elements[c.name] != unsupported {
			w.element(c, st)
			return
		}
	}
	if first != nil {
		w.element(first, st)
	}
}

// conditions judges the conditional attributes for a reader of English that
// knows no extension.
func conditions(n *node) bool {
	if v, ok := n.lookup("requiredExtensions"); ok && strings.TrimSpace(v) != "" {
		return false
	}
	v, ok := n.lookup("systemLanguage")
	if !ok {
		return true
	}
	for tag := range strings.SplitSeq(v, ",") {
		if tag = strings.ToLower(strings.TrimSpace(tag)); tag == "en" || strings.HasPrefix(tag, "en-") {
			return true
		}
	}
	return false
}

// localID returns the id that a reference into the document names, with what a URL
// escapes resolved.
func localID(href string) string {
	id, _ := strings.CutPrefix(href, "#")
	if strings.Contains(id, "%") {
		if plain, err := url.PathUnescape(id); err == nil {
			return plain
		}
	}
	return id
}
