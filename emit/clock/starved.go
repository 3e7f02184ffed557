package clock

import (
	"fmt"
	"time"

	"furrow/emit"
)

// Bottleneck is what holds marking back.
type Bottleneck int

// The bottlenecks, by the key of the profile that tells of them.
const (
	Link        Bottleneck = iota // link_bytes_per_s
	Controller                    // moves_per_s
	LookAhead                     // lookahead_moves
	Cycle                         // shortest_move_ms
	bottlenecks = iota
)

// Starved is what one bottleneck does to the moves. Its time is part of the
// times of Parts.
type Starved struct {
	Moves int           // that come too late, or that the planner slows down
	Marks int           // of them marked
	Time  time.Duration // lost by that
	MM    float64       // marked length of such moves
	Mark  time.Duration // that marking them takes, with the time lost
}

// add takes a move that takes as long as took, lost of it waiting.
func (s *Starved) add(mv *emit.Move, took stretch, lost time.Duration) {
	if lost <= 0 {
		return
	}
	s.Moves++
	s.Time += lost
	if mv.Kind == emit.Mark {
		s.Marks++
		s.MM += took.mm
		s.Mark += took.time
	}
}

// MMPerS returns the speed to which marking is held back, 0 where none is.
func (s Starved) MMPerS() float64 {
	if s.Mark == 0 {
		return 0
	}
	return s.MM / s.Mark.Seconds()
}

// worst returns the bottleneck that costs most time.
func (r *Report) worst() Bottleneck {
	by := Link
	for b := range r.Starved {
		if r.Starved[b].Time > r.Starved[by].Time {
			by = Bottleneck(b)
		}
	}
	return by
}

// Warning says what the worst bottleneck limits, what that does to the marks, and
// what would help; all are empty where less than a percent of the time, or no mark,
// is held back.
func (r Report) Warning() (limit, effect, remedy string) {
	by := r.worst()
	s := r.Starved[by]
	v := s.MMPerS()
	if v == 0 || s.Time < r.Total()/100 {
		return "", "", ""
	}
	words := [bottlenecks]struct{ what, remedy string }{
		Link:       {"the link limits", ", allow a larger tolerance or arcs, or send over a faster link"},
		Controller: {"the moves that the controller takes a second limit", ", or allow a larger tolerance or arcs"},
		Cycle: {"the least time that the controller gives a move limits short marks and those beside them, and with " +
			"them",
			", or allow a larger tolerance or arcs"},
		LookAhead: {"the moves that the controller looks ahead limit", ", or allow a larger tolerance or arcs"},
	}[by]
	return fmt.Sprintf("%s this file to %.3g mm/s", words.what, v),
		fmt.Sprintf("in %d of %d marks, where the beam stays longer than asked for", s.Marks, r.MarkMoves),
		"mark at that speed" + words.remedy
}
