package clock

import (
	"math"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"
)

// Cost returns what beam-off movement costs on the machine, in seconds, for a
// program of these settings.
func Cost(p machine.Profile, settings []path.Setting) route.Cost {
	switch {
	case p.IsGantry():
		return newGantryCost(p, settings)
	case p.IsGalvo():
		return newGalvoCost(p, settings)
	}
	return route.Length{}
}

// gantryCost times travel from the end of a run-out to the start of the next
// run-up.
type gantryCost struct {
	gantry    machine.Gantry
	settings  []path.Setting
	shortestS float64 // least time of a move
	top       float64 // speed of the fastest setting, mm/s
}

func newGantryCost(p machine.Profile, settings []path.Setting) gantryCost {
	c := gantryCost{gantry: *p.Gantry, settings: settings, shortestS: p.Controller().ShortestMoveMS * 1e-3}
	for _, s := range settings {
		c.top = max(c.top, s.SpeedMMPerS)
	}
	return c
}

// Rest returns where the head stands after the run-out of a row, or at the end
// of an outline.
func (c gantryCost) Rest(e route.End) path.Point {
	if e.Kind != path.SpanStroke || int(e.Setting) >= len(c.settings) || e.Dir == (path.Point{}) {
		return e.At
	}
	return e.At.Add(e.Dir.Mul(c.gantry.Overtravel(e.Dir, c.settings[e.Setting].SpeedMMPerS)))
}

// Travel returns the seconds of a travel move from rest to rest, or what stepping across
// to the row beside takes while the head turns round.
func (c gantryCost) Travel(from, to route.End) float64 {
	back := to
	back.Dir = to.Dir.Mul(-1)
	if c.beside(from, to) {
		g, v := &c.gantry, c.settings[from.Setting].SpeedMMPerS
		out := emit.NewRowEnd(g, from.At, from.Dir, v)
		in := emit.NewRowEnd(g, to.At, to.Dir, c.settings[to.Setting].SpeedMMPerS)
		if s, ok := emit.NewSidestep(g, out, in, c.shortestS); ok {
			return s.ExtraS
		}
	}
	return c.rapid(c.Rest(back).Sub(c.Rest(from)))
}

// beside reports that a row ends at from and one that lies beside it begins at to.
func (c gantryCost) beside(from, to route.End) bool {
	return from.Kind == path.SpanStroke && to.Kind == path.SpanStroke && from.Dir.Dot(to.Dir) < -0.9999 &&
		math.Abs(from.Dir.Cross(to.At.Sub(from.At))) <= emit.MostAcrossMM &&
		int(from.Setting) < len(c.settings) && int(to.Setting) < len(c.settings)
}

func (c gantryCost) rapid(d path.Point) float64 {
	length := d.Len()
	if length == 0 {
		return 0
	}
	dir := d.Mul(1 / length)
	g := &c.gantry
	return max(c.shortestS, restToRest(length, min(g.RapidMMPerS, g.MaxSpeed(dir)), g.Accel(dir), g.Jerk(dir)))
}

// Least returns the seconds of a travel of mm along the diagonal, where both
// axes help most, or of a sidestep between rows whose ends rest so far apart.
func (c gantryCost) Least(mm float64) float64 {
	g := &c.gantry
	both := func(limit [2]float64) float64 { return math.Hypot(limit[0], limit[1]) }
	ramp := both
	if g.AccelAlongPath {
		ramp = func(limit [2]float64) float64 { return limit[0] }
	}
	least := restToRest(mm, min(g.RapidMMPerS, both(g.MaxSpeedMMPerS)), ramp(g.AccelMMPerS2), ramp(g.JerkMMPerS3))
	if c.top == 0 {
		return least
	}
	along := math.Sqrt(max(0, mm*mm-emit.MostAcrossMM*emit.MostAcrossMM)) - c.lost()
	return min(least, max(0, along)/c.top)
}

// lost returns by how much run-up and run-out may differ, mm: as rows marked backwards do
// from those marked forwards, and lost motion.
func (c gantryCost) lost() float64 {
	most := math.Hypot(c.gantry.BacklashMM[0], c.gantry.BacklashMM[1])
	for _, r := range c.gantry.Reversal {
		most = max(most, 2*math.Abs(r.OffsetMM))
	}
	return most
}

// restToRest returns the seconds of a move from rest to rest.
func restToRest(length, speed, accel, jerk float64) float64 {
	switch {
	case length == 0:
		return 0
	case jerk > 0:
		return newDoubleS(length, 0, 0, speed, accel, jerk).seconds()
	case length*accel < speed*speed:
		return 2 * math.Sqrt(length/accel)
	}
	return length/speed + speed/accel
}

// Sweep is SweepAlong for the weaker axis, which needs the longer overtravel.
func (c gantryCost) Sweep(gap float64, setting int) bool {
	if g := c.gantry; g.AccelMMPerS2[0] > g.AccelMMPerS2[1] {
		return c.SweepAlong(path.Point{Y: 1}, gap, setting)
	}
	return c.SweepAlong(path.Point{X: 1}, gap, setting)
}

// SweepAlong is Sweep for a row along dir. To stop in a gap and start again is never
// quicker than to cross it; but what lies beyond it can be marked by itself, row after
// row, at the cost of a run-out and a run-up for each. A gap is swept where crossing it
// takes no longer than these.
func (c gantryCost) SweepAlong(dir path.Point, gap float64, setting int) bool {
	v := c.settings[setting].SpeedMMPerS
	return c.gapSeconds(dir, gap, v) <= 2*c.overtravel(dir, v)
}

// gapSeconds returns how long a gap along dir is crossed between spans marked at speed v.
func (c gantryCost) gapSeconds(dir path.Point, gap, v float64) float64 {
	g := &c.gantry
	straight := 2 * emit.NewRowEnd(g, path.Point{}, dir, v).Straight
	fast, inner := emit.HastenedGap(g, dir, v, gap-straight)
	if inner == 0 {
		return gap / v
	}
	return straight/v + trapezoidOrS(inner, v, fast, g.Accel(dir), g.Jerk(dir))
}

// trapezoidOrS returns the seconds over a length that begin and end at speed v and reach
// no more than fast.
func trapezoidOrS(length, v, fast, accel, jerk float64) float64 {
	if jerk > 0 {
		return newDoubleS(length, v, v, fast, accel, jerk).seconds()
	}
	return trapezoid(length, fast, accel, v*v, v*v)
}

// overtravel returns the seconds of a run-up along dir to speed v, or of a
// run-out from it.
func (c gantryCost) overtravel(dir path.Point, v float64) float64 {
	g := &c.gantry
	r := newRamp(0, v, g.Accel(dir), g.Jerk(dir))
	return r.t + max(0, g.Overtravel(dir, v)-r.length)/v
}
