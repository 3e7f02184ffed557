package personal

import (
	"fmt"
	"math"
	"strings"

	"furrow/cmd/furrow/internal/value"
	wording "furrow/cmd/furrow/internal/words"
	"furrow/path"
	"furrow/path/text/fit"
	"furrow/path/text/stroke"
)

// Text is a text of a part as it came out.
type Text struct {
	Pick   string
	Words  string
	SizeMM float64 // of the font, on the blank
	RoomMM float64
	fit.Text
}

// lineHeight is the distance of two lines, in sizes of the font (common practice, no
// source).
const lineHeight = 1.2

func (s *Setter) setText(p *Part, at place, words string) ([]path.Shape, error) {
	f := face(outlines{at})
	if at.text.Font != nil {
		f = lines{at}
	}
	if err := f.lacks(words); err != nil {
		return nil, err
	}
	rules, err := s.rules(at, f, words)
	if err != nil {
		return nil, err
	}
	fitted, err := fit.Into(words, func(line string) (float64, error) {
		w, err := f.width(line)
		return float64(w * s.scale), err
	}, rules)
	if err != nil {
		return nil, err
	}
	size := float64(at.Text.SizeMM * fitted.Size)
	p.Texts = append(p.Texts, Text{Pick: at.pick, Words: words, SizeMM: float64(size * s.scale),
		RoomMM: rules.RoomMM, Text: fitted})
	var shapes []path.Shape
	for i, line := range fitted.Lines {
		y := float64(size*lineHeight) * (float64(len(fitted.Lines)-1)/2 - float64(i))
		drawn, err := f.draw(line, y, fitted.Size, fitted.Squeeze)
		if err != nil {
			return nil, err
		}
		shapes = append(shapes, drawn...)
	}
	return shapes, s.onPart(at, words, shapes)
}

// onPart refuses words that reach past the page, where they would be cut off, or past the
// blank, as they may where the job says what room they have.
func (s *Setter) onPart(at place, words string, shapes []path.Shape) error {
	ink := path.Artwork{Shapes: shapes}.Bounds()
	if past := wording.PastSides(ink, at.shown); !ink.Empty() && past != "" {
		return &cutError{fmt.Sprintf("%q reaches past the page of the artwork, or a clip, which would cut it off: %s",
			words, past), "under that [[text]]: less room, or lines = 2; or a larger page of the artwork"}
	}
	if s.allowed == (path.Form{}) {
		return nil
	}
	most := 0.0
	for _, sh := range shapes {
		edges(sh).Transform(s.placing).Flatten(lookMM, func(pts []path.Point, _ bool) {
			mm, _ := s.allowed.Beyond(pts...)
			most = max(most, mm)
		})
	}
	if most > wording.PastSide {
		return &cutError{fmt.Sprintf("%q reaches past the blank by %.2f mm", words, most),
			"under that [[text]]: less room, or none, which keeps to the blank; or lines = 2, or a shorter name"}
	}
	return nil
}

// edges are those of a shape, or the middle of a line without width.
func edges(s path.Shape) path.Path {
	if !s.Centre.Empty() {
		return s.Centre
	}
	return s.Path
}

// cutError says that a text would be cut off, and what to do.
type cutError struct{ text, way string }

func (e *cutError) Error() string { return e.text }

// rules say how a text may be made to fit. The room on a round blank is that of the chords
// at the foot and at the top of its letters, of all its lines.
func (s *Setter) rules(at place, f face, words string) (fit.Rules, error) {
	room, err := s.room(at)
	r := fit.Rules{
		RoomMM:  room,
		Shrink:  float64(value.Or(at.text.Shrink, 100)) / 100,
		Squeeze: float64(value.Or(at.text.Squeeze, 100)) / 100,
		Lines:   int(value.Or(at.text.Lines, 1)),
	}
	if err != nil || at.text.Room != nil || !s.blank.Round {
		return r, err
	}
	foot, top, err := ink(at, f, words)
	r.Room = func(lines int, size float64) float64 {
		half := float64(at.Text.SizeMM*lineHeight) * float64(lines-1) / 2
		return min(s.chord(at, size*(foot-half)), s.chord(at, size*(top+half)))
	}
	return r, err
}

// ink returns how far words reach below and above their line at full size, mm of the page.
func ink(at place, f face, words string) (foot, top float64, err error) {
	back, ok := at.Text.Matrix.Inverse()
	shapes, err := f.draw(words, 0, 1, 1)
	if err != nil || !ok {
		return 0, 0, err
	}
	r := path.EmptyRect()
	for _, sh := range shapes {
		r = r.Union(edges(sh).Transform(back).Bounds())
	}
	if r.Empty() {
		return 0, 0, nil
	}
	return r.Min.Y, r.Max.Y, nil
}

// chord returns how wide a text may get on a round blank at a height over its line, mm of the
// page; 0 off it.
func (s *Setter) chord(at place, y float64) float64 {
	m := s.placing.Mul(at.Text.Matrix)
	along := m.ApplyVector(path.Point{X: 1})
	behind, ahead := s.blank.Chord(m.Apply(path.Point{Y: y}), along.Mul(1/along.Len()))
	return anchored(at.Text.Anchor, max(0, ahead), max(0, behind))
}

// anchored returns how wide a text may get with so much room ahead of its anchor and behind it.
func anchored(anchor, ahead, behind float64) float64 {
	room := math.Inf(1)
	if anchor < 1 {
		room = ahead / (1 - anchor)
	}
	if anchor > 0 {
		room = min(room, behind/anchor)
	}
	return room
}

// room returns how wide a text may get, mm on the blank: as the job says, or to the
// edges of the page and the blank along the text's line.
func (s *Setter) room(at place) (float64, error) {
	if at.text.Room != nil {
		return float64(*at.text.Room), nil
	}
	m := s.placing.Mul(at.Text.Matrix)
	from, along := m.Apply(path.Point{}), m.ApplyVector(path.Point{X: 1})
	along = along.Mul(1 / along.Len())
	start, on := at.Text.Matrix.Apply(path.Point{}), at.Text.Matrix.ApplyVector(path.Point{X: 1})
	on = on.Mul(1 / on.Len())
	way := func(sign float64) float64 {
		return min(reach(s.edge, from, along.Mul(sign)), float64(reach(at.shown, start, on.Mul(sign))*s.scale))
	}
	room := anchored(at.Text.Anchor, way(1), way(-1))
	if !(room > 0) {
		return 0, fmt.Errorf("its place is off the page or the blank, or in the margin: give it a room")
	}
	return room, nil
}

// reach returns how far it is from a point inside r to its edge; 0 from outside.
func reach(r path.Rect, from, along path.Point) float64 {
	least := math.Inf(1)
	for _, axis := range [...]struct{ at, d, lo, hi float64 }{
		{from.X, along.X, r.Min.X, r.Max.X}, {from.Y, along.Y, r.Min.Y, r.Max.Y},
	} {
		switch {
		case !(axis.at >= axis.lo && axis.at <= axis.hi):
			return 0
		case axis.d > 1e-9:
			least = min(least, (axis.hi-axis.at)/axis.d)
		case axis.d < -1e-9:
			least = min(least, (axis.lo-axis.at)/axis.d)
		}
	}
	return least
}

// face is letters of one kind at one place, in millimetres of the artwork's page.
type face interface {
	lacks(words string) error
	width(line string) (float64, error)
	draw(line string, y, size, squeeze float64) ([]path.Shape, error)
}

// outlines are the letters of the artwork's own font.
type outlines struct{ place }

func (o outlines) lacks(words string) error {
	lacking := o.Text.Lacking(words)
	if len(lacking) == 0 {
		return nil
	}
	var names []string
	for _, r := range lacking {
		names = append(names, fmt.Sprintf("%q (U+%04X)", r, r))
	}
	return &lackError{letters: strings.Join(names, ", "), words: words}
}

// lackError says which letters of some words no font has that the artwork names for them.
type lackError struct{ letters, words string }

func (e *lackError) Error() string { return fmt.Sprintf("the font lacks %s of %q", e.letters, e.words) }

func (o outlines) width(line string) (float64, error) { return o.Text.WidthMM(line) }

func (o outlines) draw(line string, y, size, squeeze float64) ([]path.Shape, error) {
	return o.Text.Set(line, path.Point{Y: y}, float64(size*squeeze), size)
}

// lines are letters without width.
type lines struct{ place }

func (l lines) lacks(words string) error {
	_, err := l.width(words)
	return err
}

func (l lines) width(line string) (float64, error) {
	return stroke.SingleLine().Width(line, stroke.Line{Size: l.Text.SizeMM})
}

func (l lines) draw(line string, y, size, squeeze float64) ([]path.Shape, error) {
	shape, err := stroke.SingleLine().Lay(line, stroke.Line{
		Size: float64(l.Text.SizeMM * size), Squeeze: squeeze, Anchor: l.Text.Anchor,
	})
	if err != nil || shape.Path.Empty() {
		return nil, err
	}
	m := l.Text.Matrix.Mul(path.Translate(0, y))
	shape.Path, shape.Centre = shape.Path.Transform(m), shape.Centre.Transform(m)
	shape.Group, shape.Invert, shape.Source = l.Group, l.Invert, l.Source
	shape.In, shape.Clips = l.In, l.Clips
	return []path.Shape{shape}, nil
}
