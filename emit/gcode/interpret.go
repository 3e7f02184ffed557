package gcode

import (
	"bytes"
	"fmt"
	"math"

	"furrow/emit"
	"furrow/emit/gcode/ngc"
	"furrow/emit/machine"
	"furrow/path"
)

// interpreter plays a file line by line: the state of a controller, and the
// checks of the contract.
type interpreter struct {
	controller machine.GCode
	known      bool // the machine's section is not the zero value
	fullS      float64
	maxLine    int // 0 for that of RS-274
	yield      func(emit.Move) bool
	report     func(*Problem) bool // false when no more is wanted
	stopped    bool
	lenient    bool // only what cannot be understood is a problem, see Look

	n      int // of the line
	line   ngc.Line
	rules  ngc.Program
	header emit.Header
	moved  bool

	otherZero bool // the work offset has changed since the last move

	grid     machine.Grid
	unit     float64 // mm in a unit; 0 before G20 or G21
	absolute bool
	perMin   bool // G94
	plane    bool // G17
	zero     int  // code of the work offset, times ten; 0 where none is named
	motion   int  // code of group 1, or -1
	at       path.Point
	feed     float64 // units a minute
	s        float64
	armed    bool // M3 or M4
	air      bool
	ended    bool

	settings map[settingKey]uint16
	list     []path.Setting
	frozen   bool // settings are complete
	lastKey  settingKey
	last     uint16
}

func newInterpreter(controller machine.GCode) *interpreter {
	return &interpreter{controller: controller, known: controller.PowerMode != "", fullS: controller.FullS(), motion: -1}
}

func (in *interpreter) problem(format string, args ...any) {
	in.hinted("", format, args...)
}

func (in *interpreter) hinted(hint, format string, args ...any) {
	if !in.lenient {
		in.unclear(hint, format, args...)
	}
}

// unclear is a problem that leaves open what the file does.
func (in *interpreter) unclear(hint, format string, args ...any) {
	if !in.stopped && !in.report(&Problem{Line: in.n, Message: fmt.Sprintf(format, args...), Hint: hint}) {
		in.stopped = true
	}
}

// next plays one line, with or without its end.
func (in *interpreter) next(text []byte) {
	in.n++
	text = bytes.TrimSuffix(bytes.TrimSuffix(text, []byte("\n")), []byte("\r"))
	if in.ended {
		if len(bytes.TrimSpace(text)) > 0 {
			in.problem("text behind the end of the program")
		}
		return
	}
	if in.maxLine > 0 && len(text) > in.maxLine {
		in.hinted("a small controller may cut it", "%d characters, which is more than %d", len(text), in.maxLine)
	}
	text = in.semicolon(text)
	if in.lenient && string(bytes.TrimSpace(text)) == "%" {
		return
	}
	if err := in.line.Parse(text); err != nil {
		in.unclear("", "%v", err)
		return
	}
	if err := in.rules.Check(&in.line); err != nil && !in.lenient {
		in.problem("%v", err)
		return
	}
	if in.line.Comment != nil && !in.moved {
		readProfile(string(in.line.Comment), &in.header)
	}
	in.play1()
}

// semicolon cuts off a comment in the style that many controllers take and
// RS-274 does not have.
func (in *interpreter) semicolon(text []byte) []byte {
	i := bytes.IndexByte(text, ';')
	if i < 0 || bytes.IndexByte(text[:i], '(') >= 0 {
		return text
	}
	if in.known && in.controller.Comments != machine.CommentsSemicolon {
		in.problem("a comment behind a semicolon, which the profile does not name")
	}
	if !in.moved {
		readProfile(string(text[i+1:]), &in.header)
	}
	return text[:i]
}

// words is what a line asks for.
type words struct {
	x, y, i, j, p    float64
	hasX, hasY       bool
	hasI, hasJ, hasS bool
	dwell, stop, end bool
	beam             int // 3, 4 or 5; 0 when the line has none
}

// play1 carries a line out in the sequence of RS-274 (Table 8): feed, power,
// beam, air, dwell, units, motion, stop.
func (in *interpreter) play1() {
	if in.line.Deleted || in.line.Params() {
		in.unclear("", "deleted lines and parameters are not part of a file for a marker")
		return
	}
	var w words
	for _, word := range in.line.Words {
		if !in.word(word, &w) {
			return
		}
	}
	in.beam(&w)
	if w.dwell {
		in.pause(emit.Move{Kind: emit.Wait, WaitUS: int64(math.Round(min(w.p, 1e6) * 1e6))}, "a dwell")
	}
	if w.hasX || w.hasY {
		in.move(&w)
	} else if w.hasS && in.s > 0 {
		in.problem("S%g on a line that moves nothing: the beam may stand still on the work", in.s)
	}
	if w.stop {
		in.pause(emit.Move{Kind: emit.Hold}, "a stop")
	}
	if w.end {
		in.end()
	}
}

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
		in.s, to.hasS = w.Value, true
	case 'P':
		to.p = w.Value
	case 'G':
		return in.g(w, to)
	case 'M':
		in.m(w, to)
	case 'Z': // up and down
		in.problem("a Z word is not part of a file for a marker")
		return in.lenient
	default:
		in.unclear("", "a %c word is not part of a file for a marker", w.Letter)
		return false
	}
	return true
}

func (in *interpreter) g(w ngc.Word, to *words) bool {
	code, err := w.GCode()
	switch {
	case err != nil:
		in.unclear("", "%v", err)
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
		in.otherZero = in.otherZero || in.moved && code != in.zero
		in.zero = code
	case harmlessG[code]:
	default:
		in.unclear("", "G%g is not part of a file for a marker", w.Value)
		return false
	}
	return true
}

func (in *interpreter) units(code int) {
	unit := 1.0
	if code == 200 {
		unit = path.MMPerInch
	}
	if in.moved && unit != in.unit {
		in.problem("the unit changes in the midst of the file")
	}
	in.unit = unit
	in.header.Inch = code == 200
	in.grid = machine.GCode{Inch: code == 200}.Grid()
}

func (in *interpreter) m(w ngc.Word, to *words) {
	code, err := w.MCode()
	if err != nil {
		in.unclear("", "%v", err)
		return
	}
	switch code {
	case 0, 1, 60:
		to.stop = true
	case 2, 30:
		to.end = true
	case 3, 4, 5:
		to.beam = code
	case 7, 8:
		in.air = true
	case 9:
		in.air = false
	case 48, 49:
	default:
		in.unclear("", "M%d is not part of a file for a marker", code)
	}
}

// beam arms or switches off, and judges S.
func (in *interpreter) beam(w *words) {
	if in.known && in.s > in.fullS && w.hasS {
		in.problem("S%g is more than %g, which is full power", in.s, in.fullS)
	}
	switch w.beam {
	case 3, 4:
		if in.s > 0 {
			in.hinted("write M3 S0 before the first mark", "M%d while S is %g: the beam may come on at a standstill", w.beam, in.s)
		}
		if w.beam == 4 && in.known && in.controller.PowerMode != machine.PowerSpeedFollowing {
			in.problem("M4 on a controller whose power does not follow speed")
		}
		in.armed = true
	case 5:
		in.armed = false
	}
}

func (in *interpreter) pause(mv emit.Move, what string) {
	if in.armed && in.s > 0 {
		in.problem("%s with S%g: the beam burns in one place", what, in.s)
	}
	mv.To = in.at
	in.send(mv)
}

func (in *interpreter) end() {
	in.ended = true
	if in.s > 0 {
		in.problem("the program ends with S%g", in.s)
	}
	if in.armed {
		in.problem("the program ends without M5")
	}
}

// finish judges the end of the file.
func (in *interpreter) finish() {
	if !in.ended {
		in.hinted("the file may have been cut short", "the file does not end with M2 or M30")
	}
}

func (in *interpreter) send(mv emit.Move) {
	if !in.stopped && !in.yield(mv) {
		in.stopped = true
	}
}
