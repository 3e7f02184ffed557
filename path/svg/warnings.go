package svg

import (
	"fmt"

	"furrow/path"
)

// warnings is a list without repetition and with an end.
type warnings struct {
	list []path.Warning
	seen map[told]int // where in the list
}

// told is what makes a warning another.
type told struct {
	message, element string
	line             int
}

func (w *warnings) add(one path.Warning) {
	if w.seen == nil {
		w.seen = map[told]int{}
	}
	key := told{one.Message, one.Element, one.Line}
	if i, ok := w.seen[key]; ok {
		w.list[i].At = both(w.list[i].At, one.At)
		return
	}
	if len(w.list) > maxWarnings {
		return
	}
	if len(w.list) == maxWarnings {
		one = path.Warning{Message: "more warnings are not kept"}
	}
	w.seen[key] = len(w.list)
	w.list = append(w.list, one)
}

// both joins two places, either of which may not be known.
func both(a, b path.Rect) path.Rect {
	switch {
	case a == path.Rect{}:
		return b
	case b == path.Rect{}:
		return a
	}
	return a.Union(b)
}

// warn tells of an element, of which it is not known where it shows.
func (w *walker) warn(n *node, kind path.Kind, format string, args ...any) {
	w.warnAt(n, path.Rect{}, kind, format, args...)
}

// warnAt tells of what shows in a box on the page, mm. What would lie off the page is
// not marked in any case, and what is only measured is told where it is drawn.
func (w *walker) warnAt(n *node, at path.Rect, kind path.Kind, format string, args ...any) {
	if w.mode == measured {
		return
	}
	known := len(w.within) == 0 && !at.Empty() && at.W()+at.H() > 0
	if page := w.art.Page; known && page.W() > 0 && page.H() > 0 {
		if at = at.Intersect(page); at.Empty() {
			return
		}
	}
	if !known {
		at = path.Rect{}
	}
	n = w.host(n)
	w.warnings.add(path.Warning{
		Message: fmt.Sprintf(format, args...), Kind: kind, Element: n.label(), Line: n.line, At: at,
	})
}

// warnDrawn tells of an element that is being drawn: where it paints.
func (w *walker) warnDrawn(n *node, st *state, kind path.Kind, format string, args ...any) {
	if w.mode != measured {
		w.warnAt(n, w.paintedBox(n, st), kind, format, args...)
	}
}

// paintedBox returns the box round an element's geometry, on the page.
func (w *walker) paintedBox(n *node, st *state) path.Rect {
	if len(w.within) > 0 || len(w.warnings.list) >= maxWarnings {
		return path.Rect{}
	}
	return boxIn(st.m, w.boundingBox(n, st))
}

// boxIn returns the box round a box that m maps.
func boxIn(m path.Matrix, b path.Rect) path.Rect {
	r := path.EmptyRect()
	if b.Empty() {
		return r
	}
	for _, c := range [...]path.Point{b.Min, {X: b.Max.X, Y: b.Min.Y}, b.Max, {X: b.Min.X, Y: b.Max.Y}} {
		r = r.Include(m.Apply(c))
	}
	return r
}
