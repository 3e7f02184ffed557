package route

import "furrow/path"

// End is one end of a stroke or sweep, with the direction of movement there.
type End struct {
	At      path.Point
	Dir     path.Point // of unit length; zero where a stroke has no length
	Room    float64    // length of the last few pieces of a line, mm; 0 where it is not known
	Setting uint16     // of the stroke, index in Marks.Settings
	Kind    path.StrokeKind
}

// reversed returns the end as it is passed the other way.
func (e End) reversed() End {
	e.Dir = path.Point{X: -e.Dir.X, Y: -e.Dir.Y}
	return e
}

// Cost is what a machine says about the ways between strokes. Implementations must be
// pure: the same arguments give the same result, from any goroutine.
type Cost interface {
	// Travel returns the seconds (or other unit, the same throughout) from
	// the end of one stroke at from to the start of the next one at to, with what
	// strokes lose by beginning and ending slowly.
	// It is never negative and the same when both are reversed, that is, from
	// to to from with the directions turned round.
	Travel(from, to End) float64

	// Sweep reports whether a gap of gap mm inside a row of the setting is
	// crossed in one straight run with the beam off, rather than left and
	// entered anew.
	Sweep(gap float64, setting int) bool
}

// RowCost is a Cost that judges a gap better when it knows the direction of its
// row (of unit length), as on a gantry whose axes differ.
type RowCost interface {
	Cost
	SweepAlong(dir path.Point, gap float64, setting int) bool
}

// Resting is what a Cost may say besides, to make the search and the bound
// quicker. A Cost that does not is taken to rest at the ends themselves, and
// its bound takes time that grows with the square of the number of strokes.
type Resting interface {
	// Rest returns where the machine stands still after leaving a stroke at e:
	// e.At moved on by the run-out, if any.
	Rest(e End) path.Point

	// Least returns what any travel between rests mm apart costs at least. It
	// never falls as mm grows.
	Least(mm float64) float64
}

// Length is the Cost that counts travelled millimetres and never sweeps.
type Length struct{}

// Travel returns the distance in mm.
func (Length) Travel(from, to End) float64 { return from.At.Dist(to.At) }

// Sweep reports false.
func (Length) Sweep(float64, int) bool { return false }

// Rest returns e.At.
func (Length) Rest(e End) path.Point { return e.At }

// Least returns mm.
func (Length) Least(mm float64) float64 { return mm }
