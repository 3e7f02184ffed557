package svg

import (
	"strings"

	"furrow/path"
	"furrow/path/colour"
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
	c, ok := colour.Parse(s)
	return paint{kind: paintColour, colour: c}, ok
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
	return localID(inner), strings.TrimSpace(rest), true
}
