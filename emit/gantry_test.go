package emit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// gantry returns a gantry without latencies, which change may set.
func gantry(change func(*machine.Gantry, *machine.GCode)) machine.Profile {
	p := machine.Examples()[0]
	g, c := *p.Gantry, *p.GCode
	g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
	if change != nil {
		change(&g, &c)
	}
	p.Gantry, p.GCode = &g, &c
	return p
}

func planned(t *testing.T, prog path.Program, p machine.Profile) []emit.Move {
	t.Helper()
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	return list(t, m)
}

func list(t *testing.T, m emit.Moves) []emit.Move {
	t.Helper()
	var out []emit.Move
	for mv, err := range m.All() {
		require.NoError(t, err)
		out = append(out, mv)
	}
	return out
}

// row is spans along X at y, from left to right or, backwards, from right to left.
func row(prog *path.Program, y float64, backwards bool, spans ...[2]float64) {
	sweep := int32(len(prog.Strokes) + 1)
	for i := range spans {
		s := spans[i]
		if backwards {
			s = spans[len(spans)-1-i]
			s[0], s[1] = s[1], s[0]
		}
		prog.Append(path.Stroke{Sweep: sweep}, path.Point{X: s[0], Y: y}, path.Point{X: s[1], Y: y})
	}
}

func setting(speed float64) []path.Setting { return []path.Setting{{SpeedMMPerS: speed, Power: 0.35}} }

func xs(moves []emit.Move) []float64 {
	var out []float64
	for _, m := range moves {
		out = append(out, m.To.X)
	}
	return out
}

func TestZeroProgramPlansNothing(t *testing.T) {
	require.Empty(t, planned(t, path.Program{}, gantry(nil)))
	prog := path.Program{Settings: setting(100)}
	prog.Append(path.Stroke{}, path.Point{X: 1}, path.Point{X: 1})
	prog.Append(path.Stroke{Kind: path.LineStroke}, path.Point{})
	require.Empty(t, planned(t, prog, gantry(nil)))
}

// v²/2a + margin: 100²/(2·5000) + 0.5 = 1.5 mm along X, and 100²/(2·1500) + 0.5
// = 3.833 mm along Y. With a limit of the jerk by the double-S's length.
func TestRunUp(t *testing.T) {
	x, y := path.Point{X: 1}, path.Point{Y: 1}
	g := *gantry(nil).Gantry
	require.InDelta(t, 1.5, g.RunUp(x, 100), 1e-9)
	require.InDelta(t, 3.8333333, g.RunUp(y, 100), 1e-6)
	g.JerkMMPerS3 = [2]float64{1e6, 1e4}
	require.InDelta(t, 100.0/2*(100.0/5000+5000/1e6)+0.5, g.RunUp(x, 100), 1e-9, "v·j ≥ a²")
	require.InDelta(t, 100*math.Sqrt(100/1e4)+0.5, g.RunUp(y, 100), 1e-9, "v·j < a²")
	g.OvertravelMM = 7
	require.Equal(t, 7.0, g.RunUp(x, 100))
}

// On and off commands come earlier by speed times latency, both ways.
func TestLatencyShiftsTheGates(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) { g.BeamOnLatencyUS, g.BeamOffLatencyUS = 500, 200 })
	prog := path.Program{Settings: setting(100)}
	row(&prog, 0, false, [2]float64{0, 10}, [2]float64{12, 20})
	row(&prog, 0.1, true, [2]float64{0, 10}, [2]float64{12, 20})
	require.Equal(t, []float64{
		-1.55, -0.05, 9.98, 11.95, 19.98,
		20.55, 21.55, 20.55, // round to the next row
		20.05, 12.02, 10.05, 0.02, -1.55,
	}, xs(planned(t, prog, p)))
}

// Backlash moves what is marked backwards further back, both gates alike.
func TestBacklash(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) { g.BacklashMM = [2]float64{0.04, 0.07} })
	prog := path.Program{Settings: setting(100)}
	row(&prog, 0, false, [2]float64{0, 10})
	row(&prog, 0.1, true, [2]float64{0, 10})
	require.Equal(t, []float64{-1.5, 0, 10, 10.5, 11.5, 10.5, 9.96, -0.04, -1.54}, xs(planned(t, prog, p)))
}

// A measured table stands in for both, straight from entry to entry.
func TestReversalTable(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.BeamOnLatencyUS, g.BacklashMM = 500, [2]float64{1, 1}
		g.Reversal = []machine.Reversal{{SpeedMMPerS: 50, OffsetMM: 0.02}, {SpeedMMPerS: 150, OffsetMM: 0.06}}
	})
	for speed, offset := range map[float64]float64{10: 0.02, 50: 0.02, 100: 0.04, 150: 0.06, 400: 0.06} {
		prog := path.Program{Settings: setting(speed)}
		row(&prog, 0, false, [2]float64{0, 10})
		row(&prog, 0.1, true, [2]float64{0, 10})
		moves := planned(t, prog, p)
		require.InDelta(t, 10, moves[2].To.X, 1e-9)
		require.InDelta(t, 10+offset, moves[len(moves)-3].To.X, 1e-9, "%g mm/s", speed)
		require.InDelta(t, offset, moves[len(moves)-2].To.X, 1e-9, "%g mm/s", speed)
	}
}

// A gap or span that the shifts would turn round keeps its sequence and a step
// of length, so that nothing is burnt outside the row.
func TestShiftsKeepTheSequence(t *testing.T) {
	for _, latency := range [][2]float64{{900, 0}, {0, 900}} {
		p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
			g.BeamOnLatencyUS, g.BeamOffLatencyUS = latency[0], latency[1]
		})
		prog := path.Program{Settings: setting(400)}
		row(&prog, 0, false, [2]float64{0, 0.01}, [2]float64{0.02, 0.03}, [2]float64{5, 9})
		last, marks := -1e9, 0
		for _, m := range planned(t, prog, p) {
			require.Greater(t, m.To.X, last)
			last = m.To.X
			if m.Kind == emit.Mark {
				marks++
			}
		}
		require.Equal(t, 3, marks)
	}
}

// What is marked is the same with sweeps and without, and once latency and
// backlash are undone. Spans and gaps are longer than the shifts.
func TestMarkedSetSurvivesSweepsAndLatency(t *testing.T) {
	for seed := range uint64(50) {
		r := rand.New(rand.NewPCG(seed, 3))
		p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
			g.BeamOnLatencyUS, g.BeamOffLatencyUS = 1000*r.Float64(), 1000*r.Float64()
			g.BacklashMM = [2]float64{0.1 * r.Float64(), 0.1 * r.Float64()}
		})
		sin, cos := math.Sincos(r.Float64() * 7)
		var swept, cut path.Program
		swept.Settings, cut.Settings = setting(200), setting(200)
		for k := range 20 {
			x, along := 0.0, path.Point{X: cos, Y: sin}
			if k%2 == 1 {
				along = path.Point{X: -cos, Y: -sin}
			}
			for range 3 {
				x += 1 + r.Float64()
				a := along.Mul(x).Add(path.Point{X: -sin, Y: cos}.Mul(float64(k) * 0.1))
				x += 1 + r.Float64()
				b := along.Mul(x).Add(path.Point{X: -sin, Y: cos}.Mul(float64(k) * 0.1))
				swept.Append(path.Stroke{Sweep: int32(k + 1)}, a, b)
				cut.Append(path.Stroke{}, a, b)
			}
		}
		want := swept.Points
		for _, prog := range []path.Program{swept, cut} {
			m, err := emit.Plan(prog, p)
			require.NoError(t, err)
			got, err := emit.AsMarked(m, p).Program()
			require.NoError(t, err)
			require.Len(t, got.Points, len(want))
			for i := range want {
				require.Less(t, got.Points[i].Dist(want[i]), 0.0025, "seed %d, point %d", seed, i)
			}
		}
	}
}

// Inch output lies on the grid of 0.00001 in.
func TestInchGrid(t *testing.T) {
	p := gantry(func(_ *machine.Gantry, c *machine.GCode) { c.Inch = true })
	prog := path.Program{Settings: setting(33)}
	row(&prog, 1.2345678, false, [2]float64{0, 10.1234567})
	for _, m := range planned(t, prog, p) {
		for _, v := range []float64{m.To.X, m.To.Y} {
			require.InDelta(t, math.Round(v/25.4*1e5), v/25.4*1e5, 1e-6)
		}
	}
}
