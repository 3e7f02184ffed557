package view_test

import (
	"math"
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
		d, err := view.Lag(0).Of(p)
		var f *fault.Failure
		require.ErrorAs(t, err, &f)
		require.Zero(t, d)
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

	// The lens of a machine is undone: its list is sent 1 mm beside where the beam goes.
	g.FieldOffsetMM = [2]float64{1, 0}
	sent, err := emit.Plan(prog, p)
	require.NoError(t, err)
	require.True(t, sent.Header.Corrected)
	lensed, err := view.OfFile(proof.File{Name: "a.mvl", Format: figures.Markvec, Moves: sent,
		Machine: &settings.Machine{Profile: p}})
	require.NoError(t, err)
	o, err = view.Picture{Show: &rows, Driven: &lag}.Options(lensed, 0)
	require.NoError(t, err)
	require.InDelta(t, 9-0.15, o.Driven[0][len(o.Driven[0])-1].X, 0.01)
	g.FieldOffsetMM = [2]float64{}

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

// Mirrors of the second order, critically damped, that trail by a lag T go on past a corner
// of a right angle at v: of 1/T = w/2 the way along X that is left is v (T + t) e^(-wt), and
// along Y v (t - T + (T + t) e^(-wt)) is done (any textbook on control). What is drawn lies
// on that curve within a fiftieth of a mark's width of 0.06 mm, and a step of the samples.
func TestDrivenCorner(t *testing.T) {
	p := machine.Examples()[2]
	g := *p.Galvo
	g.CornerDelayUS, g.MarkDelayUS = 0, 0
	p.Galvo = &g
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 2000, Power: 0.5, FrequencyHz: 50_000}}}
	prog.Append(path.Stroke{Kind: path.LineStroke}, path.Point{}, path.Point{X: 8}, path.Point{X: 8, Y: 8})
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	s, err := view.OfFile(proof.File{Name: "a.mvl", Format: figures.Markvec, Moves: m,
		Machine: &settings.Machine{Profile: p}})
	require.NoError(t, err)
	rows, lag := "rows", view.Lag(400)
	o, err := view.Picture{Show: &rows, Driven: &lag}.Options(s, 0)
	require.NoError(t, err)
	require.Len(t, o.Driven, 1)
	const v, T = 2000, 400e-6
	for us := 0.; us < 2000; us += 10 {
		at := us / 1e6
		left := v * (T + at) * math.Exp(-2/T*at)
		on := path.Point{X: 8 - left, Y: v*(at-T) + left}
		near := math.Inf(1)
		for i := range o.Driven[0][1:] {
			near = min(near, off(on, o.Driven[0][i], o.Driven[0][i+1]))
		}
		require.Less(t, near, 0.02*0.06+0.001, "%g us behind the corner", us)
	}
}

// off is how far a point lies from a straight line between two.
func off(p, a, b path.Point) float64 {
	d, w := b.Sub(a), p.Sub(a)
	along := (w.X*d.X + w.Y*d.Y) / (d.X*d.X + d.Y*d.Y)
	return p.Dist(a.Add(d.Mul(max(0, min(1, along)))))
}
