// Package byhand is for tests: machines of round numbers, so that a time can be reckoned
// by hand, and a reckoning holds whatever becomes of the built-in examples.
package byhand

import "furrow/emit/machine"

// Fibre returns the example galvo with round speeds and delays. Its mark delay is 20 us
// shorter than its laser-off delay, so a jump behind a mark closes the gate early.
func Fibre() machine.Profile {
	p := machine.Examples()[2]
	p.Galvo = &machine.Galvo{
		FieldMM: [2]float64{175, 175}, MaxSpeedMMPerS: 7000, JumpSpeedMMPerS: 4000,
		JumpDelayUS: 250, ShortJumpDelayUS: 60, ShortJumpMM: 2,
		MarkDelayUS: 100, CornerDelayUS: 40, LaserOnDelayUS: 100, LaserOffDelayUS: 120,
	}
	return p
}
