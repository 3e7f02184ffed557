package svg

import (
	"maps"
	"strings"
)

// Limits on what variables become.
const (
	maxVariable      = 64 << 10 // bytes of one value
	maxVariableDepth = 16
)

// variables adds those that an element sets to those that it takes over (CSS Custom
// Properties 1, 2).
func (c *cascader) variables(lists ...[]declaration) {
	shared := true
	for _, important := range [...]bool{false, true} {
		for _, list := range lists {
			for _, d := range list {
				if d.important != important || !strings.HasPrefix(d.name, "--") {
					continue
				}
				if shared {
					if c.style.vars = maps.Clone(c.style.vars); c.style.vars == nil {
						c.style.vars = map[string]string{}
					}
					shared = false
				}
				c.style.vars[d.name] = d.value
			}
		}
	}
}

// substitute replaces each var() in a value; ok is false where one has neither a
// value nor a fallback, which makes the whole invalid.
func (s *style) substitute(value string, depth int) (string, bool) {
	if depth > maxVariableDepth {
		return "", false // a cycle
	}
	var out strings.Builder
	for {
		i := strings.Index(strings.ToLower(value), "var(")
		if i < 0 {
			break
		}
		n := closing(value[i+4:])
		if n < 0 {
			return "", false
		}
		name, fallback, has := strings.Cut(value[i+4:i+4+n], ",")
		text, ok := s.vars[strings.TrimSpace(name)]
		if ok {
			text, ok = s.substitute(text, depth+1)
		}
		if !ok && has {
			text, ok = s.substitute(fallback, depth+1)
		}
		if !ok || out.Len()+len(text) > maxVariable {
			return "", false
		}
		out.WriteString(value[:i])
		out.WriteString(text)
		value = value[i+4+n+1:]
	}
	out.WriteString(value)
	return strings.TrimSpace(out.String()), true
}

// closing returns where the bracket that is open at the start of s closes, or -1.
func closing(s string) int {
	depth := 0
	for i := range len(s) {
		switch s[i] {
		case '(':
			depth++
		case ')':
			if depth--; depth < 0 {
				return i
			}
		}
	}
	return -1
}
