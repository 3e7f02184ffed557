package text

import (
	"slices"

	"furrow/path"
)

// Run is a piece of a text with a style of its own.
type Run struct {
	Text  string
	Style Style
}

// Glyph is one sign of a line: a letter, a part of one, or several joined.
type Glyph struct {
	Outline path.Path  // from its own origin, Y up; shared, so never to be changed
	At      path.Point // of that origin, from the start of the line
	Advance float64    // to where the next sign stands
	First   int        // the first of the letters that it stands for, of all runs together
	Letters int        // how many it stands for; 0 where the sign beside it does so
	Face    *Face
	Back    bool // it stands in text that runs right to left
}

// Line is a text on one line, from 0,0 along X, with Y up. The zero value is empty.
type Line struct {
	Glyphs  []Glyph // from left to right
	Width   float64 // sum of the advances
	Lacking []rune  // letters that no font has, each once; their sign is the font's for such
}

// Set sets a text of one style. The error is a font that cannot be drawn.
func (f *Fonts) Set(text string, s Style) (Line, error) { return f.SetRuns(false, Run{text, s}) }

// SetRuns sets a text of several styles; kerning and ligatures hold across runs of
// the same style. With rightToLeft it runs so as a whole, as text in Arabic with a
// word in English does. The error is a font that cannot be drawn.
func (f *Fonts) SetRuns(rightToLeft bool, runs ...Run) (Line, error) {
	var letters []rune
	var styles []Style
	for _, r := range runs {
		for _, c := range r.Text {
			letters, styles = append(letters, c), append(styles, r.Style)
		}
	}
	var l Line
	pieces, lacking := f.pieces(letters, styles, levelsOf(letters, rightToLeft))
	l.Lacking = lacking
	reorder(pieces)
	for i := range pieces {
		signs, err := f.shaper.shape(letters, &pieces[i])
		if err != nil {
			return Line{}, err
		}
		l.add(signs, &pieces[i])
	}
	return l, nil
}

// add appends the signs of a piece.
func (l *Line) add(signs []sign, p *piece) {
	size := p.style.Size
	for i, s := range signs {
		at := path.Point{X: l.Width + float64(s.dx*size), Y: s.dy * size}
		g := Glyph{Outline: p.face.glyph(s.id, size), At: at, Advance: s.advance * size, First: s.cluster, Face: p.face,
			Back: p.level%2 == 1}
		if i == 0 || signs[i-1].cluster != s.cluster {
			g.Letters = clusterEnd(signs, i, p) - s.cluster
		}
		l.Width += g.Advance
		l.Glyphs = append(l.Glyphs, g)
	}
}

// clusterEnd returns the letter behind those that sign i stands for: where the next
// cluster begins, which is before it in text that runs back.
func clusterEnd(signs []sign, i int, p *piece) int {
	own := signs[i].cluster
	if p.level%2 == 1 {
		for k := i - 1; k >= 0; k-- {
			if signs[k].cluster != own {
				return signs[k].cluster
			}
		}
		return p.last
	}
	for _, s := range signs[i:] {
		if s.cluster != own {
			return s.cluster
		}
	}
	return p.last
}

// Path returns the outlines of all signs.
func (l *Line) Path() path.Path {
	verbs, points := 0, 0
	for i := range l.Glyphs {
		verbs += len(l.Glyphs[i].Outline.Verbs)
		points += len(l.Glyphs[i].Outline.Points)
	}
	p := path.Path{Verbs: make([]path.Verb, 0, verbs), Points: make([]path.Point, 0, points)}
	for i := range l.Glyphs {
		l.Glyphs[i].AppendTo(&p)
	}
	return p
}

// AppendTo adds the sign's outline, where it stands on the line, to p.
func (g *Glyph) AppendTo(p *path.Path) {
	p.Verbs = append(p.Verbs, g.Outline.Verbs...)
	for _, q := range g.Outline.Points {
		p.Points = append(p.Points, q.Add(g.At))
	}
}

// Shape returns the line as one painted shape.
func (l *Line) Shape(p path.Paint) path.Shape {
	return path.Shape{Path: l.Path(), Paint: p, Source: path.Source{Element: "text"}}
}

// Width returns how far a text of one style advances; 0 where its font cannot be
// drawn.
func (f *Fonts) Width(text string, s Style) float64 {
	l, _ := f.Set(text, s)
	return l.Width
}

// Lacking returns the letters of a text that no font of a style's list has, each
// once: Set takes them from any other font, or draws the sign for such.
func (f *Fonts) Lacking(text string, s Style) []rune {
	var list []rune
	for _, r := range text {
		if !invisible(r) && !slices.Contains(list, r) && f.listed(r, s.wanted()) == nil {
			list = append(list, r)
		}
	}
	return list
}
