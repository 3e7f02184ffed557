package clock

import (
	"math"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"
)

// Cost returns what the ways between strokes cost on the machine, in seconds, for a
// program of these settings: all that the clock counts for it besides marking at full
// speed and crossing the gaps inside sweeps. Run-outs and run-ups are in it, and what
// outlines lose at their ends.
func Cost(p machine.Profile, settings []path.Setting) route.Cost {
	switch {
	case p.IsGantry():
		return newGantryCost(p, settings)
	case p.IsGalvo():
		return newGalvoCost(p, settings)
	}
	return route.Length{}
}

// gantryCost times the way from stroke to stroke as the clock's look-ahead does for the
// moves that the planner makes of it: run-out, travel and run-up, or a sidestep.
type gantryCost struct {
	controller
	settings []path.Setting
	runs     *runs
	loose    bool    // rows marked backwards have leads of their own
	top      float64 // speed of the fastest setting, mm/s
}

func newGantryCost(p machine.Profile, settings []path.Setting) *gantryCost {
	c := &gantryCost{controller: newController(p), settings: settings}
	c.runs = newRuns(c.gantry)
	c.loose = len(c.gantry.Reversal) > 0 || c.gantry.BacklashMM != [2]float64{}
	for _, s := range settings {
		c.top = max(c.top, s.SpeedMMPerS)
	}
	return c
}

// Rest returns where the head stands after the run-out of a row, or at the end
// of an outline.
func (c *gantryCost) Rest(e route.End) path.Point {
	if !c.isRow(&e) {
		return e.At
	}
	return e.At.Add(e.Dir.Mul(c.runs.of(e.Dir, c.speed(&e)).length))
}

func (c *gantryCost) isRow(e *route.End) bool {
	return e.Kind == path.SpanStroke && int(e.Setting) < len(c.settings) && e.Dir != (path.Point{})
}

func (c *gantryCost) speed(e *route.End) float64 { return c.settings[e.Setting].SpeedMMPerS }

// Travel returns the seconds from the end of a stroke to the start of the next. Where
// rows marked backwards differ from those marked forwards, it is the mean of both ways.
func (c *gantryCost) Travel(from, to route.End) float64 {
	if !c.loose {
		return c.way(&from, &to)
	}
	there, back := to, from
	there.Dir, back.Dir = to.Dir.Mul(-1), from.Dir.Mul(-1)
	return (c.way(&from, &to) + c.way(&there, &back)) / 2
}

// way returns the seconds of a way as it is planned.
func (c *gantryCost) way(from, to *route.End) float64 {
	out, in := c.tail(from, 1), c.tail(to, -1)
	if out.run != nil && in.run != nil && c.beside(&out, &in) {
		if s, ok := emit.NewSidestep(c.gantry, out.rowEnd(), in.rowEnd(), c.shortestS); ok {
			return c.sidestep(&out, &in, &s)
		}
	}
	return c.rapid(&out, &in)
}

// beside reports that two rows lie so that a sidestep may lead from one to the other.
func (c *gantryCost) beside(out, in *tail) bool {
	return out.dir.Dot(in.dir) > 0.9999 && math.Abs(out.dir.Cross(in.at.Sub(out.at))) <= emit.MostAcrossMM
}

// sidestep returns the seconds of the slants of a sidestep and the straight parts that
// lead to them, a step further on at one side than at the other.
func (c *gantryCost) sidestep(out, in *tail, s *emit.Sidestep) float64 {
	there, back := s.Points[1].Sub(s.Points[0]), s.Points[2].Sub(s.Points[1])
	away, home := c.slant(there, out), c.slant(back, in)
	turn := min(away.entry, home.entry, c.gantry.CornerSpeed2(there.Mul(1/away.length), back.Mul(1/home.length)))
	straight := s.Points[0].Dist(out.at) + s.Points[2].Dist(in.at)
	return straight/out.run.speed + away.total(turn) + home.total(turn)
}

// slant returns a slant by d that is entered at the speed of a row, or left at it.
func (c *gantryCost) slant(d path.Point, row *tail) leg {
	l := c.leg(d, row.run.speed)
	l.entry = square(l.speed)
	if l.jerk > 0 { // the clock makes one leg of it and what lies in line with the row
		l.accel, l.jerk = min(l.accel, row.run.accel), min(l.jerk, row.run.jerk)
	}
	return l
}

// leg returns a straight move by d at a speed asked for.
func (c *gantryCost) leg(d path.Point, speed float64) leg {
	length := d.Len()
	dir := d.Mul(1 / length)
	l := leg{moves: 1, length: length, accel: c.gantry.Accel(dir), jerk: c.gantry.Jerk(dir)}
	l.speed = min(speed, c.gantry.MaxSpeed(dir))
	if c.shortestS > 0 {
		l.speed = min(l.speed, length/c.shortestS)
	}
	return l
}

// rapid returns the seconds of a way by a travel move.
func (c *gantryCost) rapid(out, in *tail) float64 {
	d := in.rest.Sub(out.rest)
	if d == (path.Point{}) {
		turn := min(out.entry, in.entry)
		if turn > 0 { // else one of them may have no direction
			turn = min(turn, c.gantry.CornerSpeed2(out.dir, in.dir.Mul(-1)))
		}
		return out.seconds(turn) + in.seconds(turn)
	}
	t := c.leg(d, c.gantry.RapidMMPerS)
	dir := d.Mul(1 / t.length)
	t.entry = c.junction(out, dir, &t)
	exit := c.junction(in, dir.Mul(-1), &t)
	if t.entry > 0 || exit > 0 {
		t.entry, exit = min(t.entry, t.after(exit)), min(exit, t.after(t.entry))
	}
	return out.seconds(t.entry) + t.total(exit) + in.seconds(exit)
}

// junction returns the greatest squared speed from the tail of a stroke into a travel
// along dir, away from the stroke.
func (c *gantryCost) junction(e *tail, dir path.Point, t *leg) float64 {
	if e.run == nil && c.stopsAtPower || c.gantry.RestsAtTravel() {
		return 0
	}
	return min(e.entry, square(t.speed), c.gantry.CornerSpeed2(e.dir, dir))
}

// Least returns the seconds that a way between rests mm apart takes at least: on the
// diagonal, where both axes help most, less what is gained where the head does not
// come to rest at its ends; or by a sidestep.
func (c *gantryCost) Least(mm float64) float64 {
	if mm <= 0 {
		return 0
	}
	g := c.gantry
	both := func(limit [2]float64) float64 { return math.Hypot(limit[0], limit[1]) }
	ramp := both
	if g.AccelAlongPath {
		ramp = func(limit [2]float64) float64 { return limit[0] }
	}
	t := leg{length: mm, accel: ramp(g.AccelMMPerS2), jerk: ramp(g.JerkMMPerS3)}
	t.speed = min(g.RapidMMPerS, both(g.MaxSpeedMMPerS))
	weaker := func(limit [2]float64) float64 { return min(limit[0], limit[1]) }
	moving := newRamp(0, min(c.top, t.speed), weaker(g.AccelMMPerS2), weaker(g.JerkMMPerS3))
	least := max(mm/t.speed, t.total(0)-2*moving.t)
	if c.top == 0 {
		return least
	}
	along := math.Sqrt(max(0, mm*mm-emit.MostAcrossMM*emit.MostAcrossMM)) - c.lost()
	return min(least, max(0, along)/c.top)
}

// lost returns by how much run-up and run-out may differ, mm: as rows marked backwards do
// from those marked forwards, and lost motion.
func (c *gantryCost) lost() float64 {
	most := math.Hypot(c.gantry.BacklashMM[0], c.gantry.BacklashMM[1])
	for _, r := range c.gantry.Reversal {
		most = max(most, 2*math.Abs(r.OffsetMM))
	}
	return most
}

// Sweep is SweepAlong for the weaker axis, which needs the longer overtravel.
func (c *gantryCost) Sweep(gap float64, setting int) bool {
	if g := c.gantry; g.AccelMMPerS2[0] > g.AccelMMPerS2[1] {
		return c.SweepAlong(path.Point{Y: 1}, gap, setting)
	}
	return c.SweepAlong(path.Point{X: 1}, gap, setting)
}

// SweepAlong is Sweep for a row along dir. To stop in a gap and start again is never
// quicker than to cross it; but what lies beyond it can be marked by itself, row after
// row, at the cost of a run-out and a run-up for each. A gap is swept where crossing it
// takes no longer than these.
func (c *gantryCost) SweepAlong(dir path.Point, gap float64, setting int) bool {
	v := c.settings[setting].SpeedMMPerS
	return c.gapSeconds(dir, gap, v) <= 2*c.overtravel(dir, v)
}

// gapSeconds returns how long a gap along dir is crossed between spans marked at speed v.
func (c *gantryCost) gapSeconds(dir path.Point, gap, v float64) float64 {
	g := c.gantry
	straight := 2 * emit.NewRowEnd(g, path.Point{}, dir, v).Straight
	fast, inner := emit.HastenedGap(g, dir, v, gap-straight)
	if inner == 0 {
		return gap / v
	}
	t := leg{length: inner, speed: fast, accel: g.Accel(dir), jerk: g.Jerk(dir), entry: v * v}
	return straight/v + t.total(v*v)
}

// overtravel returns the seconds of a run-up along dir to speed v, or of a
// run-out from it.
func (c *gantryCost) overtravel(dir path.Point, v float64) float64 { return c.runs.of(dir, v).restS }
