package stroke

import (
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"furrow/path"
)

// glyph returns the letter r: the font's own, one that is composed by hand, or a
// letter with the accents that Unicode takes it apart into. Where the font has an
// accented letter, it is composed all the same, so that all accents are alike.
func (f *Font) glyph(r rune) (glyph, bool) {
	if same, ok := alike[r]; ok {
		r = same
	}
	if parts := []rune(norm.NFD.String(string(r))); len(parts) > 1 {
		return f.accented(parts[0], parts[1:])
	}
	if g, ok := f.made(r); ok {
		return g, true
	}
	g, ok := f.glyphs[r]
	return g, ok
}

// alike are signs that look the same in lines.
var alike = map[rune]rune{
	'\u2010': '-', '\u2011': '-', '\u2019': '\'', '\u02bc': '\'', '\u2032': '\'', '\u2033': '"',
	'\u2018': '`', '\u201a': ',', '\u2022': '·', '\u2009': '\u202f', '\u2212': '\u2013',
}

// accented puts accents on a letter, each above or below those before it.
func (f *Font) accented(letter rune, marks []rune) (glyph, bool) {
	base, ok := f.glyph(letter)
	if !ok {
		return glyph{}, false
	}
	if (letter == 'i' || letter == 'j') && slices.ContainsFunc(marks, above) {
		base = base.dotless()
	}
	for _, m := range marks {
		if beside(letter, m) {
			base = base.apostrophe()
			continue
		}
		if base, ok = base.accent(letter, m); !ok {
			return glyph{}, false
		}
	}
	return base.apart(), true
}

// apart gives a glyph whose accents are wider than its letter room for them.
func (g glyph) apart() glyph {
	ink := g.bounds()
	by := max(0, unit-ink.Min.X)
	out := glyph{advance: max(g.advance, ink.Max.X+unit) + by}
	return out.add(g.strokes, path.Point{X: by})
}

// beside tells the letters whose caron looks like an apostrophe at their right.
func beside(letter, mark rune) bool { return mark == caron && strings.ContainsRune("dtlL", letter) }

func (g glyph) apostrophe() glyph {
	ink := g.bounds()
	g = g.add(drawn("0,0 -1,-5"), path.Point{X: ink.Max.X + 3*unit, Y: 21 * unit})
	g.advance = max(g.advance, ink.Max.X+4.5*unit)
	return g
}

// accent adds one mark over, or under, the ink of a glyph.
func (g glyph) accent(letter, mark rune) (glyph, bool) {
	mark = shown(letter, mark)
	strokes, ok := accents[mark]
	if !ok {
		return glyph{}, false
	}
	ink := g.bounds()
	at := path.Point{X: ink.Centre().X}
	switch {
	case mark == ogonek:
		at = g.foot()
	case below(mark):
		at.Y = min(ink.Min.Y, 0)
	default:
		at.Y = max(ink.Max.Y, xHeight) + 2.5*unit
	}
	return g.add(strokes, at), true
}

// shown returns the mark that a letter wears for the one that Unicode names: a
// cedilla is a comma but for c, s and t, and stands turned above g.
func shown(letter, mark rune) rune {
	switch {
	case mark != cedilla || strings.ContainsRune("cCsStT", letter):
		return mark
	case letter == 'g':
		return commaAbove
	}
	return commaBelow
}

func below(mark rune) bool { return mark == commaBelow || mark == cedilla || mark == ogonek }
func above(mark rune) bool { return !below(mark) }

// foot returns the rightmost place on the base line.
func (g glyph) foot() path.Point {
	foot := path.Point{X: g.bounds().Centre().X}
	for _, s := range g.strokes {
		for _, p := range s {
			if p.Y < unit/2 {
				foot.X = max(foot.X, p.X)
			}
		}
	}
	return foot
}

// dotless returns g without the strokes above the height of x.
func (g glyph) dotless() glyph {
	g.strokes = slices.DeleteFunc(slices.Clone(g.strokes), func(s []path.Point) bool {
		return path.BoundsOf(s).Min.Y > xHeight
	})
	return g
}

// add returns g with more strokes, moved to at.
func (g glyph) add(strokes [][]path.Point, at path.Point) glyph {
	g.strokes = slices.Clone(g.strokes)
	for _, s := range strokes {
		g.strokes = append(g.strokes, moved(s, at))
	}
	return g
}

func moved(s []path.Point, by path.Point) []path.Point {
	out := make([]path.Point, len(s))
	for i, p := range s {
		out[i] = p.Add(by)
	}
	return out
}
