package svg

import (
	"math"

	"furrow/path"
	"furrow/path/text"
)

// typesetter sets the letters of a text element, chunk by chunk.
type typesetter struct {
	w       *walker
	n       *node
	st      *state
	letters []letter
	ranges  []letterRange
	at      path.Point
	lacking []rune // of the chunk, in all fonts
}

// sign is a glyph where it stands, in user units.
type sign struct {
	glyph   *text.Glyph
	letter  *letter
	at      path.Point // of its origin
	advance float64
	stretch float64 // along the line
	turn    float64 // degrees, clockwise on screen
	hidden  bool    // beyond the end of its path
}

func (t *typesetter) all() {
	for i := 0; i < len(t.letters) && t.w.err == nil; {
		n := t.chunk(i)
		signs := t.set(i, i+n)
		t.anchor(signs, &t.letters[i])
		if k := t.letters[i].track; k != nil {
			k.carry(signs)
			t.at = k.end()
		}
		t.draw(signs)
		t.w.tellLacking(t.letters[i].n, t.lacking, t.box(signs))
		i += n
	}
}

// chunk returns how many letters from i on are anchored together: up to the next
// with a place of its own, or on another path.
func (t *typesetter) chunk(i int) int {
	n := 1
	for ; i+n < len(t.letters); n++ {
		l := &t.letters[i+n]
		if l.x != nil || l.y != nil || l.track != t.letters[i].track {
			break
		}
	}
	return n
}

// set shapes the letters of a chunk and lays their signs out from where it starts.
func (t *typesetter) set(first, last int) []sign {
	letters := t.letters[first:last]
	l := &letters[0]
	if l.track != nil {
		t.at = path.Point{X: l.track.start}
	}
	if l.x != nil {
		t.at.X = *l.x
	}
	if l.y != nil && l.track == nil {
		t.at.Y = *l.y
	}
	line, err := t.w.fonts.SetRuns(t.st.style.rightToLeft, t.runs(letters)...)
	if err != nil {
		t.w.warn(l.n, path.Lettering, "text is left out: %v", err)
		return nil
	}
	t.lacking = line.Lacking
	signs := t.lay(&line, letters)
	for _, r := range t.ranges {
		if r.first >= first && r.last <= last {
			t.fit(signs, r, first)
		}
	}
	return signs
}

// runs joins the letters of one font.
func (t *typesetter) runs(letters []letter) []text.Run {
	var runs []text.Run
	for i := 0; i < len(letters); {
		s := letters[i].textStyle()
		var words []rune
		for ; i < len(letters) && letters[i].textStyle() == s; i++ {
			words = append(words, letters[i].r)
		}
		runs = append(runs, text.Run{Text: string(words), Style: s})
	}
	return runs
}

// lay places the signs of a line one after the other, with what the letters say of
// their places and the spaces between them.
func (t *typesetter) lay(line *text.Line, letters []letter) []sign {
	signs := make([]sign, len(line.Glyphs))
	along := 0.0 // on the line as it was shaped
	for i := range line.Glyphs {
		g := &line.Glyphs[i]
		l := &letters[g.First]
		for _, one := range letters[g.First : g.First+g.Letters] {
			t.at = t.at.Add(path.Point{X: one.dx, Y: one.dy})
		}
		s := sign{glyph: g, letter: l, advance: g.Advance, stretch: 1}
		s.at = t.at.Add(path.Point{X: g.At.X - along, Y: -g.At.Y - l.raise + t.w.baseline(l, g.Face)})
		if l.rotate != nil {
			s.turn = *l.rotate
		}
		if i+1 == len(line.Glyphs) || line.Glyphs[i+1].Letters > 0 {
			s.advance += t.space(l)
		}
		along += g.Advance
		t.at.X += s.advance
		signs[i] = s
	}
	return signs
}

// space returns what stands behind a letter beyond its advance.
func (t *typesetter) space(l *letter) float64 {
	space := l.style.font.letterSpacing.px(t.w.metrics(l.style), t.w.view, horizontal)
	if l.r == ' ' || l.r == '\u00a0' {
		space += l.style.font.wordSpacing.px(t.w.metrics(l.style), t.w.view, horizontal)
	}
	return space
}

// baseline returns how far below the line a letter's own baseline lies, by the line
// of it that is to stand there (CSS Inline 3, 4.2).
func (w *walker) baseline(l *letter, face *text.Face) float64 {
	line := l.align
	if line == "" {
		line = l.style.baseline
	}
	if line == "" {
		return 0
	}
	m := face.Metrics()
	height := 0.0
	switch line {
	case "middle":
		height = m.XHeight / 2
	case "central":
		height = (m.Ascent - m.Descent) / 2
	case "mathematical":
		height = m.Ascent / 2
	case "hanging":
		height = m.Ascent * 0.8
	case "text-before-edge", "before-edge", "text-top", "top":
		height = m.Ascent
	case "ideographic", "text-after-edge", "after-edge", "text-bottom", "bottom":
		height = -m.Descent
	}
	return height * l.size
}

// anchor moves a chunk by its anchor.
func (t *typesetter) anchor(signs []sign, first *letter) {
	if len(signs) == 0 {
		return
	}
	width := signs[len(signs)-1].at.X + signs[len(signs)-1].advance - signs[0].at.X
	share := map[string]float64{"middle": 0.5, "end": 1}[first.style.anchor]
	if t.st.style.rightToLeft {
		share = 1 - share
	}
	t.at.X -= share * width
	for i := range signs {
		signs[i].at.X -= share * width
	}
}

// fit stretches the signs of an element to its textLength (SVG 2, 11.5: resolve text
// length), and moves those behind it.
func (t *typesetter) fit(signs []sign, r letterRange, first int) {
	g := geometry{w: t.w, n: r.n, s: r.style}
	want, ok := g.maybe("textLength", horizontal)
	if !ok || want < 0 {
		return
	}
	var own []int
	for i := range signs {
		if at := signs[i].glyph.First + first; at >= r.first && at < r.last {
			own = append(own, i)
		}
	}
	if len(own) == 0 {
		return
	}
	a, b := math.Inf(1), math.Inf(-1)
	for _, i := range own {
		a, b = min(a, signs[i].at.X), max(b, signs[i].at.X+signs[i].advance)
	}
	more := want - (b - a)
	if !(b > a) {
		return
	}
	k := want / (b - a)
	glyphs := r.n.attr("lengthAdjust") == "spacingAndGlyphs"
	for n, i := range own {
		s := &signs[i]
		if glyphs {
			s.at.X, s.advance, s.stretch = a+(s.at.X-a)*k, s.advance*k, s.stretch*k
		} else if len(own) > 1 {
			s.at.X += more * float64(n) / float64(len(own)-1)
		}
	}
	if !glyphs && len(own) == 1 {
		more = 0
	}
	for i := own[len(own)-1] + 1; i < len(signs); i++ {
		signs[i].at.X += more
	}
	t.at.X += more
}
