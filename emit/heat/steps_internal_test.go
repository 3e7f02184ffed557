package heat

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
)

// lossy is a plate of 20 x 10 mm that keeps e⁻¹ of its rise for each 2.4192 s.
func lossy() Plate {
	return Plate{
		Rect: path.Rect{Max: pt(20, 10)}, ThicknessMM: 1, Material: Materials()[0], Loss: Loss{Above: 600, Below: 400},
	}
}

// A plate that is warmed at once keeps exp(-t/τ) of it, τ = c·ρ·thickness over the loss,
// 2.4192 s by hand, at every moment that is asked for: in short steps and in long ones, in
// a last one that is shorter, and before the end.
func TestCoolingIsExact(t *testing.T) {
	p := lossy()
	first := p.Material.SpecificHeat * p.Material.DensityKgM3 * 1e-3 / 1000
	require.InDelta(t, 2.4192, first, 1e-9)
	for _, end := range []float64{0.5, 1.07, 3.333, 20.05} {
		for _, step := range []float64{0.1, 0.01, 7} {
			m, err := Run(p, slices.Values([]Deposit{{From: pt(4, 3), To: pt(4, 3), EnergyJ: 8}}), 0.5,
				Options{CellMM: 1, StepS: step, EndS: end, Marks: []float64{0, end / 2}, Frames: 2})
			require.NoError(t, err)
			require.Len(t, m.Ends, 3)
			for _, e := range m.Ends {
				require.InEpsilon(t, 4/p.Heat()*math.Exp(-e.AtS/2.4192), e.Mean, 1e-9, "end %g, step %g", end, step)
			}
			require.InDelta(t, end, m.Ends[2].AtS, 1e-12)
			require.Less(t, m.Ends[1].AtS-end/2, min(step+end/1000, end/2)+1e-9, "the first step that ends behind it")
			require.Len(t, m.Frames, 2)
			require.InEpsilon(t, m.Ends[2].Mean, mean(m.Frames[1]), 1e-5)
		}
	}
}

func mean(cells []float32) float64 {
	sum := 0.0
	for _, v := range cells {
		sum += float64(v)
	}
	return sum / float64(len(cells))
}

// Until a moment all steps are ended that end before it, and none more, however long
// nothing is laid down.
func TestUntilAMoment(t *testing.T) {
	p := lossy()
	for _, s := range []float64{0, 0.05, 0.09, 0.1, 0.16, 0.25, 1, 7.77, 99.99, 1999.95} {
		o := Options{CellMM: 5, StepS: 0.1, EndS: 2000}
		r := newRunner(newGrid(p, o), o)
		r.until(s)
		require.LessOrEqual(t, r.now, s+1e-9)
		require.Greater(t, r.now+o.StepS, s-1e-9, "%g", s)
		require.InDelta(t, r.now, float64(r.n)*o.StepS, 1e-9)
		require.Equal(t, newGrid(p, o).along, r.grid.along, "steps as before")
	}
}

// Of 1,000 s in which nothing is laid down after the first, steps of 10 ms get longer by a
// fifth each, up to a second: of 99,900 steps less than 1.2/0.2·100 pass before that, and
// then a hundred each. No idle time of less than 16 steps is shortened.
func TestIdleStepsAreFew(t *testing.T) {
	p := lossy()
	dot := func(at float64) Deposit { return Deposit{From: pt(4, 3), To: pt(4, 3), Start: at, End: at, EnergyJ: 1} }
	ends := func(end float64, all ...Deposit) []float64 {
		o := Options{CellMM: 5, StepS: 0.01, EndS: end}
		for s := 0.0; s <= end; s += 0.005 {
			o.Marks = append(o.Marks, s)
		}
		m, err := Run(p, slices.Values(all), 1, o)
		require.NoError(t, err)
		var at []float64
		for _, e := range m.Ends {
			if len(at) == 0 || e.AtS > at[len(at)-1] {
				at = append(at, e.AtS)
			}
		}
		return at
	}
	long := ends(1000, dot(0))
	require.Greater(t, len(long), 1000)
	require.Less(t, len(long), 1000+60)
	for i := 1; i < len(long); i++ {
		step := long[i] - long[i-1]
		require.LessOrEqual(t, step, 1+1e-6)
		if i > 1 {
			require.LessOrEqual(t, step, 1.2*(long[i-1]-long[i-2])+0.0101)
		}
	}
	require.InDelta(t, 100, len(ends(1, dot(0))), 2, "no step may be longer than a thousandth of the job")
	require.InDelta(t, 16, countUpTo(ends(1000, dot(0), dot(0.16)), 0.1599), 1, "too short to be shortened")
	require.Less(t, countUpTo(ends(1000, dot(0), dot(0.17001)), 0.1699), 14)
}

func countUpTo(at []float64, most float64) (n int) {
	for _, s := range at {
		if s <= most {
			n++
		}
	}
	return n
}

// The bulge is the state, of all steps, in which the mean is most above that of the rim;
// the peak is the hottest of all, where and when it is seen. Of a plate that nothing warms
// there is neither.
func TestBulgeAndPeakOfAllSteps(t *testing.T) {
	p := lossy()
	all := []Deposit{
		{From: pt(0.5, 0.5), To: pt(19.5, 0.5), Start: 0.1, End: 0.5, EnergyJ: 6},
		{From: pt(8, 6), To: pt(12, 6), Start: 0.7, End: 0.9, EnergyJ: 2},
		{From: pt(2, 9.5), To: pt(3, 9.5), Start: 1.1, End: 1.2, EnergyJ: 1},
	}
	o := Options{CellMM: 1, StepS: 0.02, EndS: 2}
	for n := range 100 {
		o.Marks = append(o.Marks, 0.02*float64(n+1)-1e-6)
	}
	m, err := Run(p, slices.Values(all), 1, o)
	require.NoError(t, err)
	best, hot := End{}, End{}
	for _, e := range m.Ends {
		if e.Mean-e.Rim > best.Mean-best.Rim {
			best = e
		}
		if e.Most > hot.Most {
			hot = e
		}
	}
	require.InDelta(t, 0.9, best.AtS, 0.03)
	require.Equal(t, best, m.Bulge)
	require.InDelta(t, best.Mean-best.Rim, m.Bulge.OverRim(), 1e-12)
	require.Equal(t, hot.Most, m.Peak)
	require.Equal(t, hot.AtS, m.PeakS)
	require.Equal(t, float32(m.Peak), slices.Max(m.Highest))
	i := slices.Index(m.Highest, float32(m.Peak))
	require.Equal(t, pt(float64(i%20)+0.5, float64(i/20)+0.5), m.PeakAt)
	require.InDelta(t, 9, m.AbsorbedJ, 1e-9)

	m, err = Run(p, slices.Values([]Deposit{}), 1, o)
	require.NoError(t, err)
	require.Zero(t, m.Bulge)
	require.Zero(t, m.PeakS)
}

// A plate of one cell cools in a pause as by hand, through all of the pause that is told.
func TestPausesCoolForAsLongAsTold(t *testing.T) {
	p := lossy()
	p.Rect = path.Rect{Max: pt(2, 2)}
	for _, target := range []float64{90, 33, 5} {
		o := Options{CellMM: 2, StepS: 0.013}
		w := pauser{runner: newRunner(newGrid(p, o), o), limit: Limit{MostK: 100, LongestS: LongestPause}}
		w.grid.t[0] = 100
		require.NoError(t, w.cool(7, target))
		require.Len(t, w.all, 1)
		require.Equal(t, 7, w.all[0].Before)
		require.InEpsilon(t, 100*math.Exp(-w.all[0].S/2.4192), w.grid.t[0], 1e-9)
		require.LessOrEqual(t, w.grid.t[0], target)
		// a step more, which may be a quarter of all, and the rounding
		longest := 2.4192*math.Log(100/target)*1.25 + 0.12
		require.Less(t, w.all[0].S, longest)
	}
}
