package route

import "furrow/path"

// End is one end of a stroke or sweep, with the direction of movement there.
type End struct {
	At  path.Point
	Dir path.Point // of unit length; zero where a stroke has no length
}

// Cost is what a machine says about beam-off movement. Implementations must be
// pure: the same arguments give the same result, from any goroutine.
type Cost interface {
	// Travel returns the seconds (or other unit, the same throughout) from
	// leaving one stroke at from to being ready to mark the next one at to.
	// It is never negative and the same when both are reversed.
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

// Length is the Cost that counts travelled millimetres and never sweeps.
type Length struct{}

// Travel returns the distance in mm.
func (Length) Travel(from, to End) float64 { return from.At.Dist(to.At) }

// Sweep reports false.
func (Length) Sweep(float64, int) bool { return false }
