package svg

import (
	"strconv"
	"strings"

	"furrow/path"
	"furrow/path/text"
)

// Bounds on the font elements of a document.
const (
	maxGlyphs = 70_000
	maxKerns  = 2_000_000 // pairs, and glyphs looked at for them
)

// fontElements adds the fonts that the document draws itself (SVG 1.1, 20), once, when
// a text is met.
func (w *walker) fontElements() {
	if w.fontsOf == w.tree {
		return
	}
	w.fontsOf = w.tree
	for _, n := range w.tree.nodes {
		switch {
		case n.foreign:
		case n.name == "font":
			if face := n.child("font-face"); face != nil {
				w.fontElement(n, face)
			}
		case n.name == "font-face" && n.parent != nil && n.parent.name != "font":
			for _, uri := range n.all("font-face-src", "font-face-uri") {
				if t := w.tree.ids[localID(uri.href())]; t != nil && t.name == "font" {
					w.fontElement(t, n)
				}
			}
		}
	}
}

// child returns the first child of a name, or nil.
func (n *node) child(name string) *node {
	for _, c := range n.children {
		if c.name == name {
			return c
		}
	}
	return nil
}

// all returns the elements of a name inside a child of another.
func (n *node) all(outer, inner string) (list []*node) {
	for _, o := range n.children {
		if o.name != outer {
			continue
		}
		for _, c := range o.children {
			if c.name == inner {
				list = append(list, c)
			}
		}
	}
	return list
}

// fontElement adds a font under the family, weight and style that a font-face says.
func (w *walker) fontElement(n, face *node) {
	family := strings.Trim(strings.TrimSpace(face.attr("font-family")), `"'`)
	c := &cascader{w: w, n: face, parent: &initial}
	italic, _ := asItalic(c, face.attr("font-style"))
	d, ok := w.drawnFont(n)
	if !ok || family == "" {
		return
	}
	weights := []int{400, 700} // of "all", which is what none means (SVG 1.1, 20.8.3)
	if list := face.attr("font-weight"); list != "" && list != "all" {
		first, _, _ := strings.Cut(list, ",")
		weights = []int{400}
		if v, ok := asWeight(c, strings.TrimSpace(first)); ok {
			weights[0] = v
		}
	}
	for _, v := range weights {
		w.fonts.EmbedDrawn(family, v, italic, d)
	}
}

// drawnFont reads the glyphs of a font element.
func (w *walker) drawnFont(n *node) (d text.Drawn, ok bool) {
	if w.faces++; w.faces > maxFontFaces {
		w.warn(n, path.Lettering, "more than %d fonts in the file: the others are not used", maxFontFaces)
		return d, false
	}
	face := n.child("font-face")
	if face == nil {
		face = &node{}
	}
	d.Em = face.number("units-per-em", 1000)
	d.Ascent, d.Descent = face.number("ascent", 0), -face.number("descent", 0)
	if !(d.Em > 0) {
		return d, false
	}
	advance := n.number("horiz-adv-x", 0)
	d.Missing = text.DrawnGlyph{Advance: advance}
	k := kerner{named: map[string][]int{}, spelt: map[string][]int{}}
	for _, c := range n.children {
		switch {
		case c.name == "missing-glyph":
			d.Missing = w.glyphElement(c, advance)
		case c.name == "glyph" && c.attr("orientation") != "v" && len(k.glyphs) < maxGlyphs:
			k.add(c, w.glyphElement(c, advance))
		}
	}
	d.Glyphs, d.Kerns = k.glyphs, k.kerns(n)
	return d, true
}

// glyphElement reads one glyph, whose Y is up.
func (w *walker) glyphElement(n *node, advance float64) text.DrawnGlyph {
	g := text.DrawnGlyph{Text: n.attr("unicode"), Advance: n.number("horiz-adv-x", advance)}
	var err error
	if g.Outline, err = parsePathData(n.attr("d")); err != nil {
		w.warn(n, path.PathData, "%v", err)
	}
	for _, c := range n.children {
		if elements[c.name].draws() {
			w.warn(n, path.Lettering, "what is drawn in a glyph beside its d is left out")
			break
		}
	}
	if form := n.attr("arabic-form"); form != "" && form != "isolated" {
		w.warn(n, path.Lettering, "letters of this font are not joined as their places in a word ask for")
	}
	return g
}

// number returns a number, or what stands for it where there is none.
func (n *node) number(attr string, missing float64) float64 {
	if list, ok := numberList(n.attr(attr), 1); ok && len(list) == 1 && list[0] > -maxUser && list[0] < maxUser {
		return list[0]
	}
	return missing
}

// kerner pairs glyphs by their names and letters (SVG 1.1, 20.7).
type kerner struct {
	glyphs []text.DrawnGlyph
	named  map[string][]int // glyphs by name
	spelt  map[string][]int // and by their letters
	effort int              // pairs made and glyphs looked at
}

// add notes the names and letters of a glyph.
func (k *kerner) add(n *node, g text.DrawnGlyph) {
	i := len(k.glyphs)
	k.glyphs = append(k.glyphs, g)
	k.spelt[g.Text] = append(k.spelt[g.Text], i)
	for name := range strings.SplitSeq(n.attr("glyph-name"), ",") {
		name = strings.TrimSpace(name)
		k.named[name] = append(k.named[name], i)
	}
}

// kerns returns by how much pairs of glyphs come nearer, which hkern elements say; the
// first of two that name the same pair holds.
func (k *kerner) kerns(n *node) map[[2]int]float64 {
	pairs := map[[2]int]float64{}
	for _, c := range n.children {
		if c.name != "hkern" {
			continue
		}
		by := c.number("k", 0)
		firsts, seconds := k.side(c, "1"), k.side(c, "2")
		if k.effort += len(firsts) * len(seconds); k.effort > maxKerns {
			break
		}
		for _, a := range firsts {
			for _, b := range seconds {
				if _, ok := pairs[[2]int{a, b}]; !ok {
					pairs[[2]int{a, b}] = by
				}
			}
		}
	}
	return pairs
}

// side returns the glyphs that the attributes u and g with a number name.
func (k *kerner) side(n *node, number string) (list []int) {
	if names := n.attr("g" + number); names != "" {
		for name := range strings.SplitSeq(names, ",") {
			list = append(list, k.named[strings.TrimSpace(name)]...)
		}
	}
	letters := n.attr("u" + number)
	if letters == "" {
		return list
	}
	for one := range strings.SplitSeq(letters, ",") {
		lo, hi, ok := unicodeRange(strings.TrimSpace(one))
		if !ok {
			list = append(list, k.spelt[one]...)
			continue
		}
		for i := range k.glyphs {
			if r := []rune(k.glyphs[i].Text); len(r) == 1 && r[0] >= lo && r[0] <= hi {
				list = append(list, i)
			}
		}
		k.effort += len(k.glyphs)
	}
	return list
}

// unicodeRange reads U+26, U+4?? or U+20-7E (CSS 2, 15.3.6).
func unicodeRange(s string) (lo, hi rune, ok bool) {
	hex, ok := strings.CutPrefix(strings.ToUpper(s), "U+")
	if !ok {
		return 0, 0, false
	}
	from, to, isRange := strings.Cut(hex, "-")
	if !isRange {
		from, to = strings.ReplaceAll(hex, "?", "0"), strings.ReplaceAll(hex, "?", "F")
	}
	a, err := strconv.ParseUint(from, 16, 31)
	b, err2 := strconv.ParseUint(to, 16, 31)
	return rune(a), rune(b), err == nil && err2 == nil
}
