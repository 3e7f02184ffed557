package clock

import "math"

// leg is what the look-ahead plans as one: a single move, or, where the jerk is
// limited, a run of moves that flow into each other without slowing down.
// Acceleration is zero at both ends of a leg with a limit of the jerk.
type leg struct {
	moves  int
	length float64 // mm
	speed  float64 // greatest, mm/s
	accel  float64 // mm/s2
	jerk   float64 // mm/s3; 0 without limit
	entry  float64 // squared speed where it begins, (mm/s)²
	view   float64 // squared speed there from which the planner sees a way to stop; 0 where that is no limit
}

func newLeg(s *segment, jerk float64) leg {
	return leg{moves: 1, length: s.length, speed: s.speed, accel: s.accel, jerk: jerk}
}

// after returns the greatest squared speed at one end of the leg when that at
// the other end is v (squared): acceleration and braking mirror each other. It
// never falls as v rises, but for v = 0 itself, which is rest.
//
// With a limit of the jerk, a short leg that begins slowly ends slower than one
// that begins at rest, since there is less time for the acceleration to rise and
// fall. Up to the speed where that is worst, a start at that speed is taken, or
// the look-ahead would depend on what comes after it. This costs little, as
// TestJerkSimulation says.
func (l *leg) after(v float64) float64 {
	switch {
	case l.jerk == 0:
		return v + float64(2*l.accel*l.length)
	case v == 0:
		return square(reachable(0, l.length, l.accel, l.jerk))
	}
	return square(reachable(max(math.Sqrt(v), worstStart(l.length, l.accel, l.jerk)), l.length, l.accel, l.jerk))
}

func square(v float64) float64 { return v * v }

// takes reports that s can be part of the leg: it flows on at the same speed
// over the corner, and the leg is not yet so long that it can speed up and stop
// again within itself, where parting it costs nothing.
func (l *leg) takes(s *segment, jerk, corner float64) bool {
	return l.speed == s.speed && corner >= s.speed*s.speed && near(l.accel, s.accel) && near(l.jerk, jerk) &&
		l.length < 2*newRamp(l.speed, 0, l.accel, l.jerk).length
}

// near allows for limits that turn with the direction along a curve.
func near(a, b float64) bool { return math.Abs(a-b) <= 0.25*b }

func (l *leg) add(s *segment, jerk float64) {
	l.moves++
	l.length += s.length
	l.accel, l.jerk = min(l.accel, s.accel), min(l.jerk, jerk)
}

// seconds calls each with the moves of the leg and the time of each, for a
// squared speed of exit at its end.
func (l *leg) seconds(segs []segment, exit float64, each func(s *segment, seconds float64)) {
	if l.jerk == 0 {
		each(&segs[0], trapezoid(l.length, l.speed, l.accel, l.entry, exit))
		return
	}
	p := newDoubleS(l.length, math.Sqrt(l.entry), math.Sqrt(exit), l.speed, l.accel, l.jerk)
	at, now := 0.0, 0.0
	for i := range segs[:len(segs)-1] {
		at += segs[i].length
		then := p.timeAt(at)
		each(&segs[i], then-now)
		now = then
	}
	each(&segs[len(segs)-1], p.seconds()-now)
}

// total returns the seconds of the leg for a squared speed of exit at its end.
func (l *leg) total(exit float64) float64 {
	if l.jerk == 0 {
		return trapezoid(l.length, l.speed, l.accel, l.entry, exit)
	}
	p := newDoubleS(l.length, math.Sqrt(l.entry), math.Sqrt(exit), l.speed, l.accel, l.jerk)
	return p.seconds()
}

// trapezoid returns the seconds over length (mm) at most at speed (mm/s), with
// accel (mm/s2), from and to squared speeds.
func trapezoid(length, speed, accel, v0, v1 float64) float64 {
	top := speed * speed
	if v0 >= top && v1 >= top {
		return length / speed
	}
	reach := 2 * accel * length
	peak := max(v0, v1, min(top, (reach+v0+v1)/2))
	flat := max(0, reach+v0+v1-2*peak) // 2·accel times the length at the peak
	v := math.Sqrt(peak)
	return ((v-math.Sqrt(v0))+(v-math.Sqrt(v1)))/accel + flat/(2*accel*v)
}
