package hatch

import (
	"fmt"
	"math"
	"slices"

	"furrow/path"
)

// Settings says how an artwork is filled.
type Settings struct {
	Groups []Group // by path.Shape.Group
	// greatest distance of a chord from its curve, mm; 0 means DefaultTolerance. A tenth of the smallest spacing is the
	// most that is used
	Tolerance float64
	BareAbove float64 // as path.Paint.Bare takes it; 0 means DefaultBareAbove
	Workers   int     // goroutines for large jobs; 0 means one a CPU. The result does not depend on it
}

// The defaults of Settings.
const (
	DefaultTolerance = 0.002
	DefaultBareAbove = 0.96
)

// Group says how the region of one group is marked. The zero value but for
// Setting.SpacingMM is one pass of horizontal rows, marked both ways.
type Group struct {
	Setting   path.Setting // of the rows; its SpacingMM is the distance between them
	Angles    []float64    // a set of rows for each, degrees counter-clockwise from X; empty means 0
	Cross     float64      // a second set for each angle, turned by this, degrees; 0 means none
	Passes    int          // the whole fill is marked this often; 0 means once
	PassTurn  float64      // added to every angle at each further pass, degrees
	OneWay    bool         // every span in the direction of its angle
	Stretch   bool         // the spacing is stretched so that a whole number of rows fills the height
	Shortest  float64      // shorter spans are left out, mm
	CloseGaps float64      // spans no farther apart than this are joined, mm
	Skip      int          // every Skip-th row first, then those between, in Skip groups; 0 and 1 mean row after row
	// of the rows from the edges of the region, mm; what it would erase is traced along its centre
	Inset    float64
	Contours bool // nested insets of the outline at the spacing instead of rows
	// of one line, mm; 0 means not measured. Strokes narrower than this, or than the spacing where it is not measured,
	// are traced along their centre
	MarkWidth float64
	Outline   Outline
	Grid      int // groups that are alike share their rows, unless they differ in this
}

// Outline says whether, when and how the edges of the region are traced.
type Outline struct {
	When    When
	Setting path.Setting
	// of the line from the edge, mm, positive out of the region: outside its outer edges, inside its holes
	Offset  float64
	Overlap float64 // how far the line goes on over its start, mm
}

// When is the place of an outline in the sequence.
type When uint8

// The places of an outline.
const (
	NoOutline When = iota
	Before         // the rows
	After          // the rows
	Only           // there are no rows
)

// MaxCoordinate bounds how far from the origin artwork may lie, mm: rounding in
// the turned frame stays below the lean of a row up to there.
const MaxCoordinate = 1e6

// maxRows bounds the rows of one set, and with it the memory of their index.
const maxRows = 1 << 27

// lineWidth is what a stroke must be wide to be filled with rows, mm. A hairline is
// not, whatever the group says.
func (p *Group) lineWidth() float64 {
	if p.MarkWidth == 0 && p.hasRows() {
		return p.Setting.SpacingMM
	}
	return max(p.MarkWidth, path.MinSpacing)
}

func (s *Settings) tolerance() float64 {
	tol := s.Tolerance
	if tol == 0 {
		tol = DefaultTolerance
	}
	for _, f := range s.Groups {
		if f.hasRows() {
			tol = min(tol, f.Setting.SpacingMM/10)
		}
	}
	return tol
}

func (s *Settings) bareAbove() float64 {
	if s.BareAbove == 0 {
		return DefaultBareAbove
	}
	return s.BareAbove
}

// GroupError says which of Settings.Groups something is wrong with.
type GroupError struct {
	Group int
	Err   error
}

func (e *GroupError) Error() string { return fmt.Sprintf("group %d: %v", e.Group, e.Err) }
func (e *GroupError) Unwrap() error { return e.Err }

func (s *Settings) validate(art path.Artwork) error {
	if !(s.Tolerance >= 0) || math.IsInf(s.Tolerance, 0) {
		return fmt.Errorf("tolerance %g mm: it must be 0 or more", s.Tolerance)
	}
	if math.IsNaN(s.BareAbove) {
		return fmt.Errorf("bare-above is not a number")
	}
	for i := range s.Groups {
		if err := s.Groups[i].validate(); err != nil {
			return &GroupError{i, err}
		}
	}
	for i, shape := range art.Shapes {
		if shape.Group < 0 || shape.Group >= len(s.Groups) {
			return fmt.Errorf("shape %d is of group %d, which has no fill", i, shape.Group)
		}
	}
	return nil
}

func (f *Group) validate() error {
	sp := f.Setting.SpacingMM
	if f.hasRows() && !(sp >= path.MinSpacing && sp <= path.MaxSpacing) {
		return fmt.Errorf("spacing %g mm: use %g to %g mm", sp, path.MinSpacing, path.MaxSpacing)
	}
	for _, a := range append(slices.Clone(f.Angles), f.Cross, f.PassTurn) {
		if math.IsNaN(a) || math.IsInf(a, 0) {
			return fmt.Errorf("angle %g is not a number of degrees", a)
		}
	}
	for _, l := range []struct {
		name string
		mm   float64
	}{
		{"shortest span", f.Shortest}, {"gap to close", f.CloseGaps}, {"mark width", f.MarkWidth},
		{"inset", f.Inset}, {"overlap", f.Outline.Overlap},
	} {
		if !(l.mm >= 0) || math.IsInf(l.mm, 0) {
			return fmt.Errorf("%s %g mm: it must be 0 or more", l.name, l.mm)
		}
	}
	if !(math.Abs(f.Outline.Offset) <= path.MaxSpacing) || f.Inset > path.MaxSpacing {
		return fmt.Errorf("offset %g mm, inset %g mm: use %g mm at most", f.Outline.Offset, f.Inset, path.MaxSpacing)
	}
	if f.Passes < 0 || f.Passes > 1000 {
		return fmt.Errorf("%d passes: use 1 to 1000", f.Passes)
	}
	if f.Skip < 0 || f.Skip > 1000 {
		return fmt.Errorf("skip %d: use 1 to 1000", f.Skip)
	}
	return nil
}

func (f *Group) hasRows() bool { return f.Outline.When != Only }

func (f *Group) passes() int { return max(1, f.Passes) }

func (f *Group) groups() int { return max(1, f.Skip) }

// angles returns the angles of the sets of pass n, counted from 0.
func (f *Group) angles(n int) []float64 {
	base := f.Angles
	if len(base) == 0 {
		base = []float64{0}
	}
	var all []float64
	for _, a := range base {
		a += float64(float64(n) * f.PassTurn)
		all = append(all, a)
		if f.Cross != 0 {
			all = append(all, a+f.Cross)
		}
	}
	return all
}
