package emit

import (
	"iter"
	"math"

	"furrow/emit/gcode/ngc"
	"furrow/emit/machine"
	"furrow/path"
)

// withOwnLines adds the waits and stops of the user's own last lines, which stand in
// the file behind the last movement. The first ones have none.
func withOwnLines(planned iter.Seq2[Move, error], controller machine.GCode) iter.Seq2[Move, error] {
	after := Pauses(controller.EndLines)
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
func Pauses(lines []string) []Move {
	var list []Move
	var l ngc.Line
	for _, s := range lines {
		if l.Parse([]byte(s)) != nil {
			continue
		}
		for _, p := range l.Pauses() {
			mv := Move{Kind: Hold}
			if !p.Stop {
				mv = Move{Kind: Wait, WaitUS: int64(math.Round(min(p.Seconds, longestWaitS) * 1e6))}
			}
			list = append(list, mv)
		}
	}
	return list
}

// longestWaitS keeps a wait that is meant to never end within what can be counted.
const longestWaitS = 1e6
