package clock

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// Double-S from v0 = 1 to v1 = 0 over 10 with A10 J30 (Biagiotti and Melchiorri
// 2008, section 3.4; the example's numbers from memory, its times computed).
func TestDoubleS(t *testing.T) {
	d := newDoubleS(10, 1, 0, 5, 10, 30)
	require.InDelta(t, 0.73333, d.up.t, 1e-5)
	require.InDelta(t, 1.14333, d.flat/d.speed, 1e-5)
	require.InDelta(t, 0.83333, d.down.t, 1e-5)
	require.InDelta(t, 2.71, d.seconds(), 1e-5)

	d = newDoubleS(10, 1, 0, 10, 10, 30)
	require.InDelta(t, 1.07469, d.up.t, 1e-5)
	require.InDelta(t, 0, d.flat, 1e-9)
	require.InDelta(t, 1.17469, d.down.t, 1e-5)
	require.InDelta(t, 8.41357, d.speed, 1e-5)

	// Here they slow down over the whole length, in 2.66667.
	d = newDoubleS(10, 7.5, 0, 10, 10, 30)
	require.Less(t, d.seconds(), 2.66667)
}

// A ramp integrated in small steps of its jerk ends where it says.
func TestRampIntegratesItsJerk(t *testing.T) {
	for _, v := range [][2]float64{{0, 150}, {150, 0}, {20, 21}, {21, 20}, {0, 500}} {
		r := newRamp(v[0], v[1], 3000, 40_000)
		const n = 200_000
		dt := r.t / n
		x, speed, accel := 0.0, v[0], 0.0
		for i := range n {
			jerk := 0.0
			switch now := (float64(i) + 0.5) * dt; {
			case now < r.tj:
				jerk = r.jerk
			case r.t-now < r.tj:
				jerk = -r.jerk
			}
			if i%(n/10) == 0 {
				require.InDelta(t, x, r.at(float64(i)*dt), 1e-3*r.length)
			}
			x += dt * (speed + dt*(accel/2+jerk*dt/6))
			speed += dt * (accel + jerk*dt/2)
			accel += jerk * dt
		}
		require.InEpsilon(t, r.length, x, 1e-4)
		require.InDelta(t, v[1], speed, 1e-2)
		require.InDelta(t, r.t/2, r.timeAt(r.at(r.t/2)), 1e-9)
	}
}

// From the worst start the least speed is reached: any other start, slower or
// faster, reaches more, and above it more and more.
func TestWorstStart(t *testing.T) {
	for _, length := range []float64{1e-6, 0.001, 0.1, 3, 100} {
		for _, jerk := range []float64{4000, 40_000, 1e6} {
			worst := worstStart(length, 3000, jerk)
			least := reachable(worst, length, 3000, jerk)
			last := least
			for f := 0.0; f < 4; f += 0.05 {
				v := reachable(f*worst, length, 3000, jerk)
				require.GreaterOrEqual(t, v, least*(1-1e-9), "%g mm, jerk %g, from %g of the worst", length, jerk, f)
				if f > 1 {
					require.GreaterOrEqual(t, v, last*(1-1e-9))
					last = v
				}
			}
		}
	}
}

// What can be reached over a length needs just that length.
func TestReachable(t *testing.T) {
	for _, v0 := range []float64{0, 0.1, 10, 300} {
		for _, length := range []float64{1e-6, 0.001, 0.1, 3, 100} {
			v := reachable(v0, length, 3000, 40_000)
			if v-v0 < 1e-9 { // lost in the rounding of v
				continue
			}
			require.InEpsilon(t, length, newRamp(v0, v, 3000, 40_000).length, 1e-3, "%g mm from %g", length, v0)
		}
	}
}
