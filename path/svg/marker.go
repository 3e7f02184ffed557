package svg

import (
	"math"
	"strings"

	"furrow/path"
)

// vertex is where a marker can stand, with the directions of the path before
// and behind it, zero where there are none.
type vertex struct{ at, in, out path.Point }

// markers draws the markers of a shape (SVG 2, 13.7).
func (w *walker) markers(n *node, st *state, p path.Path) {
	s := &st.style
	if s.markerStart == "" && s.markerMid == "" && s.markerEnd == "" {
		return
	}
	switch n.name {
	case "path", "line", "polyline", "polygon":
	default:
		return
	}
	vs := vertices(p)
	for i, v := range vs {
		id := s.markerMid
		switch i {
		case 0:
			id = s.markerStart
		case len(vs) - 1:
			id = s.markerEnd
		}
		if id != "" {
			w.marker(n, st, id, v, i == 0)
		}
		if w.err != nil {
			return
		}
	}
}

// vertices lists the ends of all segments.
func vertices(p path.Path) []vertex {
	var vs []vertex
	var at, start path.Point
	first, i := 0, 0
	add := func(to, in, out path.Point) {
		vs[len(vs)-1].out = in
		vs = append(vs, vertex{at: to, in: out})
		at = to
	}
	for _, v := range p.Verbs {
		pts := p.Points[i : i+v.NumPoints()]
		i += len(pts)
		switch v {
		case path.MoveTo:
			at, start, first = pts[0], pts[0], len(vs)
			vs = append(vs, vertex{at: at})
		case path.LineTo:
			add(pts[0], pts[0].Sub(at), pts[0].Sub(at))
		case path.Close:
			d := start.Sub(at)
			add(start, d, d)
			vs[len(vs)-1].out, vs[first].in = vs[first].out, d
		default:
			c := curve{v, at, pts}
			in, out := c.tangents()
			add(c.end(), in, out)
		}
	}
	return vs
}

// angle returns the direction of a marker in degrees, clockwise on screen: the
// bisector of the two directions (SVG 2, 13.7.4).
func (v vertex) angle() float64 {
	unit := func(d path.Point) path.Point {
		if l := d.Len(); l > 0 {
			return d.Mul(1 / l)
		}
		return path.Point{}
	}
	d := unit(v.in).Add(unit(v.out))
	return math.Atan2(d.Y, d.X) * 180 / math.Pi
}

// marker draws one marker at a vertex.
func (w *walker) marker(n *node, outer *state, id string, v vertex, atStart bool) {
	t := w.tree.ids[id]
	if t == nil || t.name != "marker" {
		return // SVG 2, 13.7: as none
	}
	if !w.visit(n, "markers multiply to more than %d elements") {
		return
	}
	if len(w.uses) >= maxUseDepth || w.cyclic(n, t) {
		w.warn(t, path.Reference, "a marker inside itself is left out")
		return
	}
	st := *outer
	st.used = nil
	st.style = w.cascade(t, w.ancestorStyle(t))
	if st.style.none {
		return
	}
	w.contexts = append(w.contexts, context{n, outer})
	w.by(t, func() {
		w.grouped(t, &st)
		w.placeMarker(t, &st, outer, v, atStart)
	})
	w.contexts = w.contexts[:len(w.contexts)-1]
}

func (w *walker) placeMarker(t *node, st, outer *state, v vertex, atStart bool) {
	angle, _ := parseAngle(t.attr("orient"))
	switch t.attr("orient") {
	case "auto":
		angle = v.angle()
	case "auto-start-reverse":
		if angle = v.angle(); atStart {
			angle += 180
		}
	}
	m := path.Translate(v.at.X, v.at.Y).Mul(path.Rotate(angle))
	if t.attr("markerUnits") != "userSpaceOnUse" {
		k := outer.style.width.px(w.metrics(&outer.style), w.view, diagonal)
		m = m.Mul(path.Scale(k, k))
	}
	g := geometry{w: w, n: t, s: &st.style}
	size := box{w: 3, h: 3}
	if v, ok := g.maybe("markerWidth", horizontal); ok {
		size.w = v
	}
	if v, ok := g.maybe("markerHeight", vertical); ok {
		size.h = v
	}
	if size.w <= 0 || size.h <= 0 {
		return
	}
	fitted := path.Identity
	view, ok := parseViewBox(t.attr("viewBox"))
	if ok && view.w > 0 && view.h > 0 {
		fitted = fit(view, size, t.attr("preserveAspectRatio"))
	}
	if view.w <= 0 || view.h <= 0 {
		view = size
	}
	ref := fitted.Apply(path.Point{
		X: g.reference("refX", horizontal, view.x, view.w), Y: g.reference("refY", vertical, view.y, view.h),
	})
	st.m = outer.m.Mul(m).Mul(path.Translate(-ref.X, -ref.Y))
	if o := st.style.overflow; o == "" || o == "hidden" || o == "scroll" {
		st.clips = appendClip(st.clips, frameClip(size, st.m))
	}
	st.m = st.m.Mul(fitted)
	if finite(st.m) && st.m.Det() != 0 {
		w.children(t, st)
	}
}

// reference reads refX or refY, a length or the name of a side of the marker (SVG 2,
// 13.7.3), which reaches from low on; a share is one of its size.
func (g *geometry) reference(name string, d direction, low, size float64) float64 {
	text := strings.TrimSpace(g.n.attr(name))
	switch text {
	case "left", "top":
		return low
	case "center":
		return low + size/2
	case "right", "bottom":
		return low + size
	}
	if l, ok := parseLength(text); ok && l.unit == "%" {
		return l.v / 100 * size
	}
	return g.length(name, d)
}
