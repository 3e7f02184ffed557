package emit_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A list holds tenths of a micrometre: half a step rounds into the field, and a
// micrometre outside is outside, on every side of a field that is wider than high.
func TestFieldsEdgesToAStep(t *testing.T) {
	p := machine.Examples()[2]
	g := *p.Galvo
	g.FieldMM, p.Galvo = [2]float64{20, 10}, &g
	for _, side := range []path.Point{{X: 10}, {X: -10}, {Y: 5}, {Y: -5}} {
		for past, ok := range map[float64]bool{0: true, 0.00004: true, 0.00006: false, 0.001: false} {
			at := side.Mul(1 + past/side.Len())
			b := path.EmptyRect().Include(path.Point{}).Include(at)
			require.Equal(t, ok, emit.InField(p, b) == nil, "%v, %g mm past the edge", side, past)
		}
	}
	require.NoError(t, emit.InField(p, path.EmptyRect()))
	require.NoError(t, emit.InField(machine.Examples()[0], path.Rect{Max: path.Point{X: 1e6}}),
		"a gantry has no field")
}

// Numbers lie beside their cross, on the side of the middle, apart from it and in the
// field: each stroke that is no arm of a cross lies within a few mm of the place whose
// number it is part of, and none on an arm.
func TestNumbersOfAFieldGrid(t *testing.T) {
	p := machine.Examples()[2]
	m, places, err := emit.FieldGrid(p, 4, path.Setting{Name: "grid", SpeedMMPerS: 500, Power: 0.3,
		FrequencyHz: 40000})
	require.NoError(t, err)
	require.Len(t, places, 16)
	require.Less(t, places[0].X, places[1].X, "numbers run along X")
	require.Equal(t, places[0].Y, places[3].Y)
	require.Less(t, places[3].Y, places[4].Y)
	prog, err := m.Program()
	require.NoError(t, err)
	const arm = 1.5
	next := 0 // the place that is drawn
	strokes := map[int]int{}
	for i := range prog.Strokes {
		b := path.BoundsOf(prog.PointsOf(i))
		require.LessOrEqual(t, max(b.Max.X, -b.Min.X, b.Max.Y, -b.Min.Y), 87.5+1e-9, "in the field")
		if c := b.Centre(); next < len(places) && c.Dist(places[next]) < 1e-3 && b.W() > 2*arm-0.01 {
			next++
		}
		if b.W() < 1e-3 && b.H() > 2*arm-0.01 || b.H() < 1e-3 && b.W() > 2*arm-0.01 {
			continue // an arm
		}
		at := places[next-1]
		strokes[next]++
		for _, axis := range []struct{ at, lo, hi float64 }{{at.X, b.Min.X, b.Max.X}, {at.Y, b.Min.Y, b.Max.Y}} {
			if axis.at > 0 {
				require.Less(t, axis.hi, axis.at-0.3, "number %d", next)
				require.Greater(t, axis.lo, axis.at-4, "number %d", next)
			} else {
				require.Greater(t, axis.lo, axis.at+0.3, "number %d", next)
				require.Less(t, axis.hi, axis.at+4, "number %d", next)
			}
		}
		require.LessOrEqual(t, b.H(), 2+1e-3)
	}
	require.Equal(t, 16, next)
	require.Len(t, strokes, 16, "each has a number")
}
