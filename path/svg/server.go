package svg

import (
	"math"
	"strings"

	"furrow/path"
)

// server judges a gradient or pattern by its mean colour.
func (w *walker) server(n *node, st *state, p paint) (path.Paint, bool) {
	t := w.tree.ids[p.server]
	if t != nil {
		switch t.name {
		case "linearGradient", "radialGradient":
			return w.gradient(n, t)
		case "pattern":
			return w.pattern(n, st, t)
		}
	}
	if p.fallback != nil {
		return w.resolvePaint(n, st, *p.fallback)
	}
	w.warn(n, "paint %q is not in the file; not painted", clip(p.server))
	return path.Paint{}, false
}

// ramp is the mean of a gradient.
type ramp struct {
	mean  path.Paint
	stops int
}

// gradient returns the mean colour of a gradient, reckoned once.
func (w *walker) gradient(n, t *node) (path.Paint, bool) {
	r, ok := w.ramps[t]
	if !ok {
		r = newRamp(w.stops(t))
		if w.ramps == nil {
			w.ramps = map[*node]ramp{}
		}
		w.ramps[t] = r
	}
	if r.stops > 1 {
		w.warn(n, "its gradient is marked as one mean colour")
	}
	return r.mean, r.stops > 0 // SVG 2, 14.2: without stops as none
}

// newRamp takes the mean over the stops, each weighed by the stretch of the ramp
// that it reaches.
func newRamp(stops []stop) ramp {
	if len(stops) == 0 {
		return ramp{}
	}
	var sum path.Paint
	var weight float64
	add := func(c path.Paint, k float64) {
		sum.R, sum.G, sum.B = sum.R+c.R*c.Opacity*k, sum.G+c.G*c.Opacity*k, sum.B+c.B*c.Opacity*k
		sum.Opacity, weight = sum.Opacity+c.Opacity*k, weight+k
	}
	last := len(stops) - 1
	add(stops[0].paint, stops[0].offset)
	add(stops[last].paint, 1-stops[last].offset)
	for i := range last {
		half := (stops[i+1].offset - stops[i].offset) / 2
		add(stops[i].paint, half)
		add(stops[i+1].paint, half)
	}
	return ramp{mean(sum, weight), len(stops)}
}

// mean divides a sum of colours weighed by their opacity.
func mean(sum path.Paint, weight float64) path.Paint {
	if !(sum.Opacity > 0) || !(weight > 0) {
		return path.Paint{}
	}
	return path.Paint{
		R: sum.R / sum.Opacity, G: sum.G / sum.Opacity, B: sum.B / sum.Opacity,
		Opacity: sum.Opacity / weight,
	}
}

type stop struct {
	paint  path.Paint
	offset float64
}

// stops returns those of a gradient, or of the one that it refers to.
func (w *walker) stops(t *node) []stop {
	for range maxUseDepth {
		parent := w.ancestorStyle(t)
		own := w.cascade(t, parent)
		var list []stop
		for _, c := range t.children {
			if c.name == "stop" {
				list = append(list, w.stop(c, &own, list))
			}
		}
		if len(list) > 0 {
			return list
		}
		id, _ := strings.CutPrefix(t.href(), "#")
		if t = w.tree.ids[id]; t == nil {
			return nil
		}
	}
	return nil
}

// stop reads one; an offset below that of the one before is raised to it.
func (w *walker) stop(c *node, parent *style, before []stop) stop {
	s := w.cascade(c, parent)
	offset, _ := asOpacity(nil, strings.TrimSpace(c.attr("offset"))) // a number or a percentage, clamped
	if n := len(before); n > 0 {
		offset = max(offset, before[n-1].offset)
	}
	p := s.stopColour.colour
	if s.stopColour.kind == paintCurrent {
		p = s.colour
	}
	p.Opacity *= s.stopOpacity
	return stop{p, offset}
}

// pattern returns the mean over the tile, each shape in it covering a part of
// what lies below in proportion to the area of its outline.
func (w *walker) pattern(n *node, st *state, t *node) (path.Paint, bool) {
	if w.inPattern {
		return path.Paint{}, false // a pattern inside its own content
	}
	w.warn(n, "its pattern is marked as one mean colour")
	content := t
	for range maxUseDepth { // attributes and content come from the pattern referred to
		id, _ := strings.CutPrefix(content.href(), "#")
		if next := w.tree.ids[id]; content.FirstChild == nil && next != nil && next.name == "pattern" {
			content = next
		}
	}
	tile := w.tileArea(n, st, content)
	if !(tile > 0) {
		return path.Paint{}, false
	}
	inner := &state{m: path.Identity, style: w.cascade(content, w.ancestorStyle(content)), opacity: 1}
	w.inPattern = true
	shapes := w.capture(painted, func() { w.children(content, inner) })
	w.inPattern = false
	var sum path.Paint
	for _, s := range shapes {
		share := min(1, area(s.Path)/tile)
		a := share * s.Paint.Opacity
		under := sum.Opacity * (1 - a)
		total := a + under
		if total > 0 {
			sum.R = (s.Paint.R*a + sum.R*under) / total
			sum.G = (s.Paint.G*a + sum.G*under) / total
			sum.B = (s.Paint.B*a + sum.B*under) / total
			sum.Opacity = total
		}
	}
	return sum, sum.Opacity > 0
}

// tileArea returns the area of a pattern's tile in the units of its content.
func (w *walker) tileArea(n *node, st *state, t *node) float64 {
	g := geometry{w: w, n: t, s: &st.style}
	if view, ok := parseViewBox(t.attr("viewBox")); ok {
		return view.w * view.h
	}
	if t.attr("patternUnits") == "userSpaceOnUse" {
		return g.length("width", horizontal) * g.length("height", vertical)
	}
	b := w.boundingBox(n, st)
	outer := w.view
	w.view = viewport{1, 1}
	defer func() { w.view = outer }()
	return g.length("width", horizontal) * b.W() * g.length("height", vertical) * b.H()
}

// area returns the area inside an outline, where it does not cross itself.
func area(p path.Path) float64 {
	b := p.Bounds()
	sum := 0.0
	p.Flatten(max(b.W(), b.H())/1000+1e-9, func(pts []path.Point, _ bool) {
		for i, q := range pts {
			sum += q.Cross(pts[(i+1)%len(pts)]) / 2
		}
	})
	return math.Abs(sum)
}
