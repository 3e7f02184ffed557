package machine

import "math"

// This file derives a scanner's delays from its tracking lag, for profiles that
// give nothing else.
//
// The mirrors are taken for a critically damped system of the second order.
// Following a ramp of speed v it trails the command by v·lag once it is at
// speed, which is what a data sheet calls the tracking lag (or error). With
// u = t/lag, t after the command, its closed form gives
//
//	at the start of a ramp   the way moved          v·lag·(u − 1 + (1+u)·e^−2u)
//	at the end of a ramp     the way still missing  v·lag·(1+u)·e^−2u
//
// Everything else follows from one tolerance, a tenth of the spot:
//
//	on      until the mirrors have moved the tolerance, so that no dot is burnt
//	off     until the end is missed by no more than it (so that off ≥ on)
//	mark    off less the time in which a jump moves the mirrors by the
//	        tolerance: the gate is closed before the end of the mark bends
//	corner  off less on: the same inside a chain
//	jump    until a long jump has settled within the tolerance
//
// The model is ours; the equations are those of any textbook on control. The
// figures are a place to start from on scrap.

// toleranceOfSpot is the share of the spot that a line may be wrong by.
const toleranceOfSpot = 0.1

// lagDelays returns the delays for marking at speed mm/s. Times are rounded up.
func (g Galvo) lagDelays(speed, spotMM float64) Scanner {
	lag := g.TrackingLagUS
	tol := toleranceOfSpot * spotMM
	marking := tol / (speed * lag * 1e-6)
	jumping := tol / (g.JumpSpeedMMPerS * lag * 1e-6)
	off := lag * uWhere(missing, marking)
	on := min(off, lag*uWhere(moved, marking))
	s := Scanner{
		OnUS: ceil(on), OffUS: ceil(off),
		JumpUS: ceil(lag * uWhere(missing, jumping)),
		MarkUS: ceil(max(off-on, off-lag*uWhere(moved, jumping))), CornerUS: ceil(off - on),
	}
	// Rounding up must not open a gap that the model does not have.
	s.MarkUS = max(s.MarkUS, s.OffUS-s.OnUS)
	s.ShortJumpUS, s.ShortJumpSteps = g.shortJump(float64(s.JumpUS), jumping)
	return s
}

// shortJump returns the wait of a jump of no length, and the length from which
// a jump needs all of jumpUS, such that the straight line between the two is
// nowhere too short. Of such lines it takes the one that saves most. tol is the
// tolerance in units of jump speed times lag.
func (g Galvo) shortJump(jumpUS, tol float64) (us, steps int64) {
	const tries, shortest = 8, 0.25 // lengths in units of jump speed times lag
	best := 0.0
	for i := range tries {
		full := shortest * float64(i+1)
		least := ceil(g.leastShortJump(jumpUS, tol, full))
		if saved := (jumpUS - float64(least)) * full; saved > best {
			best, us = saved, least
			steps = int64(g.JumpSpeedMMPerS * g.TrackingLagUS * 1e-6 * full * GalvoStepsPerMM)
		}
	}
	return us, steps
}

// leastShortJump returns the least wait of a jump of no length for a line that
// reaches jumpUS at length full.
func (g Galvo) leastShortJump(jumpUS, tol, full float64) float64 {
	const samples = 32
	least := 0.0
	for i := range samples {
		share := float64(i) / samples
		length := full * share
		left := func(u float64) float64 { return missing(u) - missing(u+length) }
		settle := g.TrackingLagUS * uWhere(left, tol)
		least = max(least, (settle-float64(jumpUS*share))/(1-share))
	}
	return least
}

func ceil(us float64) int64 { return int64(math.Ceil(us)) }

// missing is the way still missing u lags after the end of a ramp, and moved
// the way moved u lags after the start of one, in units of speed times lag.
func missing(u float64) float64 { return (1 + u) * math.Exp(-2*u) }
func moved(u float64) float64   { return u - 1 + missing(u) }

// uWhere returns the u from 0 to 20 where f, which rises or falls
// throughout, has the value want, or the end nearest to that.
func uWhere(f func(float64) float64, want float64) float64 {
	lo, hi := 0.0, 20.0
	rises := f(hi) > f(lo)
	for range 40 {
		mid := (lo + hi) / 2
		if f(mid) < want == rises {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}
