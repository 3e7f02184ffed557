package clock

import (
	"fmt"
	"math"
	"time"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// segment is a move as the gantry's controller sees it.
type segment struct {
	move    emit.Move
	from    path.Point
	in, out path.Point // directions at the two ends, of unit length
	length  float64    // mm
	speed   float64    // greatest speed, mm/s
	accel   float64    // mm/s2 along it
	held    bool       // slowed down by how far the planner sees
	slowed  bool       // by the least time of a move
}

// set makes s the segment of a move that moves the head.
func (s *segment) set(from path.Point, mv *emit.Move, g *machine.Gantry) {
	s.move, s.from = *mv, from
	if mv.Turn == emit.Straight {
		d := mv.To.Sub(from)
		s.length = d.Len()
		s.in = d.Mul(1 / s.length)
		s.out = s.in
		s.accel, s.speed = g.Accel(s.in), g.MaxSpeed(s.in)
	} else {
		s.bend(g)
	}
	s.speed = min(s.speed, asked(mv, g))
}

// slow makes the move last no less than a cycle of the planner: it goes no faster than
// that, and its neighbours no faster into it.
func (s *segment) slow(cycle float64) {
	if most := s.length / cycle; most < s.speed {
		s.speed, s.slowed = most, true
	}
}

// bend fills in an arc. Its direction changes, so that the weaker axis counts
// throughout; across the path the same acceleration limits the speed to √(a·r).
func (s *segment) bend(g *machine.Gantry) {
	u, w := s.from.Sub(s.move.Centre), s.move.To.Sub(s.move.Centre)
	r, sense := u.Len(), float64(s.move.Turn)
	s.length = r * math.Abs(emit.ArcSweep(u, w, s.move.Turn))
	s.in = path.Point{X: -u.Y, Y: u.X}.Mul(sense / r)
	s.out = path.Point{X: -w.Y, Y: w.X}.Mul(sense / w.Len())
	s.accel = min(g.AccelMMPerS2[0], g.AccelMMPerS2[1])
	s.speed = min(g.MaxSpeedMMPerS[0], g.MaxSpeedMMPerS[1], math.Sqrt(s.accel*r))
}

// asked returns the speed that the move asks for, mm/s.
func asked(mv *emit.Move, g *machine.Gantry) float64 {
	if mv.Kind == emit.Mark || mv.Kind == emit.Gap {
		return mv.Speed
	}
	return g.RapidMMPerS
}

// corner returns the greatest squared speed from a to b, 0 where the controller stops: at
// a change of power, or where travel meets another move.
func (k *controller) corner(a, b *segment) float64 {
	switch {
	case k.stopsAtPower && a.move.Power != b.move.Power:
		return 0
	case k.gantry.RestsAtTravel() && (a.move.Kind == emit.Travel) != (b.move.Kind == emit.Travel):
		return 0
	}
	return min(a.speed*a.speed, b.speed*b.speed, k.gantry.CornerSpeed2(a.out, b.in))
}

// controller is how the moves of a gantry are carried out.
type controller struct {
	gantry       *machine.Gantry
	stopsAtPower bool
	shortestS    float64 // least time of a move, s
}

func newController(p machine.Profile) controller {
	c := p.Controller()
	return controller{
		gantry: p.Gantry, stopsAtPower: c.PowerChange == machine.PowerStops, shortestS: c.ShortestMoveMS * 1e-3,
	}
}

// gantryRun times a stream of moves.
type gantryRun struct {
	controller
	tally  *tally
	ahead  lookahead
	window window
	open   leg     // not yet in the look-ahead, since the next move may be part of it
	into   float64 // greatest squared speed into it
}

func runGantry(m emit.Moves, p machine.Profile, visit func(Timed)) (Report, error) {
	g := gantryRun{controller: newController(p), tally: newTally(p, visit)}
	if p.GCode != nil {
		g.window.moves = p.GCode.LookaheadMoves
	}
	add := g.tally.add
	g.ahead.done = func(l *leg, segs []segment, exit float64) {
		if l.view > 0 {
			for i := range segs {
				segs[i].held = l.entry == l.view
			}
		}
		l.seconds(segs, exit, add)
	}
	var at path.Point
	for mv, err := range m.All() {
		if err == nil {
			err = timeable(at, &mv)
		}
		if err != nil {
			return Report{}, err
		}
		g.move(at, &mv)
		at = mv.To
	}
	g.stop()
	return g.tally.finish(), nil
}

// move takes one move.
func (g *gantryRun) move(at path.Point, mv *emit.Move) {
	switch {
	case !moves(mv):
		g.stop()
		g.tally.wait(at, mv)
	case takesTime(at, mv):
		g.push(at, mv)
	}
}

// moves reports that a move moves the head at all.
func moves(mv *emit.Move) bool {
	return mv.Kind != emit.Wait && mv.Kind != emit.Dot && mv.Kind != emit.Hold
}

// takesTime reports that a move is not a straight one of no length.
func takesTime(at path.Point, mv *emit.Move) bool {
	return !moves(mv) || mv.Turn != emit.Straight || mv.To.Dist(at) > 0
}

// push adds a move to the open leg, or opens the next one.
func (g *gantryRun) push(at path.Point, mv *emit.Move) {
	g.ahead.segs = append(g.ahead.segs, segment{})
	segs := g.ahead.segs
	s := &segs[len(segs)-1]
	s.set(at, mv, g.gantry)
	if g.shortestS > 0 {
		s.slow(g.shortestS)
	}
	limit, jerk := 0.0, s.jerk(g.gantry)
	if n := len(segs); n > 1 {
		limit = g.controller.corner(&segs[n-2], s)
	}
	if jerk > 0 && g.open.moves > 0 && g.window.room(g.open.moves) && g.open.takes(s, jerk, limit) {
		g.open.add(s, jerk)
		return
	}
	next := newLeg(s, jerk) // before close moves segs
	g.close()
	g.open, g.into = next, limit
}

// jerk returns the limit of the jerk along the segment, or 0.
func (s *segment) jerk(g *machine.Gantry) float64 {
	if s.move.Turn != emit.Straight {
		return min(g.JerkMMPerS3[0], g.JerkMMPerS3[1])
	}
	return g.Jerk(s.in)
}

func (g *gantryRun) close() {
	if g.open.moves > 0 {
		g.window.push(g.open, g.into, &g.ahead)
		g.open.moves = 0
	}
}

func (g *gantryRun) stop() {
	g.close()
	g.window.flush(&g.ahead)
	g.ahead.stop()
}

// timeable refuses what has no time: no speed, or a place that is no number.
func timeable(from path.Point, mv *emit.Move) error {
	switch {
	case !mv.To.Finite() || !mv.Centre.Finite():
		return fmt.Errorf("a move goes to %g, %g", mv.To.X, mv.To.Y)
	case (mv.Kind == emit.Mark || mv.Kind == emit.Gap) && !(mv.Speed > 0):
		return fmt.Errorf("a move to X%g Y%g has no speed", mv.To.X, mv.To.Y)
	case mv.Turn != emit.Straight && (from == mv.Centre || mv.To == mv.Centre):
		return fmt.Errorf("an arc to X%g Y%g has no radius", mv.To.X, mv.To.Y)
	case mv.WaitUS < 0:
		return fmt.Errorf("a wait of %d µs is negative", mv.WaitUS)
	}
	return nil
}

// nanoseconds rounds seconds to the clock's unit.
func nanoseconds(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }
