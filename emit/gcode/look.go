package gcode

import (
	"io"

	"furrow/emit"
	"furrow/emit/machine"
)

// Look is Read of a file of which only the meaning matters, as when it comes from
// elsewhere and is to be drawn: it starts in the state that RS-274 gives a
// controller (G17 G90 G94; and G21) and passes over what Read refuses although it
// can be understood. Z words are left out, and so are lines of a percent sign. What
// a line does must still be certain: relative moves (G91), shifts of zero (G92) or
// words that are not known end in a *Problem, and so does a closing comment that is
// wrong.
func Look(r io.ReaderAt, controller machine.GCode) (emit.Moves, error) {
	return read(r, func() *interpreter {
		in := newInterpreter(controller)
		in.lenient = true
		in.unit, in.grid = 1, machine.GCode{}.Grid()
		in.absolute, in.perMin, in.plane = true, true, true
		return in
	})
}
