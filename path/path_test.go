package path_test

import (
	"math"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func circle(r float64) path.Path {
	var p path.Path
	p.MoveTo(path.Point{X: r})
	p.ArcTo(path.Point{}, path.Point{X: r}, path.Point{Y: r}, 0, 2*math.Pi, path.Point{X: r})
	p.Close()
	return p
}

// No flattened chord of a mapped circle leaves the ellipse by more than the
// tolerance: the sagitta at each chord's middle is within it.
func TestFlattenKeepsTolerance(t *testing.T) {
	for _, tol := range []float64{1e-4, 0.01, 0.3} {
		m := path.Rotate(30).Mul(path.Scale(3, 1))
		n := 0
		circle(10).Transform(m).Flatten(tol, func(pts []path.Point, closed bool) {
			n++
			require.True(t, closed)
			for i := 1; i < len(pts); i++ {
				mid := pts[i-1].Add(pts[i]).Mul(0.5)
				back := path.Scale(1.0/3, 1).Mul(path.Rotate(-30)).Apply(mid)
				require.LessOrEqual(t, 3*(10-back.Len()), 3*tol+1e-12)
			}
		})
		require.Equal(t, 1, n)
	}
}

func TestArcBoundsAreExact(t *testing.T) {
	r := circle(2).Transform(path.Translate(5, 0)).Bounds()
	require.InDelta(t, 3, r.Min.X, 1e-12)
	require.InDelta(t, 7, r.Max.X, 1e-12)
	require.InDelta(t, -2, r.Min.Y, 1e-12)
	require.InDelta(t, 2, r.Max.Y, 1e-12)
}

func TestEmptyValues(t *testing.T) {
	require.True(t, path.Path{}.Bounds().Empty())
	require.True(t, path.Artwork{}.Bounds().Empty())
	require.Zero(t, (&path.RowSet{}).NumRows())
	b := (&path.Program{}).Bounds()
	require.True(t, b.Empty())
	path.Path{}.Flatten(1, func([]path.Point, bool) { t.Fatal("a line of nothing") })
}

func TestRotateIsExactAtRightAngles(t *testing.T) {
	require.Equal(t, path.Point{X: -2, Y: 1}, path.Rotate(90).Apply(path.Point{X: 1, Y: 2}))
	require.Equal(t, path.Point{X: 1, Y: 2}, path.Rotate(720).Apply(path.Point{X: 1, Y: 2}))
	require.Equal(t, path.Point{X: -2, Y: 1}, path.Rotate(-270).Apply(path.Point{X: 1, Y: 2}))
}

func TestParseSpacing(t *testing.T) {
	for _, tt := range []struct {
		in   string
		want float64 // mm; 0 = refused
	}{
		{"400lpi", 0.0635}, {"0.1mm", 0.1}, {"25um", 0.025}, {"2in", 50.8}, {"1e-2mm", 0.01},
		{"0.1", 0}, {"0mm", 0}, {"-1mm", 0}, {"0lpi", 0}, {"1e-9mm", 0}, {"NaNmm", 0}, {"infmm", 0},
		{"", 0}, {"mm", 0}, {"3ft", 0}, {"1e400mm", 0},
	} {
		got, err := path.ParseSpacing(tt.in)
		if tt.want == 0 {
			require.Error(t, err, tt.in)
			continue
		}
		require.NoError(t, err, tt.in)
		require.InDelta(t, tt.want, got, 1e-12, tt.in)
	}
}
