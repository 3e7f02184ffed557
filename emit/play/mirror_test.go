package play_test

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/play"
	"furrow/path"
)

// driven plays moves for mirrors with a lag.
func driven(t testing.TB, m emit.Moves, p machine.Profile, rate int, lag time.Duration) (all []play.Sample) {
	_, err := play.Run(m, p, play.Options{Rate: rate}, play.AsDriven(lag, rate, func(s []play.Sample) error {
		all = append(all, s...)
		return nil
	}))
	require.NoError(t, err)
	return all
}

// Mirrors follow as the textbook's equation says, x" = w²(c − x) − 2·w·x' with w = 2/lag,
// integrated here in small steps between the samples.
func TestMirrorsFollowTheEquation(t *testing.T) {
	m := planned(t, byhand.Fibre(), program(rand.New(rand.NewPCG(5, 0)), 6))
	for _, lag := range []time.Duration{40 * time.Microsecond, 180 * time.Microsecond} {
		const rate, parts = 100_000, 200
		sent, got := samples(t, m, byhand.Fibre(), rate), driven(t, m, byhand.Fibre(), rate, lag)
		require.Len(t, got, len(sent))
		w, dt := 2/lag.Seconds(), 1.0/rate/parts
		x, v := 0.0, 0.0
		for i := 1; i < min(len(sent), 8000); i++ {
			for k := range parts {
				at := func(k float64) float64 { return sent[i-1].X + (sent[i].X-sent[i-1].X)*k/parts }
				half := v + dt/2*(w*w*(at(float64(k))-x)-2*w*v)
				x += dt * half
				v = half + dt/2*(w*w*(at(float64(k)+1)-x)-2*w*half)
			}
			require.InDelta(t, x, got[i].X, 2e-4, "sample %d of %v", i, lag)
			require.Equal(t, sent[i].Gate, got[i].Gate)
			require.Equal(t, sent[i].Power, got[i].Power)
		}
	}
}

// In a long mark the mirrors trail by speed times lag: 800 mm/s and 150 us are 0.12 mm.
func TestMirrorsTrailByTheLag(t *testing.T) {
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{}, pt(0, 4), pt(40, 4))
	m := planned(t, byhand.Fibre(), prog)
	sent, got := samples(t, m, byhand.Fibre(), 100_000), driven(t, m, byhand.Fibre(), 100_000, 150*time.Microsecond)
	for _, i := range []int{1000, 2000, 4000} {
		require.Positive(t, sent[i].X)
		require.InDelta(t, 0.12, sent[i].X-got[i].X, 1e-6)
		require.InDelta(t, 4, got[i].Y, 1e-6)
	}
}

// lines are where the beam is on by a list for mirrors with a lag.
func lines(t *testing.T, m emit.Moves, p machine.Profile, lag time.Duration) (all [][]path.Point) {
	lit := play.NewLit(0.001, func(pts []path.Point) { all = append(all, append([]path.Point(nil), pts...)) })
	const rate = 1_000_000
	_, err := play.Run(m, p, play.Options{Rate: rate}, play.AsDriven(lag, rate, lit.Take))
	require.NoError(t, err)
	lit.Close()
	return all
}

// Delays that are derived from the lag put the ends of marks within a tenth of the spot, of
// the mark's own motion and of the jump's each; without delays the mark begins where the
// mirrors still are in the jump, and ends early by the way that they trail.
func TestWhatTheDelaysDo(t *testing.T) {
	const lag = 150 * time.Microsecond
	with := byhand.Fibre()
	g := *with.Galvo
	g.JumpDelayUS, g.ShortJumpDelayUS, g.ShortJumpMM = 0, 0, 0
	g.MarkDelayUS, g.CornerDelayUS, g.LaserOnDelayUS, g.LaserOffDelayUS = 0, 0, 0, 0
	none := g
	g.TrackingLagUS = 150
	with.Galvo = &g
	without := with
	without.Galvo = &none
	prog := path.Program{Settings: []path.Setting{slow}}
	for i := range 4 {
		y := float64(i)
		prog.Append(path.Stroke{}, pt(-5, y), pt(5, y))
	}
	good := lines(t, planned(t, with, prog), with, lag)
	require.Len(t, good, 4)
	tol := 2 * 0.1 * with.Laser.SpotMM[0]
	for i, pts := range good {
		assert.InDelta(t, 0, pts[0].Dist(pt(-5, float64(i))), tol)
		assert.InDelta(t, 0, pts[len(pts)-1].Dist(pt(5, float64(i))), tol)
	}
	bad := lines(t, planned(t, without, prog), without, lag)
	require.Len(t, bad, 4)
	for i, pts := range bad {
		assert.InDelta(t, 5-0.12, pts[len(pts)-1].X, 0.002, "800 mm/s times 150 us early")
		assert.Greater(t, pts[0].Dist(pt(-5, float64(i))), 0.4, "the mirrors are on the way yet")
	}
}

// Every sample with the gate open lies by its polyline, and few points are kept.
func TestLitPassesEverySample(t *testing.T) {
	const tolerance = 0.002
	m := planned(t, byhand.Fibre(), program(rand.New(rand.NewPCG(11, 0)), 10))
	all := driven(t, m, byhand.Fibre(), 200_000, 120*time.Microsecond)
	var runs [][]path.Point
	for i, s := range all {
		if s.Gate && (i == 0 || !all[i-1].Gate) {
			runs = append(runs, nil)
		}
		if s.Gate {
			runs[len(runs)-1] = append(runs[len(runs)-1], pt(s.X, s.Y))
		}
	}
	n, points := 0, 0
	lit := play.NewLit(tolerance, func(pts []path.Point) {
		for _, p := range runs[n] {
			off := math.Inf(1)
			for j := 1; j < len(pts); j++ {
				off = min(off, fromPiece(p, pts[j-1], pts[j]))
			}
			if off > tolerance*1.01 {
				require.Fail(t, "too far", "polyline %d: %g mm", n, off)
			}
		}
		n++
		points += len(pts)
	})
	require.NoError(t, lit.Take(all[:len(all)/3]))
	require.NoError(t, lit.Take(all[len(all)/3:]))
	lit.Close()
	lit.Close()
	require.Len(t, runs, n)
	require.Less(t, points, 40*n)
}

// fromPiece is the distance of p from the straight piece a to b.
func fromPiece(p, a, b path.Point) float64 {
	d := b.Sub(a)
	if d.Len() == 0 {
		return p.Dist(a)
	}
	return p.Dist(a.Add(d.Mul(min(1, max(0, p.Sub(a).Dot(d)/d.Dot(d))))))
}

// A way that comes back on itself keeps its far end, and a dot its place.
func TestLitKeepsTurnsAndDots(t *testing.T) {
	var got [][]path.Point
	lit := play.NewLit(0.01, func(pts []path.Point) { got = append(got, append([]path.Point(nil), pts...)) })
	var all []play.Sample
	for i := range 41 {
		all = append(all, play.Sample{X: 2 - math.Abs(float64(i)-20)/10, Gate: true})
	}
	all = append(all, play.Sample{}, play.Sample{X: 7, Y: 8, Gate: true}, play.Sample{})
	require.NoError(t, lit.Take(all))
	require.Equal(t, [][]path.Point{{pt(0, 0), pt(2, 0), pt(0, 0)}, {pt(7, 8), pt(7, 8)}}, got)
}

// A way that comes back by no more than half of the tolerance is not told. A sample just behind a
// corner narrows the way on from there as any other: from 1,0 by 1,1 no way goes to 3,1.
func TestLitByHand(t *testing.T) {
	for _, tt := range []struct {
		tolerance  float64
		pass, want []path.Point
	}{
		{1, []path.Point{pt(0, 0), pt(2, 0), pt(1.5, 0)}, []path.Point{pt(0, 0), pt(1.5, 0)}},
		{1, []path.Point{pt(0, 0), pt(2, 0), pt(1.25, 0)}, []path.Point{pt(0, 0), pt(2, 0), pt(1.25, 0)}},
		{0.01, []path.Point{pt(0, 0), pt(1, 0), pt(1, 1), pt(3, 1)}, []path.Point{pt(0, 0), pt(1, 0), pt(1, 1),
			pt(3, 1)}},
		{0.1, []path.Point{pt(0, 0), pt(1, 0.05), pt(2, -0.05), pt(3, 0)}, []path.Point{pt(0, 0), pt(3, 0)}},
	} {
		lit := play.NewLit(tt.tolerance, func(pts []path.Point) { require.Equal(t, tt.want, pts) })
		for _, p := range tt.pass {
			require.NoError(t, lit.Take([]play.Sample{{X: p.X, Y: p.Y, Gate: true}}))
		}
		lit.Close()
	}
}

// Samples far apart, at random: each lies by the line between those that are kept, whatever
// the tolerance, and each that is kept is a sample.
func TestLitOfWanderings(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 300 {
		tolerance := r.Float64() * r.Float64()
		var walk []path.Point
		at := pt(0, 0)
		for range 30 {
			at = at.Add(pt(r.NormFloat64()*r.Float64(), r.NormFloat64()*0.3))
			walk = append(walk, at)
		}
		lit := play.NewLit(tolerance, func(pts []path.Point) {
			require.Subset(t, walk, pts)
			for _, p := range walk {
				off := math.Inf(1)
				for j := 1; j < len(pts); j++ {
					off = min(off, fromPiece(p, pts[j-1], pts[j]))
				}
				require.LessOrEqual(t, off, tolerance*1.000001)
			}
		})
		for _, p := range walk {
			require.NoError(t, lit.Take([]play.Sample{{X: p.X, Y: p.Y, Gate: true}}))
		}
		lit.Close()
	}
}

// BenchmarkAsDriven is the same as BenchmarkRun with mirrors that follow.
func BenchmarkAsDriven(b *testing.B) {
	prog := path.Program{Settings: []path.Setting{slow}}
	for i := range 2000 {
		prog.Append(path.Stroke{}, pt(0, float64(i)*0.03), pt(10, float64(i)*0.03))
	}
	m := planned(b, byhand.Fibre(), prog)
	n := 0
	for b.Loop() {
		if _, err := play.Run(m, byhand.Fibre(), play.Options{Rate: 100_000},
			play.AsDriven(100*time.Microsecond, 100_000,
				func(s []play.Sample) error { n += len(s); return nil })); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds()/1e6, "Msamples/s")
}
