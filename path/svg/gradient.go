package svg

import (
	"strings"

	"furrow/path"
)

// gradient resolves a gradient where an element uses it (SVG 2, 14.2). Without stops
// it is as none, with one, or where it has no extent, a colour.
func (w *walker) gradient(n *node, st *state, t *node) (ink, bool) {
	stops := w.stops(t)
	if len(stops) == 0 {
		return ink{}, true
	}
	last := ink{paint: stops[len(stops)-1].Paint}
	if len(stops) == 1 {
		return last, true
	}
	s := w.servant(t)
	box := s.attr("gradientUnits") != "userSpaceOnUse"
	m := st.m
	if box {
		b := w.boundingBox(n, st)
		if b.Empty() || b.W() == 0 || b.H() == 0 {
			return ink{}, false // SVG 2, 8.11: the fallback, if there is one
		}
		m = m.Mul(boxMatrix(b))
	}
	m = m.Mul(s.transform("gradientTransform"))
	g := &path.Gradient{Stops: stops, Spread: spreads[strings.TrimSpace(s.attr("spreadMethod"))]}
	var own path.Matrix
	if t.name == "linearGradient" {
		own = s.linear(box)
	} else {
		own = s.radial(g, box)
	}
	if own.Det() == 0 {
		return last, true
	}
	unit, ok := m.Mul(own).Inverse()
	if !ok || !finite(unit) {
		return ink{}, true
	}
	g.Unit = unit
	return ink{paint: mean(stops), gradient: g}, true
}

var spreads = map[string]path.Spread{"reflect": path.Reflect, "repeat": path.Repeat}

// boxMatrix maps the unit square to a box.
func boxMatrix(b path.Rect) path.Matrix {
	return path.Matrix{A: b.W(), D: b.H(), E: b.Min.X, F: b.Min.Y}
}

// linear maps 0..1 on X to the vector of a linear gradient.
func (s *servant) linear(box bool) path.Matrix {
	x, y := s.length("x1", horizontal, box, "0%"), s.length("y1", vertical, box, "0%")
	dx, dy := s.length("x2", horizontal, box, "100%")-x, s.length("y2", vertical, box, "0%")-y
	return path.Matrix{A: dx, B: dy, C: -dy, D: dx, E: x, F: y}
}

// farthestFocus is how near the focus may come to the circle, of its radius. Beyond
// it, as SVG 1.1 has it, the focus is moved onto the circle.
const farthestFocus = 0.999

// radial maps the unit circle to that of a radial gradient, and sets its focus.
func (s *servant) radial(g *path.Gradient, box bool) path.Matrix {
	g.Radial = true
	c := path.Point{X: s.length("cx", horizontal, box, "50%"), Y: s.length("cy", vertical, box, "50%")}
	r, start := s.length("r", diagonal, box, "50%"), s.length("fr", diagonal, box, "0%")
	if !(r > 0) {
		return path.Matrix{}
	}
	f := c
	if s.attr("fx") != "" {
		f.X = s.length("fx", horizontal, box, "50%")
	}
	if s.attr("fy") != "" {
		f.Y = s.length("fy", vertical, box, "50%")
	}
	g.Focus, g.Start = f.Sub(c).Mul(1/r), min(max(start/r, 0), farthestFocus)
	if room := farthestFocus - g.Start; g.Focus.Len() > room {
		g.Focus = g.Focus.Mul(room / g.Focus.Len())
	}
	return path.Matrix{A: r, D: r, E: c.X, F: c.Y}
}

// mean takes the mean over the stops, each weighed by the stretch of the gradient
// that it reaches, and by its opacity.
func mean(stops []path.Stop) path.Paint {
	var sum path.Paint
	add := func(c path.Paint, k float64) {
		sum.R, sum.G, sum.B = sum.R+c.R*c.Opacity*k, sum.G+c.G*c.Opacity*k, sum.B+c.B*c.Opacity*k
		sum.Opacity += c.Opacity * k
	}
	last := len(stops) - 1
	add(stops[0].Paint, stops[0].Offset)
	add(stops[last].Paint, 1-stops[last].Offset)
	for i := range last {
		half := (stops[i+1].Offset - stops[i].Offset) / 2
		add(stops[i].Paint, half)
		add(stops[i+1].Paint, half)
	}
	if !(sum.Opacity > 0) {
		return path.Paint{}
	}
	return path.Paint{R: sum.R / sum.Opacity, G: sum.G / sum.Opacity, B: sum.B / sum.Opacity, Opacity: sum.Opacity}
}

// stops returns those of a gradient, or of the one that it refers to, read once.
func (w *walker) stops(t *node) []path.Stop {
	if list, ok := w.ramps[t]; ok {
		return list
	}
	var list []path.Stop
	for _, t := range w.chain(t) {
		own := w.cascade(t, w.ancestorStyle(t))
		for _, c := range t.children {
			if c.name == "stop" {
				list = append(list, w.stop(c, &own, list))
			}
		}
		if len(list) > 0 {
			break
		}
	}
	if w.ramps == nil {
		w.ramps = map[*node][]path.Stop{}
	}
	w.ramps[t] = list
	return list
}

// stop reads one; an offset below that of the one before is raised to it.
func (w *walker) stop(c *node, parent *style, before []path.Stop) path.Stop {
	s := w.cascade(c, parent)
	offset, _ := asOpacity(nil, strings.TrimSpace(c.attr("offset"))) // a number or a percentage, clamped
	if n := len(before); n > 0 {
		offset = max(offset, before[n-1].Offset)
	}
	p := s.stopColour.colour
	if s.stopColour.kind == paintCurrent {
		p = s.colour
	}
	return path.Stop{Offset: offset, Paint: p.Fade(s.stopOpacity)}
}

// solid is a solidColor element.
func (w *walker) solid(t *node) ink {
	s := w.cascade(t, w.ancestorStyle(t))
	return ink{paint: s.stopColour.colour.Fade(s.stopOpacity)}
}
