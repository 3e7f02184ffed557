package clock

import (
	"fmt"
	"math"
	"time"

	"furrow/emit"
	"furrow/path"
)

// segment is a move as the gantry's controller sees it. Speeds at its two ends
// are squared, as the look-ahead wants them.
type segment struct {
	move    emit.Move
	from    path.Point
	in, out path.Point // directions at the two ends, of unit length
	length  float64    // mm
	speed   float64    // greatest speed, mm/s
	accel   float64    // mm/s2 along it
	reach   float64    // 2·accel·length: the most by which the squared speed can change
	entry   float64    // squared speed where it begins, (mm/s)²
}

// newSegment returns the segment of a move that moves the head.
func newSegment(from path.Point, mv emit.Move, g emit.Gantry) segment {
	s := segment{move: mv, from: from}
	if mv.Turn == emit.Straight {
		d := mv.To.Sub(from)
		s.length = d.Len()
		s.in = d.Mul(1 / s.length)
		s.out = s.in
		s.accel, s.speed = g.Accel(s.in), g.MaxSpeed(s.in)
	} else {
		s.bend(g)
	}
	s.speed = min(s.speed, asked(mv, g))
	s.reach = 2 * s.accel * s.length
	return s
}

// bend fills in an arc. Its direction changes, so that the weaker axis counts
// throughout; across the path the same acceleration limits the speed to √(a·r).
func (s *segment) bend(g emit.Gantry) {
	u, w := s.from.Sub(s.move.Centre), s.move.To.Sub(s.move.Centre)
	r, sense := u.Len(), float64(s.move.Turn)
	s.length = r * math.Abs(emit.ArcSweep(u, w, s.move.Turn))
	s.in = path.Point{X: -u.Y, Y: u.X}.Mul(sense / r)
	s.out = path.Point{X: -w.Y, Y: w.X}.Mul(sense / w.Len())
	s.accel = min(g.AccelMMPerS2[0], g.AccelMMPerS2[1])
	s.speed = min(g.MaxSpeedMMPerS[0], g.MaxSpeedMMPerS[1], math.Sqrt(s.accel*r))
}

// asked returns the speed that the move asks for, mm/s.
func asked(mv emit.Move, g emit.Gantry) float64 {
	if mv.Kind == emit.Mark || mv.Kind == emit.Gap {
		return mv.Speed
	}
	return g.RapidMMPerS
}

// corner returns the greatest squared speed from a to b: v² = a·e·s/(1−s), with
// s the sine of half the angle between the reversed incoming and the outgoing
// direction, e the corner error and a the axis limit along the difference of
// the two directions.
func corner(a, b *segment, g emit.Gantry) float64 {
	flat := min(a.speed*a.speed, b.speed*b.speed)
	s := math.Sqrt(max(0, (1+a.out.Dot(b.in))/2))
	if s >= 1-1e-12 {
		return flat
	}
	diff := b.in.Sub(a.out)
	accel := g.Accel(diff.Mul(1 / diff.Len()))
	return min(flat, accel*g.CornerErrorMM*s/(1-s))
}

// seconds returns the time of a trapezoid over length that begins and ends at
// the squared speeds v0, v1, with the speed limit and acceleration of s.
func (s *segment) seconds(v1 float64) float64 {
	v0, top := s.entry, s.speed*s.speed
	if v0 >= top && v1 >= top {
		return s.length / s.speed
	}
	peak := min(top, (s.reach+v0+v1)/2)
	peak = max(peak, v0, v1)
	flat := max(0, s.reach+v0+v1-2*peak) // as 2·a·length at the peak
	v := math.Sqrt(peak)
	return ((v-math.Sqrt(v0))+(v-math.Sqrt(v1)))/s.accel + flat/(2*s.accel*v)
}

func runGantry(m emit.Moves, p emit.Profile, visit func(Timed)) (Report, error) {
	g := *p.Gantry
	t := newTally(visit)
	l := lookahead{gantry: g, done: t.add}
	var at path.Point
	for mv, err := range m.Play {
		if err != nil {
			return Report{}, err
		}
		if err := timeable(at, mv); err != nil {
			return Report{}, err
		}
		if mv.Kind == emit.Wait || mv.Kind == emit.Dot || mv.Kind == emit.Hold {
			l.stop()
			t.wait(at, mv)
			continue
		}
		if moved := mv.Turn != emit.Straight || mv.To != at; moved {
			l.push(newSegment(at, mv, g))
		}
		at = mv.To
	}
	l.stop()
	return t.finish(), nil
}

// timeable refuses what has no time: no speed, or a place that is no number.
func timeable(from path.Point, mv emit.Move) error {
	switch {
	case !mv.To.Finite() || !mv.Centre.Finite():
		return fmt.Errorf("a move goes to %g, %g", mv.To.X, mv.To.Y)
	case (mv.Kind == emit.Mark || mv.Kind == emit.Gap) && !(mv.Speed > 0):
		return fmt.Errorf("a move to X%g Y%g has no speed", mv.To.X, mv.To.Y)
	case mv.Turn != emit.Straight && (from == mv.Centre || mv.To == mv.Centre):
		return fmt.Errorf("an arc to X%g Y%g has no radius", mv.To.X, mv.To.Y)
	case mv.WaitUS < 0:
		return fmt.Errorf("a wait of %d µs is negative", mv.WaitUS)
	}
	return nil
}

// nanoseconds rounds seconds to the clock's unit.
func nanoseconds(s float64) time.Duration { return time.Duration(math.Round(s * 1e9)) }
