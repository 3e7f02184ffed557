package svg

import (
	"strings"

	"furrow/path"
	"furrow/path/pick"
)

// captureMode says what shape emits.
type captureMode uint8

const (
	painted  captureMode = iota // what is painted
	clipping                    // the geometry of shapes, by clip-rule
	measured                    // the geometry of shapes, for a bounding box
)

// capture runs draw and returns the shapes that it emits, which do not become
// part of the drawing.
func (w *walker) capture(mode captureMode, draw func()) []path.Shape {
	shapes, oldMode, picker := w.art.Shapes, w.mode, w.pick
	w.art.Shapes, w.mode, w.pick = nil, mode, pick.Picker[*node]{}
	draw()
	captured := w.art.Shapes
	w.art.Shapes, w.mode, w.pick = shapes, oldMode, picker
	return captured
}

// clipKey names a clip path as used in one coordinate system.
type clipKey struct {
	n        *node
	m, units path.Matrix
}

// clipped returns the clips of st with that of the element n added.
func (w *walker) clipped(n *node, st *state) []*path.Clip {
	if w.mode == measured {
		return nil // SVG 2, 8.10: clipping does not change the bounding box
	}
	id, _, ok := parseURL(st.style.clipPath)
	if !ok {
		if c, ok := w.shapeClip(n, st, st.style.clipPath); ok {
			return appendClip(st.clips, c)
		}
		w.warnDrawn(n, st, path.BadValue, "clip-path is ignored: %q", clip(st.style.clipPath))
		return st.clips
	}
	target := w.tree.ids[id]
	if target == nil || target.name != "clipPath" {
		w.warnDrawn(n, st, path.Reference, "clip-path refers to %q, which is no clipPath of the file; ignored",
			clip(id))
		return st.clips
	}
	units := path.Identity
	if strings.TrimSpace(target.attr("clipPathUnits")) == "objectBoundingBox" {
		units = boxMatrix(w.boundingBox(n, st)) // of a line, a map in which nothing is drawn
	}
	out := st.clips
	for _, c := range w.clipPath(target, st.m, units) {
		out = appendClip(out, c)
	}
	return out
}

// clipPath returns what a clipPath element lets through: one clip, and that of
// its own clip-path if it has one. Its transform is of the user space, with the box
// that its units are of inside it, as browsers have it; librsvg turns them round.
func (w *walker) clipPath(n *node, m, units path.Matrix) []*path.Clip {
	key := clipKey{n, m, units}
	if made, ok := w.clips[key]; ok {
		return made // nil while it is being made: a cycle lets everything through
	}
	if w.clips == nil {
		w.clips = map[clipKey][]*path.Clip{}
	}
	w.clips[key] = nil
	st := state{m: m, style: initial, opacity: 1}
	st.style = w.cascade(n, w.ancestorStyle(n))
	st.m = st.m.Mul(w.transform(n, &st.style)).Mul(units)
	c := &path.Clip{}
	c.Shapes = w.capture(clipping, func() { w.clipChildren(n, &st) })
	made := []*path.Clip{c}
	if p := st.style.clipPath; p != "" && p != "none" {
		made = append(w.clipped(n, &st), c)
	}
	w.clips[key] = made
	return made
}

// clipChildren draws the children that a clipPath may have; others are ignored
// (CSS Masking 1, 5.1).
func (w *walker) clipChildren(n *node, st *state) {
	for _, c := range n.children {
		kind := elements[c.name]
		if c.name == "use" {
			if t := w.target(c); t != nil && elements[t.name] != shapeElement && elements[t.name] != textElement {
				continue
			}
		}
		if kind == shapeElement || kind == textElement || kind == useElement {
			w.element(c, st)
		}
	}
}

// ancestorStyle returns the style round an element that is not drawn where it
// stands.
func (w *walker) ancestorStyle(n *node) *style {
	if n.parent == nil {
		return &initial
	}
	s := w.cascade(n.parent, w.ancestorStyle(n.parent))
	return &s
}

// boundingBox returns the box round the fill geometry of n, in its own user
// space (SVG 2, 8.10).
func (w *walker) boundingBox(n *node, st *state) path.Rect {
	if w.boxes.n != n {
		w.boxes = lastBox{n, w.measureBox(n, st)}
	}
	return w.boxes.box
}

// lastBox is the bounding box asked for last: the letters of a text each ask for
// the same.
type lastBox struct {
	n   *node
	box path.Rect
}

func (w *walker) measureBox(n *node, st *state) path.Rect {
	inner := *st
	inner.m, inner.clips, inner.group = path.Identity, nil, nil
	inner.style.clipPath = ""
	shapes := w.capture(measured, func() { w.draw(n, &inner, elements[n.name]) })
	r := path.EmptyRect()
	for _, s := range shapes {
		r = r.Union(tightBounds(s.Path))
	}
	return r
}

// tightBounds returns the box round a path itself, not its control points, to
// one part in ten thousand.
func tightBounds(p path.Path) path.Rect {
	b := p.Bounds()
	r := path.EmptyRect()
	p.Flatten(max(b.W(), b.H())*1e-5+1e-12, func(pts []path.Point, _ bool) {
		r = r.Union(path.BoundsOf(pts))
	})
	return r
}
