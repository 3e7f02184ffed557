package emit

import (
	"iter"

	"furrow/emit/machine"
	"furrow/path"
)

// AsMarked returns the moves of a gantry with the ends of marks where the beam
// truly comes on and goes off, by the latencies and the backlash of the
// profile: the undoing of what Plan does to sweeps. Outlines, which begin and
// end at rest, are as commanded. The moves of a galvo are those that the beam
// makes, with the correction of its field undone.
func AsMarked(m Moves, p machine.Profile) Moves {
	if !p.IsGantry() {
		return uncorrected(m, p)
	}
	m.Play = beamPath{gantry: *p.Gantry, moves: m.All()}.play
	return m
}

// beamPath plays moves with their true ends.
type beamPath struct {
	gantry  machine.Gantry
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
	mv := b.held
	mv.To = trueEnd(&b.gantry, b.at, mv, then)
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
func trueEnd(g *machine.Gantry, at path.Point, mv Move, then Kind) path.Point {
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
