package gcode

import (
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// Played returns m with the waits and stops that the user's own lines add to a
// file of it: what Read gives of that file.
func Played(m emit.Moves, controller machine.GCode) emit.Moves {
	before, after := pauses(controller.StartLines), pauses(controller.EndLines)
	if len(before)+len(after) == 0 {
		return m
	}
	planned := m.All()
	m.Play = func(yield func(emit.Move, error) bool) {
		var at path.Point
		send := func(list []emit.Move) bool {
			for _, p := range list {
				p.To = at
				if !yield(p, nil) {
					return false
				}
			}
			return true
		}
		if !send(before) {
			return
		}
		for mv, err := range planned {
			if at = mv.To; !yield(mv, err) {
				return
			}
		}
		send(after)
	}
	return m
}

// pauses returns the waits and stops in lines of the user's own.
func pauses(lines []string) []emit.Move {
	var list []emit.Move
	in := newInterpreter(machine.GCode{})
	in.yield = func(mv emit.Move) bool {
		list = append(list, mv)
		return true
	}
	in.report = func(*Problem) bool { return true }
	for _, s := range lines {
		in.next([]byte(s))
	}
	return list
}

// pauseWriter takes the waits and stops of moves. A file holds none but those of
// the user's own lines, which stand before the first movement and behind the
// last.
type pauseWriter struct {
	before, after int // of the user's own lines, and still to come
	late          int // met behind a movement
}

func newPauseWriter(o machine.GCode) pauseWriter {
	return pauseWriter{before: len(pauses(o.StartLines)), after: len(pauses(o.EndLines))}
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
