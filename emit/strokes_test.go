package emit_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// shaded is one row of three spans, of which two have a power of their own, as a
// picture in shades has them, and a line with one.
func shaded() path.Program {
	p := path.Program{Settings: []path.Setting{{Name: "fill", SpeedMMPerS: 100, Power: 0.5}}}
	p.Append(path.Stroke{Sweep: 1, Power: 0.25}, pt(0, 0), pt(10, 0))
	p.Append(path.Stroke{Sweep: 1}, pt(10, 0), pt(20, 0))
	p.Append(path.Stroke{Sweep: 1, Power: 0.75}, pt(30, 0), pt(40, 0))
	p.Append(path.Stroke{Kind: path.LineStroke, Power: 0.125}, pt(30, 5), pt(40, 9))
	return p
}

// The power of a stroke comes through plan and back, on both kinds of machine.
func TestStrokesKeepTheirPower(t *testing.T) {
	for _, p := range []machine.Profile{gantry(func(*machine.Gantry, *machine.GCode) {}), byhand.Fibre()} {
		m, err := emit.Plan(shaded(), p)
		require.NoError(t, err)
		var marked []float64
		for _, mv := range collect(t, m) {
			if mv.Kind == emit.Mark {
				marked = append(marked, mv.Power)
			}
		}
		require.Equal(t, []float64{0.25, 0.5, 0.75, 0.125}, marked, p.ID)
		back, err := m.Program()
		require.NoError(t, err)
		require.Len(t, back.Strokes, 4, p.ID)
		for i, want := range marked {
			require.Equal(t, want, back.PowerOf(i), p.ID)
			require.Equal(t, want, back.Strokes[i].Power, "the stroke says it itself")
		}
	}
}

// A list says power in a setting's record: each power of a setting needs one, and
// what rounds to the same power shares it.
func TestListSettingsByPower(t *testing.T) {
	p := shaded()
	p.Append(path.Stroke{Power: 0.250001}, pt(0, 1), pt(10, 1))
	p.Append(path.Stroke{Power: 0.9}, pt(0, 2), pt(0, 2)) // of no length
	m, err := emit.Plan(p, byhand.Fibre())
	require.NoError(t, err)
	var powers []float64
	for _, s := range m.Settings {
		powers = append(powers, s.Power)
	}
	require.Equal(t, []float64{0.25, 0.5, 0.75, 0.125}, powers)
}
