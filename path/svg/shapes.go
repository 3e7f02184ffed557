package svg

import (
	"errors"
	"math"
	"strings"

	"furrow/path"
)

// outline returns the path of a shape element in user units (SVG 2, 9 and 10).
// An empty path is an element that draws nothing.
func (w *walker) outline(n *node, s *style) path.Path {
	g := geometry{w: w, n: n, s: s}
	var p path.Path
	switch n.name {
	case "path":
		p = g.path()
	case "rect":
		p = g.rect()
	case "circle":
		if r := g.length("r", diagonal); r > 0 {
			p = ellipse(g.length("cx", horizontal), g.length("cy", vertical), r, r)
		}
	case "ellipse":
		p = g.ellipse()
	case "line":
		p.MoveTo(path.Point{X: g.length("x1", horizontal), Y: g.length("y1", vertical)})
		p.LineTo(path.Point{X: g.length("x2", horizontal), Y: g.length("y2", vertical)})
	case "polyline", "polygon":
		p = g.points(n.name == "polygon")
	}
	return p
}

// geometry reads the attributes of one shape.
type geometry struct {
	w *walker
	n *node
	s *style
}

// value returns an attribute, or the CSS property of the same name, which wins.
func (g geometry) value(name string) (string, bool) {
	if v, ok := g.s.geometry[name]; ok {
		return strings.TrimSpace(v), true
	}
	v, ok := g.n.lookup(name)
	return strings.TrimSpace(v), ok
}

// length returns a length in user units; 0 when it is missing or wrong.
func (g geometry) length(name string, d direction) float64 {
	v, _ := g.maybe(name, d)
	return v
}

func (g geometry) maybe(name string, d direction) (float64, bool) {
	text, ok := g.value(name)
	if !ok || text == "auto" {
		return 0, false
	}
	l, ok := parseLength(text)
	px := l.px(g.w.metrics(g.s), g.w.view, d)
	if !ok || !(math.Abs(px) < maxUser) {
		g.w.warn(g.n, path.BadValue, "%s is ignored: %q", name, clip(text))
		return 0, false
	}
	return px, true
}

func (g geometry) path() path.Path {
	d, _ := g.value("d")
	if strings.HasPrefix(d, "path(") {
		d = strings.Trim(strings.TrimSuffix(strings.TrimPrefix(d, "path("), ")"), `"' `)
	}
	if d == "none" {
		return path.Path{}
	}
	p, err := parsePathData(d)
	switch {
	case errors.Is(err, errTooLong):
		g.w.limit(g.n, "%v", err)
	case err != nil:
		g.w.warn(g.n, path.PathData, "%v", err)
	}
	return p
}

// radius returns rx or ry of a shape; none when it is auto, or negative, which
// is the same.
func (g geometry) radius(name string, d direction) (float64, bool) {
	r, ok := g.maybe(name, d)
	return r, ok && r >= 0
}

func (g geometry) rect() path.Path {
	x, y := g.length("x", horizontal), g.length("y", vertical)
	w, h := g.length("width", horizontal), g.length("height", vertical)
	if w <= 0 || h <= 0 {
		return path.Path{}
	}
	rx, okX := g.radius("rx", horizontal)
	ry, okY := g.radius("ry", vertical)
	if !okX {
		rx = ry
	}
	if !okY {
		ry = rx
	}
	return roundRect(x, y, w, h, min(rx, w/2), min(ry, h/2))
}

func (g geometry) ellipse() path.Path {
	rx, okX := g.radius("rx", horizontal)
	ry, okY := g.radius("ry", vertical)
	if !okX {
		rx = ry
	}
	if !okY {
		ry = rx
	}
	if rx <= 0 || ry <= 0 {
		return path.Path{}
	}
	return ellipse(g.length("cx", horizontal), g.length("cy", vertical), rx, ry)
}

// points reads polyline and polygon: at an error, what stands before it is
// drawn.
func (g geometry) points(close bool) path.Path {
	text := g.n.attr("points")
	list, ok := numberList(text, 2*maxOnePath)
	if len(list) >= 2*maxOnePath {
		g.w.limit(g.n, "%v", errTooLong)
	}
	if !ok || len(list)%2 == 1 {
		g.w.warn(g.n, path.PathData, "points end in something that is no pair of numbers; drawn up to there")
	}
	var p path.Path
	for i := 0; i+1 < len(list); i += 2 {
		q := path.Point{X: list[i], Y: list[i+1]}
		if !(math.Abs(q.X) < maxUser && math.Abs(q.Y) < maxUser) {
			g.w.warn(g.n, path.PathData, "a coordinate is too large; drawn up to there")
			break
		}
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	if close && !p.Empty() {
		p.Close()
	}
	return p
}
