package emit

import (
	"iter"
	"math"
	"time"

	"furrow/emit/machine"
	"furrow/path"
)

// planGantry makes one straight run of each sweep, with run-up before its first
// span and run-out behind its last, and follows each polyline.
// Its settings are on the grid already.
func planGantry(prog path.Program, g machine.Gantry, c machine.GCode, now *int) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		p := gantryPlanner{prog: prog, gantry: g, grid: c.Grid(), shortestS: c.ShortestMoveMS * 1e-3,
			now: now, yield: yield}
		p.arcs = c.Arcs && prog.ToleranceMM > 0
		p.fitter = newArcFitter(prog.ToleranceMM, p.grid)
		p.play()
	}
}

// play plans stroke after stroke. The next row is known before the head leaves a row,
// since it may step across while it turns round.
func (p *gantryPlanner) play() {
	row, isRow := p.sweepAt(0)
	came := false
	for i := 0; i < len(p.prog.Strokes) && !p.stopped; {
		*p.now = i
		n := p.sweepLen(i)
		next, nextIsRow := p.sweepAt(i + n)
		switch {
		case isRow:
			var step Sidestep
			goes := false
			if nextIsRow && p.prog.RestBefore(i+n) == 0 { // else the head stops behind its run-out
				step, goes = NewSidestep(&p.gantry, row.leave, next.enter, p.shortestS)
			}
			p.sweep(&row, came, step, goes)
			came = goes
		case p.prog.Strokes[i].Kind != path.SpanStroke:
			p.line(i)
		}
		row, isRow = next, nextIsRow
		i += n
	}
}

type gantryPlanner struct {
	prog      path.Program
	gantry    machine.Gantry
	grid      machine.Grid
	shortestS float64 // least time of a move, s
	arcs      bool    // the controller takes arcs, and there are curves that they may follow
	fitter    arcFitter
	now       *int // the stroke that the moves belong to
	yield     func(Move, error) bool
	at        path.Point
	lit       bool // the last move was a mark
	stopped   bool
}

// sweepLen returns how many strokes from i on belong to one sweep.
func (p *gantryPlanner) sweepLen(i int) int {
	s, n := p.prog.Strokes[i], 1
	if s.Kind != path.SpanStroke || s.Sweep <= 0 {
		return 1
	}
	for i+n < len(p.prog.Strokes) && p.prog.Strokes[i+n].Sweep == s.Sweep {
		n++
	}
	return n
}

// move yields mv with its end on the grid, unless it ends where the head is.
func (p *gantryPlanner) move(mv Move) {
	mv.To = p.grid.Point(mv.To)
	if p.stopped || mv.To == p.at {
		return
	}
	p.at, p.lit = mv.To, mv.Kind == Mark
	p.stopped = !p.yield(mv, nil)
}

// rest stands still where stroke i is begun from, if it is to be paused there. It never
// does so behind a mark, where an output in step with the motion would leave the beam on.
func (p *gantryPlanner) rest(i int) {
	if d := p.prog.RestBefore(i); d > 0 && !p.stopped && !p.lit {
		p.stopped = !p.yield(resting(p.at, d), nil)
	}
}

// resting is a pause at a place.
func resting(at path.Point, d time.Duration) Move {
	return Move{Kind: Wait, To: at, WaitUS: d.Microseconds()}
}

// line plans a polyline, in arcs where the controller takes them.
func (p *gantryPlanner) line(i int) {
	pts := p.prog.PointsOf(i)
	set := p.prog.Strokes[i].Setting
	p.move(Move{Kind: Travel, To: pts[0], Setting: set})
	p.rest(i)
	mark := Move{Kind: Mark, Speed: p.prog.Settings[set].SpeedMMPerS,
		Power: p.grid.Power(p.prog.PowerOf(i)), Setting: set}
	for at := 0; at+1 < len(pts); {
		n := 0
		if p.arcs {
			n = p.arc(pts[at:], mark)
		}
		if n == 0 {
			mark.To = pts[at+1]
			p.move(mark)
			n = 1
		}
		at += n
	}
}

// arc plans the arc that replaces the most chords at the start of pts, and
// returns how many they are; none where no arc fits.
func (p *gantryPlanner) arc(pts []path.Point, mark Move) int {
	n, centre, turn := p.fitter.fit(pts)
	if n == 0 {
		return 0
	}
	mark.To, mark.Centre, mark.Turn = p.grid.Point(pts[n]), p.grid.Point(centre), turn
	uneven := math.Abs(p.at.Dist(mark.Centre) - mark.To.Dist(mark.Centre))
	if uneven > arcEvenMM || mark.To == p.at || p.stopped {
		return 0
	}
	p.at, p.lit = mark.To, true
	p.stopped = !p.yield(mark, nil)
	return n
}
