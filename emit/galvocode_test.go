package emit_test

import (
	"errors"
	"testing"

	"furrow/emit"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// plotter is a galvo whose controller takes G-code, with a field of 100 x 80 mm.
func plotter() machine.Profile {
	p := byhand.Fibre()
	g := *p.Galvo
	g.FieldMM, g.FieldScale, g.Samples = [2]float64{100, 80}, [2]float64{}, nil
	p.ID, p.Laser.FrequencyKHz, p.Laser.PulseNS, p.Laser.MaxPulseEnergyMJ, p.Galvo = "plotter", nil, 0, 0, &g
	p.GCode = &machine.GCode{PowerWordMax: 1000, PowerMode: machine.PowerSteady, WaitUnit: machine.WaitSeconds}
	return p
}

// read is moves as a reader of G-code returns them, of two settings.
func read(list ...emit.Move) emit.Moves {
	m := moves(list...)
	m.Settings = []path.Setting{{SpeedMMPerS: 100, Power: 0.5}, {SpeedMMPerS: 200, Power: 0.4}}
	return m
}

// A jump, and what leads on from it, has the setting of the mark behind it; a run-out
// and a wait behind a mark have the mark's own. By hand.
func TestSettingsOfAGalvosGCode(t *testing.T) {
	mark := func(x float64, set uint16) emit.Move {
		return emit.Move{Kind: emit.Mark, To: pt(x, 0), Speed: 100, Power: 0.5, Setting: set}
	}
	gap := emit.Move{Kind: emit.Gap, To: pt(9, 0), Speed: 100, Setting: 7}
	wait := emit.Move{Kind: emit.Wait, To: pt(9, 0), WaitUS: 5, Setting: 7}
	m, err := emit.OfGCode(read(
		to(1, 0), gap, mark(2, 1), mark(3, 1), gap, wait, to(4, 0), to(5, 0), wait, gap, mark(6, 0), gap,
		to(7, 0), wait,
	), plotter())
	require.NoError(t, err)
	var got []uint16
	for _, mv := range list(t, m) {
		got = append(got, mv.Setting)
	}
	require.Equal(t, []uint16{1, 1, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0, 0, 0}, got)
	require.Equal(t, path.Point{X: 100, Y: 80}, m.Header.Field)
	require.True(t, m.Header.GCode)
	require.False(t, m.Header.Corrected)
	require.Equal(t, plotter().Scanners(m.Settings), m.Scanner)
	for n := range 14 { // who stops listening is not called again
		for range m.All() {
			if n--; n < 0 {
				break
			}
		}
	}

	corrected := plotter()
	corrected.Galvo.FieldScale = [2]float64{1.01, 1}
	m, err = emit.OfGCode(read(to(1, 0)), corrected)
	require.NoError(t, err)
	require.True(t, m.Header.Corrected)

	nothing, err := emit.OfGCode(emit.Moves{}, plotter())
	require.NoError(t, err)
	require.Len(t, nothing.Scanner, 1)
	require.Equal(t, plotter().Galvo.MaxSpeedMMPerS, nothing.Settings[0].SpeedMMPerS)

	other := gantry(nil)
	m, err = emit.OfGCode(read(to(1, 0)), other)
	require.NoError(t, err)
	require.Empty(t, m.Header)
	require.Nil(t, m.Scanner)
}

// An error in the file comes behind what stands before it, and ends it.
func TestErrorsOfAGalvosGCode(t *testing.T) {
	broken := errors.New("broken")
	in := emit.Moves{Settings: setting(100), Play: func(yield func(emit.Move, error) bool) {
		_ = yield(to(1, 1), nil) && yield(emit.Move{}, broken) && yield(to(2, 2), nil)
	}}
	m, err := emit.OfGCode(in, plotter())
	require.NoError(t, err)
	n, failed := 0, error(nil)
	for _, err := range m.All() {
		n, failed = n+1, err
	}
	require.Equal(t, 2, n)
	require.ErrorIs(t, failed, broken)
	require.ErrorIs(t, emit.Check(m, plotter()), broken)
}

// Speeds up to the scanner's greatest and powers from the source's floor to full pass;
// of all that do not, the first is named, and weak marks are counted.
func TestLimitsOfAGalvosGCode(t *testing.T) {
	p := plotter()
	p.Laser.FloorPercent = 10
	fastest := p.Galvo.MaxSpeedMMPerS
	check := func(list ...emit.Move) error {
		m, err := emit.OfGCode(read(list...), p)
		require.NoError(t, err)
		return emit.Check(m, p)
	}
	require.NoError(t, check(to(1, 0), burn(2, 0, fastest, 0.1), burn(3, 0, 1, 1)))
	var fast *emit.SpeedError
	require.ErrorAs(t, check(to(1, 0), burn(2, 0, fastest+1, 0.5), burn(3, 0, 1, 1), burn(4, 0, fastest+2, 0.5)), &fast)
	require.Equal(t, []any{1, fastest + 1, fastest, "plotter"}, []any{fast.Move, fast.Asked, fast.Max, fast.Machine})
	for _, bad := range []float64{0.09, 1.01} {
		var weak *emit.PowerError
		require.ErrorAs(t, check(to(1, 0), burn(2, 0, 100, 0.5), burn(3, 0, 100, bad), burn(4, 0, 100, bad)), &weak)
		require.Equal(t, []any{2, 2, bad, 0.1, "plotter"}, []any{weak.Move, weak.Count, weak.Power,
			weak.Floor, weak.Machine})
	}
	p.Laser.FloorPercent = 0
	var weak *emit.PowerError
	err := check(to(1, 0), burn(2, 0, fastest+1, 0))
	require.ErrorAs(t, err, &weak)
	require.ErrorAs(t, err, &fast, "all that is wrong is told")
}

// A galvo that takes G-code goes round as a gantry does, with the beam off, and where
// its correction says.
func TestLocateWithAGalvosGCode(t *testing.T) {
	p := plotter()
	p.Galvo.FieldScale = [2]float64{2, 1} // what is commanded comes out twice as wide
	m, err := emit.Locate(located, whole, p, 20, 0)
	require.NoError(t, err)
	require.Equal(t, path.Point{X: 100, Y: 80}, m.Header.Field)
	require.True(t, m.Header.GCode)
	require.True(t, m.Header.Corrected)
	require.Len(t, m.Scanner, 1)
	all := list(t, m)
	require.Len(t, all, 11)
	for _, mv := range all {
		require.Equal(t, emit.Gap, mv.Kind)
	}
	require.NotEqual(t, located.Max, all[2].To)
	require.InDelta(t, 7, all[2].To.Y, 1e-3)
	back := list(t, emit.AsMarked(m, p))
	require.InDelta(t, 0, located.Max.Dist(back[2].To), 2e-3, "the correction undone")
	_, err = emit.Locate(located, whole, p, 20, 1)
	require.ErrorContains(t, err, "visible guide")
}

// The head of a list says whether the field's correction is in its coordinates.
func TestListHeader(t *testing.T) {
	p := byhand.Fibre()
	g := *p.Galvo
	g.FieldMM, g.FieldScale, g.Samples = [2]float64{100, 80}, [2]float64{}, nil
	p.Galvo = &g
	h, err := emit.ListHeader(p)
	require.NoError(t, err)
	require.Equal(t, emit.Header{Profile: p.ID, Hash: p.Hash(), Field: pt(100, 80)}, h)
	g.FieldScale = [2]float64{1.01, 1}
	h, err = emit.ListHeader(p)
	require.NoError(t, err)
	require.True(t, h.Corrected)
}
