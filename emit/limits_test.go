package emit_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func moves(list ...emit.Move) emit.Moves {
	return emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for _, m := range list {
			if !yield(m, nil) {
				return
			}
		}
	}}
}

func to(x, y float64) emit.Move { return emit.Move{To: path.Point{X: x, Y: y}} }

func burn(x, y, speed, power float64) emit.Move {
	return emit.Move{Kind: emit.Mark, To: path.Point{X: x, Y: y}, Speed: speed, Power: power}
}

func onBed(x, y float64) machine.Profile {
	p := machine.Examples()[0]
	g := *p.Gantry
	g.Zero, g.OriginMM = machine.ZeroBed, [2]float64{x, y}
	p.Gantry = &g
	return p
}

func TestCheckGantry(t *testing.T) {
	hand := machine.Examples()[0] // 600 x 400 mm, 500 and 300 mm/s
	floor := hand
	floor.Laser.FloorPercent = 12
	for _, tt := range []struct {
		name    string
		profile machine.Profile
		moves   []emit.Move
		message string // empty: fits
		hint    string
	}{
		{"nothing", hand, nil, "", ""},
		{"by hand, negative", hand, []emit.Move{to(-300, -200), to(300, 200)}, "", ""},
		{"by hand, X0 Y0 counts", hand, []emit.Move{to(605, 0)}, "5 mm too wide", "moved by -5, 0 mm"},
		{"by hand, on the other side", hand, []emit.Move{to(0, -405)}, "5 mm too high", "moved by 0, 5 mm"},
		{"by hand, upright", hand, []emit.Move{to(300, 0), burn(300, 500, 100, 0.5)}, "100 mm too high",
			"turned by 90"},
		{"too large", hand, []emit.Move{to(0, 0.5), burn(700, 500, 100, 0.5)}, "100 mm too wide", "lower speed"},
		{"bed", onBed(0, 0), []emit.Move{to(-2.5, 10)}, "2.5 mm past the left edge", "moved by 2.5, 0 mm"},
		{"bed with origin", onBed(50, 50), []emit.Move{to(-2.5, 10), to(549, 355)}, "5 mm past the top edge",
			"moved by 0, -5 mm"},
		{"bed with origin fits", onBed(50, 50), []emit.Move{to(-50, -50), to(550, 350)}, "", ""},
		{"half a step is no step", onBed(0, 0), []emit.Move{to(-0.0004, 0)}, "", ""},
		{"fast axis", hand, []emit.Move{burn(10, 0, 500, 0.5)}, "", ""},
		{"slow axis", hand, []emit.Move{burn(0, 10, 301, 0.5), burn(0, 0, 301, 0.5)}, "301 mm/s exceeds the 300 mm/s",
			"mark at 300 mm/s"},
		{"diagonal", hand, []emit.Move{burn(10, 10, 424, 0.5)}, "", ""},
		{"too much diagonal", hand, []emit.Move{burn(10, 10, 425, 0.5)}, "exceeds the 424.3 mm/s",
			"mark at 424.2 mm/s or less"},
		{"power", hand, []emit.Move{burn(1, 0, 100, 1.01)}, "101 percent", "100 percent or less"},
		{"no power", hand, []emit.Move{burn(1, 0, 100, 0)}, "rounds to S0", "more power"},
		{"below the floor", floor, []emit.Move{burn(1, 0, 100, 0.11)}, "below 12 percent", "more power"},
		{"at the floor", floor, []emit.Move{burn(1, 0, 100, 0.12)}, "", ""},
		{"no place", hand, []emit.Move{to(math.NaN(), 0)}, "NaN", ""},
	} {
		err := emit.Check(moves(tt.moves...), tt.profile)
		if tt.message == "" {
			require.NoError(t, err, tt.name)
			continue
		}
		require.ErrorContains(t, err, tt.message, tt.name)
		if tt.hint != "" {
			var h interface{ Hint() string }
			require.ErrorAs(t, err, &h, tt.name)
			require.Contains(t, h.Hint(), tt.hint, tt.name)
		}
	}
}

func TestCheckJoinsAllThatIsWrong(t *testing.T) {
	err := emit.Check(moves(burn(700, 0, 600, 2)), machine.Examples()[0])
	var bed *emit.BedError
	var speed *emit.SpeedError
	var power *emit.PowerError
	require.ErrorAs(t, err, &bed)
	require.ErrorAs(t, err, &speed)
	require.ErrorAs(t, err, &power)
}

func TestKeepOut(t *testing.T) {
	clamp := machine.Clamp{60, 0, 80, 20}
	arc := burn(65, 10, 50, 0.5)
	arc.Centre, arc.Turn = path.Point{X: 60, Y: 10}, emit.CounterClockwise
	for _, tt := range []struct {
		name  string
		moves []emit.Move
		depth float64 // 0: clear
	}{
		{"beside", []emit.Move{to(60, 0), to(60, 20), to(80, 20)}, 0},
		{"run-out ends in it", []emit.Move{to(0, 10), to(63.2, 10)}, 3.2},
		{"straight through", []emit.Move{to(50, 19), to(90, 19)}, 1},
		{"across a corner", []emit.Move{to(55, 18), to(62, 25)}, 0},
		{"over a corner", []emit.Move{to(58, 16), to(68, 26)}, 2},
		{"an arc", []emit.Move{to(55, 10), arc}, 5},
		{"along its edge", []emit.Move{to(0, 20), to(100, 20)}, 0},
	} {
		err := emit.Check(moves(tt.moves...), machine.Examples()[0], machine.Clamps([]machine.Clamp{clamp})...)
		if tt.depth == 0 {
			require.NoError(t, err, tt.name)
			continue
		}
		var e *emit.KeepOutError
		require.ErrorAs(t, err, &e, tt.name)
		require.InDelta(t, tt.depth, e.Depth, 1e-9, tt.name)
	}
}

// What a keep-out advises is true: the work moved so is clear of it.
func TestKeepOutHints(t *testing.T) {
	p := machine.Examples()[0]
	clamp := machine.Clamp{60, 0, 80, 20}
	work := func(x0, y0, x1, y1 float64) []emit.Move {
		return []emit.Move{to(x0, y0), burn(x1, y0, 100, 0.5), burn(x1, y1, 100, 0.5)}
	}
	for _, tt := range []struct {
		name           string
		x0, y0, x1, y1 float64
		dx, dy         float64
		boxes          []machine.Clamp
		hint           string
	}{
		{"beside the clamp", 20, 10, 63, 30, -3, 0, []machine.Clamp{clamp}, "3 mm to the left"},
		{"round the clamp", 50, 15, 100, 30, 0, 5, []machine.Clamp{clamp}, "5 mm up"},
		{"another clamp in the way", 20, 10, 63, 30, 0, -30, []machine.Clamp{clamp, {10, 8, 19, 12}}, "30 mm down"},
		{"hemmed in", 20, 10, 63, 30, 0, 0, []machine.Clamp{clamp, {10, 8, 19, 12}, {20, 35, 60, 40}, {20, -40, 60, 0}},
			"move the clamp"},
		{"zero in it", 20, 0, 63, 30, 0, 0, []machine.Clamp{{-5, -5, 5, 5}}, "X0 Y0 itself lies in it"},
	} {
		err := emit.Check(moves(work(tt.x0, tt.y0, tt.x1, tt.y1)...), p, machine.Clamps(tt.boxes)...)
		var e *emit.KeepOutError
		require.ErrorAs(t, err, &e, tt.name)
		require.Contains(t, e.Hint(), tt.hint, tt.name)
		if tt.dx != 0 || tt.dy != 0 {
			moved := work(tt.x0+tt.dx, tt.y0+tt.dy, tt.x1+tt.dx, tt.y1+tt.dy)
			require.NoError(t, emit.Check(moves(moved...), p, machine.Clamps(tt.boxes)...), tt.name)
		}
	}
}

// Where zero is set by hand, X0 Y0 has to be on the bed too.
func TestBedHintNearZero(t *testing.T) {
	p := machine.Examples()[0]
	at := func(dx, dy float64) error {
		return emit.Check(moves(to(550+dx, 10+dy), burn(630+dx, 10+dy, 100, 0.5)), p)
	}
	var e *emit.BedError
	require.ErrorAs(t, at(0, 0), &e)
	require.Contains(t, e.Hint(), "moved by -30, 0 mm")
	require.NoError(t, at(-30, 0))
}

func TestLeastShift(t *testing.T) {
	bed := onBed(10, 0).Gantry.Bed()
	rect := func(x0, y0, x1, y1 float64) path.Rect {
		return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
	}
	require.Equal(t, path.Point{}, emit.LeastShift(rect(-10, 0, 590, 400), bed))
	require.Equal(t, path.Point{X: 2, Y: -1}, emit.LeastShift(rect(-12, 1, 20, 401), bed))
	require.Equal(t, path.Point{}, emit.LeastShift(rect(-12, 1, 620, 301), bed), "too long to fit")
	require.InDelta(t, -15, emit.LeastShift(rect(5, 0, 605+1e-9, 1), bed).X, 1e-6, "too long by rounding alone")
}
