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
	moves, err := planBare(prog, m, new(int))
	moves.Play = withOwnLines(moves.All(), m.Controller())
	return moves, err
}

// Origins returns, for each stroke of the moves that a program becomes, as Moves.Program
// numbers them, the stroke of the program with which it begins: strokes that meet are one
// in the moves, and what has no length on the grid is none.
func Origins(prog path.Program, m machine.Profile) (of []int, err error) {
	now := 0
	moves, err := planBare(prog, m, &now)
	var s Strokes
	for mv, err := range moves.All() {
		if err != nil {
			return nil, err
		}
		if _, begins := s.Next(&mv); begins {
			of = append(of, now)
		}
	}
	return of, err
}

// planBare is Plan without the user's own lines. While the moves are played, now is the
// stroke that they belong to.
func planBare(prog path.Program, m machine.Profile, now *int) (Moves, error) {
	moves := Moves{
		Header:   Header{Profile: m.ID, Hash: m.Hash()},
		Settings: prog.Settings,
	}
	switch {
	case m.IsGantry():
		moves.Header.Inch = m.Controller().Inch
		prog.Settings = m.Controller().Grid().Settings(prog.Settings)
		moves.Settings = prog.Settings
		moves.Play = planGantry(prog, *m.Gantry, m.Controller(), now)
	case m.IsGalvo():
		return planGalvo(prog, m, now)
	default:
		return Moves{}, fmt.Errorf("machine %q: kind %q has no section of that name", m.ID, m.Kind)
	}
	return moves, nil
}

// Reach returns bounds of all places that the head or the beam goes to for a program,
// mm: its run-up and run-out too, but not X0 Y0, where it starts. It is empty for
// nothing.
func Reach(prog path.Program, m machine.Profile) (path.Rect, error) {
	moves, err := Plan(prog, m)
	r := path.EmptyRect()
	var at path.Point
	for mv, bad := range moves.All() {
		if bad != nil {
			return r, bad
		}
		switch {
		case mv.Turn != Straight:
			r = r.Union(mv.Bounds(at))
		case mv.To != at || !r.Empty():
			r = r.Include(mv.To)
		}
		at = mv.To
	}
	return r, err
}

// snap rounds p to a grid. Adding 0 turns -0 into 0.
func snap(p path.Point, stepsPerMM float64) path.Point {
	return path.Point{X: math.Round(p.X*stepsPerMM)/stepsPerMM + 0, Y: math.Round(p.Y*stepsPerMM)/stepsPerMM + 0}
}
