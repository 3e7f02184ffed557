package svg

import (
	"strings"

	"furrow/path"
)

// server judges a gradient by its mean colour.
func (w *walker) server(n *node, st *state, p paint) (path.Paint, bool) {
	t := w.tree.ids[p.server]
	if t != nil {
		switch t.name {
		case "linearGradient", "radialGradient":
			return w.gradient(n, t)
		case "pattern":
			return w.pattern(n, t)
		}
	}
	if p.fallback != nil {
		return w.resolvePaint(n, st, *p.fallback)
	}
	w.warn(n, "paint %q is not in the file; not painted", clip(p.server))
	return path.Paint{}, false
}

// gradient returns the mean over the stops, each weighed by the stretch of the
// ramp that it reaches.
func (w *walker) gradient(n, t *node) (path.Paint, bool) {
	stops := w.stops(t)
	if len(stops) == 0 {
		return path.Paint{}, false // SVG 2, 14.2: as none
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
	if last > 0 {
		w.warn(n, "its gradient is marked as one mean colour")
	}
	return mean(sum, weight), true
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

// pattern paints black in place of a pattern.
func (w *walker) pattern(n, t *node) (path.Paint, bool) {
	w.warn(n, "patterns are not supported; marked as solid black")
	return path.Paint{Opacity: 1}, true
}
