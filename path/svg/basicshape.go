package svg

import (
	"math"
	"strings"

	"furrow/path"
)

// shapeClip returns the clip of a basic shape (CSS Masking 1, 5.1; CSS Shapes 1, 3);
// ok is false for a value that is none.
func (w *walker) shapeClip(n *node, st *state, value string) (c *path.Clip, ok bool) {
	name, inner, rest, ok := splitFunction(value)
	if !ok {
		return nil, false
	}
	reference := "border-box"
	if rest != "" {
		reference = rest
	}
	r := shapeReader{w: w, s: &st.style, box: w.referenceBox(n, st, reference)}
	p, rule, ok := r.shape(name, inner)
	if !ok {
		return nil, false
	}
	return &path.Clip{Shapes: []path.Shape{{Path: p.Transform(st.m), Rule: rule}}}, true
}

// splitFunction cuts "name(inner) rest", the box standing on either side.
func splitFunction(value string) (name, inner, rest string, ok bool) {
	front, behind, ok := strings.Cut(value, "(")
	n, before := closing(behind), strings.Fields(strings.ToLower(front))
	if !ok || n < 0 || len(before) == 0 {
		return "", "", "", false
	}
	last := len(before) - 1
	boxes := append(before[:last:last], strings.Fields(strings.ToLower(behind[n+1:]))...)
	return before[last], strings.TrimSpace(behind[:n]), strings.Join(boxes, " "), true
}

// referenceBox returns the box that a property's lengths refer to (CSS Masking 1;
// CSS Transforms 1, 3): of the geometry, the stroke or the nearest viewport.
func (w *walker) referenceBox(n *node, st *state, name string) box {
	switch name {
	case "view-box":
		return box{w: w.view.w, h: w.view.h}
	case "stroke-box", "border-box", "margin-box":
		b := w.boundingBox(n, st)
		s := &st.style
		half := 0.0
		if s.stroke.kind != paintNone && !b.Empty() {
			half = s.width.px(w.metrics(s), w.view, diagonal) / 2
		}
		return box{x: b.Min.X - half, y: b.Min.Y - half, w: b.W() + 2*half, h: b.H() + 2*half}
	}
	b := w.boundingBox(n, st)
	return box{x: b.Min.X, y: b.Min.Y, w: b.W(), h: b.H()}
}

// shapeReader reads basic shapes into a box.
type shapeReader struct {
	w   *walker
	s   *style
	box box
}

func (r *shapeReader) shape(name, inner string) (p path.Path, rule path.FillRule, ok bool) {
	args := splitTop(inner)
	switch name {
	case "inset", "rect", "xywh":
		p, ok = r.rectangle(name, args)
	case "circle":
		p, ok = r.round(args, 1)
	case "ellipse":
		p, ok = r.round(args, 2)
	case "polygon", "path":
		if first, rest, comma := strings.Cut(inner, ","); comma {
			if one, fits := asRule(nil, strings.TrimSpace(first)); fits {
				rule, inner = one, rest
			}
		}
		if name == "polygon" {
			p, ok = r.polygon(inner)
			break
		}
		var err error
		p, err = parsePathData(strings.Trim(strings.TrimSpace(inner), `"'`))
		p, ok = p.Transform(path.Translate(r.box.x, r.box.y)), err == nil
	}
	return p, rule, ok
}

// splitTop cuts at the white space outside brackets.
func splitTop(s string) []string {
	var out []string
	depth, first := 0, -1
	for i, c := range s + " " {
		switch {
		case c == '(':
			depth++
		case c == ')':
			depth--
		}
		space := depth == 0 && strings.ContainsRune(" \t\r\n\f", c)
		if space && first >= 0 {
			out, first = append(out, s[first:i]), -1
		} else if !space && first < 0 {
			first = i
		}
	}
	return out
}

func (r *shapeReader) length(text string, d direction) (float64, bool) {
	l, ok := parseLength(text)
	return l.px(r.w.metrics(r.s), viewport{r.box.w, r.box.h}, d), ok
}

// rectangle reads the distances from the four sides, or the places of the sides, or
// corner and size, each with "round" and radii behind it.
func (r *shapeReader) rectangle(name string, args []string) (p path.Path, ok bool) {
	var radii []string
	for i, a := range args {
		if strings.EqualFold(a, "round") {
			args, radii = args[:i], args[i+1:]
			break
		}
	}
	var v [4]float64
	if len(args) == 0 || len(args) > 4 || name != "inset" && len(args) != 4 {
		return p, false
	}
	for i := range v {
		from := args[min(i, len(args)-1)]
		if name == "inset" && i >= len(args) && i > 1 { // as margins: what is missing is that of the other side
			from = args[max(i-2, 0)%len(args)]
		}
		d := vertical
		if (i%2 == 1) != (name == "xywh") {
			d = horizontal
		}
		if v[i], ok = r.length(from, d); !ok {
			return p, false
		}
	}
	left, top, right, bottom := v[3], v[0], r.box.w-v[1], r.box.h-v[2]
	switch name {
	case "rect":
		right, bottom = v[1], v[2]
	case "xywh":
		left, top, right, bottom = v[0], v[1], v[0]+v[2], v[1]+v[3]
	}
	width, height := max(0, right-left), max(0, bottom-top)
	rx, ry := 0.0, 0.0
	if len(radii) > 0 {
		if rx, ok = r.length(radii[0], horizontal); !ok {
			return p, false
		}
		ry, _ = r.length(radii[0], vertical)
	}
	return roundRect(r.box.x+left, r.box.y+top, width, height, min(rx, width/2), min(ry, height/2)), true
}

// round reads circle() and ellipse(): radii, and "at" with a place.
func (r *shapeReader) round(args []string, radii int) (p path.Path, ok bool) {
	at := []string{"center", "center"}
	for i, a := range args {
		if strings.EqualFold(a, "at") {
			args, at = args[:i], args[i+1:]
			break
		}
	}
	if n := len(args); n != 0 && n != radii || len(at) == 0 {
		return p, false
	}
	view := viewport{r.box.w, r.box.h}
	x, y := r.w.place2D(strings.Join(at, " "), r.s, view)
	var size [2]float64
	for i := range size {
		text, d, here := "closest-side", horizontal, x
		if len(args) > 0 {
			text = strings.ToLower(args[min(i, len(args)-1)])
		}
		if i == 1 {
			d, here = vertical, y
		}
		full := view.along(d)
		switch {
		case text == "closest-side" && radii == 1:
			size[i] = min(math.Abs(x), math.Abs(view.w-x), math.Abs(y), math.Abs(view.h-y))
		case text == "farthest-side" && radii == 1:
			size[i] = max(math.Abs(x), math.Abs(view.w-x), math.Abs(y), math.Abs(view.h-y))
		case text == "closest-side":
			size[i] = min(math.Abs(here), math.Abs(full-here))
		case text == "farthest-side":
			size[i] = max(math.Abs(here), math.Abs(full-here))
		default:
			if radii == 1 {
				d = diagonal
			}
			if size[i], ok = r.length(text, d); !ok || size[i] < 0 {
				return p, false
			}
		}
	}
	return ellipse(r.box.x+x, r.box.y+y, size[0], size[1]), true
}

func (r *shapeReader) polygon(inner string) (p path.Path, ok bool) {
	for i, pair := range strings.Split(inner, ",") {
		args := splitTop(pair)
		if len(args) != 2 || i >= maxOnePath {
			return p, false
		}
		x, okX := r.length(args[0], horizontal)
		y, okY := r.length(args[1], vertical)
		if !okX || !okY {
			return p, false
		}
		q := path.Point{X: r.box.x + x, Y: r.box.y + y}
		if i == 0 {
			p.MoveTo(q)
		} else {
			p.LineTo(q)
		}
	}
	p.Close()
	return p, true
}
