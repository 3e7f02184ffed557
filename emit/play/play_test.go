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

// Its mark delay of 100 us is 20 us shorter than its laser-off delay. With one of 100 us the
// gate closes just when the jump starts, and is not cut.
func TestCutGates(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(3, 4), pt(11, 4))
	prog.Append(path.Stroke{}, pt(3, 5), pt(11, 5))
	r, err := play.Run(planned(t, byhand.Fibre(), prog), byhand.Fibre(), play.Options{Rate: 100_000},
		func([]play.Sample) error { return nil })
	require.NoError(t, err)
	assert.Equal(t, 1, r.Cut)
	assert.Equal(t, 20*time.Microsecond, r.CutMost)
	r, err = play.Run(planned(t, shifted(100, 100), prog), shifted(100, 100), play.Options{Rate: 100_000},
		func([]play.Sample) error { return nil })
	require.NoError(t, err)
	assert.Zero(t, r.Cut)
}

// A jump of 40 um takes 10 us, and waits a little over 60: the gate that it cut 10 us before
// its time is over stays closed behind it.
func TestNoGateOpensAgainBehindAJump(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(3, 4), pt(11, 4))
	prog.Append(path.Stroke{}, pt(11, 4.04), pt(3, 4.04))
	all := samples(t, planned(t, byhand.Fibre(), prog), byhand.Fibre(), 1_000_000)
	var turns []int
	for i := 1; i < len(all); i++ {
		if all[i].Gate != all[i-1].Gate {
			turns = append(turns, i)
		}
	}
	require.Len(t, turns, 3, "open, closed and open again until the end")
	require.Equal(t, 11_600, turns[1], "where the jump starts")
	require.InDelta(t, 11_600+10+60+100, turns[2], 15)
}

// Another power inside a chain takes over where the gate's delay lets it.
func TestPowerInAChain(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow, hot}}
	prog.Append(path.Stroke{}, pt(0, 0), pt(8, 0))
	prog.Append(path.Stroke{Setting: 1}, pt(8, 0), pt(16, 0))
	all := samples(t, planned(t, byhand.Fibre(), prog), byhand.Fibre(), 100_000)
	lit, full := 0, 0
	for i, s := range all {
		switch {
		case s.Power == 0.5:
			lit++
		case s.Power == 1:
			require.Equal(t, 1000, lit, "10 ms at the first power, at sample %d", i)
			full++
		}
	}
	require.InDelta(t, 1000, full, 2, "and at the second")
}

// program is rows, polylines and powers at random, far apart or within reach of each other:
// a jump is then shorter than a gate's delay, and so are the sides of a polyline.
func program(r *rand.Rand, n int) path.Program {
	prog := path.Program{Settings: []path.Setting{slow, hot,
		{Name: "fast", SpeedMMPerS: 3000, Power: 0.7, FrequencyHz: 60000}}}
	last := pt(0, 0)
	for range n {
		s := path.Stroke{Setting: uint16(r.IntN(3))}
		reach := []float64{100, 0.1}[r.IntN(2)]
		next := func() path.Point {
			last = last.Add(pt((r.Float64()-0.5)*reach, (r.Float64()-0.5)*reach))
			last = pt(math.Remainder(last.X, 100), math.Remainder(last.Y, 100))
			return last
		}
		pts := []path.Point{next(), next()}
		if r.IntN(2) == 0 {
			s.Kind = path.LineStroke
			pts = append(pts, next(), next())
		}
		prog.Append(s, pts...)
	}
	return prog
}

// window is a time in which the gate is asked to be open.
type window struct{ open, close time.Duration }

// windows reckons plainly, from the clock's table of moves, when the gate is open: from the
// first mark of a chain to its last, both with their shift, and never beyond the next jump.
func windows(all []clock.Timed, m emit.Moves) (gates []window) {
	for i := 0; i < len(all); i++ {
		if all[i].Kind != emit.Mark {
			continue
		}
		k := i
		for k+1 < len(all) && all[k+1].Kind == emit.Mark && m.SameChain(all[k].Setting, all[k+1].Setting) {
			k++
		}
		sc := m.Scanner[all[i].Setting]
		w := window{all[i].Start + time.Duration(sc.OnUS)*time.Microsecond,
			all[k].End + time.Duration(sc.OffUS)*time.Microsecond}
		if k+1 < len(all) && all[k+1].Kind == emit.Travel {
			w.close = min(w.close, all[k+1].Start)
		}
		gates, i = append(gates, w), k
	}
	return gates
}

// state is where that reckoning has mirrors and gate at a moment; edge where a nanosecond or
// two decide.
func state(all []clock.Timed, gates []window, at time.Duration) (where path.Point, lit, edge bool) {
	near := func(t time.Duration) bool { return (t - at).Abs() <= 2 }
	dark := false
	for _, t := range all {
		if at >= t.Start {
			f := 1.0
			if at < t.End {
				f = float64(at-t.Start) / float64(t.End-t.Start)
			}
			where = t.From.Lerp(t.To, f)
		}
		if t.Kind == emit.Travel {
			dark = dark || at >= t.Start && at < t.End
			edge = edge || near(t.Start) || near(t.End)
		}
	}
	for _, g := range gates {
		lit = lit || at >= g.open && at < g.close
		edge = edge || near(g.open) || near(g.close)
	}
	return where, lit && !dark, edge
}

// shifted is the fibre with other shifts of its gate.
func shifted(onUS, offUS float64) machine.Profile {
	p := byhand.Fibre()
	g := *p.Galvo
	g.LaserOnDelayUS, g.LaserOffDelayUS = onUS, offUS
	p.Galvo = &g
	return p
}

// Samples of random lists against that reckoning, moment by moment, for gates that move
// late, early and either way; the length is the clock's to one sample, and no jump is lit.
func TestAgainstTheClock(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	for n := range 8 {
		p := []machine.Profile{byhand.Fibre(), shifted(-50, 20), shifted(30, -40), shifted(-50, -40)}[n%4]
		m := planned(t, p, program(r, 24))
		var moves []clock.Timed
		report, err := clock.Each(m, p, func(x clock.Timed) { moves = append(moves, x) })
		require.NoError(t, err)
		gates := windows(moves, m)
		for _, rate := range []int{44_100, 48_000, 96_000, 100_000, 192_000} {
			all := samples(t, m, p, rate)
			require.Equal(t, play.Count(report.Total(), rate), int64(len(all)))
			require.InDelta(t, report.Total().Seconds()*float64(rate), float64(len(all)-1), 1)
			for i := 0; i < len(all); i += 1 + r.IntN(40) {
				at := time.Duration(math.Round(float64(i) * 1e9 / float64(rate)))
				where, lit, edge := state(moves, gates, at)
				if where.Dist(pt(all[i].X, all[i].Y)) > 5e-5 || lit != all[i].Gate && !edge {
					require.Fail(t, "another state", "seed %d, sample %d of %d Hz: %v in place of %v %v", seed, i,
						rate, all[i], where, lit)
				}
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

// waiting is a list that waits for so many microseconds. A sample of 100 kHz is 10 of them.
func waiting(us ...int64) emit.Moves {
	return emit.Moves{
		Header: emit.Header{Field: pt(175, 175)}, Settings: []path.Setting{slow}, Scanner: make([]machine.Scanner, 1),
		Play: func(yield func(emit.Move, error) bool) {
			for _, n := range us {
				if !yield(emit.Move{Kind: emit.Wait, WaitUS: n}, nil) {
					return
				}
			}
		},
	}
}

// What is left in the last block is handed out, were it a single sample.
func TestLastBlock(t *testing.T) {
	for us, want := range map[int64][]int{81_900: {8191}, 81_910: {8192}, 81_920: {8192, 1}, 163_840: {8192, 8192, 1}} {
		var got []int
		r, err := play.Run(waiting(us), byhand.Fibre(), play.Options{Rate: 100_000}, func(s []play.Sample) error {
			got = append(got, len(s))
			return nil
		})
		require.NoError(t, err)
		require.Equal(t, want, got)
		require.Equal(t, us/10+1, r.Samples)
	}
}

// A list of more than 400 hours is refused, and after an error nothing more is handed out.
func TestWhatCannotBePlayed(t *testing.T) {
	const hours = int64(time.Hour / time.Microsecond)
	run := func(m emit.Moves) (n int, err error) {
		_, err = play.Run(m, byhand.Fibre(), play.Options{Rate: play.LeastRate}, func(s []play.Sample) error {
			n += len(s)
			return nil
		})
		return n, err
	}
	n, err := run(waiting(10_000, 400*hours))
	require.ErrorContains(t, err, "a list of more than 400h0m0s cannot be played")
	require.Zero(t, n)
	broken := waiting(10_000)
	first := broken.Play
	broken.Play = func(yield func(emit.Move, error) bool) {
		for mv, err := range first {
			if !yield(mv, err) {
				return
			}
		}
		yield(emit.Move{}, assert.AnError)
	}
	n, err = run(broken)
	require.ErrorIs(t, err, assert.AnError)
	require.Zero(t, n)
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
