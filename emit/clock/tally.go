package clock

import (
	"math"
	"time"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// tally sums up a gantry's segments. What a move is for is read from the moves
// alone, so that a plan and the file made of it give the same figures: beam-off
// moves at marking speed are a gap between two marks in line with it, run-up
// before a mark, run-out behind one, and travel elsewhere.
type tally struct {
	r      Report
	now    time.Duration
	visit  func(Timed)
	gantry *machine.Gantry
	mark   openMark
	supply *supply  // nil where nothing limits it
	hot    *hottest // nil where power follows the speed
	last   mover    // the move before
	gap    gapRun
	turn   turn
}

// mover is what is remembered of a move.
type mover struct {
	kind   emit.Kind
	to     path.Point
	out    path.Point // direction at its end
	slowed bool       // by the least time of a move
}

// stretch is a length and the time it takes.
type stretch struct {
	time time.Duration
	mm   float64
}

func (a *stretch) add(b stretch) { a.time += b.time; a.mm += b.mm }

// gapRun is an unbroken run of Gap moves: lead goes on in the direction of the
// mark before, tail is the last straight piece, mid what lies between.
type gapRun struct {
	n              int
	lead, mid, end stretch
	leading        bool // all of it is lead so far
	from           path.Point
	dir            path.Point // of its last piece
}

// turn is the travel since a sweep's run-out, until it is known whether the
// next sweep is the row beside it.
type turn struct {
	open       bool
	dir        path.Point // of the sweep
	start, end path.Point // of the sweep, with run-up and run-out
	travel     stretch
	sweepStart path.Point // where the sweep that runs now began
}

func newTally(p machine.Profile, visit func(Timed)) *tally {
	return &tally{
		visit: visit, gantry: p.Gantry, supply: newSupply(p), hot: newHottest(p),
		r: Report{Marks: path.EmptyRect(), Moves: path.EmptyRect()},
	}
}

// add takes the next segment and the time it takes.
func (t *tally) add(s *segment, seconds float64) {
	took := stretch{nanoseconds(seconds), s.length}
	if s.held {
		t.r.Starved[LookAhead].add(&s.move, took, took.time-nanoseconds(s.length/s.speed))
	}
	if s.slowed || t.last.slowed {
		t.r.Starved[Cycle].add(&s.move, took, took.time-nanoseconds(s.length/asked(&s.move, t.gantry)))
	}
	if t.supply != nil {
		wait, by := t.supply.wait(&s.move, t.now, took.time)
		took.time += wait
		t.r.Starved[by].add(&s.move, took, wait)
	}
	if t.hot != nil {
		t.hot.add(&s.move, s.from, took)
	}
	t.bound(s)
	if s.move.Kind == emit.Gap {
		t.addGap(s, took)
	} else {
		t.closeGap(s)
	}
	switch s.move.Kind {
	case emit.Mark:
		t.addMark(s, took)
	case emit.Travel, emit.Guide:
		t.addTravel(s, took)
	}
	t.last = mover{kind: s.move.Kind, to: s.move.To, out: s.out, slowed: s.slowed}
	t.show(&s.move, s.from, took.time)
}

// bound extends the bounds of marks and moves.
func (t *tally) bound(s *segment) {
	r := &t.r
	r.Moves = r.Moves.Include(s.move.To)
	if s.move.Turn != emit.Straight {
		r.Moves = r.Moves.Union(s.move.Bounds(s.from))
	}
	t.mark.close(s.move.Kind == emit.Gap, r)
	if s.move.Kind == emit.Mark {
		t.mark.start(s, t.last.kind == emit.Gap, t.gantry)
	}
}

func (t *tally) show(mv *emit.Move, from path.Point, took time.Duration) {
	if t.visit != nil {
		t.visit(Timed{Move: *mv, From: from, Start: t.now, End: t.now + took})
	}
	t.now += took
}

func (t *tally) wait(at path.Point, mv *emit.Move) {
	t.mark.close(false, &t.r)
	took := time.Duration(mv.WaitUS) * time.Microsecond
	if t.hot != nil {
		t.hot.add(mv, at, stretch{time: took})
	}
	t.r.Wait += took
	t.show(mv, at, took)
}

func (t *tally) addMark(s *segment, took stretch) {
	mark := min(took.time, nanoseconds(s.length/s.move.Speed))
	t.r.Mark += mark
	t.r.Corner += took.time - mark
	t.r.MarkMoves++
	if t.last.kind != emit.Mark && t.last.kind != emit.Gap {
		t.turn.sweepStart = s.from
	}
}

func (t *tally) addTravel(s *segment, took stretch) {
	t.r.Jumps++
	if t.turn.open {
		t.turn.travel.add(took)
		return
	}
	t.travel(took)
}

func (t *tally) travel(s stretch) { t.r.Travel += s.time; t.r.TravelMM += s.mm }

func (t *tally) overtravel(s stretch) { t.r.Overtravel += s.time; t.r.OvertravelMM += s.mm }

func (t *tally) addGap(s *segment, took stretch) {
	g := &t.gap
	if g.n == 0 {
		g.from = s.from
		g.leading = t.last.kind == emit.Mark && inLine(t.last.out, s.in)
	} else if !inLine(g.dir, s.in) {
		g.leading = false
		g.mid.add(g.end)
		g.end, g.from = stretch{}, s.from
	}
	if g.leading {
		g.lead.add(took)
	} else {
		g.end.add(took)
	}
	g.n++
	g.dir = s.out
}

// closeGap classes the run of gaps that ends where s begins.
func (t *tally) closeGap(s *segment) {
	g := t.gap
	if g.n == 0 {
		t.closeTurn(s.move.Kind != emit.Mark, false)
		return
	}
	t.gap = gapRun{}
	ahead := s.move.Kind == emit.Mark && inLine(g.dir, s.in)
	if g.leading && ahead {
		t.r.Travel += g.lead.time
		t.r.GapMM += g.lead.mm
		return
	}
	t.overtravel(g.lead)
	t.travel(g.mid)
	if ahead {
		t.runUp(g)
		return
	}
	t.travel(g.end)
	t.closeTurn(false, false)
	if g.leading {
		t.turn = turn{open: true, dir: g.dir, start: t.turn.sweepStart, end: t.last.to}
	}
}

// runUp classes the run-up of a new sweep and the travel before it.
func (t *tally) runUp(g gapRun) {
	t.overtravel(g.end)
	t.closeTurn(false, t.turn.open && t.turn.beside(g))
	t.turn.sweepStart = g.from
}

// closeTurn books the travel since the last sweep, unless it goes on.
func (t *tally) closeTurn(goesOn, isTurn bool) {
	switch {
	case goesOn || !t.turn.open:
		return
	case isTurn:
		t.r.Turn += t.turn.travel.time
		t.r.TravelMM += t.turn.travel.mm
	default:
		t.travel(t.turn.travel)
	}
	t.turn.open, t.turn.travel = false, stretch{}
}

// rowsApart is the distance up to which parallel sweeps count as rows of one
// fill, mm. Fills with wider spacing are not engraved.
const rowsApart = 2

// beside reports that a sweep with run-up g is the row beside the last one.
func (t *turn) beside(g gapRun) bool {
	step := g.from.Sub(t.end)
	across := math.Abs(t.dir.Cross(step))
	along := math.Abs(t.dir.Dot(step))
	parallel := math.Abs(t.dir.Dot(g.dir)) > 0.999
	return parallel && across > 0 && across <= rowsApart && along <= t.start.Dist(t.end)/2
}

// inLine allows for spans of a few micrometres, which the rounding to the grid
// turns by up to 45 degrees.
func inLine(a, b path.Point) bool { return a.Dot(b) > 0.7 }

func (t *tally) finish() Report {
	t.closeGap(&segment{})
	t.closeTurn(false, false)
	t.mark.close(false, &t.r)
	if t.hot != nil {
		t.hot.close()
		t.r.Hottest = t.hot.most
	}
	return t.r
}
