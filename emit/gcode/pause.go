package gcode

import (
	"furrow/emit"
	"furrow/emit/machine"
)

// pauseWriter takes the waits and stops of moves. A file holds none but those of
// the user's own lines, which stand before the first movement and behind the
// last.
type pauseWriter struct {
	before, after int // of the user's own lines, and still to come
	late          int // met behind a movement
}

func newPauseWriter(o machine.GCode) pauseWriter {
	return pauseWriter{before: len(emit.Pauses(o.StartLines)), after: len(emit.Pauses(o.EndLines))}
}

// take reports that the file has a place for one more.
func (p *pauseWriter) take(moved bool) bool {
	if !moved && p.before > 0 {
		p.before--
		return true
	}
	p.late++
	return p.late <= p.after
}
