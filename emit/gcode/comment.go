package gcode

import (
	"strings"

	"furrow/emit"
	"furrow/emit/machine"
)

// maxLine is the most characters in a line of a file written here. RS-274
// allows 256; small controllers have buffers of 80 or so.
const maxLine = 70

// comment writes s as one or more comment lines in the style of the controller.
func (e *writer) comment(s string) {
	open, close := "(", ")"
	switch e.o.Comments {
	case machine.CommentsNone:
		return
	case machine.CommentsSemicolon:
		open, close = "; ", ""
	}
	for _, line := range wrap(ascii(s), maxLine-len(open)-len(close)) {
		e.buf = e.lines.Comment(e.buf, open+line+close)
		e.full()
	}
}

var plain = strings.NewReplacer("(", "[", ")", "]", "µ", "u", "μ", "u", "²", "2", "×", "x",
	"–", "-", "—", "-", "°", " degrees", "\t", " ", "\n", " ", "ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss")

// ascii keeps what a comment of RS-274 may hold.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' {
			return '?'
		}
		return r
	}, plain.Replace(s))
}

// wrap breaks s into lines of at most width characters. No line begins with
// MSG, which RS-274 would show to the operator.
func wrap(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		for len(word) > width-2 {
			lines, line = appendLine(lines, line), ""
			lines, word = appendLine(lines, word[:width-2]), word[width-2:]
		}
		if line != "" && len(line)+1+len(word) > width-2 {
			lines, line = appendLine(lines, line), ""
		}
		line = strings.TrimLeft(line+" "+word, " ")
	}
	return appendLine(lines, line)
}

func appendLine(lines []string, line string) []string {
	if line == "" {
		return lines
	}
	if len(line) >= 3 && strings.EqualFold(line[:3], "msg") {
		line = "- " + line
	}
	return append(lines, line)
}

// profileWord starts the comment that names the profile a file was made for.
const profileWord = "profile "

func profileComment(h emit.Header) string { return profileWord + h.Profile + " " + h.Hash }

// readProfile takes the profile's name and hash from a comment, if that is what
// it holds.
func readProfile(comment string, h *emit.Header) {
	rest, ok := strings.CutPrefix(strings.TrimSpace(comment), profileWord)
	if ok && h.Profile == "" {
		h.Profile, h.Hash, _ = strings.Cut(rest, " ")
	}
}
