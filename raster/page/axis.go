package page

import "math"

// Steps is a sequence of round numbers: it returns the least that is not below
// v > 0.
type Steps func(v float64) float64

// Decades is 1, 2 and 5 times the powers of ten.
var Decades Steps = niceAbove

// Times is round numbers of seconds, minutes and hours, for values in seconds.
var Times Steps = func(v float64) float64 {
	const minute, hour = 60, 3600
	for _, unit := range []float64{1, minute} {
		if v > 5*unit && v <= 60*unit {
			return unit * firstFrom(v/unit, 10, 20, 30, 60)
		}
	}
	switch {
	case v > hour:
		return hour * Decades(v/hour)
	case v > minute:
		return minute * Decades(v/minute)
	}
	return Decades(v)
}

// firstFrom returns the first of steps, the last of which bounds v, that is not
// below v.
func firstFrom(v float64, steps ...float64) float64 {
	i := 0
	for steps[i] < v*(1-1e-9) {
		i++
	}
	return steps[i]
}

// after returns the step that follows v, which is one.
func (next Steps) after(v float64) float64 { return next(v * 1.0001) }

// below returns the greatest that is not above v > 0.
func (next Steps) below(v float64) float64 {
	n := next(v / 10)
	for after := n; after <= v*(1+1e-9); after = next.after(n) {
		n = after
	}
	return n
}

// Axis is one of a chart, logarithmic, and as long as the curves need.
type Axis struct {
	Label string
	Steps Steps
	Word  func(v float64) string // what stands beside the tick of v
}

// stretch is the part of an axis that a chart shows, between two of its steps.
type stretch struct {
	Axis
	lo, hi float64
}

// over returns the stretch that holds lo..hi; one step where they are one.
func (a Axis) over(lo, hi float64) stretch {
	s := stretch{a, a.Steps.below(lo), a.Steps(hi)}
	if s.hi <= s.lo {
		s.hi = a.Steps.after(s.lo)
	}
	return s
}

// at returns where v lies, as a fraction of the stretch.
func (s stretch) at(v float64) float64 { return math.Log(v/s.lo) / math.Log(s.hi/s.lo) }

// ticks calls f for each step and where it lies.
func (s stretch) ticks(f func(word string, at float64)) {
	for v := s.lo; v <= s.hi*1.0001; v = s.Steps.after(v) {
		f(s.Word(v), min(s.at(v), 1))
	}
}
