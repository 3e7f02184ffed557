package clock_test

import (
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// acrossGap returns the seconds for a row with a gap (mm), whose second span belongs
// to a sweep of that number; the first belongs to sweep 1.
func acrossGap(t *testing.T, p machine.Profile, gap float64, sweep int32) float64 {
	t.Helper()
	prog := path.Program{Settings: []path.Setting{slow}}
	prog.Append(path.Stroke{Sweep: 1}, pt(0, 0), pt(5, 0))
	prog.Append(path.Stroke{Sweep: sweep}, pt(5+gap, 0), pt(9, 0))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	return run(t, m, p).Total().Seconds()
}

// A gap is crossed beam off exactly where that is quicker by the clock, up to
// the length the profile allows.
func TestGapIsCrossedWhereQuicker(t *testing.T) {
	p := byhand.Fibre()
	p.Galvo.GapMM = 1
	c := clock.Cost(p, []path.Setting{slow})
	crossed := 0
	for gap := 0.01; gap < 1.5; gap += 0.01 {
		sweep := c.Sweep(gap, 0)
		closes := gap > 0.016 // off less on, 20 us, at 800 mm/s
		require.Equal(t, closes && gap <= 1 && acrossGap(t, p, gap, 1) < acrossGap(t, p, gap, 2), sweep,
			"gap %g mm", gap)
		if sweep {
			crossed++
		}
	}
	require.InDelta(t, 16, crossed, 1) // from 0.016 mm up to 160 us / (1/800 - 1/4000 - 95 us/mm) = 0.177 mm
	require.False(t, clock.Cost(byhand.Fibre(), []path.Setting{slow}).Sweep(0.01, 0), "off by default")
}
