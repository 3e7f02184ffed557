package emit_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// ends returns the ends of two rows along X at 100 mm/s on a machine of 1,000 mm/s2 in
// X: 5 mm of run-up and half a millimetre of margin, as much of it in line (arithmetic).
func ends(t *testing.T, further, across float64, change func(*machine.Gantry)) (machine.Gantry,
	emit.RowEnd, emit.RowEnd) {
	t.Helper()
	g := *gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.AccelMMPerS2, g.OvertravelMarginMM = [2]float64{1000, 1000}, 0.5
		if change != nil {
			change(g)
		}
	}).Gantry
	x := pt(1, 0)
	return g, emit.NewRowEnd(&g, pt(50, 10), x, 100), emit.NewRowEnd(&g, pt(50+further, 10+across), x.Mul(-1), 100)
}

func TestSidestep(t *testing.T) {
	for _, tt := range []struct {
		further, across float64
		want            [3]path.Point
		extra           float64
	}{
		{0, 0.1, [3]path.Point{pt(50.5, 10), pt(55.5, 10.05), pt(50.5, 10.1)}, 0},
		{0, -0.1, [3]path.Point{pt(50.5, 10), pt(55.5, 9.95), pt(50.5, 9.9)}, 0},
		{2, 0.1, [3]path.Point{pt(52.5, 10), pt(57.5, 10.05), pt(52.5, 10.1)}, 0.02},
		{-2, 0.1, [3]path.Point{pt(50.5, 10), pt(55.5, 10.05), pt(50.5, 10.1)}, 0.02},
	} {
		g, out, in := ends(t, tt.further, tt.across, nil)
		require.Equal(t, 5.5, out.Run)
		require.Equal(t, 0.5, out.Straight)
		s, ok := emit.NewSidestep(&g, out, in, 0)
		require.True(t, ok)
		for i, want := range tt.want {
			require.InDelta(t, 0, want.Dist(s.Points[i]), 1e-9, "point %d is %v", i, s.Points[i])
		}
		require.InDelta(t, tt.extra, s.ExtraS, 1e-9)
	}
}

// A beam that comes and goes late stays in its row: 0.3 mm at 100 mm/s and 3 ms.
func TestSidestepWaitsForTheBeam(t *testing.T) {
	_, out, in := ends(t, 0, 0.1, func(g *machine.Gantry) { g.BeamOffLatencyUS = 3000 })
	require.InDelta(t, 0.8, out.Straight, 1e-9)
	require.InDelta(t, 5.8, out.Run, 1e-9)
	require.InDelta(t, 0.8, in.Straight, 1e-9)
}

// Rows of one direction, far apart, far longer or marked at other speeds, and machines
// that cannot, step as they did.
func TestNoSidestep(t *testing.T) {
	for name, change := range map[string]func(g *machine.Gantry, out, in *emit.RowEnd) float64{
		"one way":           func(_ *machine.Gantry, _, in *emit.RowEnd) float64 { in.Dir = pt(1, 0); return 0 },
		"the same row":      func(_ *machine.Gantry, out, in *emit.RowEnd) float64 { in.At = out.At; return 0 },
		"wide":              func(_ *machine.Gantry, _, in *emit.RowEnd) float64 { in.At.Y += 2; return 0 },
		"another speed":     func(_ *machine.Gantry, _, in *emit.RowEnd) float64 { in.Speed = 90; return 0 },
		"4v²/a longer":      func(_ *machine.Gantry, _, in *emit.RowEnd) float64 { in.At.X += 45; return 0 },
		"no corner rounded": func(g *machine.Gantry, _, _ *emit.RowEnd) float64 { g.CornerErrorMM = 0; return 0 },
		"Y too weak":        func(g *machine.Gantry, _, _ *emit.RowEnd) float64 { g.AccelMMPerS2[1] = 5; return 0 },
		"Y too slow": func(g *machine.Gantry, _,
			_ *emit.RowEnd) float64 {
			g.MaxSpeedMMPerS[1] = 0.5
			return 0
		},
		"pieces of 6 ms":     func(*machine.Gantry, *emit.RowEnd, *emit.RowEnd) float64 { return 0.006 },
		"all of it straight": func(_ *machine.Gantry, out, _ *emit.RowEnd) float64 { out.Straight = out.Run; return 0 },
	} {
		g, out, in := ends(t, 0, 0.1, nil)
		shortest := change(&g, &out, &in)
		_, ok := emit.NewSidestep(&g, out, in, shortest)
		require.False(t, ok, name)
	}
}

// Keep-outs know how far the head goes round: a clamp 5.2 mm beside rows whose head turns
// 5.5 mm beside them, between the two rows.
func TestKeepOutSeesTheTurn(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.AccelMMPerS2, g.OvertravelMarginMM = [2]float64{1000, 1000}, 0.5
	})
	prog := path.Program{Settings: setting(100)}
	row(&prog, 10, false, [2]float64{20, 50})
	row(&prog, 10.2, true, [2]float64{20, 50})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	require.NoError(t, emit.Check(m, p, path.Rect{Min: pt(55.6, 0), Max: pt(60, 20)}))
	var e *emit.KeepOutError
	require.ErrorAs(t, emit.Check(m, p, path.Rect{Min: pt(55.2, 0), Max: pt(60, 20)}), &e)
	require.InDelta(t, 0.3, e.Depth, 1e-3)
	r, err := emit.Reach(prog, p)
	require.NoError(t, err)
	require.InDelta(t, 55.5, r.Max.X, 1e-3)
}

// A gap of 60 mm at 100 mm/s with 1,000 mm/s2: half a millimetre on each side at speed,
// then up to 400 mm/s were there room; √(100² + 1000·59) = 262.7 mm/s is what is
// reached. What cannot save 3 ms stays as it is.
func TestGapsAreHastened(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.AccelMMPerS2, g.OvertravelMarginMM = [2]float64{1000, 1000}, 0.5
	})
	prog := path.Program{Settings: setting(100)}
	row(&prog, 0, false, [2]float64{0, 10}, [2]float64{70, 80}, [2]float64{82, 90})
	var got []emit.Move
	for _, mv := range planned(t, prog, p) {
		mv.Power = 0
		got = append(got, mv)
	}
	gap := func(x, speed float64) emit.Move { return emit.Move{Kind: emit.Gap, To: pt(x, 0), Speed: speed} }
	mark := func(x float64) emit.Move { return emit.Move{Kind: emit.Mark, To: pt(x, 0), Speed: 100} }
	require.Equal(t, []emit.Move{
		{Kind: emit.Travel, To: pt(-5.5, 0)}, gap(0, 100), mark(10),
		gap(10.5, 100), gap(69.5, 400), gap(70, 100), mark(80), gap(82, 100), mark(90), gap(95.5, 100),
	}, got)
	fast, mm := emit.HastenedGap(p.Gantry, pt(1, 0), 100, 59)
	require.Equal(t, 400.0, fast)
	require.Equal(t, 59.0, mm)
	up, _ := emit.HastenedGap(p.Gantry, pt(0, 1), 100, 59) // 300 mm/s is the most in Y
	require.InDelta(t, 297, up, 1e-9, "with room for what rounding does to directions")
	_, mm = emit.HastenedGap(p.Gantry, pt(1, 0), 400, 59)
	require.Zero(t, mm, "no faster than the marks")
}

// Where the end of a piece of a row lies on the grid of the file, the piece leaves its
// row by no more than the grid, however short it is and at whatever angle.
func TestPiecesStayInTheirRows(t *testing.T) {
	for _, degrees := range []float64{0, 18, 45, 73} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		dir, normal := pt(cos, sin), pt(-sin, cos)
		prog := path.Program{Settings: setting(100)}
		for k := range 300 {
			at := normal.Mul(0.0635 * float64(k)).Add(dir.Mul(0.37 * float64(k%7)))
			length := 0.0013 * float64(1+k%11)
			prog.Append(path.Stroke{Sweep: int32(k + 1)}, at, at.Add(dir.Mul(length)))
			prog.Append(path.Stroke{Sweep: int32(k + 1)}, at.Add(dir.Mul(5)), at.Add(dir.Mul(5+length)))
		}
		last, n := pt(0, 0), 0
		for _, mv := range planned(t, prog, gantry(nil)) {
			if mv.Kind == emit.Mark {
				for _, end := range []path.Point{last, mv.To} {
					row := 0.0635 * math.Round(end.Dot(normal)/0.0635)
					require.InDelta(t, row, end.Dot(normal), 0.001, "%g degrees, mark %d", degrees, n)
				}
				n++
			}
			last = mv.To
		}
		require.Greater(t, n, 550)
	}
}
