package clock

import (
	"time"

	"furrow/emit"
	"furrow/emit/gcode/block"
	"furrow/emit/machine"
)

// defaultBuffer is how many moves a controller is taken to hold where the
// profile does not say: few enough to be true of small ones (from memory).
const defaultBuffer = 16

// supply says when each move has come over the link and through the
// controller's parser. The controller holds a number of moves; the next one is
// sent when there is room for it. Where a move comes later than the head is
// done with the one before, the head waits; in truth it slows down beforehand,
// to about the same time.
type supply struct {
	perByte, perMove float64         // seconds
	lines            *block.State    // as the file writes them
	line             []byte          // the last one, to be used again
	done             []time.Duration // ends of the last moves, a ring
	n                int
	arrived          time.Duration
}

// newSupply returns nil where nothing limits the supply.
func newSupply(p machine.Profile) *supply {
	if p.GCode == nil || p.GCode.LinkBytesPerS == 0 && p.GCode.MovesPerS == 0 {
		return nil
	}
	s := &supply{lines: block.Start(*p.GCode)}
	if p.GCode.LinkBytesPerS > 0 {
		s.perByte = 1 / p.GCode.LinkBytesPerS
	}
	if p.GCode.MovesPerS > 0 {
		s.perMove = 1 / p.GCode.MovesPerS
	}
	buffer := p.GCode.LookaheadMoves
	if buffer == 0 {
		buffer = defaultBuffer
	}
	s.done = make([]time.Duration, buffer)
	return s
}

// wait returns how long the head, done at now with the moves before, waits for
// the next one, which then takes took, and for which of the two.
func (s *supply) wait(mv *emit.Move, now, took time.Duration) (time.Duration, Bottleneck) {
	slot := &s.done[s.n%len(s.done)]
	carry, by := s.carry(mv)
	s.arrived = max(s.arrived, *slot) + carry
	if s.n == 0 {
		s.arrived = 0 // the job begins when the first move is there
	}
	s.n++
	wait := max(0, s.arrived-now)
	*slot = now + wait + took
	return wait, by
}

// carry returns the time that the link or the controller takes for a move, and
// which of them takes longer.
func (s *supply) carry(mv *emit.Move) (time.Duration, Bottleneck) {
	if s.perByte > 0 {
		s.line, _ = s.lines.Move(s.line[:0], mv) // what no file can hold takes no time
		if t := float64(len(s.line)) * s.perByte; t > s.perMove {
			return nanoseconds(t), Link
		}
	}
	return nanoseconds(s.perMove), Controller
}
