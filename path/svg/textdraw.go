package svg

import (
	"furrow/path"
)

// draw draws the signs of a chunk: those of one element together, with the lines
// under and over them before and those through them behind.
func (t *typesetter) draw(signs []sign) {
	if t.w.mode == measured {
		t.measure(signs)
		return
	}
	for i := 0; i < len(signs); {
		n := i + 1
		for n < len(signs) && signs[n].letter.n == signs[i].letter.n && signs[n].letter.style == signs[i].letter.style {
			n++
		}
		run := signs[i:n]
		l := run[0].letter
		if !l.style.hidden {
			t.w.tellFont(l, t.box(run))
			t.tellBorrowed(run)
		}
		t.lines(run, true)
		var p path.Path
		for k := range run {
			if !run[k].hidden {
				run[k].appendTo(&p)
			}
		}
		t.shape(l.style, p)
		t.lines(run, false)
		i = n
	}
}

// box returns the box round signs, on the page.
func (t *typesetter) box(signs []sign) path.Rect {
	r := path.EmptyRect()
	for i := range signs {
		s := &signs[i]
		if b := s.glyph.Outline.Bounds(); !b.Empty() && !s.hidden {
			r = r.Union(boxIn(t.st.m.Mul(s.matrix()), b))
		}
	}
	return r
}

// shape draws an outline of the text in a style.
func (t *typesetter) shape(s *style, p path.Path) {
	st := *t.st
	st.style.inherited = s.inherited
	t.w.shape(t.n, &st, p)
}

// matrix maps a sign's outline, Y up, to where it stands, Y down.
func (s *sign) matrix() path.Matrix {
	m := path.Translate(s.at.X, s.at.Y)
	if s.turn != 0 {
		m = m.Mul(path.Rotate(s.turn))
	}
	return m.Mul(path.Scale(s.stretch, -1))
}

func (s *sign) appendTo(p *path.Path) {
	m := s.matrix()
	p.Verbs = append(p.Verbs, s.glyph.Outline.Verbs...)
	for _, q := range s.glyph.Outline.Points {
		p.Points = append(p.Points, m.Apply(q))
	}
}

// measure emits the cells of signs, which are the bounding box of text (SVG 2, 8.10).
func (t *typesetter) measure(signs []sign) {
	var p path.Path
	for i := range signs {
		s := &signs[i]
		m := s.glyph.Face.Metrics()
		size := s.letter.size
		s.appendBox(&p, s.glyph.Advance, -m.Descent*size, m.Ascent*size)
	}
	t.shape(&t.st.style, p)
}

// appendBox adds a rectangle beside the sign's origin, from low to high above it.
func (s *sign) appendBox(p *path.Path, width, low, high float64) {
	m := s.matrix()
	p.MoveTo(m.Apply(path.Point{Y: low}))
	p.LineTo(m.Apply(path.Point{X: width, Y: low}))
	p.LineTo(m.Apply(path.Point{X: width, Y: high}))
	p.LineTo(m.Apply(path.Point{Y: high}))
	p.Close()
}

// lineStyle is a line along text, as the element that asks for it paints it (SVG 2,
// 11.11).
type lineStyle struct {
	kind  string
	style *style
}

// linesOf returns the lines of an element's text: its own and those round it.
func (w *walker) linesOf(s *style, outer []lineStyle) []lineStyle {
	lines := outer[:len(outer):len(outer)]
	for _, kind := range s.lines {
		lines = append(lines, lineStyle{kind, s})
	}
	return lines
}

// lines draws those below the letters, or those above them.
func (t *typesetter) lines(run []sign, below bool) {
	for _, line := range run[0].letter.lines {
		if (line.kind != "line-through") != below {
			continue
		}
		m := t.w.fonts.Face(line.style.textStyle()).Metrics()
		middle, thick := m.Underline, m.UnderlineSize
		switch line.kind {
		case "overline":
			middle = m.Ascent - thick/2
		case "line-through":
			middle, thick = m.Strike, m.StrikeSize
		}
		size := line.style.font.size
		var p path.Path
		for i := 0; i < len(run); i++ {
			width := run[i].advance
			first := run[i]
			for first.turn == 0 && i+1 < len(run) && run[i+1].turn == 0 && run[i+1].at.Y == first.at.Y {
				i++
				width = run[i].at.X + run[i].advance - first.at.X
			}
			if !first.hidden {
				first.at.Y += first.letter.raise
				first.appendBox(&p, width/first.stretch, (middle-thick/2)*size, (middle+thick/2)*size)
			}
		}
		t.shape(line.style, p)
	}
}
