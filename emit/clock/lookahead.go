package clock

import "furrow/emit"

// lookahead finds the speed at each junction of a stream of segments: the
// greatest that keeps corner speeds and accelerations, from rest to rest. With
// squared speeds it is the least, over all junctions j, of the corner limit at
// j plus the reach of the segments between. The first pass, over the junctions
// before, is made as segments arrive; the second, over those behind, when the
// queue holds twice the reach in which the machine stops from its greatest
// speed. Whatever follows can then no longer change the first half, so the
// result is the same as over all moves, with bounded memory.
type lookahead struct {
	gantry emit.Gantry
	done   func(s *segment, exit float64) // takes finished segments in sequence
	queue  []segment
	reach  float64 // of the whole queue
	top    float64 // greatest squared speed in the queue
}

// push adds a segment behind the last one.
func (l *lookahead) push(s segment) {
	if n := len(l.queue); n > 0 {
		last := &l.queue[n-1]
		s.entry = min(corner(last, &s, l.gantry), last.entry+last.reach)
	}
	l.queue = append(l.queue, s)
	l.reach += s.reach
	l.top = max(l.top, s.speed*s.speed)
	switch {
	case s.entry == 0 && len(l.queue) > 1:
		l.release(len(l.queue) - 1)
	case l.reach-l.queue[0].reach > 2*l.top*safety:
		l.release(l.settled())
	}
}

// safety covers the rounding of the sums of reach, far below this.
const safety = 1 + 1e-9

// settled returns how many segments at the head of the queue have an exit that
// no later segment can change.
func (l *lookahead) settled() int {
	behind := 0.0
	for i := len(l.queue) - 1; i > 0; i-- {
		behind += l.queue[i].reach
		if behind >= l.top*safety {
			return i
		}
	}
	return 0
}

// stop ends the run at rest.
func (l *lookahead) stop() {
	n := len(l.queue)
	if n == 0 {
		return
	}
	// A queue's last exit is unknown until now: a rest behind it.
	l.queue = append(l.queue, segment{})
	l.release(n)
	l.queue = l.queue[:0]
	l.retop()
}

// release makes the second pass and hands out the first n segments.
func (l *lookahead) release(n int) {
	q := l.queue
	for i := len(q) - 2; i > 0; i-- {
		q[i].entry = min(q[i].entry, q[i+1].entry+q[i].reach)
	}
	for i := range n {
		l.done(&q[i], q[i+1].entry)
	}
	l.queue = q[:copy(q, q[n:])]
	l.retop()
}

func (l *lookahead) retop() {
	l.reach, l.top = 0, 0
	for i := range l.queue {
		l.reach += l.queue[i].reach
		l.top = max(l.top, l.queue[i].speed*l.queue[i].speed)
	}
}
