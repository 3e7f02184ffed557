package svg

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/path"
	"furrow/path/text"
)

// tellFont warns when the font is another than the first one asked for.
func (w *walker) tellFont(l *letter) {
	f := w.fonts.Face(l.textStyle())
	asked := l.style.font.family
	if w.asked == nil {
		w.asked = map[path.Font]bool{}
	}
	w.asked[path.Font{Asked: asked, Used: f.Family}] = true
	first, _, _ := strings.Cut(asked, ",")
	first = strings.Trim(strings.TrimSpace(first), `"'`)
	switch {
	case asked == "" && f.Family == "":
		w.warn(l.n, "it names no font; set in the built-in Go font")
	case asked == "":
		w.warn(l.n, "it names no font; set in %s", f.Family)
	case f.Family == "":
		w.warnings.add(path.Warning{
			Message: fmt.Sprintf("the font asked for (%s) is not at hand; set in the built-in Go font", clip(asked)),
			Kind:    path.MissingFont, Element: l.n.label(), Line: l.n.line,
		})
	case !text.Generic(first) && !text.SameName(first, f.Family):
		w.warn(l.n, "the font asked for (%s) is not at hand; set in %s, which it names next", clip(first), f.Family)
	}
}

// tellLacking warns of letters that are taken from a font that no text asked for, and
// of those that there are in none.
func (w *walker) tellLacking(n *node, line *text.Line) {
	if len(line.Lacking) > 0 {
		w.warn(n, "no font has %s", quoted(line.Lacking))
	}
}

// quoted names letters for a person.
func quoted(letters []rune) string {
	var s []string
	for _, r := range letters[:min(len(letters), 5)] {
		s = append(s, fmt.Sprintf("%q (U+%04X)", r, r))
	}
	if more := len(letters) - 5; more > 0 {
		return fmt.Sprintf("%s and %d more letters", strings.Join(s, ", "), more)
	}
	return strings.Join(s, ", ")
}

// fontsAsked lists the fonts that texts asked for.
func (w *walker) fontsAsked() []path.Font {
	var list []path.Font
	for f := range w.asked {
		list = append(list, f)
	}
	slices.SortFunc(list, func(a, b path.Font) int {
		return cmp.Or(cmp.Compare(a.Asked, b.Asked), cmp.Compare(a.Used, b.Used))
	})
	return list
}
