package clock

import (
	"math"
	"time"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
)

// SlowRows counts the spans of rows that the machine does not mark at the speed asked
// for all the way, and returns the index of the first one's move. A span of a row has a
// beam-off move at its speed before it and behind it, all on one line: its run-up and
// run-out, or the gaps to its neighbours.
func SlowRows(m emit.Moves, p machine.Profile) (n, first int, err error) {
	s := slowRows{}
	if _, err = Each(m, p, s.add); err != nil || s.n == 0 {
		return 0, 0, err
	}
	return s.n, indexOf(m, s.first), nil
}

// indexOf returns the index among all moves of the n-th of those that take time.
func indexOf(m emit.Moves, n int) (index int) {
	var at path.Point
	for mv := range m.All() {
		if takesTime(at, &mv) {
			if n == 0 {
				break
			}
			n--
		}
		at = mv.To
		index++
	}
	return index
}

type slowRows struct {
	n, first int
	index    int      // of the move to come, of those that take time
	last     [2]Timed // the two moves before it
}

// late is how much longer than at its speed a span may take: less than one step of the
// acceleration that anybody sets would show.
const late = 10 * time.Microsecond

func (s *slowRows) add(t Timed) {
	before, span := s.last[0], s.last[1]
	if span.Kind == emit.Mark && before.Kind == emit.Gap && t.Kind == emit.Gap && goesOn(before, span) &&
		goesOn(span, t) {
		want := time.Duration(math.Round(span.From.Dist(span.To) / span.Speed * float64(time.Second)))
		if span.End-span.Start > want+late {
			if s.n == 0 {
				s.first = s.index - 1
			}
			s.n++
		}
	}
	s.last = [2]Timed{span, t}
	s.index++
}

// goesOn reports that a move goes on straight where the last one ended, at its speed.
func goesOn(a, b Timed) bool {
	u, v := a.To.Sub(a.From), b.To.Sub(b.From)
	straight := a.Turn == emit.Straight && b.Turn == emit.Straight && u.Dot(v) > 0
	return straight && a.Speed == b.Speed && distance(a, b) < 0.002
}

// distance is how far the place between two moves lies from the line through both, mm.
func distance(a, b Timed) float64 {
	d := b.To.Sub(a.From)
	return math.Abs(d.Cross(path.Point.Sub(a.To, a.From))) / d.Len()
}
