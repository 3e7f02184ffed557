package gcode

import (
	"bytes"
	"strings"

	"furrow/emit/machine"
)

// beam arms or switches off, and judges S.
func (in *interpreter) beam(w *words) {
	if in.known && in.s > in.fullS && w.hasS {
		in.broken(RulePower, "", "S%g is more than %g, which is full power", in.s, in.fullS)
	}
	switch w.beam {
	case 3, 4:
		in.arm(w)
	case 5:
		in.armed = false
	}
}

// seen keeps that a line has switched the beam off, for the lines behind it.
func (in *interpreter) seen(w *words) {
	in.wasOff = in.wasOff || w.beam == 5
	in.wasS0 = in.wasS0 || !in.byOutput && w.hasS && in.s == 0
}

// arm switches the beam on, which must be at no power, and behind M5 and S0: until
// then a controller may be in any state.
func (in *interpreter) arm(w *words) {
	in.started()
	const hint = "write M3 S0 before the first mark"
	switch {
	case !w.hasS:
		in.broken(RuleArm, hint, "M%d with no S: the beam may come on at a standstill", w.beam)
	case in.s > 0:
		in.broken(RuleArm, hint, "M%d while S is %g: the beam may come on at a standstill", w.beam, in.s)
	}
	follows := in.controller.PowerMode == machine.PowerSpeedFollowing
	switch {
	case in.known && w.beam == 4 && !follows:
		in.broken(RulePowerMode, "", "M4 on a controller whose power does not follow speed")
	case in.known && w.beam == 3 && follows:
		in.broken(RulePowerMode, "", "M3, and the profile says that power follows speed (M4)")
	}
	in.armed = true
}

// started refuses what may not come before both M5 and S0. It tells of it once.
func (in *interpreter) started() {
	if in.wasOff && in.wasS0 {
		return
	}
	in.broken(RuleStart, "write M5 and "+in.noPower()+" first",
		"before this line the file has not set both M5 and %s: the beam may be on", in.noPower())
	in.wasOff, in.wasS0 = true, true
}

// airOf tells which of M7 and M8 the profile has: as its word for air, or in lines of
// the user's own.
func airOf(g machine.GCode) (has [2]bool) {
	for i, word := range [...]string{"M7", "M8"} {
		has[i] = g.Air == word
	}
	for _, lines := range [...][]string{g.StartLines, g.EndLines} {
		for _, m := range ownCodes(lines) {
			if m == 7 || m == 8 {
				has[m-7] = true
			}
		}
	}
	return has
}

func (in *interpreter) endWord(code int) {
	if want := endWord(in.controller); in.known && want != map[int]string{2: "M2", 30: "M30"}[code] {
		in.broken(RuleEnd, "", "M%d, and the profile ends a program with %s", code, want)
	}
}

func (in *interpreter) end() {
	in.ended = true
	switch {
	case in.s > 0:
		in.broken(RuleEnd, "", "the program ends with S%g", in.s)
	case !in.wasS0:
		in.broken(RuleEnd, "", "the program ends without %s", in.noPower())
	}
	if in.armed || !in.wasOff {
		in.broken(RuleEnd, "", "the program ends without M5")
	}
	if in.air {
		in.broken(RuleAir, "write M9 before the end", "the program ends with the air on")
	}
}

// closed takes the line behind the closing comment: the end word, and nothing else.
func (in *interpreter) closed(raw []byte) bool {
	text := strings.TrimRight(string(raw), "\r\n")
	if n := strings.LastIndexByte(text, ' '); n > 0 && text[0] == 'N' {
		text = text[n+1:]
	}
	if text == "M2" || text == "M30" {
		if !bytes.HasSuffix(raw, []byte("\n")) {
			in.unclear(RuleWhole, remakeHint, "the file ends inside its last line")
		}
		return true
	}
	in.unclear(RuleWhole, remakeHint, "a line behind the closing comment that is not the end word alone: the file "+
		"was changed")
	in.ended = true
	return false
}

const remakeHint = "write the file again"

// finish judges the end of the file, and whether it is whole.
func (in *interpreter) finish() {
	if !in.ended {
		in.broken(RuleEnd, "the file may have been cut short", "the file does not end with M2 or M30")
	}
	c := &in.closer
	switch {
	case c.at == 0 && (in.header.Profile != "" || in.header.Program != ""):
		in.broken(RuleMaker, remakeHint,
			"the closing comment, which says that the file is whole, is missing: the file was cut or changed")
	case c.at > 0 && in.header.Profile == "" && in.header.Program != "":
		in.broken(RuleMaker, remakeHint, "the line that names the profile is missing: the file was changed")
	case c.at == 0:
	case !c.right:
		in.unclear(RuleWhole, remakeHint, "the check sum is wrong: the file was changed")
	case c.claimed != in.n:
		in.unclear(RuleWhole, remakeHint, "%d lines, and the closing comment names %d: the file was changed",
			in.n, c.claimed)
	default:
		in.header.Whole = true
	}
}
