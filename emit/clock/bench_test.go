package clock_test

import (
	"runtime"
	"strconv"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// fill is rows moves of a fill: travel, run-up, mark, run-out, again and again,
// played without holding them.
func fill(rows int) emit.Moves {
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for k := range rows {
			y, d := float64(k)*0.1, 1.0
			if k%2 == 1 {
				d = -1
			}
			at := func(x float64) path.Point { return path.Point{X: d * x, Y: y} }
			ok := yield(emit.Move{To: at(-30)}, nil) &&
				yield(emit.Move{Kind: emit.Gap, To: at(-20), Speed: 100}, nil) &&
				yield(emit.Move{Kind: emit.Mark, To: at(20), Speed: 100, Power: 0.3}, nil) &&
				yield(emit.Move{Kind: emit.Gap, To: at(30), Speed: 100}, nil)
			if !ok {
				return
			}
		}
	}}
}

// curve is a circle of many short marks, round and round.
func curve(n int) emit.Moves {
	var round [36000]path.Point
	for i := range round {
		sin, cos := path.SinCos(float64(i) * 0.01)
		round[i] = path.Point{X: 50 * cos, Y: 50 * sin}
	}
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for i := range n {
			if !yield(emit.Move{Kind: emit.Mark, To: round[i%len(round)], Speed: 100, Power: 0.3}, nil) {
				return
			}
		}
	}}
}

func benchmark(b *testing.B, m emit.Moves, n int, p machine.Profile) {
	b.ReportAllocs()
	for b.Loop() {
		_, err := clock.Run(m, p)
		require.NoError(b, err)
	}
	b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mmoves/s")
}

func BenchmarkRows(b *testing.B)  { benchmark(b, fill(250_000), 1_000_000, axes(500, 1000)) }
func BenchmarkCurve(b *testing.B) { benchmark(b, curve(1_000_000), 1_000_000, axes(500, 1000)) }
func BenchmarkCurveWithJerk(b *testing.B) {
	p := axes(500, 1000)
	p.Gantry.JerkMMPerS3 = [2]float64{20_000, 20_000}
	benchmark(b, curve(1_000_000), 1_000_000, p)
}

// A planner that sees far costs no more a move than one that sees little.
func BenchmarkWindow(b *testing.B) {
	for _, moves := range []int{16, 1000} {
		b.Run(strconv.Itoa(moves), func(b *testing.B) {
			benchmark(b, curve(1_000_000), 1_000_000, lookingAhead(moves))
		})
	}
}

func lookingAhead(moves int) machine.Profile {
	p := axes(500, 1000)
	p.GCode.LookaheadMoves = moves
	return p
}

// The clock holds a stopping distance of moves, not all of them.
func TestMemoryStaysFlat(t *testing.T) {
	for _, p := range []machine.Profile{axes(500, 1000), lookingAhead(1000)} {
		for _, m := range []emit.Moves{fill(200_000), curve(500_000)} {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			run(t, m, p)
			runtime.ReadMemStats(&after)
			require.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8<<20), "bytes allocated in all")
		}
	}
}
