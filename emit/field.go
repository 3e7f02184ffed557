package emit

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"furrow/emit/machine"
	"furrow/path"
)

// FieldError says that moves leave the field of a galvo.
type FieldError struct {
	Machine string     // id of the profile
	Work    string     // what leaves the field
	Field   path.Point // width and height, mm, with 0,0 in the middle
	Bounds  path.Rect  // of the work, mm
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("%s leaves the %s mm field of %s: %s",
		e.Work, size(e.Field), e.Machine, strings.Join(e.sides(), ", "))
}

// fieldSlackMM is half a step of a list: less rounds into the field.
const fieldSlackMM = 0.5 / machine.GalvoStepsPerMM

// sides words each side on which the work leaves the field, with by how much.
func (e *FieldError) sides() []string {
	half := e.Field.Mul(0.5)
	return outside(path.Rect{Min: half.Mul(-1), Max: half}, e.Bounds, fieldSlackMM)
}

// Size returns width and height of the work, mm: the least field that holds it
// when it lies in the middle.
func (e *FieldError) Size() path.Point { return path.Point{X: e.Bounds.W(), Y: e.Bounds.H()} }

// Hint says what would help: moving the work, turning it, or how large a field
// or how small the work would have to be.
func (e *FieldError) Hint() string {
	s := e.Size()
	asIs, turned := e.FitsIn(e.Field)
	switch {
	case asIs:
		c := e.Bounds.Centre()
		return fmt.Sprintf("it fits when it is moved by %s, %s mm, to the middle of the field",
			decimal(-c.X), decimal(-c.Y))
	case turned:
		return "it fits in the middle of the field when it is turned by 90 degrees"
	}
	scale := min(e.Field.X/s.X, e.Field.Y/s.Y)
	return fmt.Sprintf("it needs a lens with a field of %s mm, or to be made smaller, to %s percent or less",
		size(s), percentBelow(scale))
}

// percentBelow writes a fraction as a percentage that is no more than it.
func percentBelow(fraction float64) string {
	return strconv.FormatFloat(math.Floor(fraction*1000)/10, 'f', -1, 64)
}

// FitsIn reports that the work fits in the middle of a field of that width and
// height, mm, as it is and turned by 90 degrees.
func (e *FieldError) FitsIn(field path.Point) (asIs, turned bool) {
	s := e.Size().Sub(path.Point{X: fieldSlackMM, Y: fieldSlackMM})
	return fits(s, field), fits(path.Point{X: s.Y, Y: s.X}, field)
}

func fits(size, field path.Point) bool { return size.X <= field.X && size.Y <= field.Y }

func size(p path.Point) string { return fmt.Sprintf("%.5g x %.5g", p.X, p.Y) }

// InField returns a FieldError unless bounds, mm, lie in the field of a galvo.
func InField(p machine.Profile, bounds path.Rect) error {
	if !p.IsGalvo() || bounds.Empty() {
		return nil
	}
	field := path.Point{X: p.Galvo.FieldMM[0], Y: p.Galvo.FieldMM[1]}
	e := &FieldError{Machine: p.ID, Work: "the work", Field: field, Bounds: bounds}
	if len(e.sides()) == 0 {
		return nil
	}
	return e
}

// checkField returns a FieldError unless every move ends in the field of p.
func checkField(m Moves, p machine.Profile) error {
	r := path.EmptyRect()
	for mv, err := range m.All() {
		if err != nil {
			return err
		}
		r = r.Include(mv.To)
	}
	err := InField(p, r)
	var fe *FieldError
	if errors.As(err, &fe) && p.Galvo.RunUpUS > 0 {
		fe.Work += " with its run-up"
	}
	if fe != nil && m.Header.Corrected {
		fe.Work += ", corrected for the lens,"
	}
	return err
}

// CoverError says that a place lies beyond what the profile's correction grid
// was measured over.
type CoverError struct {
	Machine string     // id of the profile
	At      path.Point // mm
}

func (e *CoverError) Error() string {
	return fmt.Sprintf("place %.4g, %.4g mm lies outside the part of the field of %s that its correction grid covers",
		e.At.X, e.At.Y, e.Machine)
}

// Hint says what would help.
func (e *CoverError) Hint() string {
	return "move the work to the middle or make it smaller, or measure a grid that reaches as far"
}
