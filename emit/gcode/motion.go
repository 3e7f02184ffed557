package gcode

import (
	"math"

	"furrow/emit"
	"furrow/path"
)

// move plays a line with X or Y.
func (in *interpreter) move(w *words) {
	if !in.ready() {
		return
	}
	if in.elsewhere {
		in.unclear(RuleZero, oneZeroHint, otherZero)
	}
	in.started()
	in.moved = true
	to := in.at
	if w.hasX {
		to.X = in.length(w.x)
	}
	if w.hasY {
		to.Y = in.length(w.y)
	}
	if !in.within(to) {
		return
	}
	mv := emit.Move{To: to}
	if in.motion > 1 && !in.arc(w, &mv) {
		return
	}
	if in.motion > 0 {
		in.cut(&mv)
	} else if in.s > 0 {
		in.broken(RuleTraverse, "write S0 on or before the G0",
			"S is %g in a G0: RS-274 leaves the beam as it is in a traverse", in.s)
	}
	if !in.placed {
		in.first(w, mv.Kind)
	}
	if nowhere := mv.Turn == emit.Straight && to == in.at; !nowhere {
		in.send(mv)
	} else if mv.Kind == emit.Mark {
		in.still()
	}
	in.at = to
}

// farthestMM is as far from zero as a file may reach, ten times the largest bed of a profile.
const farthestMM = 100_000

// within reports that a place, or an arc's centre, can be that of a machine.
func (in *interpreter) within(p path.Point) bool {
	if max(math.Abs(p.X), math.Abs(p.Y)) <= farthestMM {
		return true
	}
	in.unclear(RulePosition, "", "X%.f Y%.f mm is further than %d m from zero", p.X, p.Y, farthestMM/1000)
	return false
}

// first judges the first move: nobody knows where the head is before it.
func (in *interpreter) first(w *words, kind emit.Kind) {
	in.placed = true
	const hint = "begin with a G0 that names X and Y"
	switch {
	case !w.hasX || !w.hasY:
		in.broken(RulePosition, hint, "the first move does not name both axes, and where the head is then is not known")
	case kind == emit.Mark || in.motion > 1:
		in.broken(RulePosition, hint, "a mark or an arc from a place that is not known")
	}
}

// ready reports that the modes which give a move its meaning are set. A controller
// may be in any of them at the start.
func (in *interpreter) ready() bool {
	switch {
	case in.unit == 0:
		in.broken(RuleModes, "write G21 or G20 first", "a move before the unit is set")
	case !in.absolute:
		in.broken(RuleModes, "write G90 first", "a move before G90")
	case !in.plane:
		in.broken(RuleModes, "write G17 first", "a move before G17")
	case !in.perMin:
		in.broken(RuleModes, "write G94 first", "a move before G94")
	case in.motion < 0:
		in.unclear(RuleModes, "", "a move with no G0 or G1 before it")
	default:
		return true
	}
	return false
}

// length turns a number of the file into mm, without -0.
func (in *interpreter) length(v float64) float64 { return v*in.unit + 0 }

// cut fills in a move at feed: a mark where the beam is armed and S above 0.
func (in *interpreter) cut(mv *emit.Move) {
	if in.feed == 0 {
		in.unclear(RuleWords, "", "a move at feed with no F before it")
	}
	mv.Speed = in.feed * in.unit / 60
	mv.Kind = emit.Gap
	if in.s > 0 && !in.armed {
		in.broken(RuleUnarmed, "write M3 S0 or M4 S0 before the first mark", "S%g while the beam is off (M5)", in.s)
	}
	if in.s > 0 && in.armed {
		mv.Kind, mv.Power = emit.Mark, in.s/in.fullS
		mv.Setting = in.setting(mv.Speed, mv.Power)
	} else if n := len(in.list); n > 0 {
		mv.Setting = in.last
	}
}

// lenientArcSlack is how far an arc's end may be from its circle in a picture, mm.
const lenientArcSlack = 0.05

// arcSlack returns how far an arc's end may be from its circle, mm: RS-274 has
// 0.002 mm and 0.0002 in (section 3.5.3). A little is for rounding.
func (in *interpreter) arcSlack() float64 {
	if in.lenient {
		return lenientArcSlack
	}
	if in.unit != 1 {
		return 0.0002*path.MMPerInch + 1e-9
	}
	return 0.002 + 1e-9
}

// arc fills in turn and centre. Where the words of an arc left out mean 0.
func (in *interpreter) arc(w *words, mv *emit.Move) bool {
	if in.known && !in.controller.Arcs {
		in.broken(RuleArc, "", "an arc, which the profile does not say that the controller takes")
	}
	if !w.hasI && !w.hasJ {
		in.unclear(RuleArc, "write its centre with I and J", "an arc by its radius is not part of a file for a marker")
		return false
	}
	mv.Centre = in.grid.Point(in.at.Add(path.Point{X: in.length(w.i), Y: in.length(w.j)}))
	if !in.within(mv.Centre) {
		return false
	}
	mv.Turn = emit.Clockwise
	if in.motion == 3 {
		mv.Turn = emit.CounterClockwise
	}
	r, end := in.at.Dist(mv.Centre), mv.To.Dist(mv.Centre)
	if r == 0 || end == 0 || math.Abs(r-end) > in.arcSlack() {
		in.unclear(RuleArc, "", "the arc begins %.4f mm and ends %.4f mm from its centre", r, end)
		return false
	}
	return true
}
