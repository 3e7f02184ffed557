package svg

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"furrow/path"
	"furrow/path/text"
)

// letter is one character of a text element with what places it.
type letter struct {
	r            rune
	n            *node // the text, tspan or a that it stands in
	style        *style
	x, y, rotate *float64
	dx, dy       float64
}

const maxLetters = 100_000

// text draws a text element (SVG 2, 11.5, for horizontal text).
func (w *walker) text(n *node, st *state) {
	c := letterCollector{w: w}
	c.element(n, &st.style)
	letters := c.collapse()
	for i := range c.ranges {
		c.place(&c.ranges[i], letters)
	}
	l := typesetter{w: w, n: n, st: st, letters: letters}
	l.all()
}

// letterCollector gathers the characters of a text element.
type letterCollector struct {
	w       *walker
	letters []letter
	ranges  []letterRange
	shift   []int // index behind collapsing, of each letter
}

// letterRange is the letters of an element with positions.
type letterRange struct {
	n           *node
	style       *style
	first, last int
}

func (c *letterCollector) element(n *node, s *style) {
	r := len(c.ranges)
	c.ranges = append(c.ranges, letterRange{n: n, style: s, first: len(c.letters)})
	for _, child := range n.children {
		switch {
		case child.name == "":
			c.characters(child.text, n, s)
		case child.name == "tspan" || child.name == "a":
			inner := c.w.cascade(child, s)
			if !inner.none {
				c.element(child, &inner)
			}
		case child.name == "textPath" || child.name == "tref":
			c.w.warn(child, "%s is not supported; its text is left out", child.name)
		}
	}
	c.ranges[r].last = len(c.letters)
}

func (c *letterCollector) characters(text string, n *node, s *style) {
	for _, r := range text {
		if len(c.letters) >= maxLetters {
			c.w.limit(n, "a text of more than %d characters", maxLetters)
			return
		}
		c.letters = append(c.letters, letter{r: r, n: n, style: s})
	}
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
	if n := len(out); n > 0 && space && out[n-1].r == ' ' {
		out = out[:n-1]
	}
	return out
}

// place hands the positions of an element to its letters; inner elements come
// later and win.
func (c *letterCollector) place(r *letterRange, letters []letter) {
	first, last := c.shift[r.first], min(c.shift[r.last], len(letters))
	if first >= last {
		return
	}
	own := letters[first:last]
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
			c.w.warn(r.n, "%s is ignored: %q", name, clip(text))
			return nil
		}
		if out = append(out, px); len(out) == n {
			break
		}
	}
	return out
}

// typesetter sets letters in runs that are shaped as one, and runs in chunks
// that are anchored as one.
type typesetter struct {
	w       *walker
	n       *node
	st      *state
	letters []letter
	at      path.Point
	chunk   []textRun
	last    *letter // set so far
}

// textRun is an outline from its own origin.
type textRun struct {
	outline path.Path
	at      path.Point
	angle   float64
	first   *letter
}

func (t *typesetter) all() {
	for i := 0; i < len(t.letters) && t.w.err == nil; {
		l := &t.letters[i]
		if l.x != nil || l.y != nil {
			t.flush()
		}
		if l.x != nil {
			t.at.X = *l.x
		}
		if l.y != nil {
			t.at.Y = *l.y
		}
		t.at = t.at.Add(path.Point{X: l.dx, Y: l.dy})
		n := t.runLength(i)
		t.run(t.letters[i : i+n])
		i += n
	}
	t.flush()
}

// runLength returns how many letters from i on are shaped together.
func (t *typesetter) runLength(i int) int {
	l := &t.letters[i]
	if l.rotate != nil || l.spaced() {
		return 1
	}
	n := 1
	for ; i+n < len(t.letters); n++ {
		m := &t.letters[i+n]
		if m.style != l.style || m.x != nil || m.y != nil || m.dx != 0 || m.dy != 0 || m.rotate != nil {
			break
		}
	}
	return n
}

// spaced reports that each letter is set by itself, with the space asked for.
func (l *letter) spaced() bool {
	return l.style.font.letterSpacing.v != 0 || l.style.font.wordSpacing.v != 0
}

func (t *typesetter) run(letters []letter) {
	var b strings.Builder
	for i := range letters {
		b.WriteRune(letters[i].r)
	}
	l := &letters[0]
	t.tellFont(l)
	style := l.style.textStyle()
	if l.spaced() && t.last != nil && t.last.style == l.style && l.x == nil && l.rotate == nil {
		t.at.X += t.kern(t.last.r, l.r, style)
	}
	t.last = &letters[len(letters)-1]
	line, err := t.w.fonts.Set(b.String(), style)
	if err != nil {
		t.w.warn(l.n, "text is left out: %v", err)
		return
	}
	if len(line.Lacking) > 0 {
		t.w.warn(l.n, "no font has %d of the characters", len(line.Lacking))
	}
	outline, advance := line.Path().Transform(path.Scale(1, -1)), line.Width
	shift := l.style.baselineShift.px(t.w.metrics(l.style), t.w.view, vertical)
	run := textRun{outline: outline, at: t.at.Sub(path.Point{Y: shift}), first: l}
	if l.rotate != nil {
		run.angle = *l.rotate
	}
	t.chunk = append(t.chunk, run)
	t.at.X += advance + l.style.font.letterSpacing.px(t.w.metrics(l.style), t.w.view, horizontal)
	if l.r == ' ' {
		t.at.X += l.style.font.wordSpacing.px(t.w.metrics(l.style), t.w.view, horizontal)
	}
}

// kern returns by how much two letters stand nearer to each other, or farther apart,
// than their advances say.
func (t *typesetter) kern(a, b rune, s text.Style) float64 {
	width := t.w.fonts.Width
	s.NoLigatures = true
	return width(string(a)+string(b), s) - width(string(a), s) - width(string(b), s)
}

// textStyle is what the text is set in.
func (s *style) textStyle() text.Style {
	return text.Style{Families: s.font.family, Size: s.font.size, Weight: s.font.weight, Italic: s.font.italic}
}

// tellFont warns when the font is another than the first one asked for.
func (t *typesetter) tellFont(l *letter) {
	f := t.w.fonts.Face(l.style.textStyle())
	asked := l.style.font.family
	if t.w.asked == nil {
		t.w.asked = map[path.Font]bool{}
	}
	t.w.asked[path.Font{Asked: asked, Used: f.Family}] = true
	first, _, _ := strings.Cut(asked, ",")
	first = strings.Trim(strings.TrimSpace(first), `"'`)
	switch {
	case asked == "" && f.Family == "":
		t.w.warn(l.n, "it names no font; set in the built-in Go font")
	case asked == "":
		t.w.warn(l.n, "it names no font; set in %s", f.Family)
	case f.Family == "":
		t.w.warnings.add(path.Warning{
			Message: fmt.Sprintf("the font asked for (%s) is not at hand; set in the built-in Go font", clip(asked)),
			Kind:    path.MissingFont, Element: l.n.label(), Line: l.n.line,
		})
	case !text.Generic(first) && !text.SameName(first, f.Family):
		t.w.warn(l.n, "the font asked for (%s) is not at hand; set in %s, which it names next", clip(first), f.Family)
	}
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

// flush draws the chunk, moved by its anchor.
func (t *typesetter) flush() {
	chunk := t.chunk
	if t.chunk = nil; len(chunk) == 0 {
		return
	}
	width := t.at.X - chunk[0].at.X
	move := 0.0
	switch chunk[0].first.style.anchor {
	case "middle":
		move = -width / 2
	case "end":
		move = -width
	}
	for _, r := range chunk {
		st := *t.st
		st.style.inherited = r.first.style.inherited
		m := path.Translate(r.at.X+move, r.at.Y).Mul(path.Rotate(r.angle))
		t.w.shape(t.n, &st, r.outline.Transform(m))
	}
}
