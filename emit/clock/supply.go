package clock

import (
	"fmt"
	"math"
	"time"

	"furrow/emit"
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
	perByte, perMove float64 // seconds
	bytes            *emit.LineBytes
	done             []time.Duration // ends of the last moves, a ring
	n                int
	arrived          time.Duration
}

// newSupply returns nil where nothing limits the supply.
func newSupply(p emit.Profile) *supply {
	if p.GCode == nil || p.GCode.LinkBytesPerS == 0 && p.GCode.MovesPerS == 0 {
		return nil
	}
	s := &supply{bytes: p.GCode.LineBytes()}
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
// the next one, which then takes took.
func (s *supply) wait(mv *emit.Move, now, took time.Duration) time.Duration {
	slot := &s.done[s.n%len(s.done)]
	s.arrived = max(s.arrived, *slot) + s.carry(mv)
	if s.n == 0 {
		s.arrived = 0 // the job begins when the first move is there
	}
	s.n++
	wait := max(0, s.arrived-now)
	*slot = now + wait + took
	return wait
}

// carry returns the time that the link or the parser takes for a move.
func (s *supply) carry(mv *emit.Move) time.Duration {
	t := s.perMove
	if s.perByte > 0 {
		t = math.Max(t, float64(s.bytes.Of(mv))*s.perByte)
	}
	return nanoseconds(t)
}

// Starved is what the link or the controller cannot feed fast enough. Its time
// is part of the times of Parts.
type Starved struct {
	Moves int           // that come too late
	Time  time.Duration // lost by that
	MM    float64       // marked length of such moves
	Mark  time.Duration // that marking them takes, with the time lost
}

// add takes a move that waited.
func (s *Starved) add(mv *emit.Move, took stretch, wait time.Duration) {
	if wait == 0 {
		return
	}
	s.Moves++
	s.Time += wait
	if mv.Kind == emit.Mark {
		s.MM += took.mm
		s.Mark += took.time + wait
	}
}

// MMPerS returns the speed to which marking is held back, 0 where none is.
func (s Starved) MMPerS() float64 {
	if s.Mark == 0 {
		return 0
	}
	return s.MM / s.Mark.Seconds()
}

// Warning says what the link does to the marks, and what would help; both are
// empty where less than a percent of the time, or no mark, is held back.
func (r Report) Warning() (message, hint string) {
	v := r.Starved.MMPerS()
	if v == 0 || r.Starved.Time < r.Total()/100 {
		return "", ""
	}
	return fmt.Sprintf("the link limits this file to %.3g mm/s in %d of %d marks, where the beam stays longer than asked for",
			v, r.Starved.Moves, r.MarkMoves),
		fmt.Sprintf("mark at %.3g mm/s, allow a larger tolerance or arcs, or send over a faster link", v)
}
