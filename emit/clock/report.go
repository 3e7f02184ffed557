// Package clock tells how long moves take on a machine, and what they amount
// to, in one pass and in constant memory.
package clock

import (
	"time"

	"furrow/path"
)

// Parts is where the time goes. Every part is a whole number of nanoseconds,
// so that they add up to the total exactly.
type Parts struct {
	Mark        time.Duration // marking at the speed asked for
	Overtravel  time.Duration // run-up and run-out beside rows
	Turn        time.Duration // steps from a row to the next
	Travel      time.Duration // other beam-off movement of a gantry; gaps inside rows
	Corner      time.Duration // slower than asked for in outlines: corners, starts and stops
	Jump        time.Duration // beam-off movement of a galvo
	JumpDelay   time.Duration
	MarkDelay   time.Duration
	CornerDelay time.Duration
	Wait        time.Duration // waits and dots asked for
}

// Total returns the sum of all parts.
func (p Parts) Total() time.Duration {
	return p.Mark + p.Overtravel + p.Turn + p.Travel + p.Corner +
		p.Jump + p.JumpDelay + p.MarkDelay + p.CornerDelay + p.Wait
}

// Report is what a stream of moves amounts to.
type Report struct {
	Galvo bool // of one, whose time has delays in it
	Parts
	Marks        path.Rect // bounds of what is marked
	Moves        path.Rect // bounds of every position the head or beam is sent to
	MarkMM       float64   // marked length
	TravelMM     float64   // beam-off movement between sweeps or strokes
	OvertravelMM float64   // run-up and run-out
	GapMM        float64   // beam-off movement inside sweeps
	Jumps        int       // travel moves
	MarkMoves    int
	Starved      [bottlenecks]Starved // of a gantry
	Hottest      Hottest              // of a gantry
}
