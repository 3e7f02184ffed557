package svg

import (
	"math"
	"strconv"
	"strings"
)

// length is a number with a unit, as written.
type length struct {
	v    float64
	unit string // lower case; "" and "px" are user units, "%" a percentage
	sum  *sum   // in place of both: a calculation
}

// pxPerUnit holds the absolute units of CSS Values 4, 6.2.
var pxPerUnit = map[string]float64{
	"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6, "pt": 96.0 / 72, "pc": 16,
}

// parseLength reads a length; ok is false for anything else.
func parseLength(s string) (length, bool) {
	s = strings.TrimSpace(s)
	v, n := scanNumber(s)
	if n == 0 && isSum(s) {
		sum, ok := parseSum(s)
		return length{sum: sum}, ok
	}
	if n == 0 || math.IsInf(v, 0) {
		return length{}, false
	}
	unit := strings.ToLower(s[n:])
	switch unit {
	case "%", "em", "ex", "ch", "rem", "ic", "cap", "lh", "rlh", "vw", "vh", "vmin", "vmax":
		return length{v: v, unit: unit}, true
	}
	_, ok := pxPerUnit[unit]
	return length{v: v, unit: unit}, ok
}

// scanNumber reads the number that s starts with, and how many bytes it takes;
// 0 when there is none. Too large a number is an infinity.
func scanNumber(s string) (float64, int) {
	i := 0
	if i < len(s) && (s[i] == '+' || s[i] == '-') {
		i++
	}
	first := i
	whole, places, digits := uint64(0), 0, 0
	for ; i < len(s) && s[i] >= '0' && s[i] <= '9'; i++ {
		whole = whole*10 + uint64(s[i]-'0')
		digits++
	}
	if i < len(s) && s[i] == '.' && i+1 < len(s) && s[i+1] >= '0' && s[i+1] <= '9' {
		for i++; i < len(s) && s[i] >= '0' && s[i] <= '9'; i++ {
			whole = whole*10 + uint64(s[i]-'0')
			digits++
			places++
		}
	} else if i < len(s) && s[i] == '.' {
		// SVG 1.1 allowed "1."; SVG 2 and CSS do not, browsers do.
		i++
	}
	if digits == 0 {
		return 0, 0
	}
	end := exponentEnd(s, i)
	if end > i || digits > 15 {
		v, _ := strconv.ParseFloat(s[:end], 64) // fails only where it is too large
		return v, end
	}
	v := float64(whole) / pow10[places] // both exact, so the quotient is the nearest float
	if first == 1 && s[0] == '-' {
		v = -v
	}
	return v, end
}

// exponentEnd returns where an exponent at s[i:] ends, or i: the e of "1em" is
// none.
func exponentEnd(s string, i int) int {
	j := i
	if j < len(s) && (s[j] == 'e' || s[j] == 'E') {
		if j++; j < len(s) && (s[j] == '+' || s[j] == '-') {
			j++
		}
		k := j
		for ; j < len(s) && s[j] >= '0' && s[j] <= '9'; j++ {
		}
		if j > k {
			return j
		}
	}
	return i
}

var pow10 = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// The directions that a percentage refers to.
type direction uint8

const (
	horizontal direction = iota
	vertical
	diagonal
)

// viewport is what percentages refer to, in user units.
type viewport struct{ w, h float64 }

func (v viewport) along(d direction) float64 {
	switch d {
	case horizontal:
		return v.w
	case vertical:
		return v.h
	}
	return math.Sqrt((v.w*v.w + v.h*v.h) / 2)
}

// fontMetrics are what font-relative units refer to, in user units.
type fontMetrics struct{ size, root float64 }

// px returns l in user units.
func (l length) px(f fontMetrics, v viewport, d direction) float64 {
	if l.sum != nil {
		if px := l.sum.px(f, v, d); !math.IsNaN(px) {
			return px
		}
		return 0 // CSS Values 4, 10.9
	}
	switch l.unit {
	case "%":
		return l.v / 100 * v.along(d)
	case "em", "ic":
		return l.v * f.size
	case "ex", "ch", "cap": // CSS Values 4, 6.1.1: 0.5em where the font's own is not at hand
		return l.v * f.size / 2
	case "lh":
		return l.v * f.size * 1.2
	case "rem":
		return l.v * f.root
	case "rlh":
		return l.v * f.root * 1.2
	case "vw":
		return l.v / 100 * v.w
	case "vh":
		return l.v / 100 * v.h
	case "vmin":
		return l.v / 100 * min(v.w, v.h)
	case "vmax":
		return l.v / 100 * max(v.w, v.h)
	}
	return l.v * pxPerUnit[l.unit]
}

// numberList reads up to most numbers separated by white space and commas, and
// reports whether there was nothing else.
func numberList(s string, most int) ([]float64, bool) {
	var list []float64
	for {
		s = strings.TrimLeft(s, " \t\r\n\f,")
		v, n := scanNumber(s)
		if n == 0 || math.IsInf(v, 0) || len(list) == most {
			return list, s == ""
		}
		list, s = append(list, v), s[n:]
	}
}
