package gcode

import (
	"fmt"
	"strings"
	"time"

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

var plain = strings.NewReplacer("(", "[", ")", "]", ";", ",", "µ", "u", "μ", "u", "²", "2", "×", "x",
	"–", "-", "—", "-", "°", " degrees", "\t", " ", "\n", " ", "ä", "ae", "ö", "oe", "ü", "ue", "ß", "ss")

// actedOn are characters that some controllers act on wherever they come in, in
// comments too, and before the lines that wait.
const actedOn = "!~?%$"

// ascii keeps what a comment may hold without a meaning to any controller.
func ascii(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r > '~' || strings.ContainsRune(actedOn, r) {
			return '_'
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

// What the comments start with that a file says of itself.
const (
	profileWord = "profile "
	programWord = "furrow "
	timeWord    = "time "
)

func profileComment(h emit.Header) string { return profileWord + h.Profile + " " + h.Hash }

// timeComment says how long the moves take, which a profile that has changed since
// tells anew.
func timeComment(t time.Duration) string { return fmt.Sprintf("%s%.3f s", timeWord, t.Seconds()) }

// readHeader takes what a comment says of the file: the profile and the blank that it was
// made for, or what wrote it.
func readHeader(comment string, h *emit.Header) {
	if strings.HasPrefix(comment, programWord) && h.Program == "" {
		h.Program = strings.TrimSpace(comment)
	}
	if text, ok := strings.CutPrefix(comment, timeWord); ok && h.Time == 0 {
		h.Time, _ = time.ParseDuration(strings.ReplaceAll(text, " ", "")) // 0 where it is no time
	}
	h.ReadBlank(comment)
	rest, ok := strings.CutPrefix(comment, profileWord)
	if words := strings.Fields(rest); ok && h.Profile == "" && len(words) == 2 && isHash(words[1]) {
		h.Profile, h.Hash = words[0], words[1]
	}
}

// isHash tells a profile's hash from a word that stands there by chance.
func isHash(s string) bool { return s != "" && strings.Trim(s, "0123456789abcdef") == "" }
