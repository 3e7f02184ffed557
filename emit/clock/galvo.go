package clock

import (
	"math"
	"time"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// runGalvo times moves as the mark-vector contract says a player carries them
// out, from the delays that travel with the moves.
//
// Every record's time is rounded to a nanosecond on its own, from its length in
// grid steps, so that any player or reader that follows the contract arrives at
// the same total.
func runGalvo(m emit.Moves, p machine.Profile, visit func(Timed)) (Report, error) {
	g := galvo{m: m, undo: m.Undo(p), visit: visit, r: Report{Galvo: true, Marks: path.EmptyRect(),
		Moves: path.EmptyRect()}}
	for mv, err := range m.All() {
		if err != nil {
			return Report{}, err
		}
		g.step(mv)
	}
	g.endChain()
	return g.report(), nil
}

// galvo follows a stream of moves.
type galvo struct {
	m       emit.Moves
	undo    func(path.Point) path.Point
	visit   func(Timed)
	r       Report
	at      steps
	place   path.Point // where the beam is
	inChain bool
	setting uint16 // of the last record of the chain
	dir     steps  // of the last record of the chain that has a length
	marked  bool   // the chain has a mark
	off     beamOff
	mark    float64 // sums of lengths, in steps
	travel  float64
	gap     float64
	run     float64
}

// beamOff is the beam-off end of a chain so far: a gap if a mark follows, a
// run-out if none does.
type beamOff struct {
	length float64
	time   time.Duration
}

// steps is a place or vector on the grid of the file.
type steps struct{ x, y float64 }

func toSteps(p path.Point) steps {
	return steps{math.Round(p.X * machine.GalvoStepsPerMM), math.Round(p.Y * machine.GalvoStepsPerMM)}
}

func (a steps) sub(b steps) steps { return steps{a.x - b.x, a.y - b.y} }

func (a steps) dot(b steps) float64 { return float64(a.x*b.x) + float64(a.y*b.y) }

func (a steps) len() float64 { return math.Sqrt(a.dot(a)) }

// timeFor returns the time of a length in steps at a speed in mm/s.
func timeFor(length, mmPerS float64) time.Duration {
	const nsPerS = 1e9
	return time.Duration(math.Round(length * (nsPerS / machine.GalvoStepsPerMM) / mmPerS))
}

func (g *galvo) step(mv emit.Move) {
	from, to := g.at, toSteps(mv.To)
	d := to.sub(from)
	length := d.len()
	g.at = to
	switch mv.Kind {
	case emit.Mark, emit.Gap:
		g.chain(mv, from, d, length)
	case emit.Travel, emit.Guide:
		g.jump(mv, from, length)
	default:
		g.endChain()
		t := time.Duration(mv.WaitUS) * time.Microsecond
		g.r.Wait += t
		g.show(mv, from, t)
	}
	switch mv.Kind {
	case emit.Mark:
		g.r.Marks = g.r.Marks.Include(g.place).Include(g.undo(mv.To))
	case emit.Dot:
		g.r.Marks = g.r.Marks.Include(g.place)
	case emit.Wait, emit.Hold:
		return
	}
	g.place = g.undo(mv.To)
	g.r.Moves = g.r.Moves.Include(g.place)
}

func toMM(s steps) path.Point {
	return path.Point{X: s.x / machine.GalvoStepsPerMM, Y: s.y / machine.GalvoStepsPerMM}
}

// chain adds a record of a chain.
func (g *galvo) chain(mv emit.Move, from, d steps, length float64) {
	if g.inChain && !g.m.SameChain(g.setting, mv.Setting) {
		g.endChain()
	}
	if length > 0 {
		if g.inChain && g.dir != (steps{}) {
			cos := d.dot(g.dir) / (length * g.dir.len())
			g.r.CornerDelay += g.m.Scanner[mv.Setting].CornerWait(cos)
		}
		g.dir = d
	}
	g.inChain, g.setting = true, mv.Setting
	t := timeFor(length, mv.Speed)
	if mv.Kind == emit.Gap {
		g.off.length += length
		g.off.time += t
	} else {
		g.closeBeamOff(g.marked)
		g.marked = true
		g.r.MarkMoves++
		g.r.Mark += t
		g.mark += length
	}
	g.show(mv, from, t)
}

// show passes on a move that has just taken t.
func (g *galvo) show(mv emit.Move, from steps, t time.Duration) {
	if g.visit == nil {
		return
	}
	end := g.r.Total() + g.off.time
	g.visit(Timed{Move: mv, From: toMM(from), Start: end - t, End: end})
}

// closeBeamOff books the beam-off moves of the chain so far, as a gap or as
// run-up or run-out.
func (g *galvo) closeBeamOff(gap bool) {
	if gap {
		g.gap += g.off.length
		g.r.Travel += g.off.time
	} else {
		g.run += g.off.length
		g.r.Overtravel += g.off.time
	}
	g.off = beamOff{}
}

func (g *galvo) endChain() {
	if !g.inChain {
		return
	}
	g.closeBeamOff(false)
	g.r.MarkDelay += time.Duration(g.m.Scanner[g.setting].MarkUS) * time.Microsecond
	g.inChain, g.marked, g.dir = false, false, steps{}
}

func (g *galvo) jump(mv emit.Move, from steps, length float64) {
	g.endChain()
	sc := g.m.Scanner[mv.Setting]
	t := timeFor(length, float64(sc.JumpMMPerS))
	g.r.Jump += t
	g.travel += length
	g.show(mv, from, t)
	if mv.Kind == emit.Travel {
		g.r.Jumps++
		g.r.JumpDelay += sc.JumpWait(length)
	}
}

func (g *galvo) report() Report {
	r := g.r
	r.MarkMM, r.TravelMM = g.mark/machine.GalvoStepsPerMM, g.travel/machine.GalvoStepsPerMM
	r.GapMM, r.OvertravelMM = g.gap/machine.GalvoStepsPerMM, g.run/machine.GalvoStepsPerMM
	return r
}
