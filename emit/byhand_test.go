package emit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/emit/lens"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// leastGap returns the shortest gap that a galvo's chain goes on over, to a tenth of a
// micrometre.
func leastGap(t *testing.T, p machine.Profile) float64 {
	t.Helper()
	for gap := 0.005; gap < 0.1; gap += 0.0001 {
		prog := path.Program{Settings: []path.Setting{fill}}
		prog.Append(path.Stroke{Sweep: 1}, pt(-5, 0), pt(0, 0))
		prog.Append(path.Stroke{Sweep: 1}, pt(gap, 0), pt(5, 0))
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		if all := collect(t, m); all[2].Kind == emit.Gap {
			return gap
		}
	}
	return math.NaN()
}

// A chain goes on over a gap that takes longer at 800 mm/s than the 20 us by which the
// gate closes later than it opens, 0.016 mm, with 0.2 um for the rounding of its ends:
// by as much more as the field's correction may make it shorter.
func TestGatesCloseInGaps(t *testing.T) {
	for _, tt := range []struct {
		scale   [2]float64
		samples bool
		factor  float64
	}{
		{[2]float64{}, false, 1}, {[2]float64{1, 0.5}, false, 0.5}, {[2]float64{0.5, 1}, false, 0.5},
		{[2]float64{1.9, 1.9}, false, 1}, {[2]float64{}, true, 0.9}, {[2]float64{0.5, 1}, true, 0.45},
	} {
		p := byhand.Fibre()
		g := *p.Galvo
		if g.FieldScale = tt.scale; tt.samples {
			for y := -60.0; y <= 60; y += 40 {
				for x := -60.0; x <= 60; x += 40 {
					g.Samples = append(g.Samples, lens.Sample{Commanded: pt(x, y), Measured: pt(x, y)})
				}
			}
		}
		p.Galvo = &g
		require.InDelta(t, 0.0162/tt.factor, leastGap(t, p), 0.00015, "%+v", tt)
	}
}

// A chain may pass between settings that differ in nothing but power.
func TestChainsPassBetweenPowersAlone(t *testing.T) {
	a := path.Setting{SpeedMMPerS: 800, Power: 0.5, FrequencyHz: 50_000, PulseNS: 100}
	for i, change := range []func(s *path.Setting, d *machine.Scanner){
		func(s *path.Setting, _ *machine.Scanner) {}, func(s *path.Setting, _ *machine.Scanner) { s.Power = 0.2 },
		func(s *path.Setting, _ *machine.Scanner) { s.SpeedMMPerS = 801 },
		func(s *path.Setting, _ *machine.Scanner) { s.FrequencyHz = 50_001 },
		func(s *path.Setting, _ *machine.Scanner) { s.PulseNS = 101 },
		func(_ *path.Setting, d *machine.Scanner) { d.OnUS = 1 },
	} {
		m := emit.Moves{Settings: []path.Setting{a, a}, Scanner: make([]machine.Scanner, 2)}
		change(&m.Settings[1], &m.Scanner[1])
		require.Equal(t, i < 2, m.SameChain(0, 1), "change %d", i)
		require.Equal(t, i < 2, m.SameChain(1, 0), "change %d", i)
		require.True(t, m.SameChain(1, 1))
	}
}

// The arms of a grid's crosses are 1.5 mm long, or a sixth of their share of the field
// where that is less; the outermost crosses touch its edge, and the rest stand evenly.
func TestCrossesOfAFieldGrid(t *testing.T) {
	for _, tt := range []struct{ w, h, arm float64 }{{175, 175, 1.5}, {40, 175, 40 / 48.}, {175, 36, 36 / 48.}} {
		p := byhand.Fibre()
		g := *p.Galvo
		g.FieldMM, p.Galvo = [2]float64{tt.w, tt.h}, &g
		m, places, err := emit.FieldGrid(p, 8, path.Setting{SpeedMMPerS: 500, Power: 0.3, FrequencyHz: 40_000})
		require.NoError(t, err)
		require.Len(t, places, 64)
		require.Equal(t, pt(tt.w, tt.h), m.Header.Field)
		for i, at := range places {
			require.InDelta(t, (tt.w-2*tt.arm)*(float64(i%8)/7-0.5), at.X, 0.0006)
			require.InDelta(t, (tt.h-2*tt.arm)*(float64(i/8)/7-0.5), at.Y, 0.0006)
		}
		prog, err := m.Program()
		require.NoError(t, err)
		first, second := path.BoundsOf(prog.PointsOf(0)), path.BoundsOf(prog.PointsOf(1))
		require.InDelta(t, 2*tt.arm, first.W(), 0.001)
		require.InDelta(t, 2*tt.arm, second.H(), 0.001)
		require.InDelta(t, 0, first.Centre().Dist(places[0]), 0.001)
		require.InDelta(t, 0, second.Centre().Dist(places[0]), 0.001)
	}
	for _, n := range []int{3, 51} {
		_, _, err := emit.FieldGrid(byhand.Fibre(), n, fill)
		require.ErrorContains(t, err, "4 to 50 crosses each way")
	}
	_, _, err := emit.FieldGrid(gantry(nil), 8, fill)
	require.ErrorContains(t, err, "has no field")
}

// Half a step of the grid over the bed is not over it.
func TestHalfAStepIsNotTooLarge(t *testing.T) {
	over := func(w, h float64) string {
		e := emit.BedError{Machine: "a", ByHand: true, Travel: path.Rect{Max: pt(w, h)}}
		return e.Error()
	}
	require.Equal(t, "the head's travel of 0.0005 x 0.0005 mm does not fit the 0 x 0 mm bed of a: ", over(0.0005,
		0.0005))
	require.Equal(t, "the head's travel of 2 x 3 mm does not fit the 0 x 0 mm bed of a: 2 mm too wide, 3 mm too high",
		over(2, 3))
	require.Contains(t, over(2, 0.0005), ": 2 mm too wide")
	require.NotContains(t, over(2, 0.0005), "high")
}

// A gap is crossed faster where that saves 3 ms: at 100 mm/s and 1,000 mm/s2, straight
// parts of half a millimetre at both ends, and a ramp up and down over the mm between
// them, the peak's square (100² + 1000·mm): 2·(peak-100)/1000 s in place of mm/100.
func TestGapsAreHastenedWhereItPays(t *testing.T) {
	p := gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.MaxSpeedMMPerS, g.AccelMMPerS2, g.RapidMMPerS, g.OvertravelMarginMM = [2]float64{900, 900}, [2]float64{1000,
			1000}, 400, 0.5
		g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
	})
	pays := 0.0
	for saved := 0.0; saved < 0.003; pays += 0.001 {
		saved = pays/100 - 2*(math.Sqrt(100*100+1000*pays)-100)/1000
	}
	for _, gap := range []float64{pays + 1 - 0.05, pays + 1 + 0.05} {
		var prog path.Program
		prog.Settings = setting(100)
		row(&prog, 0, false, [2]float64{0, 10}, [2]float64{10 + gap, 20 + gap})
		fast := false
		for _, mv := range planned(t, prog, p) {
			if mv.Kind == emit.Gap && mv.Speed == 400 {
				fast = true
				require.InDelta(t, 10+gap-0.5, mv.To.X, 0.001)
			}
		}
		require.Equal(t, gap > pays+1, fast, "%g mm", gap)
	}
}

// Sidesteps between rows at any angle, on axes of 1,000 and 3,000 mm/s2: their slant is
// longer by as much as the axes are weaker along it than along the row.
func TestSlantsOfSlantedRows(t *testing.T) {
	g := *gantry(func(g *machine.Gantry, _ *machine.GCode) {
		g.AccelMMPerS2, g.OvertravelMarginMM, g.CornerErrorMM = [2]float64{1000, 3000}, 0.5, 0.05
		g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
	}).Gantry
	accel := func(angle float64) float64 {
		return min(1000/math.Abs(math.Cos(angle)), 3000/math.Abs(math.Sin(angle)))
	}
	tried := 0
	for degrees := 1.0; degrees < 180; degrees += 7 {
		angle := degrees * math.Pi / 180
		sin, cos := math.Sincos(angle)
		dir, normal := pt(cos, sin), pt(-sin, cos)
		for _, across := range []float64{0.4, -0.4} {
			out := emit.NewRowEnd(&g, pt(50, 10), dir, 100)
			in := emit.NewRowEnd(&g, pt(50, 10).Add(normal.Mul(across)), dir.Mul(-1), 100)
			s, ok := emit.NewSidestep(&g, out, in, 0)
			if !ok {
				continue
			}
			tried++
			run := 100*100/(2*accel(angle)) + 0.5
			turn := math.Atan2(across/2, run-0.5)
			weaker := max(1, accel(angle)/min(accel(angle+turn), accel(angle-turn)))
			slant := s.Points[1].Sub(s.Points[0])
			require.InDelta(t, run*weaker-0.5, slant.Dot(dir), 1e-9, "%g degrees, %g", degrees, across)
			require.InDelta(t, across/2, slant.Dot(normal), 1e-9)
			require.InDelta(t, 2*(run*weaker-run)/100, s.ExtraS, 1e-9)
		}
	}
	require.Greater(t, tried, 20)
}

// On a galvo, what is left begins with one jump, straight to where it is marked.
func TestAfterJumpsOnce(t *testing.T) {
	p := byhand.Fibre()
	m, err := emit.Plan(mixed(3), p)
	require.NoError(t, err)
	for n := range list(t, m) {
		if _, err := emit.After(m, n, p, false); err != nil {
			continue
		}
		left, _ := rest(t, m, n, p, false)
		require.Equal(t, emit.Travel, left[0].Kind)
		require.NotEqual(t, emit.Travel, left[1].Kind, "after %d", n)
	}
}

// The head passes half a millimetre into a clamp: what it is told, and the shortest way
// out, by whichever side.
func TestKeepOutsByALittle(t *testing.T) {
	p := gantry(nil)
	for hint, at := range map[string]path.Point{
		"0.5 mm to the left": {X: 60.5, Y: 50}, "0.25 mm to the right": {X: 79.75, Y: 50}, "0.5 mm down": {X: 70,
			Y: 40.5}, "0.25 mm up": {X: 70, Y: 59.75},
	} {
		box, from := path.Rect{Min: pt(60, 40), Max: pt(80, 60)}, at.Add(at.Sub(pt(70, 50)).Mul(3))
		err := emit.Check(moves(to(from.X, from.Y), burn(at.X, at.Y, 50, 0.5)), p, box)
		var e *emit.KeepOutError
		require.ErrorAs(t, err, &e)
		require.Contains(t, e.Hint(), "move the work "+hint+", or the clamp")
		if at.Y == 59.75 {
			require.EqualError(t, e, "the head passes 0.25 mm into the keep-out from X60 Y40 to X80 Y60")
			require.Equal(t, 1, e.FirstMove())
		}
	}
}

// A galvo's guide shows outlines for half a minute or more, in whole rounds, and then
// waits: a square of 10 mm at 4,000 mm/s with 20 mm more takes 15 ms a round.
func TestGuideGoesRoundForSeconds(t *testing.T) {
	p := byhand.Fibre()
	square := emit.Outline{Points: []path.Point{pt(0, 0), pt(10, 0), pt(10, 10), pt(0, 10), pt(0, 0)}, Note: "pocket 1"}
	m, err := emit.Trace([]emit.Outline{square, {Points: []path.Point{pt(0, 0), pt(20, 0)}}}, p, 20)
	require.NoError(t, err)
	all := collect(t, m)
	require.Equal(t, emit.Hold, all[len(all)-1].Kind)
	rounds := 0
	for i, mv := range all[:len(all)-1] {
		if mv.To == pt(20, 0) && mv.Kind == emit.Guide {
			rounds++
		}
		kind := emit.Guide
		if i == 0 || all[i-1].To == pt(20, 0) {
			kind = emit.Travel // from one outline to the next
		}
		require.Equal(t, kind, mv.Kind, "%d", i)
	}
	require.Equal(t, int(math.Ceil(guideShows/(60/4000.))), rounds)
	require.Len(t, all, rounds*6+1, "five places of the square, and of the line the one where it does not begin")

	// On a gantry, the way once at the speed, back to zero, with its notes.
	m, err = emit.Trace([]emit.Outline{square, {Points: []path.Point{pt(5, 5), pt(20, 5)}, Note: "pocket 2"}},
		gantry(nil), 20)
	require.NoError(t, err)
	all = collect(t, m)
	require.Len(t, all, 8)
	for i, want := range append(append([]path.Point{}, square.Points...), pt(5, 5), pt(20, 5), pt(0, 0)) {
		require.Equal(t, want, all[i].To)
		require.Equal(t, emit.Gap, all[i].Kind)
		require.Equal(t, 20.0, all[i].Speed)
		require.Zero(t, all[i].Power)
	}
	require.Equal(t, []emit.Note{{Move: 0, Text: "pocket 1"}, {Move: 5, Text: "pocket 2"}}, m.Notes)
}

// guideShows is for how long an outline is shown, s.
const guideShows = 30

// The digits of a field grid are as high as 1.6 arms where those are short, and 2 mm
// else.
func TestDigitsOfAFieldGrid(t *testing.T) {
	for field, high := range map[float64]float64{175: 2, 40: 1.6 * 40 / 48} {
		p := byhand.Fibre()
		g := *p.Galvo
		g.FieldMM, p.Galvo = [2]float64{field, field}, &g
		m, _, err := emit.FieldGrid(p, 8, path.Setting{SpeedMMPerS: 500, Power: 0.3, FrequencyHz: 40_000})
		require.NoError(t, err)
		prog, err := m.Program()
		require.NoError(t, err)
		one := path.EmptyRect()
		for i := 2; path.BoundsOf(prog.PointsOf(i)).H() > 1e-3; i++ { // up to the next cross's first arm
			one = one.Union(path.BoundsOf(prog.PointsOf(i)))
		}
		require.InDelta(t, high, one.H(), 0.02, "field of %g mm", field)
	}
}

// A correction leaves out moves that have no length on the grid any more: run-ups of a
// tenth of a micrometre, halved.
func TestCorrectionLeavesNoMoveWithoutLength(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.RunUpUS, g.FieldScale = 0.125, [2]float64{0.5, 0.5}
	p.Galvo = &g
	gaps := 0
	for i := range 20 {
		prog := path.Program{Settings: []path.Setting{fill}}
		x := 0.0001 * float64(i)
		prog.Append(path.Stroke{}, pt(x, 1), pt(5+x, 1))
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		var at path.Point
		for k, mv := range collect(t, m) {
			require.True(t, k == 0 || mv.To != at, "move %d at %v", k, at)
			at = mv.To
			if mv.Kind == emit.Gap {
				gaps++
			}
		}
	}
	require.Less(t, gaps, 40, "some are left out")
}

// Sidesteps on random machines are offered just where the slant that they take is weak
// enough, no faster than its axes, and turns off no more sharply than the corners take.
func TestSidestepsAreWithinTheirMachine(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 6))
	with := func(limit [2]float64, angle float64) float64 {
		return min(limit[0]/math.Abs(math.Cos(angle)), limit[1]/math.Abs(math.Sin(angle)))
	}
	offered := 0
	for range 4000 {
		g := *gantry(func(g *machine.Gantry, _ *machine.GCode) {
			g.AccelMMPerS2 = [2]float64{500 + 3000*r.Float64(), 500 + 3000*r.Float64()}
			g.MaxSpeedMMPerS = [2]float64{60 + 300*r.Float64(), 60 + 300*r.Float64()}
			g.OvertravelMarginMM, g.CornerErrorMM = 0.5, 0.1*r.Float64()*r.Float64()
			g.BeamOnLatencyUS, g.BeamOffLatencyUS = 0, 0
		}).Gantry
		v, angle, across := 40+100*r.Float64(), math.Pi*r.Float64(), 1.9*r.Float64()
		sin, cos := math.Sincos(angle)
		out := emit.NewRowEnd(&g, pt(50, 10), pt(cos, sin), v)
		in := emit.NewRowEnd(&g, pt(50, 10).Add(pt(-sin, cos).Mul(across)), pt(-cos, -sin), v)
		_, ok := emit.NewSidestep(&g, out, in, 0)
		run := v*v/(2*with(g.AccelMMPerS2, angle)) + 0.5
		turn := math.Atan2(across/2, run-0.5)
		weaker := max(1, with(g.AccelMMPerS2, angle)/min(with(g.AccelMMPerS2, angle+turn), with(g.AccelMMPerS2,
			angle-turn)))
		slant := run*weaker - 0.5
		turn = math.Atan2(across/2, slant)
		corner := func(from, to float64) float64 { // v² = a·e·s/(1−s), s = cos of half the turn, a along the difference
			s := math.Cos((to - from) / 2)
			return with(g.AccelMMPerS2, (from+to)/2+math.Pi/2) * g.CornerErrorMM * s / (1 - s)
		}
		var rest float64
		if a, top := with(g.AccelMMPerS2, angle+math.Pi/2), min(g.RapidMMPerS, with(g.MaxSpeedMMPerS,
			angle+math.Pi/2)); across*a < top*top {
			rest = 2 * math.Sqrt(across/a)
		} else {
			rest = across/top + top/a
		}
		want := weaker < 1.2 && min(with(g.MaxSpeedMMPerS, angle+turn), with(g.MaxSpeedMMPerS, angle-turn)) >= v &&
			min(corner(angle, angle+turn), corner(angle-turn, angle)) >= v*v && 2*(slant-(run-0.5))/v <= rest
		require.Equal(t, want, ok, "%+v, %g mm/s at %g, %g mm across", g, v, angle, across)
		if ok {
			offered++
		}
	}
	require.Greater(t, offered, 300)
	require.Less(t, offered, 3700)
}

// A dot is where it is marked, wherever the beam was before.
func TestDotsOfAProgramAreWhereTheyAreMarked(t *testing.T) {
	m := emit.Moves{Settings: []path.Setting{fill}, Play: func(yield func(emit.Move, error) bool) {
		for _, mv := range []emit.Move{{Kind: emit.Dot, To: pt(3, 4)}, {Kind: emit.Mark, To: pt(5, 4)},
			{Kind: emit.Dot, To: pt(7, 7)}} {
			if !yield(mv, nil) {
				return
			}
		}
	}}
	p, err := m.Program()
	require.NoError(t, err)
	require.Len(t, p.Strokes, 3)
	for i, want := range [][]path.Point{{pt(3, 4)}, {pt(3, 4), pt(5, 4)}, {pt(7, 7)}} {
		require.Equal(t, want, p.PointsOf(i))
	}
}

// A grid that is to be measured is made without what its last measuring gave: of any
// profile its crosses are commanded where those of a bare one are.
func TestFieldGridIsBare(t *testing.T) {
	set := path.Setting{SpeedMMPerS: 500, Power: 0.3, FrequencyHz: 40_000}
	grid := func(change func(*machine.Galvo)) path.Program {
		p := byhand.Fibre()
		g := *p.Galvo
		g.FieldScale, g.FieldRotateDegrees, g.FieldOffsetMM, g.Samples = [2]float64{}, 0, [2]float64{}, nil
		change(&g)
		p.Galvo = &g
		m, _, err := emit.FieldGrid(p, 4, set)
		require.NoError(t, err)
		require.Equal(t, p.Hash(), m.Header.Hash)
		prog, err := m.Program()
		require.NoError(t, err)
		return prog
	}
	bare := grid(func(*machine.Galvo) {})
	for _, change := range []func(*machine.Galvo){
		func(g *machine.Galvo) { g.FieldScale = [2]float64{1.01, 0.99} },
		func(g *machine.Galvo) { g.FieldRotateDegrees = 1 },
		func(g *machine.Galvo) { g.FieldOffsetMM = [2]float64{1, 2} },
	} {
		require.Equal(t, bare.Points, grid(change).Points)
	}
}
