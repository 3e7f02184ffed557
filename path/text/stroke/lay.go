package stroke

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"furrow/path"
)

// Line says how a line of text is laid.
type Line struct {
	Size    float64 // mm; capitals are two thirds of it high
	Squeeze float64 // of the width, a fraction of full; 0 means 1
	Anchor  float64 // how much of the width lies left of X = 0: 0.5 centres the line, 1 ends it there
}

// MissingError names a letter that the font has not, nor can be composed.
type MissingError struct {
	Letter rune
	At     int // counted from 1
	Text   string
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("single-line lettering has no %q (U+%04X), letter %d of %q", e.Letter, e.Letter, e.At, e.Text)
}

// maxLetters bounds a line of text, and with it its points.
const maxLetters = 10_000

// Width returns how wide a line of text is from edge to edge of its ink, mm.
func (f *Font) Width(text string, l Line) (float64, error) {
	shape, err := f.Lay(text, l)
	return shape.Path.Bounds().W(), err
}

// Lay returns a line of text on the base line Y = 0, with an edge of its ink, or what
// the anchor says, at X = 0. An empty line gives an empty shape. Accents may stand in text
// as letters of their own.
func (f *Font) Lay(text string, l Line) (path.Shape, error) {
	strokes, err := f.strokes(text)
	if err != nil {
		return path.Shape{}, err
	}
	if l.Squeeze == 0 {
		l.Squeeze = 1
	}
	if !(l.Size > 0) || !(l.Squeeze > 0) || math.IsInf(l.Size, 0) || math.IsInf(l.Squeeze, 0) ||
		math.IsNaN(l.Anchor-l.Anchor) {
		return path.Shape{}, fmt.Errorf("size %g mm, squeezed to %g, anchored at %g: out of range", l.Size,
			l.Squeeze, l.Anchor)
	}
	s := path.Shape{
		Paint: path.Paint{Opacity: 1}, Width: path.Hairline, Source: path.Source{Element: "text"},
	}
	for _, pts := range strokes {
		addStroke(&s, pts)
	}
	scale := l.Size / size
	m := path.Scale(float64(scale*l.Squeeze), scale)
	s.Path, s.Centre = s.Path.Transform(m), s.Centre.Transform(m)
	if s.Path.Empty() {
		return s, nil
	}
	ink := s.Path.Bounds()
	m = path.Translate(-ink.Min.X-float64(l.Anchor*ink.W()), 0)
	s.Path, s.Centre = s.Path.Transform(m), s.Centre.Transform(m)
	return s, nil
}

// strokes sets letter after letter, in units of the font.
func (f *Font) strokes(text string) ([][]path.Point, error) {
	letters := []rune(norm.NFC.String(text))
	if len(letters) > maxLetters {
		return nil, fmt.Errorf("%d letters in one line: use %d at most", len(letters), maxLetters)
	}
	var all [][]path.Point
	at := path.Point{}
	for i, r := range letters {
		g, ok := f.glyph(r)
		if !ok {
			return nil, &MissingError{r, i + 1, strings.ToValidUTF8(text, "\ufffd")}
		}
		for _, s := range g.strokes {
			all = append(all, moved(s, at))
		}
		at.X += g.advance
	}
	return all, nil
}

// addStroke adds a polyline to the centre of a shape. The region of a line without
// width is the way there and back: it has bounds and no area.
func addStroke(s *path.Shape, pts []path.Point) {
	if len(pts) < 2 {
		return
	}
	s.Centre.MoveTo(pts[0])
	s.Path.MoveTo(pts[0])
	for _, p := range pts[1:] {
		s.Centre.LineTo(p)
		s.Path.LineTo(p)
	}
	for _, p := range slices.Backward(pts[:len(pts)-1]) {
		s.Path.LineTo(p)
	}
	s.Path.Close()
}
