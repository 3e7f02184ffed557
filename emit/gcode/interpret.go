package gcode

import (
	"bytes"
	"fmt"

	"furrow/emit"
	"furrow/emit/gcode/ngc"
	"furrow/emit/machine"
	"furrow/path"
)

// interpreter plays a file line by line: the state of a controller, and the
// checks of the contract. At its start nothing is known.
type interpreter struct {
	controller machine.GCode
	known      bool // the machine's section is not the zero value
	ownAir     [2]bool
	fullS      float64
	maxLine    int // 0 for that of RS-274
	yield      func(emit.Move) bool
	report     func(*Problem) bool // false when no more is wanted
	behind     func(line []byte)   // unless nil, called when a line was played
	stopped    bool
	lenient    bool // only what cannot be understood is a problem, see Look

	n      int // of the line
	line   ngc.Line
	rules  ngc.Program
	header emit.Header
	closer closer
	moved  bool

	grid     machine.Grid
	unit     float64 // mm in a unit; 0 before G20 or G21
	absolute bool
	perMin   bool    // G94
	plane    bool    // G17
	motion   int     // code of group 1, or -1
	feed     float64 // units a minute
	s        float64
	byOutput bool    // the power is an output, not S
	outputE  float64 // its number
	air      bool

	at        path.Point
	placed    bool // at is known
	zero      int  // code of the work offset, times ten; 0 where none is named
	elsewhere bool // it has changed since the first move

	wasOff bool // M5 has been seen
	wasS0  bool // S0 has been seen
	armed  bool // M3 or M4
	ended  bool

	settings map[settingKey]uint16
	list     []path.Setting
	frozen   bool // settings are complete
	lastKey  settingKey
	last     uint16
}

func newInterpreter(controller machine.GCode) *interpreter {
	in := &interpreter{controller: controller, known: controller.PowerMode != "", fullS: controller.FullS(), motion: -1}
	in.ownAir, in.byOutput = airOf(controller), controller.PowerByOutput()
	return in
}

// broken tells of a rule that the line breaks, although it is clear what it does.
func (in *interpreter) broken(rule Rule, hint, format string, args ...any) {
	if !in.lenient {
		in.unclear(rule, hint, format, args...)
	}
}

// unclear is a problem that leaves open what the file does.
func (in *interpreter) unclear(rule Rule, hint, format string, args ...any) {
	if !in.stopped && !in.report(&Problem{Line: in.n, Rule: rule, Message: fmt.Sprintf(format, args...), Hint: hint}) {
		in.stopped = true
	}
}

// next plays one line, with or without its end.
func (in *interpreter) next(raw []byte) {
	in.n++
	closes := in.closer.add(in.n, raw)
	text := bytes.TrimSuffix(bytes.TrimSuffix(raw, []byte("\n")), []byte("\r"))
	if in.ended {
		if len(bytes.Trim(text, " \t")) > 0 || in.closer.at > 0 {
			in.broken(RuleAfterEnd, "take it out", "text behind the end of the program")
		}
		return
	}
	if in.closer.at > 0 && !closes && !in.closed(raw) {
		return
	}
	if in.maxLine > 0 && len(text) > in.maxLine {
		in.broken(RuleLineLength, "a small controller may cut it", "%d characters, which is more than %d",
			len(text), in.maxLine)
	}
	text = in.semicolon(text)
	if in.lenient && string(bytes.TrimSpace(text)) == "%" {
		return
	}
	if err := in.line.Parse(text); err != nil {
		in.unclear(RuleGrammar, "", "%v", err)
		return
	}
	if err := in.rules.Check(&in.line); err != nil && !in.lenient {
		in.broken(RuleWords, "", "%v", err)
		return
	}
	if in.line.Comment != nil && !in.moved {
		readHeader(string(in.line.Comment), &in.header)
	}
	in.play1()
}

// semicolon cuts off a comment in the style that many controllers take and
// RS-274 does not have. It may hold what one in parentheses may.
func (in *interpreter) semicolon(text []byte) []byte {
	i := bytes.IndexByte(text, ';')
	if i < 0 || bytes.IndexByte(text[:i], '(') >= 0 {
		return text
	}
	if in.known && in.controller.Comments != machine.CommentsSemicolon {
		in.broken(RuleComment, "", "a comment behind a semicolon, which the profile does not name")
	}
	for _, c := range text[i:] {
		if c != '\t' && (c < ' ' || c > '~') {
			in.broken(RuleComment, "write plain ASCII: many controllers take a bare CR as the end of a line",
				"a comment holds %q, which is not a printable character", c)
			break
		}
	}
	if !in.moved {
		readHeader(string(bytes.TrimLeft(text[i+1:], " ")), &in.header)
	}
	return text[:i]
}

// words is what a line asks for.
type words struct {
	x, y, i, j, p    float64
	e, q             float64
	hasX, hasY       bool
	hasI, hasJ, hasS bool
	output           bool // M67
	dwell, stop, end bool
	beam             int // 3, 4 or 5; 0 when the line has none
}

// play1 carries a line out in the sequence of RS-274 (Table 8): feed, power,
// beam, air, dwell, units, motion, stop.
func (in *interpreter) play1() {
	if in.line.Deleted || in.line.Params() {
		in.unclear(RuleVocabulary, "", "deleted lines and parameters are not part of a file for a marker")
		return
	}
	var w words
	for _, word := range in.line.Words {
		if !in.word(word, &w) {
			return
		}
	}
	in.output(&w)
	in.beam(&w)
	if w.dwell {
		in.pause(emit.Move{Kind: emit.Wait, WaitUS: in.controller.WaitUS(w.p)}, "a dwell")
	}
	if w.hasX || w.hasY {
		in.move(&w)
	} else if w.hasS && in.s > 0 {
		in.still()
	}
	in.seen(&w)
	if w.stop {
		in.pause(emit.Move{Kind: emit.Hold}, "a stop")
	}
	if w.end {
		in.end()
	}
}

func (in *interpreter) still() {
	in.broken(RuleStandstill, "", "S%g on a line that moves nothing: the beam may stand still on the work", in.s)
}

func (in *interpreter) pause(mv emit.Move, what string) {
	in.started()
	if in.armed && in.s > 0 {
		in.broken(RuleStandstill, "", "%s with S%g: the beam burns in one place", what, in.s)
	}
	mv.To = in.at
	in.send(mv)
}

func (in *interpreter) send(mv emit.Move) {
	if !in.stopped && !in.yield(mv) {
		in.stopped = true
	}
}
