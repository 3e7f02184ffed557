package emit

import (
	"iter"
	"math"

	"furrow/path"
)

// Lead is where a sweep's commands lie beside its spans, so that the marks fall
// on them. The beam follows its commands late, and an axis that turns round
// takes up its lost motion first.
type Lead struct {
	On, Off float64    // from a span's ends to the commands, mm along the sweep; below 0 for before
	All     path.Point // added to every point of the sweep, mm
}

// Lead returns that of a sweep along dir (of unit length) at speed v, mm/s. A
// measured table of reversals takes the place of latencies and backlash.
func (g Gantry) Lead(dir path.Point, v float64) Lead {
	if len(g.Reversal) > 0 {
		if forward(dir) {
			return Lead{}
		}
		early := -g.reversalOffset(v)
		return Lead{On: early, Off: early}
	}
	l := Lead{On: -v * g.BeamOnLatencyUS * 1e-6, Off: -v * g.BeamOffLatencyUS * 1e-6}
	if dir.X < -still {
		l.All.X = -g.BacklashMM[0]
	}
	if dir.Y < -still {
		l.All.Y = -g.BacklashMM[1]
	}
	return l
}

// still is the component of a direction below which its axis does not move.
const still = 1e-6

// forward reports that rows along dir are those by which a reversal comb is read:
// to the right, or upwards.
func forward(dir path.Point) bool {
	return dir.X > still || math.Abs(dir.X) <= still && dir.Y > 0
}

// reversalOffset looks v up in the table, straight from entry to entry and no
// further than its ends.
func (g Gantry) reversalOffset(v float64) float64 {
	last := g.Reversal[0]
	for _, r := range g.Reversal {
		if v <= r.SpeedMMPerS {
			if r == last {
				return r.OffsetMM
			}
			t := (v - last.SpeedMMPerS) / (r.SpeedMMPerS - last.SpeedMMPerS)
			return last.OffsetMM + float64(t*(r.OffsetMM-last.OffsetMM))
		}
		last = r
	}
	return last.OffsetMM
}

// measured reports that the profile says how far rows marked backwards land
// from those marked forwards.
func (g Gantry) measured() bool {
	return len(g.Reversal) > 0 || g.BeamOnLatencyUS != 0 || g.BeamOffLatencyUS != 0 || g.BacklashMM != [2]float64{}
}

// AsMarked returns the moves of a gantry with the ends of marks where the beam
// truly comes on and goes off, by the latencies and the backlash of the
// profile: the undoing of what Plan does to sweeps. Outlines, which begin and
// end at rest, are as commanded. The moves of a galvo are those that the beam
// makes, with the correction of its field undone.
func AsMarked(m Moves, p Profile) Moves {
	if p.Gantry == nil {
		return uncorrected(m, p)
	}
	m.Play = beamPath{gantry: *p.Gantry, moves: m.All()}.play
	return m
}

// beamPath plays moves with their true ends.
type beamPath struct {
	gantry  Gantry
	moves   iter.Seq2[Move, error]
	yield   func(Move, error) bool
	at      path.Point
	held    Move // the last straight move at marking speed, until the next is known
	holding bool
}

func (b beamPath) play(yield func(Move, error) bool) {
	b.yield = yield
	for mv, err := range b.moves {
		if err != nil {
			yield(Move{}, err)
			return
		}
		if !b.send(mv.Kind) || !b.take(mv) {
			return
		}
	}
	b.send(Travel)
}

// send passes on the move that is held, when one of kind then follows.
func (b *beamPath) send(then Kind) bool {
	if !b.holding {
		return true
	}
	b.holding = false
	mv := b.held
	mv.To = b.gantry.trueEnd(b.at, mv, then)
	b.at = b.held.To
	return b.yield(mv, nil)
}

func (b *beamPath) take(mv Move) bool {
	if b.holding = (mv.Kind == Gap || mv.Kind == Mark) && mv.Turn == Straight; b.holding {
		b.held = mv
		return true
	}
	b.at = mv.To
	return b.yield(mv, nil)
}

// trueEnd returns where a move from at truly ends when one of kind then follows.
func (g Gantry) trueEnd(at path.Point, mv Move, then Kind) path.Point {
	length := mv.To.Dist(at)
	if length == 0 {
		return mv.To
	}
	dir := mv.To.Sub(at).Mul(1 / length)
	l := g.Lead(dir, mv.Speed)
	switch {
	case mv.Kind == Gap && then == Mark:
		return mv.To.Sub(dir.Mul(l.On)).Sub(l.All)
	case mv.Kind == Mark && then == Gap:
		return mv.To.Sub(dir.Mul(l.Off)).Sub(l.All)
	}
	return mv.To
}
