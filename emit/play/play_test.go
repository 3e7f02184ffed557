package play_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/play"
	"furrow/path"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

var (
	slow = path.Setting{Name: "slow", SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50000}
	hot  = path.Setting{Name: "hot", SpeedMMPerS: 800, Power: 1, FrequencyHz: 50000}
)

func planned(t testing.TB, p machine.Profile, prog path.Program) emit.Moves {
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	return m
}

func samples(t testing.TB, m emit.Moves, p machine.Profile, rate int) (all []play.Sample) {
	r, err := play.Run(m, p, play.Options{Rate: rate}, func(s []play.Sample) error {
		all = append(all, s...)
		return nil
	})
	require.NoError(t, err)
	require.Equal(t, int64(len(all)), r.Samples)
	return all
}

// One mark of 8 mm, by hand: a jump of 5 mm at 4,000 mm/s is 1.25 ms and waits 250
// us; the mark runs from 1.5 to 11.5 ms; the gate opens at 1.6 and closes at 11.62
// ms; the mark delay ends at 11.6 ms. At 100 kHz a sample is 10 us.
func TestByHand(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(3, 4), pt(11, 4))
	m := planned(t, byhand.Fibre(), prog)
	all := samples(t, m, byhand.Fibre(), 100_000)
	require.Len(t, all, 1161)
	assert.Equal(t, play.Sample{}, all[0])
	assert.InDelta(t, 1.5, all[62].X, 0.02, "half of the jump")
	assert.Equal(t, pt(3, 4), pt(all[125].X, all[125].Y))
	assert.Equal(t, pt(3, 4), pt(all[150].X, all[150].Y))
	assert.InDelta(t, 7, all[650].X, 1e-9, "half of the mark, after 5 ms")
	assert.Equal(t, pt(11, 4), pt(all[1160].X, all[1160].Y))
	for i, s := range all {
		assert.Equal(t, i >= 160, s.Gate, "sample %d", i)
	}
	assert.Equal(t, 0.5, all[700].Power)
}

// A gate that opens before its mark is open in the wait that goes before.
func TestEarlyGate(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.LaserOnDelayUS, g.LaserOffDelayUS = -50, 20
	p.Galvo = &g
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(3, 4), pt(11, 4))
	all := samples(t, planned(t, p, prog), p, 100_000)
	for i, s := range all {
		assert.Equal(t, i >= 145 && i < 1152, s.Gate, "sample %d", i)
	}
}

// Its mark delay of 100 us is 20 us shorter than its laser-off delay.
func TestCutGates(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(3, 4), pt(11, 4))
	prog.Append(path.Stroke{}, pt(3, 5), pt(11, 5))
	r, err := play.Run(planned(t, byhand.Fibre(), prog), byhand.Fibre(), play.Options{Rate: 100_000},
		func([]play.Sample) error { return nil })
	require.NoError(t, err)
	assert.Equal(t, 1, r.Cut)
	assert.Equal(t, 20*time.Microsecond, r.CutMost)
}

// Another power inside a chain takes over where the gate's delay lets it.
func TestPowerInAChain(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow, hot}}
	prog.Append(path.Stroke{}, pt(0, 0), pt(8, 0))
	prog.Append(path.Stroke{Setting: 1}, pt(8, 0), pt(16, 0))
	all := samples(t, planned(t, byhand.Fibre(), prog), byhand.Fibre(), 100_000)
	lit := 0
	for i, s := range all {
		switch {
		case s.Power == 0.5:
			lit++
		case s.Power == 1:
			require.Equal(t, 1000, lit, "10 ms at the first power, at sample %d", i)
		}
	}
}

// program is rows, polylines and powers at random.
func program(r *rand.Rand, n int) path.Program {
	prog := path.Program{Settings: []path.Setting{slow, hot,
		{Name: "fast", SpeedMMPerS: 3000, Power: 0.7, FrequencyHz: 60000}}}
	at := func() path.Point { return pt(r.Float64()*100-50, r.Float64()*100-50) }
	for range n {
		s := path.Stroke{Setting: uint16(r.IntN(3))}
		pts := []path.Point{at(), at()}
		if r.IntN(2) == 0 {
			s.Kind = path.LineStroke
			pts = append(pts, at(), at())
		}
		prog.Append(s, pts...)
	}
	return prog
}

// state is where a plain reckoning, from the clock's table of moves, has mirrors
// and gate at a moment.
func state(all []clock.Timed, m emit.Moves, at time.Duration) (path.Point, bool, bool) {
	where, lit, edge := path.Point{}, false, false
	near := func(t time.Duration) bool { return (t - at).Abs() <= 2 }
	for i, t := range all {
		if at >= t.Start {
			f := 1.0
			if at < t.End {
				f = float64(at-t.Start) / float64(t.End-t.Start)
			}
			where = t.From.Lerp(t.To, f)
		}
		sc := m.Scanner[t.Setting]
		if t.Kind != emit.Mark {
			continue
		}
		joined := func(k int) bool {
			return k >= 0 && k < len(all) && all[k].Kind == emit.Mark && m.SameChain(all[k].Setting, t.Setting)
		}
		open, closed := t.Start, t.End
		if !joined(i - 1) {
			open += time.Duration(sc.OnUS) * time.Microsecond
		}
		if !joined(i + 1) {
			closed += time.Duration(sc.OffUS) * time.Microsecond
		} else {
			closed = all[i+1].Start // a corner's wait is lit
		}
		if i+1 < len(all) && all[i+1].Kind == emit.Travel {
			closed = min(closed, all[i+1].Start)
		}
		lit = lit || at >= open && at < closed
		edge = edge || near(open) || near(closed)
	}
	return where, lit, edge
}

// Samples of random lists against that reckoning, moment by moment; the length is
// the clock's to one sample, and no jump is lit.
func TestAgainstTheClock(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	for range 8 {
		m := planned(t, byhand.Fibre(), program(r, 12))
		for _, rate := range []int{44_100, 48_000, 96_000, 100_000, 192_000} {
			var moves []clock.Timed
			report, err := clock.Each(m, byhand.Fibre(), func(x clock.Timed) { moves = append(moves, x) })
			require.NoError(t, err)
			all := samples(t, m, byhand.Fibre(), rate)
			require.Equal(t, play.Count(report.Total(), rate), int64(len(all)))
			require.InDelta(t, report.Total().Seconds()*float64(rate), float64(len(all)-1), 1)
			for i := 0; i < len(all); i += 1 + r.IntN(40) {
				at := time.Duration(math.Round(float64(i) * 1e9 / float64(rate)))
				where, lit, edge := state(moves, m, at)
				require.LessOrEqual(t, where.Dist(pt(all[i].X, all[i].Y)), 5e-5,
					"seed %d, sample %d of %d Hz", seed, i, rate)
				require.True(t, lit == all[i].Gate || edge, "seed %d, sample %d of %d Hz: gate %v", seed, i,
					rate, all[i].Gate)
			}
			for _, mv := range moves {
				if mv.Kind != emit.Travel {
					continue
				}
				for i := int(math.Ceil(mv.Start.Seconds() * float64(rate))); float64(i) < mv.End.Seconds()*float64(rate)-1e-6; i++ {
					if all[i].Gate {
						require.Fail(t, "lit in a jump", "seed %d, sample %d", seed, i)
					}
				}
			}
		}
	}
}

func TestRefused(t *testing.T) {
	none := func([]play.Sample) error { return nil }
	prog := program(rand.New(rand.NewPCG(1, 0)), 1)
	m := planned(t, byhand.Fibre(), prog)
	_, err := play.Run(m, byhand.Fibre(), play.Options{Rate: 10}, none)
	assert.Error(t, err)
	gantry := machine.Examples()[0]
	row := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.3}}}
	row.Append(path.Stroke{}, pt(0, 0), pt(1, 0))
	_, err = play.Run(planned(t, gantry, row), gantry, play.Options{Rate: 100_000}, none)
	assert.ErrorIs(t, err, play.ErrNoList)
	_, err = play.Run(m, byhand.Fibre(), play.Options{Rate: 100_000}, func([]play.Sample) error {
		return assert.AnError
	})
	assert.ErrorIs(t, err, assert.AnError)
}

// BenchmarkRun plays rows of 10 mm; its metric is samples a second.
func BenchmarkRun(b *testing.B) {
	prog := path.Program{Settings: []path.Setting{slow}}
	for i := range 2000 {
		prog.Append(path.Stroke{}, pt(0, float64(i)*0.03), pt(10, float64(i)*0.03))
	}
	m := planned(b, byhand.Fibre(), prog)
	n := 0
	b.ReportAllocs()
	for b.Loop() {
		if _, err := play.Run(m, byhand.Fibre(), play.Options{Rate: 100_000},
			func(s []play.Sample) error { n += len(s); return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds()/1e6, "Msamples/s")
}
