package svg

import (
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// anyCurve is a segment of any kind.
func anyCurve(r *rand.Rand) curve {
	at := func() path.Point { return path.Point{X: r.NormFloat64(), Y: r.NormFloat64()} }
	c := curve{from: at()}
	switch r.IntN(3) {
	case 0:
		c.verb, c.pts = path.QuadTo, []path.Point{at(), at()}
	case 1:
		c.verb, c.pts = path.CubeTo, []path.Point{at(), at(), at()}
	default:
		var p path.Path
		p.MoveTo(c.from)
		arcTo(&p, c.from, 0.5+r.Float64(), 0.5+r.Float64(), 90*r.Float64(), r.IntN(2) == 0, r.IntN(2) == 0, at())
		c.verb, c.pts = path.ArcTo, p.Points[1:]
	}
	return c
}

// The derivatives of a segment are what its places change by, and its places are those of
// the segment cut to chords; at its ends it leads where it goes at first and at last.
func TestDerivativesOfCurves(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 200 {
		c := anyCurve(r)
		const h = 1e-5
		for _, x := range []float64{0.1, 0.37, 0.5, 0.92} {
			p, d, dd := c.at(x)
			before, db, _ := c.at(x - h)
			after, da, _ := c.at(x + h)
			require.InDelta(t, 0, after.Sub(before).Mul(1/(2*h)).Dist(d), 1e-6*(1+d.Len()))
			require.InDelta(t, 0, da.Sub(db).Mul(1/(2*h)).Dist(dd), 1e-5*(1+dd.Len()))
			var whole path.Path
			whole.MoveTo(c.from)
			whole.Verbs, whole.Points = append(whole.Verbs, c.verb), append(whole.Points, c.pts...)
			least := 1.0
			whole.Flatten(1e-4, func(pts []path.Point, _ bool) {
				for i := 1; i < len(pts); i++ {
					v := pts[i].Sub(pts[i-1])
					s := min(1, max(0, p.Sub(pts[i-1]).Dot(v)/max(v.Dot(v), 1e-300)))
					least = min(least, p.Dist(pts[i-1].Lerp(pts[i], s)))
				}
			})
			require.Less(t, least, 2e-4)
		}
		first, _, _ := c.at(0)
		last, _, _ := c.at(1)
		require.InDelta(t, 0, first.Dist(c.from), 1e-9)
		require.InDelta(t, 0, last.Dist(c.end()), 1e-9)
		in, out := c.tangents()
		near, _, _ := c.at(1e-6)
		far, _, _ := c.at(1 - 1e-6)
		unit := func(p path.Point) path.Point { return p.Mul(1 / p.Len()) }
		require.InDelta(t, 0, unit(in).Dist(unit(near.Sub(first))), 1e-3)
		require.InDelta(t, 0, unit(out).Dist(unit(last.Sub(far))), 1e-3)
	}
	for name, c := range map[string]struct {
		c       curve
		in, out path.Point
	}{
		"handle at its start": {curve{path.CubeTo, path.Point{}, []path.Point{{}, {X: 2, Y: 2}, {X: 4}}},
			path.Point{X: 2, Y: 2}, path.Point{X: 2, Y: -2}},
		"handle at its end": {curve{path.CubeTo, path.Point{}, []path.Point{{X: 1}, {X: 4, Y: 1}, {X: 4, Y: 1}}},
			path.Point{X: 1}, path.Point{X: 3, Y: 1}},
		"both at its start": {curve{path.CubeTo, path.Point{X: 1}, []path.Point{{X: 1}, {X: 1}, {X: 4, Y: 1}}},
			path.Point{X: 3, Y: 1}, path.Point{X: 3, Y: 1}},
		"nowhere": {curve{path.QuadTo, path.Point{X: 1}, []path.Point{{X: 1}, {X: 1}}}, path.Point{}, path.Point{}},
	} {
		in, out := c.c.tangents()
		require.Equal(t, c.in, in, name)
		require.Equal(t, c.out, out, name)
	}
}

// A curve is folded beside itself where it bends tighter than half the width, to either side.
func TestFoldsToEitherSide(t *testing.T) {
	for _, side := range []float64{1, -1} {
		c := curve{path.QuadTo, path.Point{}, []path.Point{{X: 10}, {X: 10, Y: 10 * side}}} // at its middle of radius 7.07
		f := c.frames(0, 1)
		require.False(t, f.folded(6.9))
		require.True(t, f.folded(7.2))
	}
}

// timesMatrix is what two matrices of colours do one after the other.
func timesMatrix(a, b *matrix5) (m matrix5) {
	for i := range 3 {
		for k := range 3 {
			for j := range 3 {
				m[i][k] += a[i][j] * b[j][k]
			}
		}
	}
	return m
}

// Saturation takes each colour to the grey of its lightness, or away from it, and a turn of
// the hue keeps the lightness, is a third of three such turns, and nothing for a whole round
// (Filter Effects 1, 9.6, whose figures for turns have three digits).
func TestMatricesOfColours(t *testing.T) {
	light := [3]float64{0.213, 0.715, 0.072}
	for _, s := range []float64{0, 0.3, 1, 2.5} {
		m := saturation(s)
		for i := range 3 {
			for k := range 3 {
				want := light[k] * (1 - s)
				if i == k {
					want += s
				}
				require.InDelta(t, want, m[i][k], 1e-12)
			}
		}
	}
	for degrees := -90.0; degrees <= 270; degrees += 30 {
		m := hueTurn(degrees)
		for k := range 3 {
			sum := 0.0
			for i := range 3 {
				sum += light[i] * m[i][k]
			}
			require.InDelta(t, light[k], sum, 2e-3, "the lightness of a channel is kept: %g", degrees)
			require.InDelta(t, 1, m[k][0]+m[k][1]+m[k][2], 2e-3, "and so is a grey")
		}
		once := hueTurn(degrees / 3)
		twice := timesMatrix(once, once)
		thrice := timesMatrix(&twice, once)
		for i := range 3 {
			for k := range 3 {
				require.InDelta(t, m[i][k], thrice[i][k], 0.01, "%g", degrees)
			}
		}
		require.Equal(t, [5]float64{3: 1}, m[3])
	}
	whole := hueTurn(360)
	for i := range 3 {
		for k := range 3 {
			require.InDelta(t, map[bool]float64{true: 1}[i == k], whole[i][k], 1e-9)
		}
	}
	list := ""
	for i := range 20 {
		list += string(rune('0'+i%10)) + " "
	}
	m, ok := colourMatrix("matrix", list)
	require.True(t, ok)
	require.Equal(t, &matrix5{{0, 1, 2, 3, 4}, {5, 6, 7, 8, 9}, {0, 1, 2, 3, 4}, {5, 6, 7, 8, 9}}, m)
	for kind, want := range map[string]*matrix5{"saturate": saturation(1), "hueRotate": hueTurn(0)} {
		m, ok = colourMatrix(kind, "")
		require.True(t, ok)
		require.Equal(t, want, m)
	}
	for _, wrong := range [][2]string{{"matrix", "1"}, {"other", list}, {"saturate", "x"}, {"matrix", list + "1"}} {
		_, ok = colourMatrix(wrong[0], wrong[1])
		require.False(t, ok, wrong)
	}
}
