package clock

import "math"

// lookahead finds the speed at each junction of a stream of legs: the greatest
// that keeps corner speeds and what can be reached from the neighbours, from
// rest to rest. The first pass, over the junctions before, is made as legs
// arrive; the second, over those behind, when the queue has doubled. A junction
// whose speed could still be braked to any within the queue is final, whatever
// follows (rest is final when it comes), so that the result is the same as over
// all moves while the queue holds no more than twice the legs of a stopping
// distance.
type lookahead struct {
	done  func(l *leg, segs []segment, exit float64) // takes finished legs in sequence
	queue []leg
	segs  []segment // the moves of all legs in the queue
	try   int       // number of moves at which to look for final junctions
}

// shortest is the number of moves below which it is not worth looking.
const shortest = 64

// push adds a leg behind the last one, which ends at most at the squared speed
// corner. Its moves stand at the end of segs.
func (l *lookahead) push(s leg, corner float64) {
	if n := len(l.queue); n > 0 {
		last := &l.queue[n-1]
		s.entry = min(corner, last.after(last.entry))
	}
	l.queue = append(l.queue, s)
	switch n := len(l.queue); {
	case n > 1 && s.entry == 0:
		l.release(n - 1)
	case len(l.segs) >= max(l.try, shortest):
		l.release(l.settled())
		l.try = 2 * len(l.segs)
	}
}

// settled returns how many legs at the head of the queue have an exit that no
// later leg can change.
func (l *lookahead) settled() int {
	top := 0.0
	for i := range l.queue {
		top = max(top, l.queue[i].speed*l.queue[i].speed)
	}
	slow := math.SmallestNonzeroFloat64 // squared speed at leg i from which the queue can slow down to any but rest
	for i := len(l.queue) - 1; i > 0; i-- {
		if slow = l.queue[i].after(slow); slow >= top {
			return i
		}
	}
	return 0
}

// stop ends the run at rest.
func (l *lookahead) stop() {
	if n := len(l.queue); n > 0 {
		l.queue = append(l.queue, leg{}) // stands for the rest behind it
		l.release(n)
		l.queue = l.queue[:0]
	}
}

// release makes the second pass and hands out the first n legs.
func (l *lookahead) release(n int) {
	q := l.queue
	for i := len(q) - 2; i > 0; i-- {
		q[i].entry = min(q[i].entry, q[i].after(q[i+1].entry))
	}
	gone := 0
	for i := range n {
		l.done(&q[i], l.segs[gone:gone+q[i].moves], q[i+1].entry)
		gone += q[i].moves
	}
	l.queue = q[:copy(q, q[n:])]
	l.segs = l.segs[:copy(l.segs, l.segs[gone:])]
}
