package emit

import (
	"errors"
	"iter"
	"math"

	"furrow/emit/machine"
	"furrow/path"
)

// Rest is what is left of work that was stopped.
type Rest struct {
	Moves   Moves
	Begins  path.Point // where the first mark of it begins
	AgainMM float64    // of what was done already, and is marked once more
}

// ErrDone is returned where no mark is left.
var ErrDone = errors.New("nothing is left to mark")

// After returns what is left of moves of which the first n are done. It begins at
// the start of the row or stroke in which they ended, so that every mark is made at
// its speed; with exact, at the first mark that is not done. A gantry reaches a row
// with a run-up of its own. What the file says before moves that are left, it still says.
func After(m Moves, n int, p machine.Profile, exact bool) (Rest, error) {
	s := seeker{done: n, exact: exact, rows: p.IsGantry()}
	for mv, err := range m.All() {
		if err != nil {
			return Rest{}, err
		}
		s.next(mv)
	}
	if !s.left {
		return Rest{}, ErrDone
	}
	approach := []Move{{Kind: Travel, To: s.begin.at, Setting: s.begin.move.Setting}}
	if s.rows && !s.begin.rested && s.begin.move.Turn == Straight {
		approach = runUpTo(s.begin.at, s.begin.move, *p.Gantry)
	}
	rest := m
	rest.Notes = s.notes(m.Notes, len(approach))
	rest.Play = s.rest(m, approach)
	return Rest{Moves: rest, Begins: s.marks, AgainMM: s.again}, nil
}

// runUpTo leads a gantry's head to a mark in its direction.
func runUpTo(at path.Point, first Move, g machine.Gantry) []Move {
	d := first.To.Sub(at)
	u := d.Mul(1 / d.Len())
	before := at.Sub(u.Mul(g.Overtravel(u, first.Speed)))
	return []Move{
		{Kind: Travel, To: before, Setting: first.Setting},
		{Kind: Gap, To: at, Speed: first.Speed, Setting: first.Setting},
	}
}

// start is a move to begin with, and where it starts.
type start struct {
	i      int
	at     path.Point
	move   Move
	rested bool // the machine was planned to rest there
}

// seeker looks for where to begin.
type seeker struct {
	done  int
	exact bool
	rows  bool // of a gantry: they need a run-up

	i     int        // of the next move
	own   int        // waits that the user's own lines make before the first movement
	at    path.Point // where it starts
	last  Move
	row   [2]path.Point // the last mark, from where to where
	begin start
	again float64
	left  bool       // a mark is left
	marks path.Point // where the first of them starts
}

// next takes the next move.
func (s *seeker) next(mv Move) {
	lit := mv.Kind == Mark || mv.Kind == Dot
	if s.own == s.i && isStop(mv) {
		s.own++
	}
	switch may := s.canBegin(mv); {
	case s.left:
	case s.i < s.done && may:
		s.beginAt(mv)
	case s.i >= s.done && (may || lit && s.exact):
		s.beginAt(mv)
	}
	switch {
	case lit && s.i < s.done:
		s.again += mv.Length(s.at)
	case lit && !s.left:
		s.left, s.marks = true, s.at
	}
	if mv.Kind == Mark {
		s.row = [2]path.Point{s.at, mv.To}
	}
	s.i, s.at, s.last = s.i+1, mv.To, mv
}

func (s *seeker) beginAt(mv Move) {
	s.begin, s.again = start{i: s.i, at: s.at, move: mv, rested: s.rested()}, 0
}

// rested reports that the machine was planned to rest before the next move, as it is
// before the first.
func (s *seeker) rested() bool { return s.last.Kind != Mark && s.last.Kind != Gap }

// canBegin reports that the work may begin with a move: one at which the machine
// rests, or the first mark of a gantry's row, which it runs up to anew.
func (s *seeker) canBegin(mv Move) bool {
	switch {
	case s.rows && mv.Kind == Mark:
		return s.rested() || s.last.Kind == Gap && !s.sameRow()
	case mv.Kind == Mark || mv.Kind == Gap || mv.Kind == Dot:
		return s.rested() && !s.rows
	}
	return false
}

// sameRow reports that the next move goes on in the line of the last mark.
func (s *seeker) sameRow() bool {
	along, gap := s.row[1].Sub(s.row[0]), s.at.Sub(s.row[1])
	const aside = 1e-6 // mm
	return along.Dot(gap) > 0 && math.Abs(along.Cross(gap)) <= aside*along.Len()
}

func isStop(mv Move) bool { return mv.Kind == Wait || mv.Kind == Hold }

// notes are those of what is left: the last one before it stands at its beginning.
func (s *seeker) notes(all []Note, approach int) (left []Note) {
	for _, n := range all {
		if n.Move <= s.begin.i {
			left, n.Move = left[:0], s.own
		} else {
			n.Move += s.own + approach - s.begin.i
		}
		left = append(left, n)
	}
	return left
}

// rest plays what is left behind the approach, with the waits that the user's own
// lines make before the first movement.
func (s *seeker) rest(m Moves, approach []Move) iter.Seq2[Move, error] {
	return func(yield func(Move, error) bool) {
		i := 0
		for mv, err := range m.All() {
			own := i < s.own
			if i == s.begin.i && err == nil {
				for _, a := range approach {
					if !yield(a, nil) {
						return
					}
				}
			}
			if (i >= s.begin.i || own || err != nil) && !yield(mv, err) {
				return
			}
			i++
		}
	}
}
