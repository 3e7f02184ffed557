package svg

import (
	"math"

	"furrow/path"
)

// words set a line in place of that of a text element, in the style of its first
// letter. It is not for several goroutines at a time.
type words struct {
	w     *walker
	n     *node
	st    state
	view  viewport
	first letter
	perMM float64 // user units
}

// place notes an element that is picked, with what draw adds of it.
func (w *walker) place(n *node, st *state, draw func()) {
	picks := w.pick.Placed(n)
	if len(picks) == 0 || w.mode != painted || len(w.within) > 0 {
		draw()
		return
	}
	p := path.Place{First: len(w.art.Shapes), Group: st.picked.Group, Invert: st.picked.Invert, In: st.group,
		Clips: st.clips}
	p.Source = path.Source{Element: n.name, ID: n.attr("id"), Layer: st.layer, Line: n.line}
	draw()
	if p.Last = len(w.art.Shapes); p.Last > p.First {
		p.Group = w.art.Shapes[p.First].Group // a colour may have picked it
	}
	switch n.name {
	case "text":
		p.Text = w.textPlace(n, st)
	case "rect":
		p.Frame = w.framePlace(n, st)
	}
	for _, i := range picks {
		if p.Pick = i; len(w.places) < maxPlaces {
			w.places = append(w.places, p)
		}
	}
}

// maxPlaces bounds the places of a document.
const maxPlaces = 10_000

// framePlace returns nil where the rectangle is no longer one, or has no size.
func (w *walker) framePlace(n *node, st *state) *path.Frame {
	g := geometry{w: w, n: n, s: &st.style}
	x, y := g.length("x", horizontal), g.length("y", vertical)
	width, height := g.length("width", horizontal), g.length("height", vertical)
	m, sx, sy, ok := rigid(st.m.Mul(path.Translate(x, y+height)))
	if !ok || !(width > 0 && height > 0) {
		return nil
	}
	return &path.Frame{W: width * sx, H: height * sy, Matrix: m}
}

// rigid takes the scale in X and Y, and the flip of Y, out of a map from user units
// to the page. ok is false where the map skews.
func rigid(m path.Matrix) (r path.Matrix, sx, sy float64, ok bool) {
	sx, sy = math.Hypot(m.A, m.B), math.Hypot(m.C, m.D)
	skew := math.Abs(float64(m.A*m.C) + float64(m.B*m.D))
	if !(sx > 0 && sy > 0) || skew > 1e-9*sx*sy {
		return path.Matrix{}, 0, 0, false
	}
	return m.Mul(path.Scale(1/sx, -1/sy)), sx, sy, true
}

// textPlace returns nil where the text is skewed or stretched.
func (w *walker) textPlace(n *node, st *state) *path.Text {
	letters, _ := w.letters(n, &st.style)
	t := &words{w: w, n: n, st: *st, view: w.view, first: letter{r: ' ', n: n, style: &st.style,
		size: st.style.font.size}}
	at, drawn := path.Point{}, ""
	if len(letters) > 0 {
		t.first = letters[0]
		for _, l := range letters {
			drawn += string(l.r)
		}
	} else { // an empty element is a place as well
		g := geometry{w: w, n: n, s: &st.style}
		at = path.Point{X: g.length("x", horizontal), Y: g.length("y", vertical)}
	}
	own := *t.first.style
	t.first.style = &own
	if t.first.x != nil {
		at.X = *t.first.x
	}
	if t.first.y != nil {
		at.Y = *t.first.y
	}
	at = at.Add(path.Point{X: t.first.dx, Y: t.first.dy})
	t.first.x, t.first.y, t.first.dx, t.first.dy = nil, nil, 0, 0
	t.st.m = t.st.m.Mul(path.Translate(at.X, at.Y))
	m, sx, sy, ok := rigid(t.st.m)
	if !ok || math.Abs(sx-sy) > 1e-6*sx || !(own.font.size > 0) {
		return nil
	}
	t.perMM = 1 / sx
	anchor := map[string]float64{"middle": 0.5, "end": 1}[own.anchor]
	return &path.Text{Words: drawn, SizeMM: own.font.size * sx, Matrix: m, Anchor: anchor, WordSetter: t}
}

// Lacking returns the letters that no font of the text's list has, each once.
func (t *words) Lacking(words string) []rune {
	return t.w.fonts.Lacking(words, t.first.textStyle())
}

// WidthMM returns how wide a line of words is at full size.
func (t *words) WidthMM(words string) (float64, error) {
	s := t.setter(words)
	if words != "" {
		s.set(0, len(s.letters))
	}
	return s.at.X / t.perMM, t.failed()
}

// Set draws a line of words in place of the element's own, scaled along and across
// from a point of the text's line, mm.
func (t *words) Set(words string, from path.Point, along, across float64) ([]path.Shape, error) {
	w := t.w
	shapes, points, view := w.art.Shapes, w.points, w.view
	w.art.Shapes, w.view = nil, t.view
	s := t.setter(words)
	st := t.st
	k := t.perMM
	st.m = st.m.Mul(path.Translate(from.X*k, -from.Y*k)).Mul(path.Scale(along, across))
	s.st = &st
	s.all()
	drawn := w.art.Shapes
	w.art.Shapes, w.points, w.view = shapes, points, view
	return drawn, t.failed()
}

// setter returns what sets words in the style of the first letter.
func (t *words) setter(words string) typesetter {
	letters := make([]letter, 0, len(words))
	for _, r := range words {
		l := t.first
		l.r = r
		letters = append(letters, l)
	}
	return typesetter{w: t.w, n: t.n, st: &t.st, letters: letters}
}

// failed returns a limit that was passed, and forgets it.
func (t *words) failed() error {
	err := t.w.err
	t.w.err = nil
	return err
}
