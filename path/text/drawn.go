package text

import (
	"slices"

	"furrow/path"

	"github.com/go-text/typesetting/font"
)

// Drawn is a font that is given by its outlines, as the font elements of SVG 1.1 (20)
// give it. Lengths are in its own unit, with Y up.
type Drawn struct {
	Em              float64      // above 0
	Ascent, Descent float64      // Descent is below the baseline and positive; both 0 where not told
	Glyphs          []DrawnGlyph // of two that fit the first is taken
	Missing         DrawnGlyph   // stands for letters that no font has; its Text counts for nothing
	Kerns           map[[2]int]float64

	byFirst map[rune][]int // glyphs, by their first letter
}

// DrawnGlyph is one sign of a Drawn font.
type DrawnGlyph struct {
	Text    string // the letters that it stands for; several for a ligature
	Outline path.Path
	Advance float64
}

// EmbedDrawn adds a font under a family's name, as Embed does. Kerns name pairs of
// Glyphs by their indices and say how much nearer the second comes.
func (f *Fonts) EmbedDrawn(family string, weight int, italic bool, d Drawn) {
	d.byFirst = map[rune][]int{}
	for i := range d.Glyphs {
		for _, r := range d.Glyphs[i].Text {
			d.byFirst[r] = append(d.byFirst[r], i)
			break
		}
	}
	f.embeds++
	f.embed(ownFont{fontFile{drawn: &d, number: -100 - f.embeds, weight: weight, italic: italic}, family})
}

func newDrawnFace(d *Drawn, file fontFile, key faceKey) *Face {
	return &Face{
		Family: key.family, Slant: key.italic && !file.italic, drawn: d, em: d.Em, weight: file.weight,
		glyphs: map[glyphKey]path.Path{},
	}
}

// has reports a glyph for a letter alone.
func (d *Drawn) has(r rune) bool {
	return slices.ContainsFunc(d.byFirst[r], func(i int) bool { return d.Glyphs[i].Text == string(r) })
}

// glyph returns the one with an id: 0 is the missing one.
func (d *Drawn) glyph(id font.GID) *DrawnGlyph {
	if id == 0 {
		return &d.Missing
	}
	return &d.Glyphs[id-1]
}

// shape returns the signs of a piece from left to right.
func (d *Drawn) shape(letters []rune, p *piece) (signs []sign) {
	last := -1
	for i := p.first; i < p.last; {
		g, n := d.match(letters[i:p.last], p.style.NoLigatures)
		s := sign{id: font.GID(g + 1), cluster: i}
		s.advance = d.glyph(s.id).Advance / d.Em
		if k := d.Kerns[[2]int{last, g}]; k != 0 && !p.style.NoKerning {
			signs[len(signs)-1].advance -= k / d.Em
		}
		signs, last, i = append(signs, s), g, i+n
	}
	if p.level%2 == 1 {
		slices.Reverse(signs)
	}
	return signs
}

// match returns the glyph for what letters start with and how many it takes; -1 and
// one where there is none.
func (d *Drawn) match(letters []rune, alone bool) (glyph, n int) {
	for _, i := range d.byFirst[letters[0]] {
		runes := []rune(d.Glyphs[i].Text)
		n := len(runes)
		if n == 1 || !alone && n <= len(letters) && slices.Equal(letters[:n], runes) {
			return i, n
		}
	}
	return -1, 1
}
