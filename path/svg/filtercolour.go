package svg

import (
	"math"
	"strings"

	"furrow/path"
	"furrow/path/colour"
)

// recolour is what a filter makes of each colour by itself.
type recolour func(path.Paint) path.Paint

// flat paints everything in one colour, as opaque as it was.
func flat(c path.Paint) recolour {
	return func(p path.Paint) path.Paint { return path.Paint{R: c.R, G: c.G, B: c.B, Opacity: p.Opacity} }
}

// floodColour is that of a flood or drop shadow, with its opacity.
func (g *filterGraph) floodColour(n *node) path.Paint {
	s := g.w.cascade(n, g.w.ancestorStyle(n))
	if s.stopColour.kind == paintCurrent {
		return s.colour.Fade(s.stopOpacity)
	}
	return s.stopColour.colour.Fade(s.stopOpacity)
}

// colours applies a primitive that changes each colour by itself.
func (g *filterGraph) colours(n *node, in filterImage) filterImage {
	var f recolour
	k := 1.0
	if n.name == "feColorMatrix" {
		m, ok := colourMatrix(n.attr("type"), n.attr("values"))
		if !ok {
			return in // Filter Effects 1, 9.6: as the identity
		}
		if m[3] == [5]float64{0, 0, 0, m[3][3], 0} { // fades all alike
			k, m[3][3] = unit(m[3][3]), 1
		}
		f = m.apply
	} else {
		f = transfer(n)
	}
	s := g.w.cascade(n, g.w.ancestorStyle(n))
	if !s.filtersInSRGB {
		f = inLinearLight(f)
	}
	return in.recoloured(f).faded(k)
}

// inLinearLight applies f to linear components.
func inLinearLight(f recolour) recolour {
	return func(p path.Paint) path.Paint {
		p.R, p.G, p.B = colour.Linear(p.R), colour.Linear(p.G), colour.Linear(p.B)
		p = f(p)
		p.R, p.G, p.B = colour.FromLinear(p.R), colour.FromLinear(p.G), colour.FromLinear(p.B)
		return p
	}
}

// matrix5 maps red, green, blue, opacity and 1 to the first four, row by row.
type matrix5 [4][5]float64

func (m *matrix5) apply(p path.Paint) path.Paint {
	var out [4]float64
	for i, row := range m {
		for k, v := range [...]float64{p.R, p.G, p.B, p.Opacity, 1} {
			out[i] += float64(row[k] * v)
		}
	}
	return path.Paint{R: unit(out[0]), G: unit(out[1]), B: unit(out[2]), Opacity: unit(out[3])}
}

// colourMatrix is that of feColorMatrix (Filter Effects 1, 9.6).
func colourMatrix(kind, values string) (*matrix5, bool) {
	list, ok := numberList(values, 20)
	first := 1.0
	if len(list) > 0 {
		first = list[0]
	}
	switch {
	case !ok:
		return nil, false
	case kind == "saturate" && len(list) <= 1:
		return saturation(first), true
	case kind == "hueRotate" && len(list) <= 1:
		if len(list) == 0 {
			first = 0
		}
		return hueTurn(first), true
	case kind == "luminanceToAlpha":
		return &matrix5{3: {0.2126, 0.7152, 0.0722}}, true
	case len(list) != 20 || kind != "" && kind != "matrix":
		return nil, false
	}
	var m matrix5
	for i, v := range list {
		m[i/5][i%5] = v
	}
	return &m, true
}

// saturation and hueTurn are the matrices of Filter Effects 1, 9.6.
func saturation(s float64) *matrix5 {
	return &matrix5{
		{0.213 + 0.787*s, 0.715 - 0.715*s, 0.072 - 0.072*s},
		{0.213 - 0.213*s, 0.715 + 0.285*s, 0.072 - 0.072*s},
		{0.213 - 0.213*s, 0.715 - 0.715*s, 0.072 + 0.928*s},
		{3: 1},
	}
}

func hueTurn(degrees float64) *matrix5 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return &matrix5{
		{0.213 + cos*0.787 - sin*0.213, 0.715 - cos*0.715 - sin*0.715, 0.072 - cos*0.072 + sin*0.928},
		{0.213 - cos*0.213 + sin*0.143, 0.715 + cos*0.285 + sin*0.140, 0.072 - cos*0.072 - sin*0.283},
		{0.213 - cos*0.213 - sin*0.787, 0.715 - cos*0.715 + sin*0.715, 0.072 + cos*0.928 + sin*0.072},
		{3: 1},
	}
}

// transfer is feComponentTransfer (Filter Effects 1, 9.7).
func transfer(n *node) recolour {
	var of [4]func(float64) float64
	for _, c := range n.children {
		if letter, ok := strings.CutPrefix(c.name, "feFunc"); ok && len(letter) == 1 &&
			strings.Contains("RGBA", letter) {
			of[strings.Index("RGBA", letter)] = curveOf(c)
		}
	}
	return func(p path.Paint) path.Paint {
		for i, v := range [...]*float64{&p.R, &p.G, &p.B, &p.Opacity} {
			if of[i] != nil {
				*v = unit(of[i](*v))
			}
		}
		return p
	}
}

// curveOf is one component's function, nil for none.
func curveOf(n *node) func(float64) float64 {
	number := func(name string, missing float64) float64 {
		if list, ok := numberList(n.attr(name), 1); ok && len(list) == 1 {
			return list[0]
		}
		return missing
	}
	table, _ := numberList(n.attr("tableValues"), 1000)
	switch last := float64(len(table) - 1); {
	case n.attr("type") == "linear":
		slope, intercept := number("slope", 1), number("intercept", 0)
		return func(c float64) float64 { return float64(slope*c) + intercept }
	case n.attr("type") == "gamma":
		amplitude, exponent, offset := number("amplitude", 1), number("exponent", 1), number("offset", 0)
		return func(c float64) float64 { return float64(amplitude*math.Pow(c, exponent)) + offset }
	case n.attr("type") == "table" && last >= 0:
		return func(c float64) float64 {
			i := min(math.Floor(c*last), max(last-1, 0))
			next := table[int(min(i+1, last))]
			return table[int(i)] + float64((c*last-i)*(next-table[int(i)]))
		}
	case n.attr("type") == "discrete" && last >= 0:
		return func(c float64) float64 { return table[int(min(math.Floor(c*(last+1)), last))] }
	}
	return nil
}

// filterFunction applies a function of the filter property (Filter Effects 1, 5), all
// of which work in sRGB.
func (w *walker) filterFunction(st *state, in filterImage, name, inner string) (filterImage, bool) {
	switch name {
	case "blur":
		l, ok := parseLength(inner)
		px := l.px(w.metrics(&st.style), w.view, diagonal)
		return in.blurred(px), inner == "" || ok && px >= 0 && l.unit != "%"
	case "drop-shadow":
		return w.dropShadow(st, in, inner)
	case "hue-rotate":
		a, ok := parseAngle(inner)
		return in.recoloured(hueTurn(a).apply), inner == "" || ok
	}
	v := 1.0
	if inner != "" {
		l, ok := parseLength(inner)
		if v = l.px(fontMetrics{}, viewport{w: 1}, horizontal); !ok || l.unit != "" && l.unit != "%" || v < 0 {
			return nil, false
		}
	}
	if name == "opacity" {
		return in.faded(unit(v)), true
	}
	f := amountFunction(name, v)
	return in.recoloured(f), f != nil
}

// amountFunction is a function of the filter property of one amount, or nil.
func amountFunction(name string, v float64) recolour {
	line := func(slope, intercept float64) recolour {
		return (&matrix5{{0: slope, 4: intercept}, {1: slope, 4: intercept}, {2: slope, 4: intercept}, {3: 1}}).apply
	}
	switch name {
	case "brightness":
		return line(v, 0)
	case "contrast":
		return line(v, 0.5-0.5*v)
	case "invert":
		v = unit(v)
		return line(1-2*v, v)
	case "saturate":
		return saturation(v).apply
	case "grayscale":
		grey := [5]float64{0.2126, 0.7152, 0.0722}
		return towards(&matrix5{grey, grey, grey, {3: 1}}, unit(v))
	case "sepia":
		return towards(&matrix5{{0.393, 0.769, 0.189}, {0.349, 0.686, 0.168}, {0.272, 0.534, 0.131}, {3: 1}}, unit(v))
	}
	return nil
}

// towards goes the share v of the way from no change to m.
func towards(m *matrix5, v float64) recolour {
	for i := range m {
		for k := range m[i] {
			m[i][k] *= v
			if i == k {
				m[i][k] += 1 - v
			}
		}
	}
	return m.apply
}

// dropShadow reads "2px 3px 4px red", the colour first or last.
func (w *walker) dropShadow(st *state, in filterImage, inner string) (filterImage, bool) {
	c := st.style.colour
	var lengths []float64
	for inner = strings.TrimSpace(inner); inner != ""; inner = strings.TrimSpace(inner) {
		word, rest := firstWord(inner)
		if l, ok := parseLength(word); ok {
			lengths = append(lengths, l.px(w.metrics(&st.style), w.view, diagonal))
		} else if p, ok := colour.Parse(word); ok {
			c = p
		} else if !strings.EqualFold(word, "currentcolor") {
			return nil, false
		}
		inner = rest
	}
	if len(lengths) < 2 || len(lengths) > 3 || len(lengths) == 3 && lengths[2] < 0 {
		return nil, false
	}
	shadow := in.recoloured(flat(c)).faded(c.Opacity).moved(path.Point{X: lengths[0], Y: lengths[1]})
	if len(lengths) == 3 {
		shadow = shadow.blurred(lengths[2])
	}
	return append(shadow, in...), true
}

// firstWord cuts at a space outside brackets.
func firstWord(s string) (word, rest string) {
	depth := 0
	for i, r := range s {
		switch {
		case r == '(':
			depth++
		case r == ')':
			depth--
		case r == ' ' && depth == 0:
			return s[:i], s[i+1:]
		}
	}
	return s, ""
}
