package gcode

import (
	"fmt"
)

// This file is power by an output in step with the motion, where the profile names one
// in place of S: "M67 E0 Q0.35" holds from where the next movement begins. For every rule
// it then counts as S does, and S itself stays 0.

// speedWord takes an S word.
func (in *interpreter) speedWord(v float64) {
	if !in.byOutput {
		in.s = v
	} else if v != 0 {
		in.broken(RulePower, "", "S%g, and the profile says that the power is %s", v, in.controller.PowerWord)
	}
}

// noPower returns the word of a power of 0.
func (in *interpreter) noPower() string {
	switch {
	case !in.byOutput:
		return "S0"
	case in.known:
		return in.controller.PowerWord + "0"
	}
	return fmt.Sprintf("M67 E%g Q0", in.outputE)
}

// output takes M67 with its words, which the grammar makes sure of.
func (in *interpreter) output(w *words) {
	switch {
	case !w.output && w.q != 0:
		in.unclear(RuleVocabulary, "", "a Q word is not part of a file for a marker")
	case !w.output:
	case in.known && in.controller.PowerWord != fmt.Sprintf("M67 E%g Q", w.e):
		in.unclear(RuleVocabulary, "", "M67 E%g is not part of a file for a marker: the profile does not name it", w.e)
	case !in.byOutput && in.s > 0:
		in.unclear(RulePower, "", "M67 while S is %g: the beam has two powers", in.s)
	case in.byOutput && !in.known && w.e != in.outputE:
		in.unclear(RulePower, "", "M67 E%g behind E%g: the beam has two powers", w.e, in.outputE)
	case w.q < 0:
		in.unclear(RulePower, "", "Q%g is below 0", w.q)
	default:
		in.byOutput, in.outputE, in.s = true, w.e, w.q
		if in.known && in.s > in.fullS {
			in.broken(RulePower, "", "Q%g is more than %g, which is full power", in.s, in.fullS)
		}
		in.wasS0 = in.wasS0 || in.s == 0
	}
}
