package svg

import (
	"strings"

	"furrow/path"
)

const motionMessage = "it is animated, and drawn as it stands without that"

// motions finds the elements that change in time (SVG Animations 2, 2), and scripts. A
// file is drawn as it stands without either.
func (w *walker) motions() {
	w.moving = map[*node]bool{}
	for _, n := range w.tree.nodes {
		switch {
		case n.foreign:
		case n.name == "script":
			w.warn(n, path.Motion, "scripts are not run: what they draw or change is not seen")
		case elements[n.name] == moving && starts(n):
			t := n.parent
			if href := n.href(); href != "" {
				t = w.tree.ids[localID(href)]
			}
			switch {
			case t == nil:
			case elements[t.name].draws():
				w.moving[t] = true // told where it is drawn
			default:
				w.warn(t, path.Motion, motionMessage)
			}
		}
	}
}

// tellMotion tells where an element moves from, whose transform st does not hold yet:
// it may be hidden until then.
func (w *walker) tellMotion(n *node, st *state) {
	at := *st
	at.m = at.m.Mul(w.transform(n, &at.style))
	w.warnDrawn(n, &at, path.Motion, motionMessage)
}

// starts reports an animation that begins by itself, not where a person does something
// or another one ends.
func starts(n *node) bool {
	begin, ok := n.lookup("begin")
	if !ok {
		return true
	}
	for one := range strings.SplitSeq(begin, ";") {
		if one = strings.TrimSpace(one); one != "" && strings.Trim(one, "+-0123456789.:hmins \t") == "" {
			return true
		}
	}
	return false
}
