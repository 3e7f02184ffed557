package gcode

import (
	"furrow/emit/gcode/ngc"
	"furrow/emit/machine"
	"furrow/path"
)

// word reads one word; false means that the line is no use.
func (in *interpreter) word(w ngc.Word, to *words) bool {
	switch w.Letter {
	case 'X':
		to.x, to.hasX = w.Value, true
	case 'Y':
		to.y, to.hasY = w.Value, true
	case 'I':
		to.i, to.hasI = w.Value, true
	case 'J':
		to.j, to.hasJ = w.Value, true
	case 'F':
		in.feed = w.Value
	case 'S':
		in.speedWord(w.Value)
		to.hasS = true
	case 'E':
		to.e = w.Value
	case 'Q':
		to.q = w.Value
	case 'P':
		to.p = w.Value
	case 'G':
		return in.g(w, to)
	case 'M':
		in.m(w, to)
	case 'Z': // up and down
		in.broken(RuleVocabulary, "", "a Z word is not part of a file for a marker")
		return in.lenient
	default:
		in.unclear(RuleVocabulary, "", "a %c word is not part of a file for a marker", w.Letter)
		return false
	}
	return true
}

func (in *interpreter) g(w ngc.Word, to *words) bool {
	code, err := w.GCode()
	switch {
	case err != nil:
		in.unclear(RuleWords, "", "%v", err)
		return false
	case code == 0 || code == 10 || code == 20 || code == 30:
		in.motion = code / 10
	case code == 200 || code == 210:
		in.units(code)
	case code == 900:
		in.absolute = true
	case code == 40:
		to.dwell = true
	case code == 800:
		in.motion = -1
	case code == 940:
		in.perMin = true
	case code == 170:
		in.plane = true
	case code >= 540 && code <= 593:
		in.workOffset(code)
	case harmlessG[code]:
	default:
		in.unclear(RuleVocabulary, "", "G%g is not part of a file for a marker", w.Value)
		return false
	}
	return true
}

func (in *interpreter) units(code int) {
	unit, name := 1.0, "G21"
	if code == 200 {
		unit, name = path.MMPerInch, "G20"
	}
	switch {
	case in.moved && unit != in.unit:
		in.broken(RuleUnits, "", "the unit changes inside the file")
	case in.known && in.controller.Inch != (code == 200):
		in.broken(RuleUnits, "", "%s, and the profile says otherwise", name)
	}
	in.unit = unit
	in.header.Inch = code == 200
	in.grid = machine.GCode{Inch: code == 200}.Grid()
}

// workOffset takes one of G54 to G59.3. Which of them holds at the start is the
// operator's doing, unless the file names it; another one puts X0 Y0 elsewhere.
func (in *interpreter) workOffset(code int) {
	if code != in.zero && (in.moved || in.zero != 0) {
		in.broken(RuleZero, oneZeroHint, otherZero)
		in.elsewhere = in.moved
	}
	in.zero = code
}

const (
	otherZero   = "X0 Y0 is elsewhere from here on"
	oneZeroHint = "name one work offset (G54 to G59.3), before the first move"
)

func (in *interpreter) m(w ngc.Word, to *words) {
	code, err := w.MCode()
	if err != nil {
		in.unclear(RuleWords, "", "%v", err)
		return
	}
	switch code {
	case 0, 1, 60:
		to.stop = true
	case 2, 30:
		to.end = true
		in.endWord(code)
	case 3, 4, 5:
		to.beam = code
	case 7, 8:
		in.airOn(code)
	case 9:
		in.air = false
	case 67:
		to.output = true
	case 48:
	case 49:
		in.broken(RuleOverride, "take it out", "M49 takes the operator's speed and power overrides away")
	default:
		in.unclear(RuleVocabulary, "", "M%d is not part of a file for a marker", code)
	}
}

// airOn takes M7 or M8. On a controller that is known one of them may be something
// else than air.
func (in *interpreter) airOn(code int) {
	in.air = true
	if in.known && !in.ownAir[code-7] {
		in.broken(RuleAir, "", "M%d, which is not the profile's word for air", code)
	}
}
