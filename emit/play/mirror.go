package play

import (
	"math"
	"time"
)

// AsDriven returns what takes samples in place of block and hands on where the mirrors are
// in place of where they are sent: a scanner of the second order, critically damped, that
// trails a steady motion by lag, and rests in the middle of the field at first. Gate and
// power stay as they are. It is the model that package machine derives delays with; the
// step from sample to sample is its exact answer to a command that is straight between
// them (any textbook on control).
func AsDriven(lag time.Duration, rate int, block func([]Sample) error) func([]Sample) error {
	step := newStep(lag, rate)
	var x, y axis
	return func(all []Sample) error {
		for i := range all {
			s := &all[i]
			s.X, s.Y = x.follow(step, s.X), y.follow(step, s.Y)
		}
		return block(all)
	}
}

// step is what a mirror does between two samples. The way by which it is off from where it
// would be in a steady motion is (a + b·t)·e^(-w·t).
type step struct {
	t, lag, w float64 // s, s, 1/s
	decay     float64 // e^(-w·t)
}

func newStep(lag time.Duration, rate int) step {
	s := step{t: 1 / float64(rate), lag: lag.Seconds(), w: 2 / lag.Seconds()}
	s.decay = math.Exp(-s.w * s.t)
	return s
}

// axis is a mirror: where it is, mm, how fast, mm/s, and where it was sent last.
type axis struct{ at, speed, sent float64 }

// follow goes on to the next sample, to which it is sent, and returns where it is then.
func (a *axis) follow(s step, to float64) float64 {
	v := (to - a.sent) / s.t
	off := a.at - a.sent + float64(v*s.lag)
	b := a.speed - v + float64(s.w*off)
	end := (off + float64(b*s.t)) * s.decay
	a.at = to - float64(v*s.lag) + end
	a.speed = v + float64(b*s.decay) - float64(s.w*end)
	a.sent = to
	return a.at
}
