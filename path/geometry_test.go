package path_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

func near(t *testing.T, want, got path.Point, within float64, msg ...any) {
	t.Helper()
	require.InDelta(t, want.X, got.X, within, msg...)
	require.InDelta(t, want.Y, got.Y, within, msg...)
}

func TestPointsByHand(t *testing.T) {
	p, q := pt(3, 4), pt(1, -2)
	require.Equal(t, pt(4, 2), p.Add(q))
	require.Equal(t, pt(2, 6), p.Sub(q))
	require.Equal(t, pt(1.5, 2), p.Mul(0.5))
	require.Equal(t, -5.0, p.Dot(q))
	require.Equal(t, -10.0, p.Cross(q))
	require.Equal(t, 10.0, q.Cross(p))
	require.Equal(t, 5.0, p.Len())
	require.InDelta(t, math.Sqrt(40), p.Dist(q), 1e-12)
	require.Equal(t, pt(2.5, 2.5), p.Lerp(q, 0.25))
	require.True(t, p.Finite())
	for _, bad := range []path.Point{pt(math.NaN(), 0), pt(0, math.NaN()), pt(math.Inf(1), 0), pt(0, math.Inf(-1))} {
		require.False(t, bad.Finite())
	}
}

func TestRectsByHand(t *testing.T) {
	r := path.Rect{Min: pt(-1, 2), Max: pt(5, 4)}
	require.Equal(t, 6.0, r.W())
	require.Equal(t, 2.0, r.H())
	require.Equal(t, pt(2, 3), r.Centre())
	require.Equal(t, path.Rect{Min: pt(-1.5, 1.5), Max: pt(5.5, 4.5)}, r.Grow(0.5))
	require.Equal(t, path.Rect{Min: pt(-3, 2), Max: pt(5, 9)}, r.Include(pt(-3, 9)))
	require.Equal(t, path.Rect{Min: pt(-1, 0), Max: pt(7, 4)}, r.Union(path.Rect{Min: pt(6, 0), Max: pt(7, 1)}))
	require.Equal(t, r, r.Union(path.EmptyRect()))
	require.Equal(t, r, path.EmptyRect().Union(r))
	require.Equal(t, r, path.BoundsOf([]path.Point{pt(5, 3), pt(-1, 4), pt(0, 2)}))
	for _, e := range []path.Rect{path.EmptyRect(), {Min: pt(1, 0), Max: pt(0, 1)}, {Min: pt(0, 1), Max: pt(1, 0)}} {
		require.True(t, e.Empty())
	}
	require.Zero(t, path.EmptyRect().W())
	require.Zero(t, path.EmptyRect().H())
	require.False(t, path.Rect{}.Empty(), "a point")
}

// A map is a map of complex numbers and a shear: by hand, in a base of three points.
func TestMatricesByHand(t *testing.T) {
	m := path.Matrix{A: 2, B: 3, C: 5, D: 7, E: 11, F: 13}
	near(t, pt(11, 13), m.Apply(pt(0, 0)), 0)
	near(t, pt(13, 16), m.Apply(pt(1, 0)), 0)
	near(t, pt(16, 20), m.Apply(pt(0, 1)), 0)
	near(t, pt(2+10, 3+14), m.ApplyVector(pt(1, 2)), 0)
	require.Equal(t, -1.0, m.Det())
	near(t, pt(7, -3), path.Translate(4, -5).Apply(pt(3, 2)), 0)
	near(t, pt(6, -8), path.Scale(2, -4).Apply(pt(3, 2)), 0)
	near(t, pt(math.Cos(0.5)-2*math.Sin(0.5), math.Sin(0.5)+2*math.Cos(0.5)), path.Rotate(90/math.Pi).
		Apply(pt(1, 2)), 1e-12)
	for _, turn := range []float64{90, 180, 270, -90, -180, -270, 450, 12, -77} {
		sin, cos := path.SinCos(turn)
		require.InDelta(t, math.Sin(turn*math.Pi/180), sin, 1e-12, "%g", turn)
		require.InDelta(t, math.Cos(turn*math.Pi/180), cos, 1e-12, "%g", turn)
	}
}

// The product is one after the other, and the inverse undoes.
func TestMatricesOfRandomNumbers(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	any := func() path.Matrix {
		v := func() float64 { return r.Float64()*4 - 2 }
		return path.Matrix{A: v(), B: v(), C: v(), D: v(), E: v(), F: v()}
	}
	for range 200 {
		m, n, p := any(), any(), pt(r.Float64(), r.Float64())
		near(t, m.Apply(n.Apply(p)), m.Mul(n).Apply(p), 1e-12)
		back, ok := m.Inverse()
		require.Equal(t, math.Abs(m.Det()) > 0, ok)
		near(t, p, back.Apply(m.Apply(p)), 1e-9)
	}
	for _, flat := range []path.Matrix{{}, {A: 1, B: 2, C: 2, D: 4}, {A: math.Inf(1), D: 1}, {A: math.Inf(-1), D: 1},
		{A: math.NaN(), D: 1}} {
		_, ok := flat.Inverse()
		require.False(t, ok)
	}
}

// curveAt returns the place on a curve by the formulas of SVG 2 and of any textbook.
type curveAt func(t float64) path.Point

func quad(a, b, c path.Point) curveAt {
	return func(t float64) path.Point {
		u := 1 - t
		return a.Mul(u * u).Add(b.Mul(2 * u * t)).Add(c.Mul(t * t))
	}
}

func cube(a, b, c, d path.Point) curveAt {
	return func(t float64) path.Point {
		u := 1 - t
		return a.Mul(u * u * u).Add(b.Mul(3 * u * u * t)).Add(c.Mul(3 * u * t * t)).Add(d.Mul(t * t * t))
	}
}

func ellipse(c, u, v path.Point, start, sweep float64) curveAt {
	return func(t float64) path.Point {
		a := start + sweep*t
		return c.Add(u.Mul(math.Cos(a))).Add(v.Mul(math.Sin(a)))
	}
}

// toLine returns the distance of a place from the way from a to b.
func toLine(p, a, b path.Point) float64 {
	t := 0.0
	if d := b.Sub(a); d.Len() > 0 {
		t = min(1, max(0, p.Sub(a).Dot(d)/d.Dot(d)))
	}
	return p.Dist(a.Lerp(b, t))
}

// Every place of a curve lies within the tolerance of its chords, whose corners lie
// on it; and a curve is not cut much finer than it has to be: twice the tolerance
// takes fewer pieces, by about √2.
func TestCurvesKeepTheTolerance(t *testing.T) {
	a, b, c, d := pt(0, 0), pt(3, 9), pt(12, -4), pt(7, 7)
	u, v := pt(4, 1), pt(-2, 3)
	for name, tt := range map[string]struct {
		at  curveAt
		add func(p *path.Path)
	}{
		"quadratic": {quad(a, b, d), func(p *path.Path) { p.MoveTo(a); p.QuadTo(b, d) }},
		"cubic":     {cube(a, b, c, d), func(p *path.Path) { p.MoveTo(a); p.CubeTo(b, c, d) }},
		"arc": {ellipse(pt(5, 5), u, v, 0.7, -4.1), func(p *path.Path) {
			at := ellipse(pt(5, 5), u, v, 0.7, -4.1)
			p.MoveTo(at(0))
			p.ArcTo(pt(5, 5), u, v, 0.7, -4.1, at(1))
		}},
	} {
		pieces := map[float64]int{}
		for _, tol := range []float64{0.2, 0.02, 0.01, 0.001} {
			var p path.Path
			tt.add(&p)
			p.Flatten(tol, func(pts []path.Point, closed bool) {
				require.False(t, closed)
				pieces[tol] = len(pts) - 1
				near(t, tt.at(0), pts[0], 1e-9)
				near(t, tt.at(1), pts[len(pts)-1], 1e-9)
				worst := 0.0
				for i := range 4000 {
					q, least := tt.at(float64(i)/3999), math.Inf(1)
					for j := 1; j < len(pts); j++ {
						least = min(least, toLine(q, pts[j-1], pts[j]))
					}
					worst = max(worst, least)
				}
				require.LessOrEqual(t, worst, tol*(1+1e-6), "%s at %g", name, tol)
				require.Greater(t, worst, tol/5, "%s at %g is cut too fine", name, tol)
				for _, q := range pts {
					least := math.Inf(1)
					for i := range 20000 {
						least = min(least, q.Dist(tt.at(float64(i)/19999)))
					}
					require.Less(t, least, 2e-3, "%s at %g: a corner lies beside it", name, tol)
				}
			})
		}
		require.InDelta(t, math.Sqrt2, float64(pieces[0.01])/float64(pieces[0.02]), 0.25, name)
	}
}

// A segment behind Close begins where the subpath did, and two subpaths are two lines.
func TestSubpaths(t *testing.T) {
	var p path.Path
	p.MoveTo(pt(1, 1))
	p.LineTo(pt(2, 1))
	p.Close()
	p.LineTo(pt(5, 5))
	p.MoveTo(pt(7, 7))
	p.LineTo(pt(8, 8))
	var got [][]path.Point
	var closed []bool
	p.Flatten(1, func(pts []path.Point, c bool) {
		got = append(got, append([]path.Point(nil), pts...))
		closed = append(closed, c)
	})
	require.Equal(t, [][]path.Point{{pt(1, 1), pt(2, 1)}, {pt(1, 1), pt(5, 5)}, {pt(7, 7), pt(8, 8)}}, got)
	require.Equal(t, []bool{true, false, false}, closed)
}

// The bounds of an arc are those of very many places on it.
func TestBoundsOfArcs(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	for range 300 {
		v := func() float64 { return r.Float64()*8 - 4 }
		c, u, w, start, sweep := pt(v(), v()), pt(v(), v()), pt(v(), v()), 3*v(), 1.5*v()
		at := ellipse(c, u, w, start, sweep)
		var p path.Path
		p.MoveTo(at(0))
		p.ArcTo(c, u, w, start, sweep, at(1))
		want := path.EmptyRect()
		for i := range 3001 {
			want = want.Include(at(float64(i) / 3000))
		}
		near(t, want.Min, p.Bounds().Min, 1e-4)
		near(t, want.Max, p.Bounds().Max, 1e-4)
		m := path.Matrix{A: v(), B: v(), C: v(), D: v(), E: v(), F: v()}
		moved, i := p.Transform(m), 0
		moved.Flatten(1e-3, func(pts []path.Point, _ bool) {
			for _, q := range []int{0, len(pts) / 2, len(pts) - 1} {
				tt := float64(q) / float64(len(pts)-1)
				if len(pts) > 1 {
					near(t, m.Apply(at(tt)), pts[q], 1e-9)
				}
			}
			i++
		})
		require.Equal(t, 1, i)
	}
}

// The page of turned artwork is the bounds of its four turned corners.
func TestPageOfTurnedArtwork(t *testing.T) {
	a := path.Artwork{Page: path.Rect{Min: pt(0, 0), Max: pt(30, 10)}}
	a.Shapes = []path.Shape{{Path: circle(2), Width: 3, Centre: circle(1),
		Clips: []*path.Clip{{Shapes: []path.Shape{{Path: circle(5)}}}}}}
	sin, cos := 0.6, 0.8
	m := path.Matrix{A: 2 * cos, B: 2 * sin, C: -2 * sin, D: 2 * cos, E: 1, F: -1}
	got := a.Transform(m)
	near(t, pt(1-2*10*sin, -1), got.Page.Min, 1e-12)
	near(t, pt(1+2*30*cos, -1+2*(30*sin+10*cos)), got.Page.Max, 1e-12)
	s := got.Shapes[0]
	require.InDelta(t, 6, s.Width, 1e-12, "twice as large")
	require.InDelta(t, 4, s.Centre.Bounds().W(), 1e-9)
	require.InDelta(t, 8, s.Path.Bounds().H(), 1e-9)
	require.InDelta(t, 20, s.Clips[0].Shapes[0].Path.Bounds().W(), 1e-9)
	near(t, pt(1, -1), s.Clips[0].Shapes[0].Path.Bounds().Centre(), 1e-9)
	near(t, pt(1, -1), got.Bounds().Centre(), 1e-9)
	require.Equal(t, 2.0, a.Shapes[0].Path.Bounds().Max.X, "the first stays as it is")
	require.True(t, path.Artwork{Page: path.EmptyRect()}.Transform(m).Page.Empty())
}

// Row k runs along Dir through Origin + k·Spacing·n, n to the left of Dir.
func TestRowsByHand(t *testing.T) {
	r := path.RowSet{
		Origin: pt(10, 20), Dir: pt(0.6, 0.8), Spacing: 0.5, Start: []int32{0, 1, 1, 3},
		Spans: []path.Span{{X0: 0, X1: 4}, {X0: -1, X1: 1}, {X0: 2, X1: 2.5}},
	}
	require.Equal(t, 3, r.NumRows())
	require.Empty(t, r.Row(1))
	require.Equal(t, r.Spans[1:], r.Row(2))
	near(t, pt(10+0.6*5, 20+0.8*5), r.At(0, 5), 1e-12)
	near(t, pt(10+0.6*5-0.8*1.5, 20+0.8*5+0.6*1.5), r.At(3, 5), 1e-12)
	require.InDelta(t, 6.5, r.Length(), 1e-12)
}

func TestParseLengthAndFrequency(t *testing.T) {
	for in, want := range map[string]float64{"12": 12, " 1.5 mm": 1.5, "25um": 0.025, "25µm": 0.025,
		"2in": 50.8, "-3mm": -3} {
		got, err := path.ParseLength(in)
		require.NoError(t, err, in)
		require.InDelta(t, want, got, 1e-12, in)
	}
	for in, want := range map[string]float64{"50kHz": 50e3, "2MHz": 2e6, "500 Hz": 500, "0kHz": 0, "1.5khz": 1500} {
		got, err := path.ParseFrequency(in)
		require.NoError(t, err, in)
		require.InDelta(t, want, got, 1e-9, in)
	}
	for _, in := range []string{"50", "50mm", "-1kHz", "", "kHz"} {
		_, err := path.ParseFrequency(in)
		require.Error(t, err, in)
	}
	for _, in := range []string{"3ft", "lpi", "1lpi", "x", "0x1p4mm", "1_0mm", "infmm", "1e999mm", "١mm"} {
		_, err := path.ParseLength(in)
		require.Error(t, err, in)
	}
	for in, ok := range map[string]bool{"0.0001mm": true, "0.00009mm": false, "1000mm": true, "1001mm": false} {
		_, err := path.ParseSpacing(in)
		require.Equal(t, ok, err == nil, in)
	}
}

func TestParseDecimal(t *testing.T) {
	for in, want := range map[string]float64{"0": 0, "-1.5": -1.5, "+2e3": 2000, ".5": 0.5, "1E-2": 0.01} {
		got, err := path.ParseDecimal(in)
		require.NoError(t, err, in)
		require.Equal(t, want, got, in)
	}
	for _, in := range []string{"", "0x10", "1_0", "inf", "NaN", "1e999", "e5", "1 0", "--1", "1.2.3"} {
		_, err := path.ParseDecimal(in)
		require.ErrorContains(t, err, "is not a number", in)
	}
}

// Quarter turns are exact to the last bit; a degree beside them is not a quarter.
func TestQuarterTurnsAreExact(t *testing.T) {
	for turn, want := range map[float64][2]float64{
		0: {0, 1}, 90: {1, 0}, -270: {1, 0}, 180: {0, -1}, -180: {0, -1}, 270: {-1, 0}, -90: {-1, 0},
		360: {0, 1}, 630: {-1, 0},
	} {
		sin, cos := path.SinCos(turn)
		require.Equal(t, want, [2]float64{sin, cos}, "%g", turn)
	}
	for _, turn := range []float64{1, 89, 91, 181, 271, -91, -271} {
		sin, cos := path.SinCos(turn)
		require.True(t, sin != 0 && cos != 0, "%g", turn)
	}
}

// A gradient is straight from stop to stop, and flat outside of them.
func TestGradientsByHand(t *testing.T) {
	g := path.Gradient{Stops: []path.Stop{
		{Offset: 0.2, Paint: path.Paint{R: 0.1, G: 0.9, B: 0.4, Opacity: 1}},
		{Offset: 0.6, Paint: path.Paint{R: 0.5, G: 0.1, B: 0.8, Opacity: 0.5}},
	}}
	require.Equal(t, g.Stops[0].Paint, g.Paint(0))
	require.Equal(t, g.Stops[1].Paint, g.Paint(0.9))
	got := g.Paint(0.3) // a quarter of the way
	for _, v := range [][2]float64{{0.2, got.R}, {0.7, got.G}, {0.5, got.B}, {0.875, got.Opacity}} {
		require.InDelta(t, v[0], v[1], 1e-12)
	}
	require.InDelta(t, 0.4375, g.Fade(0.5).Paint(0.3).Opacity, 1e-12)
	require.Equal(t, 1.0, g.Stops[0].Paint.Opacity, "the first stays as it is")
}

func TestWhereNamesLineAndElement(t *testing.T) {
	require.Equal(t, "line 7: <rect>: ", path.Where(7, "rect"))
	require.Equal(t, "line 7: ", path.Where(7, ""))
	require.Equal(t, "<rect>: ", path.Where(0, "rect"))
	require.Empty(t, path.Where(0, ""))
}
