package svg

import (
	"strings"

	"furrow/path"
)

// page returns the size of the page and the viewport of percentages on it,
// in px. The page is empty when the document does not say.
func (w *walker) page(root *node, s *style) (page, inner viewport) {
	g := geometry{w: w, n: root, s: s}
	view, ok := parseViewBox(root.attr("viewBox"))
	if ok {
		w.view = viewport{view.w, view.h}
	}
	width, okW := g.maybe("width", horizontal)
	height, okH := g.maybe("height", vertical)
	switch {
	case okW && okH, !(view.w > 0 && view.h > 0):
	case okW:
		height = width * view.h / view.w
	case okH:
		width = height * view.w / view.h
	default:
		width, height = view.w, view.h
	}
	w.sized = g.names("width") || g.names("height")
	page = viewport{width, height}
	if limit := maxMM / mmPerPx; !(width >= 0 && height >= 0 && width < limit && height < limit) {
		w.err = root.fail("the page of %.6g x %.6g px cannot be used", width, height)
	}
	return page, page
}

// names tells a length from a share of whatever shows the file, and from none.
func (g geometry) names(size string) bool {
	text, ok := g.value(size)
	return ok && text != "auto" && !strings.HasSuffix(strings.TrimSpace(text), "%")
}

// pageFromDrawing returns the box of what the document draws, mm, for one that names no
// size: what is drawn to measure it is thrown away, since places and clips are made
// where they come to lie.
func (w *walker) pageFromDrawing(st state) path.Rect {
	probe := *w
	probe.warnings = warnings{}
	probe.element(w.tree.root, &st)
	w.err = probe.err
	return probe.art.Bounds()
}
