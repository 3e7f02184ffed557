package page

import "strings"

// Caption says what a picture shows. Name is shortened in its middle where the
// line has no room for it; the facts are not, and move to further lines.
type Caption struct {
	Name  string
	Facts []string
}

const between = "  \u00b7  "

// lines breaks the caption into lines no wider than width px.
func (s *sheet) captionLines(c Caption, width float64) []string {
	facts := strings.Join(c.Facts, between)
	if facts == "" {
		return []string{s.shorten(c.Name, width)}
	}
	if room := width - s.width(between+facts); room >= s.text*8 {
		return []string{s.shorten(c.Name, room) + between + facts}
	}
	lines := []string{s.shorten(c.Name, width)}
	for _, f := range c.Facts {
		last := len(lines) - 1
		if s.width(lines[last]+between+f) <= width {
			lines[last] += between + f
		} else {
			lines = append(lines, s.shorten(f, width))
		}
	}
	return lines
}

// shorten returns text no wider than width px, cut in its middle if need be: the
// start of a file's name and its extension tell most.
func (s *sheet) shorten(text string, width float64) string {
	text = s.printable(text)
	if s.width(text) <= width {
		return text
	}
	r := []rune(text)
	keep, over := 0, len(r)
	for over-keep > 1 { // the greatest number of runes that fits
		if n := (keep + over) / 2; s.width(cut(r, n)) <= width {
			keep = n
		} else {
			over = n
		}
	}
	return cut(r, keep)
}

// cut keeps n runes of r, two in three of them from its start.
func cut(r []rune, n int) string {
	tail := n / 3
	return string(r[:n-tail]) + "\u2026" + string(r[len(r)-tail:])
}

// printable replaces what the font has no glyph for, and controls.
func (s *sheet) printable(text string) string {
	font := s.face(s.theme.Ink).Font
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || font.GlyphIndex(r) == 0 {
			return '\ufffd'
		}
		return r
	}, strings.ToValidUTF8(text, "\ufffd"))
}
