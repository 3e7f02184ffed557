package svg

import "furrow/path"

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
	case okW && okH:
	case okW && ok && view.w > 0:
		height = width * view.h / view.w
	case okH && ok && view.h > 0:
		width = height * view.w / view.h
	case !okW && !okH && ok:
		width, height = view.w, view.h
	default:
		width, height = 0, 0
	}
	page = viewport{width, height}
	if limit := maxMM / mmPerPx; !(width >= 0 && height >= 0 && width < limit && height < limit) {
		w.err = root.fail("the page of %g x %g px cannot be used", width, height)
	}
	return page, page
}

// pageFromDrawing is for documents that name no size.
func (w *walker) pageFromDrawing() {
	w.warn(w.tree.root, path.Placing, "the file names no size; the page is the drawing's own, at 96 px an inch")
	b := w.art.Bounds()
	if b.Empty() {
		return
	}
	w.art.Page = b
	w.art = w.art.Transform(path.Translate(-b.Min.X, -b.Min.Y))
}
