package stroke

import "furrow/path"

// made returns the letters that are composed by hand, since Unicode does not take
// them apart.
func (f *Font) made(r rune) (glyph, bool) {
	g := f.glyphs
	switch r {
	case 'ı', 'ȷ':
		return g[map[rune]rune{'ı': 'i', 'ȷ': 'j'}[r]].dotless(), true
	case 'ł':
		return g['l'].across("-2,8 2,12"), true
	case 'Ł':
		return g['L'].left("-2,8 4,12"), true
	case 'đ':
		return g['d'].right("-5,17.5 2,17.5"), true
	case 'Đ':
		return g['Ð'], true
	case 'ħ':
		return g['h'].left("-2,17.5 5,17.5"), true
	case 'Ħ':
		return g['H'].left("-1.5,16 0,16").right("-14,16 1.5,16"), true
	case 'ŧ':
		return g['t'].across("-3,7.5 3,7.5"), true
	case 'Ŧ':
		return g['T'].across("-3.5,10 3.5,10"), true
	case 'ŋ', 'Ŋ':
		return g[map[rune]rune{'ŋ': 'n', 'Ŋ': 'N'}[r]].right("0,0 0,-4 -1,-6 -2,-7 -4,-7"), true
	case 'µ', '\u03bc':
		return g['u'].left("0,4 0,-7"), true
	case 'ẞ':
		return g['ß'], true
	}
	return f.joined(r)
}

// joined returns letters made of two, and those drawn whole.
func (f *Font) joined(r rune) (glyph, bool) {
	g := f.glyphs
	switch r {
	case 'æ':
		return g['a'].join(g['e'], 0), true
	case 'œ':
		return g['o'].join(g['e'], 0), true
	case 'Œ':
		return g['O'].join(g['E'], 0), true
	case 'Æ':
		return glyph{21 * unit, drawn("1,0 11,21; 11,21 11,0; 4.3,7 11,7; 11,21 20,21; 11,11 17,11; 11,0 20,0")}, true
	case 'Þ':
		return glyph{18 * unit, drawn("4,21 4,0; 4,17 13,17 15,16 16,15 17,13 17,10 16,8 15,7 13,6 4,6")}, true
	case 'þ':
		return g['p'].left("0,14 0,21"), true
	case 'ð':
		return g['o'].right("0,6 -1,11 -3,16 -5,19 -8,21; -10,15 -1,20"), true
	case 'ĳ', 'Ĳ':
		pair := map[rune][2]rune{'ĳ': {'i', 'j'}, 'Ĳ': {'I', 'J'}}[r]
		return g[pair[0]].join(g[pair[1]], 4), true
	case 'ŀ', 'Ŀ':
		return g[map[rune]rune{'ŀ': 'l', 'Ŀ': 'L'}[r]].join(g['·'], 3), true
	case '\u201e':
		low := g['\u201d']
		return glyph{advance: low.advance}.add(low.strokes, path.Point{Y: -17 * unit}), true
	case '\u2026':
		return g['.'].join(g['.'], 6).join(g['.'], 6), true
	case '\u202f':
		return glyph{advance: g[' '].advance / 2}, true
	}
	return glyph{}, false
}

// left, across and right add strokes on the grid, from the left, the middle or the
// right of the ink.
func (g glyph) left(strokes string) glyph {
	return g.add(drawn(strokes), path.Point{X: g.bounds().Min.X})
}
func (g glyph) across(strokes string) glyph {
	return g.add(drawn(strokes), path.Point{X: g.bounds().Centre().X})
}
func (g glyph) right(strokes string) glyph {
	return g.add(drawn(strokes), path.Point{X: g.bounds().Max.X})
}

// join returns g with h beside it, so many units of the grid from ink to ink.
func (g glyph) join(h glyph, gap float64) glyph {
	by := g.bounds().Max.X + float64(gap*unit) - h.bounds().Min.X
	g = g.add(h.strokes, path.Point{X: by})
	g.advance = by + h.advance
	return g
}
