package path_test

import (
	"math"
	"testing"
	"time"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestIntersect(t *testing.T) {
	r := path.Rect{Min: pt(0, 10), Max: pt(4, 20)}
	for want, s := range map[path.Rect]path.Rect{
		{Min: pt(1, 12), Max: pt(3, 14)}: {Min: pt(1, 12), Max: pt(3, 14)},
		{Min: pt(0, 15), Max: pt(2, 20)}: {Min: pt(-1, 15), Max: pt(2, 99)},
		{Min: pt(3, 10), Max: pt(4, 11)}: {Min: pt(3, 1), Max: pt(9, 11)},
	} {
		assert.Equal(t, want, r.Intersect(s))
		assert.Equal(t, want, s.Intersect(r))
	}
	assert.True(t, r.Intersect(path.Rect{Min: pt(5, 10), Max: pt(6, 20)}).Empty())
	assert.True(t, r.Intersect(path.Rect{Min: pt(0, 21), Max: pt(4, 22)}).Empty())
	assert.False(t, r.Intersect(path.Rect{Min: pt(4, 20), Max: pt(6, 22)}).Empty(), "a corner")
}

// A curve gives each of its corners once: an absurdly fine tolerance as many as are
// allowed, a coarse one its ends alone.
func TestCornersOfCurves(t *testing.T) {
	for name, add := range map[string]func(p *path.Path){
		"quadratic": func(p *path.Path) { p.MoveTo(pt(0, 0)); p.QuadTo(pt(50, 90), pt(100, 0)) },
		"cubic":     func(p *path.Path) { p.MoveTo(pt(0, 0)); p.CubeTo(pt(0, 99), pt(100, 99), pt(100, 0)) },
		"arc": func(p *path.Path) {
			p.MoveTo(pt(9, 0))
			p.ArcTo(pt(0, 0), pt(9, 0), pt(0, 9), 0, 3, pt(9*math.Cos(3), 9*math.Sin(3)))
		},
	} {
		var p path.Path
		add(&p)
		for tol, most := range map[float64]int{1e-3: 1000, 1e-300: 1 << 16, 1e6: 1} {
			p.Flatten(tol, func(pts []path.Point, closed bool) {
				require.Greater(t, len(pts), 1, name)
				for i, q := range pts[1:] {
					require.NotEqual(t, pts[i], q, "%s at %g", name, tol)
				}
				assert.LessOrEqual(t, len(pts)-1, most, "%s at %g", name, tol)
				if most > 1000 {
					assert.Len(t, pts, most+1, "%s at %g", name, tol)
				}
			})
		}
	}
}

// A line marked before another keeps its own, in every copy, the very first too.
func TestAcrossKeepsWhatComesBefore(t *testing.T) {
	m := path.Marks{ToleranceMM: 0.3, Settings: []path.Setting{{Name: "a"}}, Lines: []path.Line{
		{Points: []path.Point{{X: 1}}, Before: -1}, {Points: []path.Point{{X: 2, Y: 1}}, Before: 0},
	}}
	a := m.Across([]path.Point{{}, {Y: 5}})
	assert.Equal(t, []int{-1, 0, -1, 2}, []int{a.Lines[0].Before, a.Lines[1].Before, a.Lines[2].Before,
		a.Lines[3].Before})
	assert.Equal(t, pt(2, 6), a.Lines[3].Points[0])
	assert.Equal(t, m.ToleranceMM, a.ToleranceMM)
	assert.Equal(t, m.Settings, a.Settings)
}

// The power of a stroke is its own, or that of its setting; there is a pause only
// before the stroke that it is told of.
func TestPrograms(t *testing.T) {
	p := path.Program{Settings: []path.Setting{{Power: 0.4}, {Power: 0.7}},
		Rests: []path.Rest{{Before: 1, For: 3 * time.Second}, {Before: 4, For: time.Second}}}
	p.Append(path.Stroke{Setting: 1}, pt(1, 2), pt(3, 4))
	p.Append(path.Stroke{Setting: 1, Power: 0.2}, pt(5, 6), pt(-7, 8), pt(9, 10))
	p.Append(path.Stroke{Setting: 2}, pt(0, 0))
	assert.Equal(t, []float64{0.7, 0.2, 0}, []float64{p.PowerOf(0), p.PowerOf(1), p.PowerOf(2)})
	assert.Equal(t, []path.Point{pt(5, 6), pt(-7, 8), pt(9, 10)}, p.PointsOf(1))
	assert.Equal(t, 3, cap(p.PointsOf(1)), "to append changes nothing of the program")
	for i, want := range []time.Duration{0, 3 * time.Second, 0, 0, time.Second, 0} {
		assert.Equal(t, want, p.RestBefore(i), i)
	}
	assert.Equal(t, path.Rect{Min: pt(-7, 0), Max: pt(9, 10)}, p.Bounds())
	q := p.Transform(path.Translate(1, 1))
	assert.Equal(t, pt(2, 3), q.PointsOf(0)[0])
	assert.Equal(t, pt(1, 2), p.PointsOf(0)[0])
}

func TestWarningsSayWhere(t *testing.T) {
	w := path.Warning{Message: "is left out", Element: "image#a", Line: 3}
	assert.Equal(t, "line 3: <image#a>: is left out", w.String())
	w.At = path.Rect{Min: pt(1, 2), Max: pt(4.25, 9)}
	assert.Equal(t, "line 3: <image#a>: is left out; 3.2 x 7.0 mm at 1.0, 2.0", w.String())
}

// A value that cannot be read is none.
func TestBadValuesAreZero(t *testing.T) {
	for _, s := range []string{"x", "5ft", "NaN mm", "Infmm", ""} {
		for _, parse := range []func(string) (float64, error){path.ParseLength, path.ParseSpacing,
			path.ParseFrequency} {
			v, err := parse(s)
			assert.Error(t, err, s)
			assert.Zero(t, v, s)
		}
	}
	v, err := path.ParseSpacing("254lpi")
	require.NoError(t, err)
	assert.InDelta(t, 0.1, v, 1e-12)
	for _, s := range []string{"-1Hz", "0.00001mm", "0.1", "2000mm", "5"} {
		v, err := path.ParseSpacing(s)
		assert.Error(t, err, s)
		assert.Zero(t, v, s)
	}
	v, err = path.ParseFrequency("-1Hz")
	assert.Error(t, err)
	assert.Zero(t, v)
}
