package svg

import (
	"strings"

	"golang.org/x/text/cases"
	"golang.org/x/text/language"

	"furrow/path"
	"furrow/path/text"
)

// letter is one character of a text element with what places it.
type letter struct {
	r            rune
	n            *node // the text, tspan, textPath, a or tref that it stands in
	style        *style
	size         float64 // of the font, user units
	x, y, rotate *float64
	dx, dy       float64
	raise        float64 // above the baseline, by baseline-shift
	align        string  // which line of the letter stands on the baseline; empty is its own
	lines        []lineStyle
	track        *track // of a textPath, else nil
}

const maxLetters = 100_000

// text draws a text element (SVG 2, 11.5, for horizontal text).
func (w *walker) text(n *node, st *state) {
	w.fontElements()
	w.texts++
	letters, ranges := w.letters(n, &st.style)
	w.tellBidi(letters, ranges)
	t := typesetter{w: w, n: n, st: st, letters: letters, ranges: ranges}
	t.all()
}

// letters returns those of a text element, and the elements that they stand in.
func (w *walker) letters(n *node, s *style) ([]letter, []letterRange) {
	c := letterCollector{w: w}
	c.element(n, s, &letter{align: s.align, lines: c.w.linesOf(s, nil)})
	letters := c.collapse()
	for i := range c.ranges {
		r := &c.ranges[i]
		r.first, r.last = c.shift[r.first], min(c.shift[r.last], len(letters))
		c.place(r, letters)
	}
	return letters, c.ranges
}

// letterCollector gathers the characters of a text element.
type letterCollector struct {
	w       *walker
	letters []letter
	ranges  []letterRange
	shift   []int // index behind collapsing, of each letter
}

// letterRange is the letters of an element.
type letterRange struct {
	n           *node
	style       *style
	first, last int
}

// element adds the letters of an element; like is what they have in common.
func (c *letterCollector) element(n *node, s *style, like *letter) {
	r := len(c.ranges)
	c.ranges = append(c.ranges, letterRange{n: n, style: s, first: len(c.letters)})
	for _, child := range n.children {
		switch child.name {
		case "":
			c.characters(child.text, n, s, like)
		case "tspan", "a", "textPath", "tref", "altGlyph":
			c.child(child, s, like)
		default:
			if kind, known := elements[child.name]; !known || kind.draws() {
				c.w.warn(child, path.Element, "an element inside text is left out")
			}
		}
	}
	c.ranges[r].last = len(c.letters)
}

// child adds those of an element inside another.
func (c *letterCollector) child(n *node, outer *style, like *letter) {
	s := c.w.cascade(n, outer)
	if s.none {
		return
	}
	inner := *like
	inner.raise += s.baselineShift.px(c.w.metrics(&s), c.w.view, vertical)
	if s.align != "" {
		inner.align = s.align
	}
	inner.lines = c.w.linesOf(&s, like.lines)
	switch n.name {
	case "textPath":
		if inner.track = c.w.track(n, &s); inner.track == nil {
			return
		}
	case "tref":
		c.referred(n, &s, &inner)
		return
	}
	c.element(n, &s, &inner)
}

// referred adds the characters of the element that a tref names (SVG 1.1, 10.6).
func (c *letterCollector) referred(n *node, s *style, like *letter) {
	t := c.w.target(n)
	if t == nil {
		return
	}
	r := len(c.ranges)
	c.ranges = append(c.ranges, letterRange{n: n, style: s, first: len(c.letters)})
	c.characters(textOf(t), n, s, like)
	c.ranges[r].last = len(c.letters)
}

// textOf returns all text inside an element, or more of it than can be set.
func textOf(n *node) string {
	if n.name == "" {
		return n.text
	}
	var b strings.Builder
	for _, child := range n.children {
		if b.Len() <= 4*maxLetters { // bytes
			b.WriteString(textOf(child))
		}
	}
	return b.String()
}

func (c *letterCollector) characters(text string, n *node, s *style, like *letter) {
	text = s.transformed(text)
	for _, r := range text {
		if len(c.letters) >= maxLetters {
			c.w.limit(n, "a text of more than %d characters", maxLetters)
			return
		}
		l := *like
		l.r, l.n, l.style, l.size = r, n, s, s.font.size
		if s.font.smallCaps {
			c.w.smallCap(&l)
		}
		c.letters = append(c.letters, l)
	}
}

// smallCap makes a small capital of a lower-case letter whose font has none.
func (w *walker) smallCap(l *letter) {
	upper := []rune(strings.ToUpper(string(l.r)))
	if len(upper) == 1 && upper[0] != l.r && !w.fonts.Face(l.style.textStyle()).SmallCaps() {
		l.r, l.size = upper[0], l.size*smallCapSize
	}
}

// smallCapSize is how large small capitals are that a font does not have: as in
// browsers, to which CSS leaves it (CSS Fonts 4, 6.6).
const smallCapSize = 0.7

// textStyle is what text is set in.
func (s *style) textStyle() text.Style {
	f := &s.font
	return text.Style{
		Families: f.family, Size: f.size, Weight: f.weight, Italic: f.italic,
		Stretch: f.stretch, SmallCaps: f.smallCaps, NoKerning: f.noKerning,
	}
}

// textStyle is what the letter is set in. A ligature cannot be spaced or turned.
func (l *letter) textStyle() text.Style {
	s := l.style.textStyle()
	s.Size = l.size
	s.NoLigatures = l.style.font.letterSpacing.v != 0 || l.rotate != nil || l.dx != 0 || l.dy != 0
	return s
}

// transformed applies text-transform.
func (s *style) transformed(text string) string {
	switch s.font.transform {
	case "uppercase":
		return cases.Upper(language.Und).String(text) // ß is SS
	case "lowercase":
		return strings.ToLower(text)
	case "capitalize":
		out, start := []rune(text), true
		for i, r := range out {
			if start {
				out[i] = []rune(strings.ToTitle(string(r)))[0]
			}
			start = r == ' ' || r == '\n' || r == '\t'
		}
		return string(out)
	}
	return text
}

// collapse handles white space: lines breaks vanish, tabs become spaces, runs
// and both ends shrink, unless it is to be preserved (SVG 1.1, 10.15).
func (c *letterCollector) collapse() []letter {
	var out []letter
	space := true // the last kept letter is a space, or there is none
	for _, l := range c.letters {
		c.shift = append(c.shift, len(out))
		keep := true
		switch {
		case l.style.preserve && strings.ContainsRune("\t\r\n", l.r):
			l.r = ' '
		case l.style.preserve:
		case l.r == '\n' || l.r == '\r':
			l.r, keep = ' ', !space // as CSS and all browsers of today: a break is a space
		case l.r == '\t' || l.r == ' ':
			l.r, keep = ' ', !space
		}
		if keep {
			out = append(out, l)
			space = l.r == ' ' && !l.style.preserve
		}
	}
	c.shift = append(c.shift, len(out))
	if n := len(out); n > 0 && space {
		out = out[:n-1]
	}
	return out
}

// place hands the positions of an element to its letters; inner elements come
// later and win.
func (c *letterCollector) place(r *letterRange, letters []letter) {
	if r.first >= r.last || r.n.name == "textPath" { // which has no places of its own
		return
	}
	own := letters[r.first:r.last]
	for i, v := range c.list(r, "x", horizontal, len(own)) {
		own[i].x = &v
	}
	for i, v := range c.list(r, "y", vertical, len(own)) {
		own[i].y = &v
	}
	for i, v := range c.list(r, "dx", horizontal, len(own)) {
		own[i].dx = v
	}
	for i, v := range c.list(r, "dy", vertical, len(own)) {
		own[i].dy = v
	}
	rotate := c.list(r, "rotate", horizontal, len(own))
	for i := range own { // the last angle holds for the rest
		if len(rotate) > 0 {
			own[i].rotate = &rotate[min(i, len(rotate)-1)]
		}
	}
}

// list reads a list of lengths, at most n of them.
func (c *letterCollector) list(r *letterRange, name string, d direction, n int) []float64 {
	var out []float64
	text := r.n.attr(name)
	for f := range strings.FieldsFuncSeq(text, func(r rune) bool { return strings.ContainsRune(" \t\r\n\f,", r) }) {
		l, ok := parseLength(f)
		px := l.px(c.w.metrics(r.style), c.w.view, d)
		if !ok || !(px > -maxUser && px < maxUser) {
			c.w.warn(r.n, path.BadValue, "%s is ignored: %q", name, clip(text))
			return nil
		}
		if out = append(out, px); len(out) == n {
			break
		}
	}
	return out
}
