package clock_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// The quickest speed of rows of one width is √((w + 2·margin)·a/2) (computed
// from T = (w + 2·margin)/v + 2v/a by setting its derivative to 0), and the
// whole clock agrees that it is slower on either side.
func TestQuickestSpeedOfARectangle(t *testing.T) {
	for _, accel := range []float64{500, 1000, 3000} {
		for _, w := range []float64{5, 40, 76.2} {
			p := axes(5000, accel)
			prog := plainRows(w, 100)
			want := math.Sqrt((w + 2*0.5) * accel / 2)
			got := clock.NewRows(prog, *p.Gantry).Quickest(1, 5000)
			require.InEpsilon(t, want, got, 0.01)
			require.InEpsilon(t, want, got, 1e-6)
			least := total(t, prog, p, got)
			require.Greater(t, total(t, prog, p, got*0.9), least)
			require.Greater(t, total(t, prog, p, got*1.1), least)
		}
	}
}

// What the rows say of a change of speed is what the whole clock says, within a
// percent.
func TestRowsAgreeWithClock(t *testing.T) {
	for _, jerk := range []float64{0, 20_000} {
		p := axes(500, 1000)
		p.Gantry.JerkMMPerS3 = [2]float64{jerk, jerk}
		prog := plainRows(60, 300)
		rows := clock.NewRows(prog, *p.Gantry)
		slow, fast := total(t, prog, p, 80), total(t, prog, p, 220)
		require.InEpsilon(t, slow-fast, rows.Seconds(80)-rows.Seconds(220), 0.01, "jerk %g", jerk)
	}
}

func TestRowsOfNothing(t *testing.T) {
	r := clock.NewRows(path.Program{}, *axes(500, 1000).Gantry)
	require.True(t, r.Empty())
	require.Zero(t, r.Seconds(100))
}

func plainRows(w float64, rows int) path.Program {
	prog := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.3, SpacingMM: 0.1}}}
	for k := range rows {
		a, b := path.Point{Y: float64(k) * 0.1}, path.Point{X: w, Y: float64(k) * 0.1}
		if k%2 == 1 {
			a, b = b, a
		}
		prog.Append(path.Stroke{}, a, b)
	}
	return prog
}

func total(t *testing.T, prog path.Program, p machine.Profile, speed float64) float64 {
	prog.Settings = []path.Setting{{SpeedMMPerS: speed, Power: 0.3, SpacingMM: 0.1}}
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	return run(t, m, p).Total().Seconds()
}
