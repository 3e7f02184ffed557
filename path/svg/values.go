package svg

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"furrow/path"
	"furrow/path/colour"
)

// The readers of property values. Each reports false for what CSS would drop.

func asText(_ *cascader, v string) (string, bool) { return v, true }

func asPaint(c *cascader, v string) (paint, bool) { return parsePaint(v) }

func asColour(c *cascader, v string) (path.Paint, bool) {
	if strings.EqualFold(v, "currentcolor") {
		return c.parent.colour, true
	}
	return colour.Parse(v)
}

// asOpacity reads a number or a percentage, clamped (CSS Color 4, 3.1).
func asOpacity(_ *cascader, v string) (float64, bool) {
	l, ok := parseLength(v)
	return unit(l.px(fontMetrics{}, viewport{w: 1}, horizontal)), ok && (l.unit == "" || l.unit == "%")
}

// unit clamps to 0..1; NaN becomes 0.
func unit(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}

func asRule(_ *cascader, v string) (path.FillRule, bool) {
	switch strings.ToLower(v) {
	case "nonzero":
		return path.NonZero, true
	case "evenodd":
		return path.EvenOdd, true
	}
	return 0, false
}

func asLength(_ *cascader, v string) (length, bool) { return parseLength(v) }

func asPositive(_ *cascader, v string) (length, bool) {
	l, ok := parseLength(v)
	return l, ok && l.v >= 0
}

// asDashes reads a list of lengths; one below zero makes it invalid, and all
// zero make it solid (SVG 2, 13.5.6).
func asDashes(_ *cascader, v string) ([]length, bool) {
	if strings.EqualFold(v, "none") {
		return nil, true
	}
	var list []length
	sum := 0.0
	for f := range strings.FieldsFuncSeq(v, func(r rune) bool { return strings.ContainsRune(" \t\r\n\f,", r) }) {
		l, ok := parseLength(f)
		if !ok || l.v < 0 || len(list) >= 10_000 {
			return nil, false
		}
		list, sum = append(list, l), sum+l.v
	}
	if !(sum > 0) {
		return nil, len(list) > 0
	}
	if len(list)%2 == 1 {
		list = append(list, list...)
	}
	return list, true
}

func oneOf(words ...string) func(*cascader, string) (string, bool) {
	return func(_ *cascader, v string) (string, bool) {
		v = strings.ToLower(v)
		return v, slices.Contains(words, v)
	}
}

func asMiter(_ *cascader, v string) (float64, bool) {
	x, n := scanNumber(v)
	return x, v[n:] == "" && x >= 1 && !math.IsInf(x, 0)
}

func asHidden(_ *cascader, v string) (bool, bool) {
	v = strings.ToLower(v)
	return v != "visible", v == "visible" || v == "hidden" || v == "collapse"
}

func asNone(_ *cascader, v string) (bool, bool) { return strings.EqualFold(v, "none"), true }

func asFixedWidth(_ *cascader, v string) (bool, bool) {
	v = strings.ToLower(v)
	return v == "non-scaling-stroke", v == "non-scaling-stroke" || v == "none"
}

// asPaintOrder reads up to three words; what is not named follows in the
// default sequence (SVG 2, 13.8).
func asPaintOrder(_ *cascader, v string) ([3]byte, bool) {
	words := strings.Fields(strings.ToLower(v))
	if len(words) == 1 && words[0] == "normal" {
		return initial.paintOrder, true
	}
	var order []byte
	for _, w := range words {
		if w != "fill" && w != "stroke" && w != "markers" || slices.Contains(order, w[0]) {
			return [3]byte{}, false
		}
		order = append(order, w[0])
	}
	for _, b := range initial.paintOrder {
		if !slices.Contains(order, b) {
			order = append(order, b)
		}
	}
	return [3]byte(order), len(words) > 0
}

// blends are the separable modes by their CSS names.
var blends = map[string]path.Blend{
	"normal": path.Normal, "multiply": path.Multiply, "screen": path.Screen, "overlay": path.Overlay,
	"darken": path.Darken, "lighten": path.Lighten, "color-dodge": path.ColourDodge, "color-burn": path.ColourBurn,
	"hard-light": path.HardLight, "soft-light": path.SoftLight, "difference": path.Difference,
	"exclusion": path.Exclusion,
}

func asBlend(c *cascader, v string) (path.Blend, bool) {
	switch v = strings.ToLower(v); v {
	case "hue", "saturation", "color", "luminosity":
		c.w.warn(c.n, path.Effect, "mix-blend-mode %s is not supported; drawn without it", v)
		return path.Normal, true
	}
	b, ok := blends[v]
	return b, ok
}

func asIsolated(_ *cascader, v string) (bool, bool) {
	v = strings.ToLower(v)
	return v == "isolate", v == "isolate" || v == "auto"
}

func asSRGB(_ *cascader, v string) (bool, bool) {
	v = strings.ToLower(v)
	return v == "srgb", v == "srgb" || v == "linearrgb" || v == "auto"
}

func asReference(_ *cascader, v string) (string, bool) {
	if strings.EqualFold(v, "none") {
		return "", true
	}
	id, _, ok := parseURL(v)
	return id, ok
}

// fontSizes are the keywords for font-size in px, medium being 16 (CSS Fonts 4,
// 2.5.1, the ratios of its table).
var fontSizes = map[string]float64{
	"xx-small": 9, "x-small": 10, "small": 13, "medium": 16, "large": 18, "x-large": 24, "xx-large": 32,
	"xxx-large": 48,
}

func asFontSize(c *cascader, v string) (float64, bool) {
	v = strings.ToLower(v)
	parent := c.parent.font.size
	if px, ok := fontSizes[v]; ok {
		return px, true
	}
	switch v {
	case "larger":
		return parent * 1.2, true
	case "smaller":
		return parent / 1.2, true
	}
	l, ok := parseLength(v)
	if l.unit == "%" {
		l = length{v: l.v / 100, unit: "em"}
	}
	view := c.w.view
	if l.sum != nil { // its percentages are of the font
		view = viewport{parent, parent}
	}
	px := l.px(fontMetrics{parent, c.w.rootFont}, view, diagonal)
	return px, ok && px >= 0 && px < maxMM
}

func asWeight(c *cascader, v string) (int, bool) {
	switch strings.ToLower(v) {
	case "normal":
		return 400, true
	case "bold":
		return 700, true
	case "bolder": // CSS Fonts 4, 2.2.1
		switch w := c.parent.font.weight; {
		case w < 350:
			return 400, true
		case w < 550:
			return 700, true
		default:
			return max(w, 900), true
		}
	case "lighter":
		switch w := c.parent.font.weight; {
		case w < 550:
			return min(w, 100), true
		case w < 750:
			return 400, true
		default:
			return 700, true
		}
	}
	n, err := strconv.Atoi(v)
	return n, err == nil && n >= 1 && n <= 1000
}

func asItalic(_ *cascader, v string) (italic, ok bool) {
	v, _, _ = strings.Cut(strings.ToLower(v), " ")
	italic = v == "italic" || v == "oblique"
	return italic, italic || v == "normal"
}

func asSpacing(_ *cascader, v string) (length, bool) {
	if strings.EqualFold(v, "normal") {
		return length{}, true
	}
	return parseLength(v)
}

func asPreserve(_ *cascader, v string) (bool, bool) {
	return strings.HasPrefix(strings.ToLower(v), "pre") && !strings.EqualFold(v, "pre-line"), true
}

// asShift reads baseline-shift; the keywords move by a common third and fifth.
func asShift(c *cascader, v string) (length, bool) {
	switch strings.ToLower(v) {
	case "baseline":
		return length{}, true
	case "sub":
		return length{v: -0.2, unit: "em"}, true
	case "super":
		return length{v: 0.4, unit: "em"}, true
	}
	l, ok := parseLength(v)
	if l.unit == "%" {
		l = length{v: l.v / 100, unit: "em"}
	}
	return l, ok
}

// fontShorthand reads "italic bold 12px/1.2 Family, Family".
var fontShorthand = property{
	inherited: true,
	set: func(c *cascader, value string) bool {
		f := initial.font
		f.letterSpacing, f.wordSpacing = c.style.font.letterSpacing, c.style.font.wordSpacing
		for value != "" {
			word, rest, _ := strings.Cut(value, " ")
			size, _, _ := strings.Cut(word, "/")
			if italic, ok := asItalic(c, word); ok && word != "normal" {
				f.italic = italic
			} else if w, ok := asWeight(c, word); ok && word != "normal" { // a number without unit is one
				f.weight = w
			} else if px, ok := asFontSize(c, size); ok {
				f.size, f.family = px, strings.TrimSpace(rest)
				c.style.font = f
				return f.family != ""
			}
			value = strings.TrimSpace(rest)
		}
		return false
	},
	copy: func(dst, src *style) { dst.font = src.font },
}
