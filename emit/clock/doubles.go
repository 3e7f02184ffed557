package clock

import "math"

// This file is the double-S: speed that changes with limited acceleration and
// jerk, after Biagiotti and Melchiorri, Trajectory Planning for Automatic
// Machines and Robots, 2008, section 3.4. Where a whole change of speed does
// not fit, they lower the acceleration over the whole length; here the peak
// speed is lowered instead, which is never slower.

// ramp is a change of speed, with zero acceleration at both ends.
type ramp struct {
	v0, v1 float64 // mm/s
	jerk   float64 // mm/s3, with the sign of v1 − v0
	accel  float64 // the greatest that comes up, likewise
	tj     float64 // seconds at each end in which the acceleration changes
	t      float64 // seconds
	length float64 // mm
}

func newRamp(v0, v1, accel, jerk float64) ramp {
	dv := math.Abs(v1 - v0)
	if dv == 0 {
		return ramp{v0: v0, v1: v1}
	}
	if jerk == 0 { // no limit: constant acceleration
		return ramp{v0: v0, v1: v1, accel: math.Copysign(accel, v1-v0), t: dv / accel,
			length: (v0 + v1) / 2 * dv / accel}
	}
	r := ramp{v0: v0, v1: v1, accel: math.Min(accel, math.Sqrt(dv*jerk))}
	r.tj = r.accel / jerk
	r.t = dv/r.accel + r.tj
	r.length = (v0 + v1) / 2 * r.t
	r.jerk = math.Copysign(jerk, v1-v0)
	r.accel = math.Copysign(r.accel, v1-v0)
	return r
}

// at returns the mm covered after t seconds.
func (r ramp) at(t float64) float64 {
	switch left := r.t - t; {
	case t <= r.tj:
		return r.v0*t + r.jerk*t*t*t/6
	case left <= r.tj:
		return r.length - (r.v1*left - r.jerk*left*left*left/6)
	default:
		return r.v0*t + r.accel*(t*t/2-r.tj*t/2+r.tj*r.tj/6)
	}
}

// timeAt returns the seconds after which x mm are covered.
func (r ramp) timeAt(x float64) float64 {
	return bisect(0, r.t, func(t float64) bool { return r.at(t) >= x })
}

// bisect returns where from lo to hi the answer turns from no to yes.
func bisect(lo, hi float64, yes func(float64) bool) float64 {
	for range 60 {
		mid := (lo + hi) / 2
		if yes(mid) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return hi
}

// reachable returns the greatest speed at the end of length mm that begins at
// v0, with zero acceleration at both ends.
func reachable(v0, length, accel, jerk float64) float64 {
	k := accel * accel / (2 * jerk)
	if v := math.Sqrt((v0-k)*(v0-k)+2*accel*length) - k; v-v0 >= 2*k {
		return v
	}
	// The acceleration is not reached: with s² = v − v0, s³ + 2·v0·s = length·√jerk.
	// Newton's method from above falls towards the root.
	c := length * math.Sqrt(jerk)
	s := math.Cbrt(c)
	for range 50 {
		step := (s*s*s + 2*v0*s - c) / (3*s*s + 2*v0)
		if !(step > 1e-12*s) {
			break
		}
		s -= step
	}
	return v0 + s*s
}

// worstStart returns the v0 at which reachable is least: by its derivative, half
// of the gain in speed where the acceleration is not reached, accel²/(2·jerk)
// else.
func worstStart(length, accel, jerk float64) float64 {
	gain := math.Pow(length*math.Sqrt(jerk)/2, 2.0/3)
	return min(gain/2, accel*accel/(2*jerk))
}

// doubleS is a run over a length: a ramp up, constant speed and a ramp down.
type doubleS struct {
	up, down ramp
	speed    float64 // between the ramps, mm/s
	flat     float64 // mm between the ramps
}

func newDoubleS(length, v0, v1, speed, accel, jerk float64) doubleS {
	try := func(v float64) doubleS {
		d := doubleS{up: newRamp(v0, v, accel, jerk), down: newRamp(v, v1, accel, jerk), speed: v}
		d.flat = length - d.up.length - d.down.length
		return d
	}
	if d := try(max(speed, v0, v1)); d.flat >= 0 {
		return d
	}
	d := try(peak(length, v0, v1, speed, accel, jerk))
	d.flat = max(0, d.flat)
	return d
}

// peak returns the greatest speed on a length that is too short for speed.
func peak(length, v0, v1, speed, accel, jerk float64) float64 {
	if v0 == v1 {
		return reachable(v0, length/2, accel, jerk)
	}
	lo, hi := max(v0, v1), speed
	v := hi
	for range 60 { // Newton's method, or halves where that leads out of what is possible
		up, slopeUp := rampLength(v0, v, accel, jerk)
		down, slopeDown := rampLength(v1, v, accel, jerk)
		if over := up + down - length; over > 0 {
			hi = v
		} else {
			lo = v
		}
		next := v - (up+down-length)/(slopeUp+slopeDown)
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-v) <= 1e-14*v {
			return next
		}
		v = next
	}
	return v
}

// rampLength returns the length of a ramp from v0 up to v, and what it grows by with v.
func rampLength(v0, v, accel, jerk float64) (mm, slope float64) {
	dv := v - v0
	switch {
	case dv <= 0:
		return 0, 0
	case dv*jerk < accel*accel:
		t := 2 * math.Sqrt(dv/jerk)
		return (v0 + v) / 2 * t, t/2 + (v0+v)/(t*jerk)
	}
	t := dv/accel + accel/jerk
	return (v0 + v) / 2 * t, t/2 + (v0+v)/(2*accel)
}

func (d doubleS) seconds() float64 {
	t := d.up.t + d.down.t
	if d.flat > 0 {
		t += d.flat / d.speed
	}
	return t
}

// timeAt returns the seconds after which x mm are covered.
func (d doubleS) timeAt(x float64) float64 {
	switch {
	case x < d.up.length:
		return d.up.timeAt(x)
	case x <= d.up.length+d.flat:
		return d.up.t + (x-d.up.length)/d.speed
	default:
		t := d.up.t + d.down.timeAt(x-d.up.length-d.flat)
		if d.flat > 0 {
			t += d.flat / d.speed
		}
		return t
	}
}
