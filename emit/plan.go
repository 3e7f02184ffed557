package emit

import (
	"fmt"
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// Plan turns a program into the moves of the machine. It does not check limits:
// see Check.
func Plan(prog path.Program, m machine.Profile) (Moves, error) {
	moves := Moves{
		Header:   Header{Profile: m.ID, Hash: m.Hash()},
		Settings: prog.Settings,
	}
	switch {
	case m.Kind == machine.KindGantry && m.Gantry != nil:
		moves.Header.Inch = m.Controller().Inch
		prog.Settings = m.Controller().Grid().Settings(prog.Settings)
		moves.Settings = prog.Settings
		moves.Play = planGantry(prog, *m.Gantry, m.Controller())
	case m.Kind == machine.KindGalvo && m.Galvo != nil:
		return planGalvo(prog, m)
	default:
		return Moves{}, fmt.Errorf("machine %q: kind %q has no section of that name", m.ID, m.Kind)
	}
	return moves, nil
}

// snap rounds p to a grid. Adding 0 turns -0 into 0.
func snap(p path.Point, stepsPerMM float64) path.Point {
	return path.Point{X: math.Round(p.X*stepsPerMM)/stepsPerMM + 0, Y: math.Round(p.Y*stepsPerMM)/stepsPerMM + 0}
}
