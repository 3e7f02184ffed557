package emit

import (
	"fmt"
	"math"

	"furrow/path"
)

// galvoStepsPerMM is the grid of the mark-vector list, 0.1 µm.
const galvoStepsPerMM = 10000

// Plan turns a program into the moves of the machine. It does not check limits:
// see Check.
func Plan(prog path.Program, m Profile) (Moves, error) {
	moves := Moves{
		Header:   Header{Profile: m.ID, Hash: m.Hash()},
		Settings: prog.Settings,
	}
	switch {
	case m.Kind == KindGantry && m.Gantry != nil:
		grid := m.gcode().Grid()
		prog.Settings = grid.settings(prog.Settings)
		moves.Settings = prog.Settings
		moves.Play = planGantry(prog, *m.Gantry, grid)
	case m.Kind == KindGalvo && m.Galvo != nil:
		moves.Header.Field = path.Point{X: m.Galvo.FieldMM[0], Y: m.Galvo.FieldMM[1]}
		moves.Play = planGalvo(prog)
	default:
		return Moves{}, fmt.Errorf("machine %q: kind %q has no section of that name", m.ID, m.Kind)
	}
	return moves, nil
}

// snap rounds p to the grid.
func snap(p path.Point, stepsPerMM float64) path.Point {
	return path.Point{X: math.Round(p.X*stepsPerMM) / stepsPerMM, Y: math.Round(p.Y*stepsPerMM) / stepsPerMM}
}

// gcode returns the section of that name, or its zero value.
func (p Profile) gcode() GCode {
	if p.GCode == nil {
		return GCode{}
	}
	return *p.GCode
}
