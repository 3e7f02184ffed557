package emit

import (
	"iter"

	"furrow/emit/gcode/ngc"
	"furrow/emit/machine"
	"furrow/path"
)

// withOwnLines adds the waits and stops of the user's own last lines, which stand in
// the file behind the last movement. The first ones have none.
func withOwnLines(planned iter.Seq2[Move, error], controller machine.GCode) iter.Seq2[Move, error] {
	after := Pauses(controller.EndLines, controller)
	if len(after) == 0 {
		return planned
	}
	return func(yield func(Move, error) bool) {
		var at path.Point
		for mv, err := range planned {
			if at = mv.To; !yield(mv, err) {
				return
			}
		}
		for _, p := range after {
			p.To = at
			if !yield(p, nil) {
				return
			}
		}
	}
}

// Pauses returns the waits and stops in lines of the user's own. A line that cannot
// be read has none: gcode.CheckLines refuses it.
func Pauses(lines []string, controller machine.GCode) []Move {
	var list []Move
	var l ngc.Line
	for _, s := range lines {
		if l.Parse([]byte(s)) != nil {
			continue
		}
		for _, p := range l.Pauses() {
			mv := Move{Kind: Hold}
			if !p.Stop {
				mv = Move{Kind: Wait, WaitUS: controller.WaitUS(p.P)}
			}
			list = append(list, mv)
		}
	}
	return list
}
