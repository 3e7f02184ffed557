package emit_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func arcTo(end, centre path.Point, turn emit.Turn) emit.Move {
	return emit.Move{Kind: emit.Mark, To: end, Centre: centre, Turn: turn, Speed: 50, Power: 0.5}
}

// From one direction to another the way round is that of the turn, and the whole way
// where they are one.
func TestArcSweep(t *testing.T) {
	e, n, w, s := pt(2, 0), pt(0, 3), pt(-1, 0), pt(0, -1)
	for _, c := range []struct {
		u, w path.Point
		turn emit.Turn
		want float64 // quarter turns
	}{
		{e, n, emit.CounterClockwise, 1}, {e, n, emit.Clockwise, -3}, {n, e, emit.CounterClockwise, 3},
		{n, e, emit.Clockwise, -1},
		{e, w, emit.CounterClockwise, 2}, {e, w, emit.Clockwise, -2}, {e, s, emit.CounterClockwise, 3},
		{e, s, emit.Clockwise, -1},
		{e, e, emit.CounterClockwise, 4}, {n, n, emit.Clockwise, -4},
	} {
		require.InDelta(t, c.want*math.Pi/2, emit.ArcSweep(c.u, c.w, c.turn), 1e-12, "%v to %v, %d", c.u, c.w, c.turn)
	}
}

// Half circles above and below, and a whole one, as polylines: within 1 µm of the
// circle, as long as it, and on the side of the turn.
func TestArcsAsPolylines(t *testing.T) {
	for name, c := range map[string]struct {
		move  emit.Move
		round float64 // of the circle's way
		box   path.Rect
	}{
		"below": {arcTo(pt(14, 5), pt(12, 5), emit.CounterClockwise), 0.5,
			path.Rect{Min: pt(10, 3), Max: pt(14, 5)}},
		"above":     {arcTo(pt(14, 5), pt(12, 5), emit.Clockwise), 0.5, path.Rect{Min: pt(10, 5), Max: pt(14, 7)}},
		"all round": {arcTo(pt(10, 5), pt(12, 5), emit.Clockwise), 1, path.Rect{Min: pt(10, 3), Max: pt(14, 7)}},
		"a quarter": {arcTo(pt(12, 3), pt(12, 5), emit.CounterClockwise), 0.25,
			path.Rect{Min: pt(10, 3), Max: pt(12, 5)}},
		"three of it": {arcTo(pt(12, 3), pt(12, 5), emit.Clockwise), 0.75, path.Rect{Min: pt(10, 3), Max: pt(14, 7)}},
	} {
		require.InDelta(t, 0, c.box.Min.Dist(c.move.Bounds(pt(10, 5)).Min), 1e-9, name)
		require.InDelta(t, 0, c.box.Max.Dist(c.move.Bounds(pt(10, 5)).Max), 1e-9, name)
		p, err := moves(to(10, 5), c.move, burn(20, 5, 50, 0.5)).Program()
		require.NoError(t, err)
		require.Len(t, p.Strokes, 1)
		pts := p.PointsOf(0)
		require.Equal(t, pt(10, 5), pts[0])
		require.Equal(t, c.move.To, pts[len(pts)-2])
		require.Equal(t, pt(20, 5), pts[len(pts)-1])
		length := 0.0
		for i := 1; i < len(pts)-1; i++ {
			length += pts[i].Dist(pts[i-1])
			require.InDelta(t, 2, pts[i].Dist(pt(12, 5)), 1e-9, name)
			require.InDelta(t, 2, pts[i].Lerp(pts[i-1], 0.5).Dist(pt(12, 5)), 1.001e-3, name)
		}
		require.InEpsilon(t, c.round*4*math.Pi, length, 1e-3, name)
	}
	straight := burn(3, 1, 50, 0.5)
	require.Equal(t, path.Rect{Min: pt(1, 1), Max: pt(3, 8)}, straight.Bounds(pt(1, 8)))
}

// Strokes are parted by everything but marks of one setting and power.
func TestStrokesOfMoves(t *testing.T) {
	with := func(mv emit.Move, set uint16) emit.Move { mv.Setting = set; return mv }
	dot := emit.Move{Kind: emit.Dot, To: pt(9, 9), Power: 0.5, WaitUS: 10}
	p, err := read(to(1, 0), burn(2, 0, 50, 0.5), burn(3, 0, 60, 0.5), burn(4, 0, 50, 0.4),
		with(burn(5, 0, 50, 0.4), 1),
		dot, dot, burn(8, 9, 50, 0.5), gapTo(7, 9), burn(6, 9, 50, 0.5), to(6, 9), burn(5, 9, 50, 0.5)).Program()
	require.NoError(t, err)
	var lengths []int32
	var powers []float64
	for _, s := range p.Strokes {
		lengths, powers = append(lengths, s.Len), append(powers, s.Power)
	}
	require.Equal(t, []int32{3, 2, 2, 1, 1, 2, 2, 2}, lengths)
	require.Equal(t, []float64{0.5, 0.4, 0.4, 0.5, 0.5, 0.5, 0.5, 0.5}, powers)
	require.Equal(t, uint16(1), p.Strokes[2].Setting)
	require.Equal(t, []path.Point{pt(7, 9), pt(6, 9)}, p.PointsOf(6))
}

// An arc that bulges over the edge of the bed, or into a clamp, is told though both its
// ends are clear of it, by how far it does.
func TestArcsThatBulge(t *testing.T) {
	bulge := []emit.Move{to(10, 2), arcTo(pt(14, 2), pt(12, 2), emit.CounterClockwise),
		arcTo(pt(10, 2), pt(12, 2), emit.CounterClockwise)}
	require.NoError(t, emit.Check(moves(bulge...), onBed(0, 0)))
	high := []emit.Move{to(10, 398.5), arcTo(pt(14, 398.5), pt(12, 398.5), emit.Clockwise)} // of 400 mm
	require.ErrorContains(t, emit.Check(moves(high...), onBed(0, 0)), "0.5 mm past the top edge")
	var e *emit.KeepOutError
	require.ErrorAs(t, emit.Check(moves(bulge...), onBed(0, 0), path.Rect{Min: pt(11, 3.7), Max: pt(13, 9)}), &e)
	require.InDelta(t, 0.3, e.Depth, 1e-9)
	require.NoError(t, emit.Check(moves(bulge...), onBed(0, 0), path.Rect{Min: pt(11, 4), Max: pt(13, 9)}))
}

// A place that is no number is told as it stands, of the move that has it.
func TestPlacesThatAreNoNumbers(t *testing.T) {
	nan := math.NaN()
	for want, bad := range map[string]emit.Move{
		"move 1 goes to NaN, 2": to(nan, 2), "move 1 goes to 1, NaN": to(1, nan),
		"move 1 goes to 1, +Inf": to(1, math.Inf(1)),
		"move 1 goes to 3, 4":    arcTo(pt(3, 4), pt(nan, 0), emit.Clockwise),
	} {
		require.EqualError(t, emit.Check(moves(to(1, 1), bad), gantry(nil)), want)
	}
}

// A clamp is missed by half a step of the grid, and the work is moved out of it by as
// little as will do, to whichever side is free.
func TestOutOfAClamp(t *testing.T) {
	for name, c := range map[string]struct {
		box  path.Rect
		clr  float64
		side string
	}{
		"from the left":  {path.Rect{Min: pt(34, 10), Max: pt(90, 90)}, 6, "to the left"},
		"from the right": {path.Rect{Min: pt(5, 21), Max: pt(23, 90)}, 3, "to the right"},
		"from below":     {path.Rect{Min: pt(-90, 35), Max: pt(90, 90)}, 5, "down"},
		"from above":     {path.Rect{Min: pt(25, 10), Max: pt(90, 22)}, 2, "up"},
	} {
		var e *emit.KeepOutError
		work := moves(to(20, 20), burn(40, 20, 100, 0.5), burn(40, 40, 100, 0.5), burn(20, 40, 100, 0.5))
		require.ErrorAs(t, emit.Check(work, gantry(nil), c.box), &e, name)
		require.InDelta(t, c.clr, e.Clear, 1e-9, name)
		require.Equal(t, c.side, e.Side, name)
	}
}

// A way out of a clamp that just stays on the bed is taken: the bed is 600 x 400 mm.
func TestOutOfAClampOnTheBed(t *testing.T) {
	for side, c := range map[string]struct {
		work, box path.Rect
		clear     float64
	}{
		"to the left": {path.Rect{Min: pt(10, 100), Max: pt(30, 120)},
			path.Rect{Min: pt(24, 20), Max: pt(300, 300)}, 6},
		"to the right": {path.Rect{Min: pt(570, 100), Max: pt(590, 120)},
			path.Rect{Min: pt(300, 105), Max: pt(576, 300)}, 6},
		"down": {path.Rect{Min: pt(200, 9), Max: pt(220, 30)}, path.Rect{Min: pt(100, 24), Max: pt(400, 300)}, 6},
		"up":   {path.Rect{Min: pt(200, 370), Max: pt(220, 390)}, path.Rect{Min: pt(205, 200), Max: pt(400, 376)}, 6},
	} {
		a, b := c.work.Min, c.work.Max
		work := moves(to(a.X, a.Y), burn(b.X, a.Y, 100, 0.5), burn(b.X, b.Y, 100, 0.5), burn(a.X, b.Y, 100, 0.5))
		var e *emit.KeepOutError
		require.ErrorAs(t, emit.Check(work, onBed(0, 0), c.box), &e, side)
		require.Equal(t, side, e.Side)
		require.InDelta(t, c.clear, e.Clear, 1e-9, side)
	}
}

// No arc goes half round, where its two ways could be told apart by rounding alone: 0.95
// of it at the most.
func TestArcsAreLessThanHalfACircle(t *testing.T) {
	for _, radius := range []float64{0.3, 5, 200} {
		at, arcs := path.Point{}, 0
		for _, mv := range planned(t, outlined(circle(radius), 0.01), withArcs(gantry(nil))) {
			if mv.Turn != emit.Straight {
				arcs++
				require.LessOrEqual(t, math.Abs(emit.ArcSweep(at.Sub(mv.Centre), mv.To.Sub(mv.Centre), mv.Turn)),
					0.95*math.Pi+1e-3)
			}
			at = mv.To
		}
		require.Greater(t, arcs, 1)
	}
}

// Work that is too large for a field both ways has to become as small as the worse of
// them asks for.
func TestTooLargeBothWays(t *testing.T) {
	var e *emit.FieldError
	// 200 x 120 in 100 x 80
	require.ErrorAs(t, emit.InField(plotter(), path.Rect{Min: pt(-100, -60), Max: pt(100, 60)}), &e)
	require.Contains(t, e.Hint(), "a field of 200 x 120 mm, or to be made smaller, to 50 percent or less")
	require.ErrorAs(t, emit.InField(plotter(), path.Rect{Min: pt(-60, -100), Max: pt(60, 100)}), &e)
	require.Contains(t, e.Hint(), "to 40 percent or less")
}

// The way of an arc keeps to its circle and goes round it; of a straight move it is its ends.
func TestWayOfAMove(t *testing.T) {
	way := arcTo(pt(-10, 0), pt(0, 0), emit.CounterClockwise).Way(pt(10, 0))
	require.Equal(t, pt(10, 0), way[0])
	top := 0.0
	for _, p := range way {
		require.InDelta(t, 10, p.Len(), 0.001)
		top = max(top, p.Y)
	}
	require.InDelta(t, 10, top, 0.001)
	require.InDelta(t, 0, way[len(way)-1].Dist(pt(-10, 0)), 1e-9)
	require.Equal(t, []path.Point{pt(1, 2), pt(3, 4)}, emit.Move{Kind: emit.Mark, To: pt(3, 4)}.Way(pt(1, 2)))
}
