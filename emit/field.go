package emit

import (
	"fmt"
	"strings"

	"furrow/path"
)

// FieldError says that moves leave the field of a galvo.
type FieldError struct {
	Machine string     // id of the profile
	Field   path.Point // width and height, mm, with 0,0 in the middle
	Bounds  path.Rect  // of the moves, mm
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("the work leaves the %s mm field of %s: %s",
		size(e.Field), e.Machine, strings.Join(e.sides(), ", "))
}

// sides words each side on which the work leaves the field, with by how much.
func (e *FieldError) sides() []string {
	var out []string
	for _, s := range [...]struct {
		over float64
		name string
	}{
		{-e.Field.X/2 - e.Bounds.Min.X, "left"}, {e.Bounds.Max.X - e.Field.X/2, "right"},
		{-e.Field.Y/2 - e.Bounds.Min.Y, "at the bottom"}, {e.Bounds.Max.Y - e.Field.Y/2, "at the top"},
	} {
		if s.over > 0 {
			out = append(out, fmt.Sprintf("%.4g mm too far %s", s.over, s.name))
		}
	}
	return out
}

// Size returns width and height of the work, mm: the least field that holds it
// when it lies in the middle.
func (e *FieldError) Size() path.Point { return path.Point{X: e.Bounds.W(), Y: e.Bounds.H()} }

// Hint says what would help: moving the work, turning it, or how large a field
// or how small the work would have to be.
func (e *FieldError) Hint() string {
	s := e.Size()
	switch {
	case fits(s, e.Field):
		c := e.Bounds.Centre()
		return fmt.Sprintf("it fits when it is moved by %.4g, %.4g mm, to the middle of the field", -c.X, -c.Y)
	case fits(path.Point{X: s.Y, Y: s.X}, e.Field):
		return "it fits in the middle of the field when it is turned by 90 degrees"
	}
	scale := min(e.Field.X/s.X, e.Field.Y/s.Y)
	return fmt.Sprintf("it needs a lens with a field of %s mm, or to be made smaller, to %.3g percent or less",
		size(s), 100*scale)
}

func fits(size, field path.Point) bool { return size.X <= field.X && size.Y <= field.Y }

func size(p path.Point) string { return fmt.Sprintf("%.5g x %.5g", p.X, p.Y) }

// checkField returns a FieldError unless every move ends in the field of p.
func checkField(m Moves, p Profile) error {
	r := path.EmptyRect()
	for mv, err := range m.All() {
		if err != nil {
			return err
		}
		r = r.Include(mv.To)
	}
	e := &FieldError{Machine: p.ID, Field: path.Point{X: p.Galvo.FieldMM[0], Y: p.Galvo.FieldMM[1]}, Bounds: r}
	if r.Empty() || len(e.sides()) == 0 {
		return nil
	}
	return e
}
