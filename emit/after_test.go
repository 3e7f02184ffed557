package emit_test

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
	"furrow/path"
)

// lit lists the marks of moves, each as a piece from where to where.
func lit(moves []emit.Move) (all [][2]path.Point) {
	var at path.Point
	for _, mv := range moves {
		if mv.Kind == emit.Mark {
			all = append(all, [2]path.Point{at, mv.To})
		}
		at = mv.To
	}
	return all
}

func rest(t *testing.T, m emit.Moves, n int, p machine.Profile, exact bool) ([]emit.Move, float64) {
	t.Helper()
	r, err := emit.After(m, n, p, exact)
	require.NoError(t, err)
	return list(t, r.Moves), r.AgainMM
}

// mixed is rows there and back, and polylines.
func mixed(seed uint64) path.Program {
	r := rand.New(rand.NewPCG(seed, 0))
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.3, FrequencyHz: 50000}}}
	for k := range 6 {
		row(&prog, 10+float64(k)*0.2, k%2 == 1, [2]float64{5, 8 + r.Float64()}, [2]float64{12, 15})
	}
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(20, 20), pt(22, 20), pt(22, 23), pt(20, 20))
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(30, 20), pt(31, 21))
	return prog
}

// Stopped behind any move: what was done before and what is left after cover the
// whole, and what is marked twice is what was said. On every kind of machine.
func TestAfterEveryMove(t *testing.T) {
	seed := uint64(time.Now().UnixNano())
	prog := mixed(seed)
	steady := gantry(nil)
	for _, p := range []machine.Profile{steady, machine.Examples()[1], byhand.Fibre()} {
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		all := list(t, m)
		whole := lit(all)
		for n := range len(all) {
			done := lit(all[:n])
			if len(done) == len(whole) {
				_, err := emit.After(m, n, p, false)
				require.ErrorIs(t, err, emit.ErrDone)
				continue
			}
			left, again := rest(t, m, n, p, false)
			marks := lit(left)
			require.Equal(t, whole[len(whole)-len(marks):], marks, "%s after %d of %d, seed %d", p.ID, n,
				len(all), seed)
			twice := 0.0
			for _, x := range whole[len(whole)-len(marks) : max(len(done), len(whole)-len(marks))] {
				twice += x[0].Dist(x[1])
			}
			require.LessOrEqual(t, len(whole)-len(marks), len(done),
				"%s after %d: a mark is lost, seed %d", p.ID, n, seed)
			require.InDelta(t, twice, again, 1e-9, "%s after %d, seed %d", p.ID, n, seed)
			require.Equal(t, emit.Travel, left[0].Kind)

			left, again = rest(t, m, n, p, true)
			require.Equal(t, whole[len(done):], lit(left), "%s exactly after %d, seed %d", p.ID, n, seed)
			require.Zero(t, again)
		}
	}
}

// A row that is begun anew is marked at its speed: the head has its whole run-up.
func TestAfterHasItsRunUp(t *testing.T) {
	p := gantry(nil)
	prog := mixed(1)
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	all := list(t, m)
	for n := range all {
		for _, exact := range []bool{false, true} {
			r, err := emit.After(m, n, p, exact)
			if err != nil {
				continue
			}
			left := list(t, r.Moves)
			if left[1].Kind != emit.Gap {
				continue
			}
			run := left[0].To.Dist(left[1].To)
			d := left[1].To.Sub(left[0].To)
			if math.Abs(d.Y) > 1e-9 {
				continue // a step to the row first
			}
			u := d.Mul(1 / d.Len())
			assert.GreaterOrEqual(t, run+1e-3, p.Gantry.RunUp(u, 100), "after %d", n)
		}
	}
}

func TestAfterKeepsOwnWaits(t *testing.T) {
	p := gantry(func(_ *machine.Gantry, c *machine.GCode) {
		c.StartLines, c.EndLines = []string{"M8"}, []string{"M9", "G4 P2"}
	})
	m, err := emit.Plan(mixed(1), p)
	require.NoError(t, err)
	left, _ := rest(t, m, 20, p, false)
	assert.Equal(t, emit.Travel, left[0].Kind)
	assert.Equal(t, emit.Wait, left[len(left)-1].Kind)
}
