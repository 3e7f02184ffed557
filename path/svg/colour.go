package svg

import (
	"strings"

	"furrow/path"

	"github.com/mazznoer/csscolorparser"
)

// paintKind says what a paint value is.
type paintKind uint8

const (
	paintNone paintKind = iota
	paintColour
	paintCurrent // currentColor
	paintServer  // url(#...), a gradient or pattern
	paintContextFill
	paintContextStroke
)

// paint is the value of fill or stroke.
type paint struct {
	kind     paintKind
	colour   path.Paint
	server   string // id of the paint server
	fallback *paint // behind url(...), or nil
}

// parsePaint reads a paint; ok is false for what CSS would drop.
func parsePaint(s string) (paint, bool) {
	switch strings.ToLower(s) {
	case "none", "transparent":
		return paint{}, true
	case "currentcolor":
		return paint{kind: paintCurrent}, true
	case "context-fill":
		return paint{kind: paintContextFill}, true
	case "context-stroke":
		return paint{kind: paintContextStroke}, true
	}
	if id, rest, ok := parseURL(s); ok {
		p := paint{kind: paintServer, server: id}
		if rest != "" {
			f, ok := parsePaint(rest)
			if !ok || f.kind == paintServer {
				return paint{}, false
			}
			p.fallback = &f
		}
		return p, true
	}
	c, ok := parseColour(s)
	return paint{kind: paintColour, colour: c}, ok
}

// parseColour reads a colour of CSS Color 4 that needs no context.
func parseColour(s string) (path.Paint, bool) {
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

// parseURL reads "url(#id)" and what follows it.
func parseURL(s string) (id, rest string, ok bool) {
	if len(s) < 5 || !strings.EqualFold(s[:4], "url(") {
		return "", "", false
	}
	inner, rest, ok := strings.Cut(s[4:], ")")
	if !ok {
		return "", "", false
	}
	inner = strings.Trim(strings.TrimSpace(inner), `"'`)
	return strings.TrimPrefix(inner, "#"), strings.TrimSpace(rest), true
}
