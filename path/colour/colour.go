// Package colour reads colours as CSS writes them.
package colour

import (
	"strings"

	"furrow/path"

	"github.com/mazznoer/csscolorparser"
)

// Parse reads a colour of CSS Color 4 that needs no context.
func Parse(s string) (path.Paint, bool) {
	s, _, _ = strings.Cut(s, " icc-color(") // SVG 1.1, 12.3: the colour before it is the fallback
	s = strings.ToLower(strings.Join(strings.Fields(s), " "))
	if s == "" || len(s) > 200 {
		return path.Paint{}, false
	}
	if strings.Contains(s, "(") {
		return parseColourFunction(s)
	}
	if system, ok := systemColours[s]; ok {
		s = system
	}
	if s[0] != '#' && isHex(s) { // which the library takes as if it had its "#"
		return path.Paint{}, false
	}
	c, err := csscolorparser.Parse(s)
	return fromLibrary(c), err == nil
}

func isHex(s string) bool { return strings.Trim(s, "0123456789abcdef") == "" }

// unit clamps to 0..1; NaN becomes 0.
func unit(v float64) float64 {
	if !(v > 0) {
		return 0
	}
	return min(v, 1)
}
