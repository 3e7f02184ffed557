package svg

import (
	"math"
	"strings"

	"furrow/path"
)

// parseTransform reads the transform attribute or property (CSS Transforms 1,
// 8 and 12). ok is false when any of it is wrong; the whole is then ignored, as
// browsers do. The matrix is that of SVG, with Y down.
func parseTransform(s string, f fontMetrics, box viewport) (m path.Matrix, ok bool) {
	m = path.Identity
	s = strings.TrimSpace(s)
	if strings.EqualFold(s, "none") {
		return m, true
	}
	for s != "" {
		name, rest, found := strings.Cut(s, "(")
		inner, rest, closed := strings.Cut(rest, ")")
		if !found || !closed {
			return path.Identity, false
		}
		one, ok := transformFunction(strings.ToLower(strings.TrimSpace(name)), inner, f, box)
		if !ok {
			return path.Identity, false
		}
		m = m.Mul(one)
		s = strings.TrimLeft(rest, " \t\r\n\f,")
	}
	return m, finite(m)
}

func finite(m path.Matrix) bool {
	sum := m.A + m.B + m.C + m.D + m.E + m.F
	return !math.IsNaN(sum - sum)
}

func transformFunction(name, inner string, f fontMetrics, box viewport) (path.Matrix, bool) {
	args := transformArgs(inner, f, box)
	n := len(args)
	if n == 0 {
		return path.Identity, false
	}
	at := func(i int) float64 {
		if i < n {
			return args[i]
		}
		return 0
	}
	switch name {
	case "matrix":
		return path.Matrix{A: at(0), B: at(1), C: at(2), D: at(3), E: at(4), F: at(5)}, n == 6
	case "translate":
		return path.Translate(at(0), at(1)), n <= 2
	case "translatex":
		return path.Translate(at(0), 0), n == 1
	case "translatey":
		return path.Translate(0, at(0)), n == 1
	case "scale":
		if n == 1 {
			return path.Scale(at(0), at(0)), true
		}
		return path.Scale(at(0), at(1)), n == 2
	case "scalex":
		return path.Scale(at(0), 1), n == 1
	case "scaley":
		return path.Scale(1, at(0)), n == 1
	case "rotate":
		r := path.Rotate(at(0)) // clockwise on screen: Y is down here
		return path.Translate(at(1), at(2)).Mul(r).Mul(path.Translate(-at(1), -at(2))), n == 1 || n == 3
	case "skewx":
		return path.Matrix{A: 1, C: tan(at(0)), D: 1}, n == 1
	case "skewy":
		return path.Matrix{A: 1, B: tan(at(0)), D: 1}, n == 1
	case "skew":
		return path.Matrix{A: 1, B: tan(at(1)), C: tan(at(0)), D: 1}, n <= 2
	}
	return path.Identity, false
}

func tan(degrees float64) float64 {
	s, c := path.SinCos(degrees)
	return s / c
}

var degreesPerUnit = map[string]float64{"": 1, "deg": 1, "grad": 0.9, "turn": 360, "rad": 180 / math.Pi}

// parseAngle reads an angle, to degrees; a number without a unit is degrees too.
func parseAngle(s string) (degrees float64, ok bool) {
	s = strings.TrimSpace(s)
	v, n := scanNumber(s)
	k, known := degreesPerUnit[strings.ToLower(s[n:])]
	return v * k, n > 0 && known
}

// transformArgs reads numbers, lengths (to user units) and angles (to degrees); it
// returns none where some of it is nothing of these.
func transformArgs(s string, f fontMetrics, box viewport) (args []float64) {
	for {
		s = strings.TrimLeft(s, " \t\r\n\f,")
		if s == "" {
			return args
		}
		v, n := scanNumber(s)
		if n == 0 || len(args) >= 6 {
			return nil
		}
		s = s[n:]
		u := len(s) - len(strings.TrimLeft(s, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ%"))
		unit := strings.ToLower(s[:u])
		if d, ok := degreesPerUnit[unit]; ok {
			v *= d
		} else if l, ok := parseLength("1" + unit); ok {
			v *= l.px(f, box, direction(len(args)%2))
		} else {
			return nil
		}
		args, s = append(args, v), s[u:]
	}
}

// transform returns the element's own map: the property wins over the attribute, the
// properties translate, rotate and scale stand before it, and transform-origin applies
// to all of them (CSS Transforms 1, 5; 2, 5).
func (w *walker) transform(n *node, s *style) path.Matrix {
	text := s.transform
	if text == "" {
		text = n.attr("transform")
	}
	if text == "" && s.moves == ([3]string{}) {
		return path.Identity
	}
	at := box{w: w.view.w, h: w.view.h}
	if s.box != "" && s.box != "view-box" {
		at = w.referenceBox(n, &state{m: path.Identity, style: *s, opacity: 1}, s.box)
	}
	size := viewport{at.w, at.h}
	m, ok := w.moves(s, size)
	one, read := parseTransform(text, w.metrics(s), size)
	if !ok || !read {
		w.warn(n, path.BadValue, "transform is ignored: %q", clip(text))
		return path.Identity
	}
	m = m.Mul(one)
	ox, oy := at.x, at.y
	if s.origin != "" {
		x, y := w.place2D(s.origin, s, size)
		ox, oy = ox+x, oy+y
	}
	if ox != 0 || oy != 0 {
		m = path.Translate(ox, oy).Mul(m).Mul(path.Translate(-ox, -oy))
	}
	return m
}

// moves returns what translate, rotate and scale come to.
func (w *walker) moves(s *style, size viewport) (m path.Matrix, ok bool) {
	m = path.Identity
	for i, name := range [...]string{"translate", "rotate", "scale"} {
		if s.moves[i] == "" || s.moves[i] == "none" {
			continue
		}
		one, ok := transformFunction(name, s.moves[i], w.metrics(s), size)
		if !ok {
			return m, false
		}
		m = m.Mul(one)
	}
	return m, true
}

// place2D reads a place in a box of a size (CSS Values 4, 8.3, of up to two words).
func (w *walker) place2D(text string, s *style, size viewport) (x, y float64) {
	words := append(splitTop(strings.ToLower(text)), "center", "center")
	if words[0] == "top" || words[0] == "bottom" || words[1] == "left" || words[1] == "right" {
		words[0], words[1] = words[1], words[0]
	}
	return w.originPart(words[0], s, size, horizontal), w.originPart(words[1], s, size, vertical)
}

func (w *walker) originPart(word string, s *style, v viewport, d direction) float64 {
	switch word {
	case "left", "top":
		return 0
	case "center":
		return v.along(d) / 2
	case "right", "bottom":
		return v.along(d)
	}
	l, _ := parseLength(word)
	return l.px(w.metrics(s), v, d)
}

// scaleOf returns the factor by which m scales lengths on average.
func scaleOf(m path.Matrix) float64 { return math.Sqrt(math.Abs(m.Det())) }
