package tune_test

import (
	"fmt"
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/tune"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A trial stays in the field or on half of the bed, whichever side of that is the short
// one, and a gantry's begins and ends where it was.
func TestTrialsStayInTheMachine(t *testing.T) {
	for _, size := range [][2]float64{{100, 40}, {40, 100}, {175, 175}} {
		galvo := byhand.Fibre()
		galvo.Galvo.FieldMM = size
		for _, tr := range tune.Trials(galvo, 1) {
			require.NoError(t, emit.Check(tr.Moves, galvo), tr.Name)
			box := path.EmptyRect()
			for mv, err := range tr.Moves.All() {
				require.NoError(t, err)
				box = box.Include(mv.To)
			}
			half := path.Point{X: size[0] / 2, Y: size[1] / 2}
			require.LessOrEqual(t, box.Max.X, half.X, tr.Name)
			require.GreaterOrEqual(t, box.Min.X, -half.X, tr.Name)
			require.LessOrEqual(t, box.Max.Y, half.Y, tr.Name)
			require.GreaterOrEqual(t, box.Min.Y, -half.Y, tr.Name)
			require.Positive(t, box.W()+box.H(), tr.Name)
			require.Equal(t, path.Point{X: size[0], Y: size[1]}, tr.Moves.Header.Field)
		}
		gantry := machine.Examples()[0]
		g := *gantry.Gantry
		g.BedMM, gantry.Gantry = [2]float64{size[0] + 10, size[1] + 10}, &g
		for _, tr := range tune.Trials(gantry, 1) {
			require.NoError(t, emit.Check(tr.Moves, gantry), tr.Name)
			box, last := path.EmptyRect(), path.Point{X: 1}
			for mv, err := range tr.Moves.All() {
				require.NoError(t, err)
				require.Zero(t, mv.Power, "the beam stays off")
				require.NotEqual(t, emit.Mark, mv.Kind)
				box, last = box.Include(mv.To), mv.To
			}
			require.Zero(t, last, tr.Name)
			require.LessOrEqual(t, max(box.W(), box.H()), max(15.0, max(size[0], size[1])+10), tr.Name)
		}
	}
}

// rounds words the first n moves of a trial, X in mm.
func rounds(t *testing.T, tr tune.Trial, n int) (words []string) {
	t.Helper()
	for mv, err := range tr.Moves.All() {
		require.NoError(t, err)
		require.Zero(t, mv.To.Y)
		switch mv.Kind {
		case emit.Wait:
			words = append(words, fmt.Sprintf("wait %d at %.4g", mv.WaitUS, mv.To.X))
		case emit.Travel:
			words = append(words, fmt.Sprintf("jump %.4g", mv.To.X))
		default:
			words = append(words, fmt.Sprintf("%.4g at %g", mv.To.X, mv.Speed))
		}
		if len(words) == n {
			break
		}
	}
	return words
}

// What a galvo is asked to do, by hand: over half of a field of 60 x 51 mm, whole 25 mm, or of
// 12 x 30 mm, 6 mm; at half of 7,000 mm/s.
func TestGalvoTrialsByHand(t *testing.T) {
	for _, c := range []struct {
		field        [2]float64
		short        float64
		apart, long  string
		back, shorts string
	}{
		{[2]float64{60, 51}, 2, "10", "12.5", "-12.5", "1"}, {[2]float64{12, 30}, 0.2, "6", "3", "-3", "0.25"},
	} {
		p := byhand.Fibre()
		p.Galvo.FieldMM, p.Galvo.ShortJumpMM = c.field, c.short
		p.Laser.FrequencyKHz = &[2]float64{23, 80}
		there := "0.02 at 3500"
		want := map[string][]string{
			"rows":        {"jump 0", there, "jump 0.05", "0.07 at 3500", "jump 0"},
			"outlines":    append(append([]string{"jump 0"}, alternate(20, there, "0 at 3500")...), "jump "+c.apart),
			"long-jumps":  {"jump " + c.long, "jump " + c.back, "jump " + c.long},
			"short-jumps": {"jump " + c.shorts, "jump -" + c.shorts, "jump " + c.shorts},
			"tiny-jumps":  {"jump 0.001", "jump -0.001", "jump 0.001"},
			"chains":      {there, "wait 1 at 0.02", "0 at 3500", "wait 1 at 0", there},
			"reversals":   append(alternate(100, there, "0 at 3500"), "wait 1 at 0", there),
		}
		for _, tr := range tune.Trials(p, 0.2) {
			w := append([]string{"jump -1"}, want[tr.Name]...)
			require.Equal(t, w, rounds(t, tr, len(w)), tr.Name)
			require.Equal(t, 23_000.0, tr.Moves.Settings[0].FrequencyHz)
			delete(want, tr.Name)
		}
		require.Empty(t, want)
	}
}

func alternate(n int, words ...string) (all []string) {
	for i := range n {
		all = append(all, words[i%len(words)])
	}
	return all
}

// What a gantry is asked to do, by hand: at the speed of its slower axis, 200 mm/s, and with
// four times its greater acceleration, 4·1,000 mm/s2, over 200²/4000 = 10 mm; over half of
// a bed that is smaller; never over less than 0.5 nor more than 20 mm.
func TestGantryTrialsByHand(t *testing.T) {
	for _, c := range []struct {
		speed, accel, bed [2]float64
		long              float64
	}{
		{[2]float64{300, 200}, [2]float64{1000, 500}, [2]float64{400, 300}, 10},
		{[2]float64{200, 300}, [2]float64{500, 1000}, [2]float64{16, 300}, 8},
		{[2]float64{200, 300}, [2]float64{500, 1000}, [2]float64{300, 12}, 6},
		{[2]float64{200, 200}, [2]float64{300, 300}, [2]float64{300, 300}, 20},
		{[2]float64{200, 200}, [2]float64{30_000, 10}, [2]float64{300, 300}, 0.5},
	} {
		p := assumed(0)
		g := *p.Gantry
		g.MaxSpeedMMPerS, g.AccelMMPerS2, g.BedMM = c.speed, c.accel, c.bed
		p.Gantry = &g
		trials := tune.Trials(p, 0.01)
		there := fmt.Sprintf("%g at 200", c.long)
		require.Equal(t, []string{there, "0 at 200"}, rounds(t, trials[0], 2))
		for mv := range trials[1].Moves.All() {
			require.Equal(t, path.Point{Y: c.long}, mv.To)
			break
		}
		var want []string // ten times feed and travel on, and as many back
		for i := range 40 {
			at := float64(i+1) * c.long / 20
			if i >= 20 {
				at = float64(39-i) * c.long / 20
			}
			if i%2 == 0 {
				want = append(want, fmt.Sprintf("%.4g at 200", at))
			} else {
				want = append(want, fmt.Sprintf("jump %.4g", at))
			}
		}
		if c.long > 0.5 { // whose pieces are whole micrometres too, of 0.025 mm
			require.Equal(t, want, rounds(t, trials[3], 40))
		}
	}
}

// The zigzag by hand: pieces of 0.1 mm that turn by 36 degrees to the left and to the right
// in turn, along the diagonal, so a hundred of them come 100·0.1·cos 18° = 9.511 mm far, and
// then the same way back.
func TestZigzagByHand(t *testing.T) {
	var way []path.Point
	for mv := range tune.Trials(assumed(0), 0.01)[2].Moves.All() {
		if way = append(way, mv.To); len(way) == 200 {
			break
		}
	}
	require.Equal(t, path.Point{}, way[199])
	require.InDelta(t, 9.511, path.Point{}.Dist(way[99]), 0.002)
	require.InDelta(t, way[99].X, way[99].Y, 0.0011)
	at := path.Point{}
	for i, to := range way {
		require.InDelta(t, 0.1, at.Dist(to), 0.0015)
		require.InDelta(t, math.Round(1e3*to.X), 1e3*to.X, 1e-6)
		require.InDelta(t, math.Round(1e3*to.Y), 1e3*to.Y, 1e-6)
		if d := to.Sub(at); i < 100 { // 18 degrees to either side of 45
			aslant := 45 + 18*float64(1-2*(i%2))
			require.InDelta(t, aslant, math.Atan2(d.Y, d.X)*180/math.Pi, 1)
		} else if i < 199 {
			require.Equal(t, way[198-i], to, "back as it came")
		}
		at = to
	}
}

// A machine that takes inches is asked to go to places that its file can name.
func TestTrialsOnTheGrid(t *testing.T) {
	p := assumed(0)
	g := *p.GCode
	g.Inch, p.GCode = true, &g
	for _, tr := range tune.Trials(p, 0.1) {
		for mv := range tr.Moves.All() {
			for _, mm := range []float64{mv.To.X, mv.To.Y} {
				steps := mm / 25.4 * 100_000
				require.InDelta(t, math.Round(steps), steps, 1e-6, "%s: %v", tr.Name, mv.To)
			}
		}
	}
}

// However long a run is to last, it has no more than 300,000 rounds.
func TestMostRounds(t *testing.T) {
	n := 0
	for range tune.Trials(assumed(0), 1e9)[0].Moves.All() {
		n++
	}
	require.Equal(t, 600_000, n)
}

// No time is none, and none that was not measured either.
func TestNoTime(t *testing.T) {
	p := assumed(0)
	for _, s := range []float64{0, -1, math.Inf(1), math.NaN()} {
		_, err := tune.Fit(p, []tune.Run{{Name: "x", Moves: tune.Trials(p, 0.1)[0].Moves, MeasuredS: s}})
		require.ErrorContains(t, err, "x: ")
	}
	_, err := tune.Fit(p, nil)
	require.ErrorContains(t, err, "no run")
	nothing := emit.Moves{Play: func(func(emit.Move, error) bool) {}}
	_, err = tune.Fit(p, []tune.Run{{Name: "y", Moves: nothing, MeasuredS: 1}})
	require.ErrorContains(t, err, "y: takes no time")
}
