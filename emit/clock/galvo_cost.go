package clock

import (
	"math"
	"slices"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"
)

// galvoCost is what the ways between strokes cost a galvo: the run-out, leaving the
// chain, the jump to the start of the next run-up, settling after it, and the run-up.
//
// Where delays are derived from the speed, each setting has its own. A player
// waits the mark delay of the setting that it leaves and the jump delay of the
// one that it enters; the cost is the mean of that and of the way back, since it
// must be the same both ways. Over a whole sequence the mark delays come out
// right all the same: every stroke is entered once and left once.
type galvoCost struct {
	moves    emit.Moves        // none: only settings and their delays
	distinct []machine.Scanner // those delays, each once
	maxGapMM float64
	runUpS   float64
	meetMM   float64 // ends that meet may rest as far apart as this
}

func newGalvoCost(p machine.Profile, settings []path.Setting) *galvoCost {
	c := &galvoCost{maxGapMM: p.Galvo.GapMM, runUpS: p.Galvo.RunUpUS * 1e-6}
	if len(settings) == 0 {
		settings = []path.Setting{{SpeedMMPerS: p.Galvo.MaxSpeedMMPerS}}
	}
	for _, s := range settings {
		s = p.Rounded(s)
		c.moves.Settings = append(c.moves.Settings, s)
		c.meetMM = max(c.meetMM, 2*c.runUpS*s.SpeedMMPerS)
	}
	c.moves.Scanner = p.Scanners(c.moves.Settings)
	for _, s := range c.moves.Scanner {
		if !slices.Contains(c.distinct, s) {
			c.distinct = append(c.distinct, s)
		}
	}
	return c
}

// Rest returns where a row has run out to, or the end itself.
func (c *galvoCost) Rest(e route.End) path.Point {
	if e.Kind != path.SpanStroke || c.runUpS == 0 {
		return e.At
	}
	return e.At.Add(e.Dir.Mul(c.runUpS * c.moves.Settings[e.Setting].SpeedMMPerS))
}

// run returns the seconds of a row's run-out, or of its run-up.
func (c *galvoCost) run(e route.End) float64 {
	if e.Kind != path.SpanStroke || e.Dir == (path.Point{}) {
		return 0
	}
	return c.runUpS
}

// Travel returns seconds. Where both ends meet there is no jump: the chain goes
// on, and only a corner may have to be waited for, or it ends where the settings
// differ in more than power.
func (c *galvoCost) Travel(from, to route.End) float64 {
	a, b := &c.moves.Scanner[from.Setting], &c.moves.Scanner[to.Setting]
	switch {
	case from.At != to.At:
		back := to
		back.Dir = to.Dir.Mul(-1)
		mm, run := c.Rest(from).Dist(c.Rest(back)), c.run(from)+c.run(to)
		if from.Setting == to.Setting {
			return run + jump(a, mm)
		}
		return run + (jump(a, mm)+jump(b, mm))/2
	case !c.moves.SameChain(from.Setting, to.Setting):
		return float64(a.MarkUS+b.MarkUS) / 2 * 1e-6
	case from.Dir == (path.Point{}) || to.Dir == (path.Point{}):
		return 0
	}
	return a.CornerWait(from.Dir.Dot(to.Dir)).Seconds()
}

// jump returns the seconds from the end of a chain to being ready mm further on.
func jump(s *machine.Scanner, mm float64) float64 {
	return float64(float64(s.MarkUS)*1e-6) + mm/float64(s.JumpMMPerS) + s.JumpWait(mm*machine.GalvoStepsPerMM).Seconds()
}

// Least returns the seconds of a jump of mm with the setting whose delays are
// the shortest.
func (c *galvoCost) Least(mm float64) float64 {
	if mm <= c.meetMM {
		return 0
	}
	least := math.Inf(1)
	for i := range c.distinct {
		least = min(least, jump(&c.distinct[i], mm))
	}
	return least
}

// Sweep reports whether crossing a gap at the marking speed is quicker than
// running out, jumping and running up anew, where the profile allows it at all
// and the gate has the time to close.
func (c *galvoCost) Sweep(gap float64, setting int) bool {
	s, v := &c.moves.Scanner[setting], c.moves.Settings[setting].SpeedMMPerS
	leaving := float64(2*c.runUpS) + jump(s, math.Abs(gap-float64(2*c.runUpS*v)))
	return gap <= c.maxGapMM && gap/v < leaving && s.GateCloses(gap, v)
}
