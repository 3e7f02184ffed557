package machine

import (
	"math"

	"furrow/path"
)

// RunUp returns the length, mm, that the head needs to reach speed v (mm/s)
// along dir (of unit length) from rest, with the profile's margin; or what the
// profile sets by hand.
//
// With a limit j of the jerk, half of the speed is gained while the
// acceleration rises and half while it falls: v/2·(v/a + a/j), or v·√(v/j)
// where the acceleration a is never reached (Biagiotti and Melchiorri,
// Trajectory Planning, 2008, section 3.4).
func (g *Gantry) RunUp(dir path.Point, v float64) float64 {
	if g.OvertravelMM > 0 {
		return g.OvertravelMM
	}
	a, j := g.Accel(dir), g.Jerk(dir)
	switch {
	case j == 0:
		return v*v/(2*a) + g.OvertravelMarginMM
	case v*j >= a*a:
		return v/2*(v/a+a/j) + g.OvertravelMarginMM
	default:
		return v*math.Sqrt(v/j) + g.OvertravelMarginMM
	}
}

// Overtravel returns how far a sweep along dir (of unit length) at speed v (mm/s)
// begins before its first span and ends behind its last: the run-up, and what
// the gates are shifted by.
func (g *Gantry) Overtravel(dir path.Point, v float64) float64 {
	l := g.Lead(dir, v)
	return g.RunUp(dir, v) + max(math.Abs(l.On), math.Abs(l.Off))
}

// Accel returns the acceleration, mm/s2, along dir (of unit length): the most
// that keeps both axes within their limits, or the path within its own.
func (g *Gantry) Accel(dir path.Point) float64 { return g.rampLimit(g.AccelMMPerS2, dir) }

// MaxSpeed returns the greatest speed, mm/s, along dir (of unit length).
func (g *Gantry) MaxSpeed(dir path.Point) float64 { return axisLimit(g.MaxSpeedMMPerS, dir) }

// Jerk returns the limit of the jerk, mm/s3, along dir (of unit length), or 0
// where the machine has none.
func (g *Gantry) Jerk(dir path.Point) float64 { return g.rampLimit(g.JerkMMPerS3, dir) }

// rampLimit returns a limit of acceleration or jerk along dir.
func (g *Gantry) rampLimit(limit [2]float64, dir path.Point) float64 {
	if g.AccelAlongPath {
		return min(limit[0], limit[1])
	}
	return axisLimit(limit, dir)
}

// CornerSpeed2 returns the greatest squared speed, (mm/s)², at which the head goes from
// direction in to direction out (of unit length) without leaving the corner by more
// than its error e: v² = a·e·s/(1−s), with s the sine of half the angle between the
// reversed incoming and the outgoing direction, and a the limit along the difference
// of the two. Straight on it is infinite.
func (g *Gantry) CornerSpeed2(in, out path.Point) float64 {
	s := math.Sqrt(max(0, (1+in.Dot(out))/2))
	if s >= 1-1e-12 {
		return math.Inf(1)
	}
	diff := out.Sub(in)
	return g.Accel(diff.Mul(1/diff.Len())) * g.CornerErrorMM * s / (1 - s)
}

// RestsAtTravel reports that the head stops where travel meets any other move.
func (g *Gantry) RestsAtTravel() bool { return g.TravelJunction == JunctionRest }

// axisLimit divides by the components of dir: an axis that does not move gives
// +Inf, and so does not count, but a limit of 0 on both stays 0.
func axisLimit(limit [2]float64, dir path.Point) float64 {
	if limit == [2]float64{} {
		return 0
	}
	return min(limit[0]/math.Abs(dir.X), limit[1]/math.Abs(dir.Y))
}

// KeepOut returns where the head must never go, mm from X0 Y0.
func (g *Gantry) KeepOut() []path.Rect { return Clamps(g.KeepOutMM) }

// Bed returns where the head can go, mm from X0 Y0. With zero by hand only its
// size has a meaning.
func (g *Gantry) Bed() path.Rect {
	min := path.Point{X: -g.OriginMM[0], Y: -g.OriginMM[1]}
	return path.Rect{Min: min, Max: min.Add(path.Point{X: g.BedMM[0], Y: g.BedMM[1]})}
}
