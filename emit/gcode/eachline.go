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
