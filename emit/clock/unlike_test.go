package clock_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

// unlike returns a gantry with an axis of its own for each value, and the same
// with the two axes swapped.
func unlike(speed, accel, jerk [2]float64) (a, b machine.Profile) {
	a = axes(1, 1)
	a.Gantry.MaxSpeedMMPerS, a.Gantry.AccelMMPerS2, a.Gantry.JerkMMPerS3, a.Gantry.RapidMMPerS = speed, accel,
		jerk, 1e4
	b = a
	g := *a.Gantry
	for _, v := range []*[2]float64{&g.MaxSpeedMMPerS, &g.AccelMMPerS2, &g.JerkMMPerS3} {
		v[0], v[1] = v[1], v[0]
	}
	b.Gantry = &g
	return a, b
}

// A circle goes along both axes, so that the weaker one holds all along. By hand,
// from rest to rest round 2πr: L/v + v/a, and v/j more with a limit of the jerk
// (Biagiotti and Melchiorri, Trajectory Planning, 2008, section 3.4), where v is
// the least of the speed asked for, both axes' and √(a·r).
func TestArcsWithUnlikeAxes(t *testing.T) {
	for _, tt := range []struct {
		name               string
		speed, accel, jerk [2]float64
		r, v               float64
	}{
		{"across the path", [2]float64{900, 800}, [2]float64{5000, 1500}, [2]float64{}, 50, math.Sqrt(1500 * 50)},
		{"the axis' speed", [2]float64{500, 120}, [2]float64{5000, 1500}, [2]float64{}, 100, 120},
		{"jerk", [2]float64{500, 120}, [2]float64{5000, 1500}, [2]float64{1e6, 1e5}, 100, 120},
	} {
		a := min(tt.accel[0], tt.accel[1])
		want := 2*math.Pi*tt.r/tt.v + tt.v/a
		if j := min(tt.jerk[0], tt.jerk[1]); j > 0 {
			want += a / j
		}
		circle := emit.Move{Kind: emit.Mark, Speed: 700, Power: 0.5, Turn: emit.Clockwise, Centre: path.Point{X: tt.r}}
		one, other := unlike(tt.speed, tt.accel, tt.jerk)
		for _, p := range []machine.Profile{one, other} {
			r := run(t, play(circle), p)
			require.InDelta(t, want, r.Total().Seconds(), 1e-6, tt.name)
			require.InDelta(t, 2*math.Pi*tt.r, r.MarkMM, 1e-9)
		}
	}
}

// Rows that ask for more than their axis gives go as fast as it does: 40 rows of
// 60 mm at 300 mm/s, each with v/a and 0.5 mm at both ends, though 800 is asked for.
func TestRowsAreNoFasterThanTheirAxis(t *testing.T) {
	p, _ := unlike([2]float64{500, 300}, [2]float64{5000, 1500}, [2]float64{})
	set := settings(800, 0.3)
	along := func(dir path.Point) path.Program {
		rows := rectangle(60, 4, 0.1)
		rows.Dir = dir
		return programOf(rows, set)
	}
	for _, tt := range []struct {
		dir  path.Point
		v, a float64
	}{{path.Point{X: 1}, 500, 5000}, {path.Point{Y: 1}, 300, 1500}} {
		rows := clock.NewRows(along(tt.dir), *p.Gantry)
		require.InDelta(t, 40*(60/tt.v+2*(tt.v/tt.a+0.5/tt.v)), rows.Seconds(800), 1e-9)
		require.InDelta(t, tt.v, rows.TopSpeed(), 1e-9)
	}
	x, y := along(path.Point{X: 1}), along(path.Point{Y: 1})
	for _, both := range [][2]path.Program{{x, y}, {y, x}} {
		prog := path.Program{Settings: set}
		for k := range both {
			for i, s := range both[k].Strokes {
				s.Sweep += int32(1000 * k)
				prog.Append(s, both[k].PointsOf(i)...)
			}
		}
		rows := clock.NewRows(prog, *p.Gantry)
		require.InDelta(t, 300, rows.TopSpeed(), 1e-9, "that all of them reach")
		require.InDelta(t, 40*(60/500.+2*(0.1+0.001))+40*(60/300.+2*(0.2+0.5/300)), rows.Seconds(800), 1e-9)
	}
	set300 := rectangle(60, 4, 0.1)
	cost := clock.Cost(p, set)
	require.InDelta(t, clock.RowSeconds(&set300, cost, 300, path.Point{Y: 1}), clock.RowSeconds(&set300, cost,
		800, path.Point{Y: 1}), 1e-9)
}

// short crosses gaps of up to 5 mm and travels at 100 mm/s.
type short struct{ route.Length }

func (short) Travel(a, b route.End) float64       { return a.At.Dist(b.At) / 100 }
func (short) Sweep(gap float64, setting int) bool { return gap <= 5 }

// Each row has spans of 10, 9 and 30 mm, the first two 1 mm apart, the third 200 mm
// further on. Forwards 20 mm are swept, and then 30; backwards 30, and then 20: in
// all 100 mm at 10 mm/s, two times 200 mm of travel and 1 mm up. One way it is 250
// mm back, 1 mm up.
func TestGapsOfBackwardRows(t *testing.T) {
	rows := path.RowSet{Dir: path.Point{X: 1}, Spacing: 0.5, Start: []int32{0, 3, 3, 6}}
	for range 2 {
		rows.Spans = append(rows.Spans, path.Span{X0: 0, X1: 10}, path.Span{X0: 11, X1: 20},
			path.Span{X0: 220, X1: 250})
	}
	require.InDelta(t, 10+2*2+0.01, clock.RowSeconds(&rows, short{}, 10, path.Point{X: 1}), 1e-9,
		"the empty row is no row")
	rows.OneWay = true
	require.InDelta(t, 10+2*2+math.Hypot(250, 1)/100, clock.RowSeconds(&rows, short{}, 10, path.Point{X: 1}), 1e-9)
}
