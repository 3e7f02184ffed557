package clock_test

import (
	"fmt"
	"math"
	"path/filepath"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// With a limit of the jerk the simulation goes leg by leg: through pieces that
// flow on at one speed, from zero acceleration to zero acceleration, which is
// what the clock's model is. A change of speed is found by integrating the jerk
// in small steps, and the speeds between legs by trial. Like simulate, it shares
// no code with the clock.

// legsOf joins pieces: at the same speed, over corners that need no slowing
// down, along directions whose limits are within a quarter of each other, and no
// longer than it takes to speed up and stop.
func legsOf(ps []piece) []piece {
	var legs []piece
	alike := func(a, b float64) bool { return math.Abs(a-b) <= b/4 }
	for _, p := range ps[:len(ps)-1] {
		if n := len(legs); n > 0 {
			l := &legs[n-1]
			stop, _ := change(l.speed, 0, *l)
			if l.speed == p.speed && p.corner >= p.speed*p.speed && alike(l.accel, p.accel) && alike(l.jerk, p.jerk) &&
				l.length < 2*stop {
				l.length += p.length
				l.accel, l.jerk = min(l.accel, p.accel), min(l.jerk, p.jerk)
				continue
			}
		}
		legs = append(legs, p)
	}
	return legs
}

// change integrates a change of speed from v to w, or as well from w to v, and
// returns its length and time: the acceleration rises until it is the greatest
// or half of the change is done, stays, and falls as it rose.
func change(v, w float64, l piece) (length, seconds float64) {
	v, w = min(v, w), max(v, w)
	if v == w {
		return 0, 0
	}
	middle := (v + w) / 2
	rise := min(l.accel/l.jerk, math.Sqrt((w-v)/l.jerk))
	const steps = 150
	dt, a, speed := rise/steps, 0.0, v
	for range steps { // speeds and times of the fall mirror those of the rise
		next := speed + (a+l.jerk*dt/2)*dt
		length += (speed+next)/2*dt + (2*middle-(speed+next)/2)*dt
		a, speed = a+l.jerk*dt, next
	}
	seconds = 2 * rise
	if left := 2 * (middle - speed); left > 0 { // at the greatest acceleration
		seconds += left / l.accel
		length += middle * left / l.accel
	}
	return length, seconds
}

// fastest returns the greatest speed up to limit that a leg reaches from v.
func fastest(v, limit float64, l piece) float64 {
	if length, _ := change(v, limit, l); length <= l.length {
		return limit
	}
	lo, hi := v, limit
	for range 40 {
		mid := (lo + hi) / 2
		if length, _ := change(v, mid, l); length <= l.length {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// simulateJerk returns the seconds that pieces take.
func simulateJerk(ps []piece) float64 {
	legs := legsOf(ps)
	v := make([]float64, len(legs)+1) // where each begins
	for i := 1; i < len(legs); i++ {
		limit := min(math.Sqrt(legs[i].corner), legs[i].speed, legs[i-1].speed)
		v[i] = limit
		if limit > v[i-1] {
			v[i] = fastest(v[i-1], limit, legs[i-1])
		}
	}
	for i := len(legs) - 1; i > 0; i-- {
		if v[i] > v[i+1] {
			v[i] = fastest(v[i+1], v[i], legs[i])
		}
	}
	sum := 0.0
	for i, l := range legs {
		sum += legSeconds(v[i], v[i+1], l)
	}
	return sum
}

// legSeconds tries for the greatest speed within a leg.
func legSeconds(v, w float64, l piece) float64 {
	at := func(peak float64) (left, seconds float64) {
		up, upTime := change(v, peak, l)
		down, downTime := change(peak, w, l)
		left = l.length - up - down
		return left, upTime + downTime + max(0, left)/peak
	}
	lo, hi := max(v, w), l.speed
	if left, seconds := at(hi); left >= 0 {
		return seconds
	}
	for range 40 {
		mid := (lo + hi) / 2
		if left, _ := at(mid); left >= 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	_, seconds := at(lo)
	return seconds
}

func agreeWithJerk(t *testing.T, m emit.Moves, p machine.Profile, name string) {
	t.Helper()
	r := run(t, m, p)
	want := simulateJerk(pieces(t, m, p))
	require.InEpsilon(t, want, r.Total().Seconds(), 0.005, name)
}

// withJerk is freeLink with a limit of the jerk, lower in Y.
func withJerk(jerk float64) machine.Profile {
	p := freeLink()
	g := *p.Gantry
	g.JerkMMPerS3 = [2]float64{jerk, jerk / 2}
	p.Gantry = &g
	return p
}

var jerks = []float64{20_000, 100_000, 1e6}

func TestJerkSimulationAgreesOnRandomPolylines(t *testing.T) {
	for seed := range uint64(20) {
		for _, jerk := range jerks {
			p := withJerk(jerk)
			m, err := emit.Plan(randomPolylines(seed), p)
			require.NoError(t, err)
			agreeWithJerk(t, m, p, fmt.Sprintf("seed %d, jerk %g", seed, jerk))
		}
	}
}

func TestJerkSimulationAgreesOnTheDemo(t *testing.T) {
	p := withJerk(100_000)
	agreeWithJerk(t, artworkMoves(t, "../../cmd/furrow/demo/tag.svg", p, 60, 0.3), p, "demo")
}

func TestJerkSimulationAgreesOnIcons(t *testing.T) {
	for i, file := range icons(t, 200) {
		p := withJerk(jerks[i%len(jerks)])
		agreeWithJerk(t, artworkMoves(t, file, p, 20, 4), p, filepath.Base(file))
	}
}

// Rows with their sidesteps and fast gaps, where travel meets marking in both ways.
func TestJerkSimulationOfRows(t *testing.T) {
	for _, junction := range []string{machine.JunctionCorner, machine.JunctionRest} {
		for seed := range uint64(10) {
			for _, jerk := range jerks {
				p := withJerk(jerk)
				p.Gantry.TravelJunction = junction
				m, err := emit.Plan(randomRows(seed), p)
				require.NoError(t, err)
				name := fmt.Sprintf("%s, seed %d, jerk %g", junction, seed, jerk)
				agreeWithJerk(t, m, p, name)
				r := run(t, m, p)
				require.Less(t, r.Corner.Seconds(), 1e-3*r.Mark.Seconds(), "%s: spans marked slower than asked", name)
			}
		}
	}
}
