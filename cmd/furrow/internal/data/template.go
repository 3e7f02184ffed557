package data

import (
	"fmt"
	"slices"
	"strings"
)

// Template is text with placeholders, each the name of a column or counter in
// braces, in the form of RFC 6570 level 1. {{ is a brace.
type Template struct {
	pieces []piece
}

type piece struct{ text, name string }

// ParseTemplate reads a template.
func ParseTemplate(s string) (Template, error) {
	var t Template
	for s != "" {
		before, after, found := strings.Cut(s, "{")
		t.text(before)
		switch {
		case !found:
			return t, nil
		case strings.HasPrefix(after, "{"):
			t.text("{")
			s = after[1:]
		default:
			name, rest, closed := strings.Cut(after, "}")
			if !closed || !Nameable(name) {
				return Template{}, templateError(after, name, closed)
			}
			t.pieces = append(t.pieces, piece{name: name})
			s = rest
		}
	}
	return t, nil
}

func templateError(after, name string, closed bool) error {
	if !closed {
		return fmt.Errorf("a placeholder is not closed: {%s (a brace itself is written {{)", shortened(after))
	}
	return fmt.Errorf("{%s} is not a placeholder: write {column} or {counter}, and {{ for a brace", shortened(name))
}

func (t *Template) text(s string) {
	if n := len(t.pieces); s != "" && n > 0 && t.pieces[n-1].name == "" {
		t.pieces[n-1].text += s
	} else if s != "" {
		t.pieces = append(t.pieces, piece{text: s})
	}
}

// Nameable reports that a placeholder can have the name: RFC 6570 gives what begins
// with one of the signs another meaning.
func Nameable(name string) bool {
	return name != "" && !strings.ContainsAny(name, "{}\n") && !strings.ContainsAny(name[:1], "+#./;?&=,!@|") &&
		strings.TrimSpace(name) == name
}

// Names lists the placeholders, each once.
func (t Template) Names() (names []string) {
	for _, p := range t.pieces {
		if p.name != "" && !slices.Contains(names, p.name) {
			names = append(names, p.name)
		}
	}
	return names
}

// Fill puts values in place of the placeholders; one that is missing leaves nothing.
func (t Template) Fill(values map[string]string) string {
	var b strings.Builder
	for _, p := range t.pieces {
		b.WriteString(p.text)
		if p.name != "" {
			b.WriteString(values[p.name])
		}
	}
	return b.String()
}
