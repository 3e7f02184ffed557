package emit_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

var (
	located = path.Rect{Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 11, Y: 7}}
	whole   = path.Rect{Min: path.Point{X: -3, Y: 2}, Max: path.Point{X: 15, Y: 7}}
)

func TestLocateGantry(t *testing.T) {
	m, err := emit.Locate(located, whole, machine.Examples()[0], 20, 0)
	require.NoError(t, err)
	var places []path.Point
	for _, mv := range list(t, m) {
		require.Equal(t, emit.Gap, mv.Kind, "the beam stays off, and nothing is fast")
		require.Equal(t, 20.0, mv.Speed)
		places = append(places, mv.To)
	}
	require.Equal(t, []path.Point{
		{X: 1, Y: 2}, {X: 11, Y: 2}, {X: 11, Y: 7}, {X: 1, Y: 7}, {X: 1, Y: 2},
		{X: -3, Y: 2}, {X: 15, Y: 2}, {X: 15, Y: 7}, {X: -3, Y: 7}, {X: -3, Y: 2}, {},
	}, places)
	_, err = emit.Locate(path.EmptyRect(), whole, machine.Examples()[0], 20, 0)
	require.Error(t, err)
}

// The beam is on round the marks only.
func TestLocateWithBeam(t *testing.T) {
	p := machine.Examples()[1] // 450 nm, speed-following
	p.Laser.LocateMaxPercent = 2
	m, err := emit.Locate(located, whole, p, 20, 1)
	require.NoError(t, err)
	var kinds []emit.Kind
	for _, mv := range list(t, m) {
		kinds = append(kinds, mv.Kind)
	}
	g, k := emit.Gap, emit.Mark
	require.Equal(t, []emit.Kind{g, k, k, k, k, g, g, g, g, g, g}, kinds)
}

// Ways are gone along in place of the rectangle round the marks, each from its beginning with the
// beam off.
func TestLocateAlongWays(t *testing.T) {
	p := machine.Examples()[1]
	p.Laser.LocateMaxPercent = 2
	first := []path.Point{{X: 5, Y: 3}, {X: 6, Y: 4}, {X: 5, Y: 3}}
	second := []path.Point{{X: 8, Y: 3}, {X: 9, Y: 3}}
	m, err := emit.Locate(located, located, p, 20, 1, first, second)
	require.NoError(t, err)
	var lit, dark []path.Point
	for _, mv := range list(t, m) {
		if mv.Kind == emit.Mark {
			lit = append(lit, mv.To)
		} else {
			dark = append(dark, mv.To)
		}
	}
	require.Equal(t, []path.Point{first[1], first[2], second[1]}, lit)
	require.Equal(t, []path.Point{first[0], second[0], {X: 1, Y: 2}, {X: 11, Y: 2}, {X: 11, Y: 7}, {X: 1, Y: 7},
		{X: 1, Y: 2}, {}}, dark)
	m, err = emit.Locate(located, located, machine.Examples()[2], 20, 0, first, second)
	require.NoError(t, err)
	require.Equal(t, second[1], list(t, m)[4].To)
}

// Marks on two round blanks of 20 mm reach 6 and 8 mm from the middle of the one, 3 from that of
// the other, and travel past both counts for nothing; a third has no marks.
func TestRingsOfMarks(t *testing.T) {
	disc := func(x float64) emit.Blank {
		return emit.Blank{Rect: rectAbout(x, 0, 20, 20), Round: true}
	}
	mark := func(x, y float64) emit.Move { return emit.Move{Kind: emit.Mark, To: path.Point{X: x, Y: y}} }
	gap := func(x, y float64) emit.Move { return emit.Move{Kind: emit.Gap, To: path.Point{X: x, Y: y}} }
	m := emit.Moves{Play: func(yield func(emit.Move, error) bool) {
		for _, mv := range []emit.Move{gap(36, 0), mark(27, 0), gap(6, 0), mark(0, 8), gap(100, 3), gap(33, 0),
			mark(33, 0.001), gap(0, -6), mark(1, 0)} {
			if !yield(mv, nil) {
				return
			}
		}
	}}
	rings, err := emit.RingsOf(m, []emit.Blank{disc(0), disc(30), disc(60)})
	require.NoError(t, err)
	require.Len(t, rings, 2)
	for i, want := range []path.Rect{rectAbout(0, 0, 16, 16), rectAbout(30, 0, 12, 12)} {
		require.InDelta(t, 0, want.Min.Dist(rings[i].Rect.Min)+want.Max.Dist(rings[i].Rect.Max), 1e-9)
		require.True(t, rings[i].Round)
	}
	none, err := emit.RingsOf(m, nil)
	require.NoError(t, err)
	require.Empty(t, none)
}

func TestLocateBeamIsRefused(t *testing.T) {
	blue := machine.Examples()[1]
	blue.Laser.LocateMaxPercent = 2
	steady, floor := blue, blue
	g := *blue.GCode
	g.PowerMode = machine.PowerSteady
	steady.GCode = &g
	floor.Laser.FloorPercent = 1.5
	unseen := blue
	unseen.Laser.WavelengthNM = 10600
	for _, tt := range []struct {
		p       machine.Profile
		percent float64
		message string
	}{
		{machine.Examples()[1], 1, "at most 0 percent"}, {blue, 2.5, "at most 2 percent"}, {blue, -1, "more than 0"},
		{steady, 1, "steady power"}, {unseen, 1, "cannot be seen"}, {floor, 1, "does not fire"},
		{machine.Examples()[2], 1, "visible guide"},
	} {
		_, err := emit.Locate(located, whole, tt.p, 20, tt.percent)
		var e *emit.LocateError
		require.ErrorAs(t, err, &e)
		require.Contains(t, e.Error(), tt.message)
		require.NotEmpty(t, e.Hint())
	}
}

func TestLocateGalvo(t *testing.T) {
	m, err := emit.Locate(located, whole, machine.Examples()[2], 20, 0)
	require.NoError(t, err)
	moves := list(t, m)
	n := len(moves) - 1
	require.Equal(t, 1, n%4, "whole rounds")
	require.Equal(t, emit.Travel, moves[0].Kind, "not shown from the field's middle on")
	for _, mv := range moves[1:n] {
		require.Equal(t, emit.Guide, mv.Kind)
	}
	require.Equal(t, emit.Hold, moves[n].Kind)
	require.Equal(t, located.Max, moves[2].To)
	require.NoError(t, emit.Check(m, machine.Examples()[2]))
}
