package machine

import (
	"math"

	"furrow/path"
)

// Grid is the set of numbers a format can hold. Plan rounds to it, a writer
// prints its integers and a reader makes the same floats of them, so that every
// figure of a plan is that of the file.
type Grid struct {
	unit   float64 // mm in a unit of the file
	coord  float64 // steps of a coordinate in a unit
	minute float64 // units of speed in a unit a second: 60 where feeds are per minute
	feed   float64 // steps of a speed in its unit
	full   float64 // S at full power
	s      float64 // steps of S in 1
}

// Grid of a G-code file: 0.001 mm, 0.001 mm/min and the decimals of the S word;
// with inches 0.00001 in and 0.00001 in/min.
func (g GCode) Grid() Grid {
	r := Grid{unit: 1, coord: 1000, minute: 60, feed: 1000, full: g.FullS(), s: math.Pow(10, float64(g.PowerDecimals))}
	if g.Inch {
		r.unit, r.coord, r.feed = path.MMPerInch, 100_000, 100_000
	}
	return r
}

// PowerByOutput reports that the power is that of an output (M67) and not the S word.
func (g GCode) PowerByOutput() bool { return g.PowerWord != "" && g.PowerWord != "S" }

// WaitUS returns the time of a wait by its P, µs: no more than a million seconds, which
// stand for one that is meant to never end.
func (g GCode) WaitUS(p float64) int64 {
	const longest = 1e12
	inOne := 1e6
	if g.WaitUnit == WaitMilliseconds {
		inOne = 1e3
	}
	return int64(math.Round(min(p*inOne, longest)))
}

// powerName is what stands before the power in a file.
func (g GCode) powerName() string {
	if g.PowerByOutput() {
		return g.PowerWord
	}
	return "S"
}

// FullS returns the S word at full power.
func (g GCode) FullS() float64 {
	if g.PowerWordMax == 0 {
		return 1000
	}
	return g.PowerWordMax
}

// StepsPerMM returns the grid of coordinates in the file of a galvo.
func (p Profile) StepsPerMM() float64 {
	if p.TakesList() {
		return GalvoStepsPerMM
	}
	return math.Round(1 / p.Controller().Grid().StepMM())
}

// StepMM is that of coordinates, mm.
func (g Grid) StepMM() float64 { return g.unit / g.coord }

// CoordSteps returns mm in steps of the grid.
func (g Grid) CoordSteps(mm float64) float64 { return math.Round(mm / g.unit * g.coord) }

// round rounds mm to the grid. It never returns -0.
func (g Grid) round(mm float64) float64 { return g.CoordSteps(mm)/g.coord*g.unit + 0 }

// Point rounds both coordinates.
func (g Grid) Point(p path.Point) path.Point { return path.Point{X: g.round(p.X), Y: g.round(p.Y)} }

// SpeedSteps returns mm/s in steps of the grid.
func (g Grid) SpeedSteps(mmPerS float64) float64 {
	return math.Round(mmPerS / g.unit * g.minute * g.feed)
}

// Speed rounds mm/s to the grid.
func (g Grid) Speed(mmPerS float64) float64 { return g.SpeedSteps(mmPerS) / g.feed * g.unit / g.minute }

// PowerSteps returns a fraction of full power in steps of the grid.
func (g Grid) PowerSteps(fraction float64) float64 { return math.Round(fraction * g.full * g.s) }

// Power rounds a fraction of full power to the grid.
func (g Grid) Power(fraction float64) float64 { return g.PowerSteps(fraction) / g.s / g.full }

// Settings returns s with speeds and powers on the grid.
func (g Grid) Settings(s []path.Setting) []path.Setting {
	out := make([]path.Setting, len(s))
	for i, set := range s {
		set.SpeedMMPerS, set.Power = g.Speed(set.SpeedMMPerS), g.Power(set.Power)
		out[i] = set
	}
	return out
}
