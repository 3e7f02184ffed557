package code

import (
	"fmt"
	"math"

	"furrow/path"
)

// Room is where a code goes, and how it will be marked: with horizontal rows.
type Room struct {
	Rect        path.Rect  // the code and its quiet zone lie in its middle
	SpacingMM   float64    // of the rows
	MarkWidthMM float64    // of one line; 0 where it is not measured takes the spacing
	Light       bool       // marks are lighter than the blank: the light modules are marked, and the quiet zone
	Paint       path.Paint // of what is marked; black where it is zero
	Part        int
	Source      path.Source
}

// Placed is a code in its room.
type Placed struct {
	Shapes   []path.Shape // bare ground, and what is marked
	Area     path.Rect    // the symbol with its quiet zone
	ModuleMM float64
	Rows     int // of marks in a module
}

// RoomError says what room a code needs.
type RoomError struct {
	Kind      Kind
	Have      path.Rect
	W, H      float64 // that it needs, mm
	ModuleMM  float64 // the smallest module, mm
	SpacingMM float64
}

func (e *RoomError) Error() string {
	return fmt.Sprintf("%s needs %s x %s mm: %s x %s mm is too small for modules of %s mm, the least that lines "+
		"%s mm apart can show", e.Kind, up(e.W), up(e.H), number(e.Have.W()), number(e.Have.H()),
		number(e.ModuleMM), number(e.SpacingMM))
}

// up writes a length that is no smaller, to be read off.
func up(mm float64) string { return number(math.Ceil(float64(mm*100)-1e-6) / 100) }

func number(mm float64) string { return fmt.Sprintf("%.4g", mm) }

// Place lays the symbol into a room, as large as fits. A module is a whole
// multiple of the spacing, and at least twice as wide as a mark, so that gaps of
// one module stay open. What is marked is made smaller by what the width of the
// marks adds, so it must not be inset again: along the rows to their ends, across
// them by whole rows.
func (s Symbol) Place(r Room) (Placed, error) {
	if !(r.SpacingMM >= path.MinSpacing && r.SpacingMM <= path.MaxSpacing) {
		return Placed{}, fmt.Errorf("spacing %g mm: use %g to %g mm", r.SpacingMM, path.MinSpacing, path.MaxSpacing)
	}
	if r.MarkWidthMM == 0 {
		r.MarkWidthMM = r.SpacingMM
	}
	if !(r.MarkWidthMM > 0 && r.MarkWidthMM <= path.MaxSpacing) {
		return Placed{}, fmt.Errorf("mark width %g mm: it must be 0 or more", r.MarkWidthMM)
	}
	if r.Paint == (path.Paint{}) {
		r.Paint = path.Paint{Opacity: 1}
	}
	least := max(1, int(math.Ceil(2*r.MarkWidthMM/r.SpacingMM-1e-9)))
	per := int(math.Floor(s.largest(r)/r.SpacingMM + 1e-9)) // rows of a module
	if per < least || s.cols == 0 {
		return Placed{}, s.roomError(r, float64(float64(least)*r.SpacingMM))
	}
	g := grid{Symbol: s, room: r, per: per, module: float64(float64(per) * r.SpacingMM)}
	g.lay()
	return Placed{Shapes: g.shapes(), Area: g.area(), ModuleMM: g.module, Rows: per}, nil
}

// largest returns the size of the modules that would fill the room.
func (s Symbol) largest(r Room) float64 {
	x, y := s.quiet(r.Light)
	w := r.Rect.W() / float64(s.cols+2*x)
	if s.Kind == Code128 {
		return min(w, r.Rect.H())
	}
	return min(w, r.Rect.H()/float64(s.rows+2*y))
}

func (s Symbol) roomError(r Room, module float64) error {
	x, y := s.quiet(r.Light)
	return &RoomError{
		Kind: s.Kind, Have: r.Rect, ModuleMM: module, SpacingMM: r.SpacingMM,
		W: float64(s.cols+2*x) * module, H: float64(s.rows+2*y) * module,
	}
}
