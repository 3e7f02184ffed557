package view_test

import (
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/view"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/raster/density"

	"github.com/stretchr/testify/require"
)

func TestLag(t *testing.T) {
	var l view.Lag
	for text, want := range map[string]view.Lag{"110": 110, "110us": 110, "62.5 us": 62.5, view.ProfileLag: 0} {
		require.NoError(t, l.Set(text))
		require.Equal(t, want, l)
	}
	require.NoError(t, l.Set("1"))
	require.NoError(t, l.Set("100000"))
	for _, bad := range []string{"", "0", "0.99", "100001", "-3", "1e9", "NaN", "fast", "1ms"} {
		require.Error(t, l.Set(bad), bad)
	}
	lagging := machine.Examples()[2]
	g := *lagging.Galvo
	g.TrackingLagUS = 84.5
	lagging.Galvo = &g
	d, err := view.Lag(0).Of(&lagging)
	require.NoError(t, err)
	require.EqualValues(t, 84500, d)
	d, err = view.Lag(20).Of(nil)
	require.NoError(t, err)
	require.EqualValues(t, 20000, d)
	d, err = view.Lag(20).Of(&lagging)
	require.NoError(t, err)
	require.EqualValues(t, 20000, d)
	gantry, fibre := machine.Examples()[0], machine.Examples()[2]
	for _, p := range []*machine.Profile{nil, &gantry, &fibre} {
		_, err := view.Lag(0).Of(p)
		var f *fault.Failure
		require.ErrorAs(t, err, &f)
	}
}

// As driven, a mark of 8 mm at 1,000 mm/s ends early by what mirrors with a lag of 150 us
// trail, where the gate closes at its commanded end: 0.15 mm.
func TestDrivenMarksEndEarly(t *testing.T) {
	p := machine.Examples()[2]
	g := *p.Galvo
	g.LaserOnDelayUS, g.LaserOffDelayUS = 0, 0
	p.Galvo = &g
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 1000, Power: 0.5, FrequencyHz: 50_000}}}
	prog.Append(path.Stroke{}, path.Point{X: 1, Y: 2}, path.Point{X: 9, Y: 2})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	s, err := view.OfFile(proof.File{Name: "a.mvl", Format: figures.Markvec, Moves: m,
		Machine: &settings.Machine{Profile: p}})
	require.NoError(t, err)
	rows, lag := "rows", view.Lag(150)
	anybodys, err := view.OfFile(proof.File{Name: "a.mvl", Format: figures.Markvec, Moves: m})
	require.NoError(t, err)
	o, err := view.Picture{Show: &rows, Driven: &lag}.Options(anybodys, 0)
	require.NoError(t, err)
	require.InDelta(t, 9-0.15, o.Driven[0][len(o.Driven[0])-1].X, 0.01, "of a list whose machine is not known")
	o, err = view.Picture{Show: &rows, Driven: &lag}.Options(s, 0)
	require.NoError(t, err)
	require.Len(t, o.Driven, 1)
	require.InDelta(t, 9-0.15, o.Driven[0][len(o.Driven[0])-1].X, 0.01)
	require.Contains(t, o.Caption.Facts[len(o.Caption.Facts)-1], "lag of 150 us")

	beside := view.Window{Min: path.Point{X: 20, Y: 20}, Max: path.Point{X: 30, Y: 30}}
	o, err = view.Picture{Show: &rows, Driven: &lag, Window: &beside}.Options(s, 0)
	require.NoError(t, err)
	require.Empty(t, o.Driven, "out of sight")

	dose := density.ShowDose.String()
	_, err = view.Picture{Show: &dose, Driven: &lag}.Options(s, 0)
	require.ErrorContains(t, err, "beside the lines that are wanted")
	_, err = view.Picture{Show: &rows, Driven: &lag}.Options(s, 1)
	require.Error(t, err, "no film of it")
}
