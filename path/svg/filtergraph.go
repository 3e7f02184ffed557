package svg

import (
	"math"
	"slices"
	"strings"

	"furrow/path"
)

// Bounds on one filter.
const (
	maxFilterLayers = 64
	maxPrimitives   = 200
	maxFilterList   = 32 // functions and references in a row
)

// filterGraph works out what the primitives of a filter element make of an image.
type filterGraph struct {
	w       *walker
	source  filterImage
	results map[string]filterImage
	last    filterImage
	unit    path.Point // of lengths, in user units
	problem string     // the first primitive that is none of layers
}

// filterElement applies a filter element to what the filters before it made.
func (w *walker) filterElement(n *node, st *state, t *node, f filtered) filtered {
	s := w.servant(t)
	b := w.boundingBox(n, st)
	inBox := s.attr("filterUnits") != "userSpaceOnUse"
	g := filterGraph{w: w, source: f.image, results: map[string]filterImage{}, last: f.image,
		unit: path.Point{X: 1, Y: 1}}
	if s.attr("primitiveUnits") == "objectBoundingBox" {
		g.unit = path.Point{X: b.W(), Y: b.H()}
	}
	at := box{
		x: s.length("x", horizontal, inBox, "-10%"), y: s.length("y", vertical, inBox, "-10%"),
		w: s.length("width", horizontal, inBox, "120%"), h: s.length("height", vertical, inBox, "120%"),
	}
	if inBox {
		at = box{x: b.Min.X + at.x*b.W(), y: b.Min.Y + at.y*b.H(), w: at.w * b.W(), h: at.h * b.H()}
	}
	f.image = nil
	if !(at.w > 0 && at.h > 0) {
		return f // Filter Effects 1, 8.2: the element is not rendered
	}
	primitives := 0
	for _, c := range s.chain[len(s.chain)-1].children {
		if strings.HasPrefix(c.name, "fe") && !c.foreign && g.problem == "" {
			if primitives++; primitives > maxPrimitives {
				g.fail("a filter of so many primitives")
				break
			}
			g.primitive(c)
		}
	}
	if f.region = frameClip(at, st.m); primitives > 0 {
		f.image = g.last
	}
	if f.problem == "" {
		f.problem = g.problem
	}
	return f
}

// input returns the image that an attribute of a primitive names.
func (g *filterGraph) input(n *node, attr string) filterImage {
	switch name := strings.TrimSpace(n.attr(attr)); name {
	case "":
		return g.last
	case "SourceGraphic":
		return g.source
	case "SourceAlpha":
		return g.source.recoloured(func(p path.Paint) path.Paint { return path.Paint{Opacity: p.Opacity} })
	case "BackgroundImage", "BackgroundAlpha": // Filter Effects 1, 9.2: transparent
		return nil
	case "FillPaint", "StrokePaint":
		g.fail(name)
		return nil
	default:
		if image, ok := g.results[name]; ok {
			return image
		}
		return g.last // SVG 1.1, 15.7.2: as if none were named
	}
}

func (g *filterGraph) fail(what string) {
	if g.problem == "" {
		g.problem = what
	}
}

// primitive applies one.
func (g *filterGraph) primitive(n *node) {
	if !g.w.visit(n, "filters multiply to more than %d primitives") {
		return
	}
	out := g.applied(n, g.input(n, "in"))
	if len(out) > maxFilterLayers {
		g.fail("a filter of so many layers")
	}
	g.last = out
	if name := strings.TrimSpace(n.attr("result")); name != "" {
		g.results[name] = out
	}
}

// applied returns what a primitive makes of its input.
func (g *filterGraph) applied(n *node, in filterImage) (out filterImage) {
	switch n.name {
	case "feGaussianBlur":
		return g.blur(n, in)
	case "feOffset":
		return in.moved(g.offset(n, 0))
	case "feDropShadow":
		c := g.floodColour(n)
		shadow := g.blur(n, in.recoloured(flat(c)).faded(c.Opacity))
		return append(shadow.moved(g.offset(n, 2)), in...)
	case "feFlood":
		c := g.floodColour(n)
		return filterImage{{opacity: c.Opacity, flood: true, recolour: flat(c)}}
	case "feMerge":
		for _, c := range n.children {
			if c.name == "feMergeNode" {
				out = append(out, g.input(c, "in")...)
			}
		}
		return out
	case "feComposite":
		return g.composite(n, in, g.input(n, "in2"))
	case "feBlend":
		if mode := n.attr("mode"); mode != "" && mode != "normal" {
			g.fail("feBlend " + clip(mode))
		}
		return slices.Concat(g.input(n, "in2"), in)
	case "feColorMatrix", "feComponentTransfer":
		return g.colours(n, in)
	}
	g.fail(clip(n.name))
	return nil
}

// offset reads dx and dy.
func (g *filterGraph) offset(n *node, missing float64) path.Point {
	return path.Point{X: g.number(n, "dx", missing) * g.unit.X, Y: g.number(n, "dy", missing) * g.unit.Y}
}

// number reads a number of a primitive.
func (g *filterGraph) number(n *node, attr string, missing float64) float64 {
	list, ok := numberList(n.attr(attr), 2)
	if !ok || len(list) == 0 || math.Abs(list[0]) > maxUser {
		return missing
	}
	return list[0]
}

// blur is by the larger of two deviations; one below zero is none.
func (g *filterGraph) blur(n *node, in filterImage) filterImage {
	missing := 0.0
	if n.name == "feDropShadow" {
		missing = 2
	}
	list, ok := numberList(n.attr("stdDeviation"), 2)
	if !ok || len(list) == 0 {
		list = []float64{missing}
	}
	x, y := list[0]*g.unit.X, list[len(list)-1]*g.unit.Y
	if x < 0 || y < 0 {
		x, y = 0, 0
	}
	return in.blurred(math.Max(x, y))
}

// composite lays images over each other, or cuts a flood out to an image.
func (g *filterGraph) composite(n *node, in, under filterImage) filterImage {
	switch operator := n.attr("operator"); {
	case operator == "" || operator == "over":
		return append(under[:len(under):len(under)], in...)
	case operator == "in" && len(in) == 1 && in[0].flood && !under.floods():
		return under.recoloured(flat(in[0].recolour(path.Paint{}))).faded(in[0].opacity)
	case operator == "in" && len(under) == 1 && under[0].flood && !in.floods():
		return in.faded(under[0].opacity)
	default:
		g.fail("feComposite " + clip(operator))
		return nil
	}
}

func (m filterImage) floods() bool {
	for i := range m {
		if m[i].flood {
			return true
		}
	}
	return false
}

func (m filterImage) each(change func(*filterLayer)) filterImage {
	out := make(filterImage, len(m))
	for i := range m {
		out[i] = m[i]
		change(&out[i])
	}
	return out
}

func (m filterImage) moved(by path.Point) filterImage {
	return m.each(func(l *filterLayer) {
		if !l.flood {
			l.by = l.by.Add(by)
		}
	})
}

func (m filterImage) blurred(sigma float64) filterImage {
	return m.each(func(l *filterLayer) {
		if !l.flood {
			l.blur = math.Hypot(l.blur, sigma)
		}
	})
}

func (m filterImage) faded(k float64) filterImage {
	return m.each(func(l *filterLayer) { l.opacity *= k })
}

func (m filterImage) recoloured(f recolour) filterImage {
	if f == nil {
		return m
	}
	return m.each(func(l *filterLayer) {
		first := l.recolour
		l.recolour = func(p path.Paint) path.Paint {
			if first != nil {
				p = first(p)
			}
			return f(p)
		}
	})
}
