package svg

import (
	"math"
	"slices"
	"strings"

	"furrow/path"
)

// maxTiles bounds the shapes that the tiles of patterns put into a drawing.
const maxTiles = 200_000

// tiles paints a shape with a pattern (SVG 2, 14.3): the content once for every tile
// that the shape reaches, clipped to the shape.
func (w *walker) tiles(n *node, st *state, s path.Shape, i ink) {
	if slices.Contains(w.within, i.pattern) {
		w.warn(n, path.Reference, "a pattern inside itself is left out")
		return
	}
	p, ok := w.pattern(n, st, i.pattern)
	if !ok {
		return
	}
	outside := *st
	outside.clips = appendClip(st.clips, &path.Clip{Shapes: []path.Shape{{Path: s.Path, Rule: s.Rule, Clips: s.Clips}}})
	if i.opacity < 1 {
		outside.group = &path.PaintGroup{In: st.group, Opacity: i.opacity}
	}
	w.within = append(w.within, i.pattern)
	content := w.capture(painted, func() { w.children(p.content, p.state(w, outside.group)) })
	w.within = w.within[:len(w.within)-1]
	places := p.reached(s.Path.Bounds())
	points := 0
	for k := range content {
		points += len(content[k].Path.Points)
	}
	if w.tiled+len(content)*len(places) > maxTiles || w.points+points*len(places) > maxPoints/2 || places == nil {
		b := s.Path.Bounds()
		w.warnAt(n, b, path.Painting, "its pattern has too many tiles and is left out")
		return
	}
	w.tiled += len(content) * len(places)
	w.lays(n, &outside, content, places)
}

// lays emits content once for each place.
func (w *walker) lays(n *node, st *state, content []path.Shape, places []path.Point) {
	for _, d := range places {
		for _, c := range path.Copy(content, path.Translate(d.X, d.Y), st.group) {
			if w.emit(n, st, c); w.err != nil {
				return
			}
		}
	}
}

// pattern is a pattern where it is used.
type pattern struct {
	m       path.Matrix // pattern space to mm
	tile    box         // in pattern space
	inner   path.Matrix // of the content to mm
	content *node
	style   style
	clipped bool
}

func (w *walker) pattern(n *node, st *state, t *node) (p pattern, ok bool) {
	s := w.servant(t)
	bounds := w.boundingBox(n, st)
	inBox := s.attr("patternUnits") != "userSpaceOnUse"
	p.tile = box{
		x: s.length("x", horizontal, inBox, "0"), y: s.length("y", vertical, inBox, "0"),
		w: s.length("width", horizontal, inBox, "0"), h: s.length("height", vertical, inBox, "0"),
	}
	contentInBox := s.attr("patternContentUnits") == "objectBoundingBox"
	if inBox {
		p.tile = box{
			x: bounds.Min.X + p.tile.x*bounds.W(), y: bounds.Min.Y + p.tile.y*bounds.H(),
			w: p.tile.w * bounds.W(), h: p.tile.h * bounds.H(),
		}
	}
	p.m = st.m.Mul(s.transform("patternTransform"))
	if !(p.tile.w > 0 && p.tile.h > 0) || !finite(p.m) || p.m.Det() == 0 {
		return p, false // SVG 2, 14.3: not rendered
	}
	p.inner = p.m.Mul(path.Translate(p.tile.x, p.tile.y))
	if view, ok := parseViewBox(s.attr("viewBox")); ok {
		if view.w <= 0 || view.h <= 0 {
			return p, false
		}
		p.inner = p.m.Mul(fit(view, p.tile, s.attr("preserveAspectRatio")))
	} else if contentInBox {
		p.inner = p.inner.Mul(path.Scale(bounds.W(), bounds.H()))
	}
	for _, c := range s.chain {
		if p.content = c; slices.ContainsFunc(c.children, func(k *node) bool { return k.name != "" }) {
			break
		}
	}
	p.style = w.cascade(p.content, w.ancestorStyle(p.content))
	o := strings.TrimSpace(s.style.overflow)
	p.clipped = o == "" || o == "hidden" || o == "scroll"
	return p, true
}

// state is that of the content of the tile where the pattern begins.
func (p *pattern) state(w *walker, group *path.PaintGroup) *state {
	st := &state{m: p.inner, style: p.style, opacity: 1, group: group}
	if p.clipped {
		st.clips = []*path.Clip{frameClip(p.tile, p.m)}
	}
	return st
}

// reached returns how far the tiles that touch bounds lie from the first, mm; nil
// where they are too many.
func (p *pattern) reached(bounds path.Rect) []path.Point {
	back, ok := p.m.Inverse()
	if !ok {
		return nil
	}
	r := path.EmptyRect()
	for _, c := range [...]path.Point{bounds.Min, {X: bounds.Max.X, Y: bounds.Min.Y}, bounds.Max,
		{X: bounds.Min.X, Y: bounds.Max.Y}} {
		r = r.Include(back.Apply(c))
	}
	t := &p.tile
	tiles := func(lo, hi, first, size float64) (float64, float64) { // one that is only touched is none
		return math.Floor((lo-first)/size + 1e-9), math.Ceil((hi-first)/size-1e-9) - 1
	}
	x0, x1 := tiles(r.Min.X, r.Max.X, t.x, t.w)
	y0, y1 := tiles(r.Min.Y, r.Max.Y, t.y, t.h)
	if !((x1-x0+1)*(y1-y0+1) <= maxTiles) {
		return nil
	}
	places := []path.Point{}
	for y := y0; y <= y1; y++ {
		for x := x0; x <= x1; x++ {
			places = append(places, p.m.ApplyVector(path.Point{X: x * t.w, Y: y * t.h}))
		}
	}
	return places
}
