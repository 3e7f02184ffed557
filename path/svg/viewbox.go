package svg

import (
	"strings"

	"furrow/path"
)

// box is a rectangle in user units, Y down.
type box struct{ x, y, w, h float64 }

// parseViewBox reads four numbers separated by white space or commas; a size
// below zero makes it invalid.
func parseViewBox(s string) (box, bool) {
	v, ok := numberList(s, 5)
	if !ok || len(v) != 4 || v[2] < 0 || v[3] < 0 {
		return box{}, false
	}
	return box{x: v[0], y: v[1], w: v[2], h: v[3]}, true
}

// fit returns the map of a view box into the box at, by a preserveAspectRatio
// (SVG 2, 8.2), and whether what overhangs is cut off.
func fit(view, at box, preserve string) path.Matrix {
	sx, sy := at.w/view.w, at.h/view.h
	align, mode := "xMidYMid", "meet"
	words := strings.Fields(strings.TrimPrefix(strings.TrimSpace(preserve), "defer"))
	if len(words) > 0 && (words[0] == "none" || alignments[words[0]]) {
		align = words[0]
		if len(words) > 1 {
			mode = words[1]
		}
	}
	if align != "none" {
		if (sx < sy) == (mode != "slice") {
			sy = sx
		} else {
			sx = sy
		}
	}
	tx, ty := at.x-view.x*sx, at.y-view.y*sy
	if align != "none" {
		tx += (at.w - view.w*sx) * fraction(align[1:4])
		ty += (at.h - view.h*sy) * fraction(align[5:8])
	}
	return path.Matrix{A: sx, D: sy, E: tx, F: ty}
}

var alignments = map[string]bool{
	"xMinYMin": true, "xMidYMin": true, "xMaxYMin": true,
	"xMinYMid": true, "xMidYMid": true, "xMaxYMid": true,
	"xMinYMax": true, "xMidYMax": true, "xMaxYMax": true,
}

func fraction(word string) float64 {
	switch word {
	case "Min":
		return 0
	case "Max":
		return 1
	}
	return 0.5
}

// viewportBox returns where an svg or symbol stands; the root stands on the
// page.
func (w *walker) viewportBox(n *node, st *state) box {
	if st.used != nil {
		return w.sizeInUse(n, st)
	}
	if n == w.tree.root {
		return box{x: 0, w: w.view.w, h: w.view.h}
	}
	g := geometry{w: w, n: n, s: &st.style}
	b := box{x: g.length("x", horizontal), y: g.length("y", vertical), w: w.view.w, h: w.view.h}
	if v, ok := g.maybe("width", horizontal); ok {
		b.w = v
	}
	if v, ok := g.maybe("height", vertical); ok {
		b.h = v
	}
	return b
}

// nested draws the children of an svg or symbol in the viewport at.
func (w *walker) nested(n *node, st *state, at box) {
	outer := w.view
	defer func() { w.view = outer }()
	sized := at.w > 0 && at.h > 0
	if !sized && n != w.tree.root || at.w < 0 || at.h < 0 {
		return
	}
	frame := st.m
	st.used = nil
	view, ok := parseViewBox(n.attr("viewBox"))
	if ok && (view.w == 0 || view.h == 0) {
		if n == w.tree.root { // a drawing inside another may be hidden so
			w.warn(n, path.BadValue, "nothing of it shows: its viewBox has no size: %q", clip(n.attr("viewBox")))
		}
		return // SVG 2, 8.2: disables rendering
	}
	if ok && sized {
		st.m = st.m.Mul(fit(view, at, n.attr("preserveAspectRatio")))
		w.view = viewport{view.w, view.h}
	} else {
		if text := n.attr("viewBox"); text != "" && !ok {
			w.warn(n, path.BadValue, "viewBox is ignored: %q", clip(text))
		}
		st.m = st.m.Mul(path.Translate(at.x, at.y))
		w.view = viewport{at.w, at.h}
	}
	if o := st.style.overflow; sized && (o == "" || o == "hidden" || o == "scroll") {
		st.clips = appendClip(st.clips, frameClip(at, frame))
	}
	w.children(n, st)
}

// frameClip lets through what is inside a viewport.
func frameClip(at box, m path.Matrix) *path.Clip {
	p := roundRect(at.x, at.y, at.w, at.h, 0, 0).Transform(m)
	return &path.Clip{Shapes: []path.Shape{{Path: p}}}
}

// appendClip never shares the array of the element round it.
func appendClip(clips []*path.Clip, c *path.Clip) []*path.Clip {
	return append(clips[:len(clips):len(clips)], c)
}
