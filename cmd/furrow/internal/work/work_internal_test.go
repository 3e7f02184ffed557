package work

import (
	"furrow/cmd/furrow/internal/job"
	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/svg"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Artwork that will be enlarged is read the finer, so that its strokes are as
// smooth on the blank; where the file names no size it is read fine.
func TestStrokeTolerance(t *testing.T) {
	page := path.Rect{Max: path.Point{X: 60, Y: 90}}
	width := value.Length(600)
	in := Input{}
	assert.InEpsilon(t, svg.DefaultTolerance, in.strokeTolerance(page), 1e-9)
	in.Job.Artwork.Width = &width
	assert.InEpsilon(t, svg.DefaultTolerance/10, in.strokeTolerance(page), 1e-9)
	assert.InEpsilon(t, svg.DefaultTolerance/10, in.strokeTolerance(path.Rect{}), 1e-9)
}

// A recipe out of focus is judged by the wider spot.
func TestFocusOffsetWidensTheSpot(t *testing.T) {
	m, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	offset := value.Length(3)
	sharp := Input{Resolved: job.Resolved{Machine: &m, Fills: []job.ResolvedFill{{}}}}
	soft := Input{Resolved: job.Resolved{Machine: &m,
		Fills: []job.ResolvedFill{{Spec: job.Fill{FocusOffset: &offset}}}}}
	require.Equal(t, m.Laser, sharp.Laser(0))
	require.Greater(t, soft.Laser(0).SpotMM[0], sharp.Laser(0).SpotMM[0])
}

// A tenth of the mark, or of the narrower side of the spot, and no less than two steps of
// the file: 1 µm, or 0.00001 in with inches (arithmetic).
func TestLeastShown(t *testing.T) {
	width := value.Length(0.12)
	fine, finer := value.Length(0.012), value.Length(0.001)
	inch, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	g := *inch.GCode
	g.Inch = true
	inch.GCode = &g
	for _, tt := range []struct {
		name string
		m    string
		fill job.Fill
		want float64
	}{
		{"CO2, 0.15 mm", "example-co2", job.Fill{}, 0.015}, {"diode, 0.08 x 0.12 mm", "example-diode", job.Fill{},
			0.008},
		{"fibre, 0.06 mm", "example-fibre", job.Fill{}, 0.006}, {"a mark of 0.12 mm", "example-co2",
			job.Fill{MarkWidth: &width}, 0.012},
		{"a mark of 0.012 mm", "example-co2", job.Fill{MarkWidth: &fine}, 0.002},
		{"and on a list", "example-fibre", job.Fill{MarkWidth: &finer}, 0.0002},
	} {
		m, err := settings.FindMachine(tt.m)
		require.NoError(t, err)
		require.InDelta(t, tt.want, leastShown(tt.fill, &m), 1e-9, tt.name)
		part := hatchGroup(tt.fill, &m)
		require.InDelta(t, tt.want, part.Shortest, 1e-9, tt.name)
		require.InDelta(t, tt.want, part.CloseGaps, 1e-9, tt.name)
	}
	require.InDelta(t, 0.000508, leastShown(job.Fill{MarkWidth: &finer}, &inch), 1e-9)
	require.Zero(t, leastShown(job.Fill{}, nil))
	none := value.Length(0)
	m, err := settings.FindMachine("example-co2")
	require.NoError(t, err)
	require.Zero(t, hatchGroup(job.Fill{Shortest: &none}, &m).Shortest, "all of them, where that is asked for")
}

// A profile with arcs leaves half of the tolerance to them; a list's own default is finer
// than that of G-code.
func TestToleranceIsSharedWithArcs(t *testing.T) {
	asked := value.Length(0.04)
	for _, tt := range []struct {
		machine string
		arcs    bool
		asked   *value.Length
		want    float64
	}{
		{"example-co2", false, nil, 0.01}, {"example-co2", true, nil, 0.005}, {"example-co2", false, &asked, 0.04},
		{"example-co2", true, &asked, 0.02}, {"example-fibre", false, nil, 0.002}, {"example-fibre", false, &asked,
			0.04},
	} {
		m, err := settings.FindMachine(tt.machine)
		require.NoError(t, err)
		if m.GCode != nil {
			g := *m.GCode
			g.Arcs, m.GCode = tt.arcs, &g
		}
		in := Input{Resolved: job.Resolved{Machine: &m, Job: job.Job{Tolerance: tt.asked}}}
		require.InDelta(t, tt.want, in.CurveTolerance(), 1e-12, "%+v", tt)
	}
}

// A setting of the outline's own is told where its speed or its power is another.
func TestOutlinesDiffer(t *testing.T) {
	a := path.Setting{SpeedMMPerS: 100, Power: 0.4, SpacingMM: 0.1}
	slower, weaker, plain := a, a, a
	slower.SpeedMMPerS, weaker.Power, plain.SpacingMM = 90, 0.3, 0
	require.True(t, differ(a, slower))
	require.True(t, differ(a, weaker))
	require.False(t, differ(a, plain), "outlines have no spacing")
}

// Strokes are as smooth as a tenth of the rows' spacing, and of pages that have no size a
// tenth of that again.
func TestStrokeToleranceFollowsTheSpacing(t *testing.T) {
	page := path.Rect{Max: path.Point{X: 60, Y: 90}}
	in := Input{}
	in.Groups = append(in.Groups, rows(0), rows(0.01), rows(0.015))
	require.InEpsilon(t, 0.001, in.strokeTolerance(page), 1e-9)
	require.InEpsilon(t, 0.0001, in.strokeTolerance(path.Rect{Max: path.Point{X: 60}}), 1e-9)
	require.InEpsilon(t, 0.0001, in.strokeTolerance(path.Rect{Max: path.Point{Y: 60}}), 1e-9)
	yes := true
	fit := in
	fit.Job.Artwork.Fit = &yes
	require.InEpsilon(t, 0.0001, fit.strokeTolerance(page), 1e-9, "of a blank that is not known")
	half := value.Length(30)
	in.Job.Artwork.Width = &half
	require.InEpsilon(t, 0.002, in.strokeTolerance(page), 1e-9)
	in.Groups = nil
	coarse := value.Length(0.0001)
	in.Job.Tolerance = &coarse
	require.InEpsilon(t, 0.0002, in.strokeTolerance(page), 1e-9)
}
