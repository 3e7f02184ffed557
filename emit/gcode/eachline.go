package gcode

import (
	"io"

	"furrow/emit"
	"furrow/emit/machine"
)

// Line is what a line of a file does, for whoever hands a file on line by line.
type Line struct {
	End   int64 // where the line ends in the file, its own end included
	Moves int   // how many moves of Read's there are up to its end
	Dark  bool  // the beam is off behind it
	Waits bool  // it waits for the operator
}

// Lines visits the lines of a file that Read takes, in sequence.
func Lines(r io.ReaderAt, controller machine.GCode, visit func(Line)) error {
	in := newInterpreter(controller)
	in.settings = map[settingKey]uint16{}
	var l Line
	in.behind = func(raw []byte) {
		l.End += int64(len(raw))
		l.Dark = !in.armed || in.s == 0
		visit(l)
		l.Waits = false
	}
	for mv, err := range in.play(r) {
		if err != nil {
			return err
		}
		l.Moves++
		l.Waits = l.Waits || mv.Kind == emit.Hold
	}
	return nil
}

// MovesWithin counts the moves of a file, which Read takes, that its first lines make, for
// each of rising numbers of lines: how far it came that was stopped there. The whole file is
// read: what is cut off may be refused for that alone, and tells nothing of its moves.
func MovesWithin(r io.ReaderAt, controller machine.GCode, lines ...int) (n []int, err error) {
	at, moves := 0, 0
	err = Lines(r, controller, func(l Line) {
		for len(n) < len(lines) && lines[len(n)] <= at {
			n = append(n, moves)
		}
		at, moves = at+1, l.Moves
	})
	for len(n) < len(lines) {
		n = append(n, moves)
	}
	return n, err
}
