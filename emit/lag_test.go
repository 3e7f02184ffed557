package emit_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// mirror integrates a critically damped mirror of a tracking lag in steps of a
// tenth of a microsecond: x” = w²(command − x) − 2·w·x', w = 2/lag. It is the
// textbook's differential equation, and not the closed form that the delays
// are derived with.
type mirror struct{ x, v, lag float64 } // mm, mm/s, s

const dt = 1e-7

func (m *mirror) follow(command func(t float64) float64, seconds float64, visit func(t, x float64)) {
	w := 2 / m.lag
	for i := range int(seconds / dt) {
		t := float64(i) * dt
		half := m.v + dt/2*(w*w*(command(t)-m.x)-2*w*m.v)
		m.x += dt * half
		m.v = half + dt/2*(w*w*(command(t+dt)-m.x)-2*w*half)
		if visit != nil {
			visit(t+dt, m.x)
		}
	}
}

// ramp moves to the end at a speed and stays there.
func ramp(end, speed float64) func(float64) float64 {
	return func(t float64) float64 { return min(end, speed*t) }
}

func lagged(lagUS, spot float64) machine.Profile {
	p := byhand.Fibre()
	g := *p.Galvo
	g.JumpDelayUS, g.ShortJumpDelayUS, g.ShortJumpMM = 0, 0, 0
	g.MarkDelayUS, g.CornerDelayUS, g.LaserOnDelayUS, g.LaserOffDelayUS = 0, 0, 0, 0
	g.TrackingLagUS = lagUS
	p.Galvo, p.Laser.SpotMM = &g, [2]float64{spot, spot}
	return p
}

func TestDerivedDelaysHoldTheTolerance(t *testing.T) {
	for _, lag := range []float64{60, 110, 240} {
		for _, speed := range []float64{20, 800, 3000} {
			const spot = 0.05
			p := lagged(lag, spot)
			require.NoError(t, p.Validate())
			s := p.Scanner(path.Setting{SpeedMMPerS: speed})
			require.Empty(t, emit.Moves{Scanner: []machine.Scanner{s}}.DelayWarnings())
			tol := spot/10 + 2e-6*speed // a microsecond's way is the rounding

			m := mirror{lag: lag * 1e-6}
			m.follow(ramp(1000, speed), float64(s.OnUS)*1e-6, nil)
			require.LessOrEqual(t, m.x, tol, "the gate opens before the mirrors have gone far")

			const length = 10.0
			m = mirror{lag: lag * 1e-6}
			m.follow(ramp(length, speed), length/speed+float64(s.OffUS)*1e-6, nil)
			require.LessOrEqual(t, length-m.x, tol, "the gate closes at the end")

			// a jump that starts a mark delay after the end, at right angles
			side := mirror{lag: lag * 1e-6}
			side.follow(ramp(1000, p.Galvo.JumpSpeedMMPerS), float64(s.OffUS-s.MarkUS)*1e-6, nil)
			require.LessOrEqual(t, side.x, spot/10+2e-6*p.Galvo.JumpSpeedMMPerS, "the end does not bend")
		}
	}
}

func TestDerivedJumpDelaysSettle(t *testing.T) {
	const spot = 0.05
	for _, lag := range []float64{60, 110, 240} {
		p := lagged(lag, spot)
		s := p.Scanner(path.Setting{SpeedMMPerS: 800})
		v := p.Galvo.JumpSpeedMMPerS
		for _, length := range []float64{0.005, 0.02, 0.1, 0.3, 0.5, 1, 2, 5, 40} {
			m := mirror{lag: lag * 1e-6}
			wait := s.JumpWait(length * machine.GalvoStepsPerMM).Seconds()
			m.follow(ramp(length, v), length/v+wait, nil)
			require.LessOrEqual(t, math.Abs(length-m.x), spot/10+2e-6*v, "lag %g us, %g mm", lag, length)
		}
	}
}

func TestLagAndDelaysTogetherAreRefused(t *testing.T) {
	p := lagged(100, 0.05)
	p.Galvo.MarkDelayUS = 100
	require.ErrorContains(t, p.Validate(), "galvo.tracking_lag_us")
}

func TestLagNote(t *testing.T) {
	m, err := emit.Plan(using(fill, fill), lagged(110, 0.06))
	require.NoError(t, err)
	require.Equal(t, []string{"at 800 mm/s, derived from a tracking lag of 110 us: laser on 62, off 206, mark 173, " +
		"corner 145, jump 310 (215 to 0.33 mm) us"},
		emit.LagNote(m, lagged(110, 0.06)))
	require.Empty(t, emit.LagNote(m, byhand.Fibre()))
}

func TestDelayWarnings(t *testing.T) {
	s := machine.Scanner{OnUS: 100, OffUS: 120, MarkUS: 20, JumpUS: 200, ShortJumpUS: 60}
	with := func(change func(*machine.Scanner)) []string {
		c := s
		change(&c)
		return emit.Moves{Scanner: []machine.Scanner{c, c}}.DelayWarnings()
	}
	require.Empty(t, with(func(*machine.Scanner) {}))
	require.Equal(t, []string{"laser-off delay of 90 us is below the laser-on delay of 100 us: every mark is " +
		"shorter than drawn, and short ones vanish"},
		with(func(s *machine.Scanner) { s.OffUS = 90 }))
	require.Equal(t, []string{"mark delay of 19 us is below laser-off less laser-on delay, 20 us: the next jump " +
		"starts while the beam is on, and ends of marks bend"},
		with(func(s *machine.Scanner) { s.MarkUS = 19 }))
	require.Equal(t, []string{"a short jump waits longer, 300 us, than a long one, 200 us"},
		with(func(s *machine.Scanner) { s.ShortJumpUS = 300 }))
}

func TestRunUpAndRunOut(t *testing.T) {
	p := byhand.Fibre()
	p.Galvo.RunUpUS = 500 // 0.4 mm at 800 mm/s
	prog := path.Program{Settings: []path.Setting{fill}}
	prog.Append(path.Stroke{Sweep: 1}, pt(0, 0), pt(1, 0))
	prog.Append(path.Stroke{Sweep: 1}, pt(2, 0), pt(3, 0))
	prog.Append(path.Stroke{Sweep: 2}, pt(3, 1), pt(0, 1))
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(5, 5), pt(6, 5))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	moves := collect(t, m)
	require.Equal(t, "JDMDMDJDMDJM", kinds(moves))
	require.Equal(t, pt(-0.4, 0), moves[0].To)
	require.Equal(t, pt(3.4, 0), moves[5].To)
	require.Equal(t, pt(3.4, 1), moves[6].To)
	require.Equal(t, pt(-0.4, 1), moves[9].To)
	require.Equal(t, pt(5, 5), moves[10].To)
}
