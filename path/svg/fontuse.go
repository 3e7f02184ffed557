package svg

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/path"
	"furrow/path/text"
)

// tellFont warns when the font is another than the first one asked for, or lacks the
// weight or width; at is where it is used.
func (w *walker) tellFont(l *letter, at path.Rect) {
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
		w.warnAt(l.n, at, path.Lettering, "it names no font; set in the built-in Go font")
	case asked == "":
		w.warnAt(l.n, at, path.Lettering, "it names no font; set in %s", f.Family)
	case f.Family == "":
		w.warnAt(l.n, at, path.MissingFont,
			"the font asked for (%s) is not at hand; set in the built-in Go font", clip(asked))
	case !text.Generic(first) && !text.SameName(first, f.Family):
		w.warnAt(l.n, at, path.Lettering,
			"the font asked for (%s) is not at hand; set in %s, which it names next", clip(first), f.Family)
	}
	w.tellCut(l, f, at)
	w.tellUnfollowed(l, at)
}

// otherWeight is how much lighter a font may be than asked for before it is told:
// regular in place of bold is as far. A heavier one may have been asked for by name.
const otherWeight = 300

// tellCut warns of a weight or width that the font does not have.
func (w *walker) tellCut(l *letter, f *text.Face, at path.Rect) {
	font := &l.style.font
	if have := f.Weight(); font.weight-have >= otherWeight {
		w.warnAt(l.n, at, path.Lettering,
			"no cut of %s as bold as %d is at hand; set in one of %d", named(f), font.weight, have)
	}
	if font.stretch != 0 && font.stretch != 100 && !f.Stretches() {
		w.warnAt(l.n, at, path.Lettering, "%s has no width of %g %%; set in its own", named(f), font.stretch)
	}
}

func named(f *text.Face) string { return cmp.Or(f.Family, "the built-in Go font") }

// tellLacking warns of letters that there are in no font at all.
func (w *walker) tellLacking(n *node, lacking []rune, at path.Rect) {
	if len(lacking) > 0 {
		w.warnAt(n, at, path.Lettering, "no font has %s", quoted(lacking))
	}
}

// tellBorrowed warns of letters that come from a font that the text does not ask for.
func (t *typesetter) tellBorrowed(run []sign) {
	style := run[0].letter.style.textStyle()
	main := t.w.fonts.Face(style)
	letters := map[*text.Face][]rune{}
	var faces []*text.Face
	for i := range run {
		face, r := run[i].glyph.Face, run[i].letter.r
		if face == main || slices.Contains(letters[face], r) || len(t.w.fonts.Lacking(string(r), style)) == 0 {
			continue
		}
		if letters[face] == nil {
			faces = append(faces, face)
		}
		letters[face] = append(letters[face], r)
	}
	for _, face := range faces {
		t.w.warnAt(run[0].letter.n, t.box(run), path.Lettering,
			"its font has no %s: taken from %s", quoted(letters[face]), named(face))
	}
}

// tellBidi warns of a direction that is forced on letters (SVG 2, 11.4), where it is
// another than theirs.
func (w *walker) tellBidi(letters []letter, ranges []letterRange) {
	for _, r := range ranges {
		if b := strings.ToLower(r.style.bidi); b == "" || b == "normal" {
			continue
		}
		back := func(l letter) bool { return text.RunsBack(l.r) }
		if r.style.rightToLeft || slices.ContainsFunc(letters[r.first:max(r.first, r.last)], back) {
			w.warn(r.n, path.Lettering,
				"unicode-bidi %s is not followed; letters run as their script has it", clip(r.style.bidi))
		}
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
