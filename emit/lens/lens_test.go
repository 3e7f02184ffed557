package lens_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"furrow/emit/lens"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

func pt(x, y float64) path.Point { return path.Point{X: x, Y: y} }

const half = 55.0 // of a field of 110 mm

// grid samples a distortion at n by n points.
func grid(n int, distort func(path.Point) path.Point) []lens.Sample { return oblong(n, n, distort) }

// oblong samples a distortion at points in columns and rows.
func oblong(columns, rows int, distort func(path.Point) path.Point) []lens.Sample {
	var s []lens.Sample
	for j := range rows {
		for i := range columns {
			p := pt(-half+2*half*float64(i)/float64(columns-1), -half+2*half*float64(j)/float64(rows-1))
			s = append(s, lens.Sample{Commanded: p, Measured: distort(p)})
		}
	}
	return s
}

// The distortions: 2 percent at the middle of an edge. The first two are the
// first-order pincushion and barrel of every optics textbook; the next two have
// all orders; the last is what two mirrors make of a lens that is not f·theta:
// one angle acts through the other's cosine.
var fields = map[string]func(path.Point) path.Point{
	"pincushion":          radial(func(r2 float64) float64 { return 1 + 0.02*r2 }),
	"barrel":              radial(func(r2 float64) float64 { return 1 - 0.02*r2 }),
	"rational pincushion": radial(func(r2 float64) float64 { return 1 / (1 - 0.02*r2/1.02) }),
	"rational barrel":     radial(func(r2 float64) float64 { return 1 / (1 + 0.02*r2/0.98) }),
	"two mirrors": func(p path.Point) path.Point {
		// x = f·tan(a)/cos(b), y = f·tan(b), with f such that tan(a)/a at the
		// edge is 1.02
		const a = 0.2423
		x, y := p.X/half*a, p.Y/half*a
		return pt(math.Tan(x)/math.Cos(y), math.Tan(y)).Mul(half / a)
	},
}

func radial(scale func(r2 float64) float64) func(path.Point) path.Point {
	return func(p path.Point) path.Point { return p.Mul(scale(p.Dot(p) / (half * half))) }
}

// worst returns the greatest distance between where the beam should go and
// where the true distortion takes the corrected command.
func worst(t *testing.T, c *lens.Correction, distort func(path.Point) path.Point) float64 {
	w := 0.0
	for y := -1.0; y <= 1; y += 0.037 {
		for x := -1.0; x <= 1; x += 0.037 {
			want := distort(pt(x*half, y*half)) // somewhere that can be reached
			send, ok := c.Apply(want)
			require.True(t, ok, "%v", want)
			w = max(w, distort(send).Dist(want))
			require.InDelta(t, 0, c.Undo(send).Dist(want), 1e-6)
		}
	}
	return w
}

func TestSyntheticFields(t *testing.T) {
	for name, distort := range fields {
		edge := distort(pt(half, 0)).X / half
		require.InDelta(t, 0.02, math.Abs(edge-1), 0.0005, name)
		for n, limit := range map[int]float64{5: 0.020, 9: 0.005} {
			c, err := lens.Fit(grid(n, distort))
			require.NoError(t, err, name)
			w := worst(t, c, distort)
			t.Logf("%-20s %dx%d: worst %.3f um, residual rms %.3f um", name, n, n, 1000*w, 1000*c.Residual().RMSMM)
			require.Less(t, w, limit, "%s %dx%d", name, n, n)
		}
	}
}

func TestSequenceOfSamplesDoesNotMatter(t *testing.T) {
	s := grid(5, fields["barrel"])
	a, err := lens.Fit(s)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(1, 2))
	rng.Shuffle(len(s), func(i, j int) { s[i], s[j] = s[j], s[i] })
	b, err := lens.Fit(s)
	require.NoError(t, err)
	p, _ := a.Apply(pt(12, 34))
	q, _ := b.Apply(pt(12, 34))
	require.Equal(t, p, q)
}

// A plate may be measured from its corner.
func TestOriginOfMeasurementDoesNotMatter(t *testing.T) {
	a, err := lens.Fit(grid(5, fields["two mirrors"]))
	require.NoError(t, err)
	b, err := lens.Fit(grid(5, func(p path.Point) path.Point { return fields["two mirrors"](p).Add(pt(61, -40)) }))
	require.NoError(t, err)
	p, _ := a.Apply(pt(12, 34))
	q, ok := b.Apply(pt(12, 34))
	require.True(t, ok)
	require.InDelta(t, 0, p.Dist(q), 1e-9)
}

func TestOutsideIsSaid(t *testing.T) {
	c, err := lens.Fit(grid(5, fields["pincushion"]))
	require.NoError(t, err)
	_, ok := c.Apply(pt(60, 0))
	require.True(t, ok, "a quarter of a cell beyond the grid")
	_, ok = c.Apply(pt(65, 0))
	require.False(t, ok)
	_, ok = c.Apply(pt(-1e6, 1e6))
	require.False(t, ok)
}

func TestFitRefuses(t *testing.T) {
	straight := func(p path.Point) path.Point { return p }
	change := func(f func(s []lens.Sample) []lens.Sample) []lens.Sample { return f(grid(5, straight)) }
	for _, tt := range []struct {
		samples []lens.Sample
		err     string
	}{
		{nil, "correction grid: has 0 columns and 0 rows, and needs four or more of both"},
		{grid(3, straight), "correction grid: has 3 columns and 3 rows, and needs four or more of both"},
		{oblong(3, 5, straight), "correction grid: has 3 columns and 5 rows, and needs four or more of both"},
		{oblong(5, 3, straight), "correction grid: has 5 columns and 3 rows, and needs four or more of both"},
		{grid(5, straight)[1:], "correction grid: has 24 points in 5 columns and 5 rows, which makes 25"},
		{change(func(s []lens.Sample) []lens.Sample { s[7] = s[8]; return s }),
			"correction grid, point 9: 27.5, -27.5 mm is there twice"},
		{change(func(s []lens.Sample) []lens.Sample { s[3].Measured.X = math.NaN(); return s }),
			"correction grid, point 4: is not a place in millimetres"},
		{change(func(s []lens.Sample) []lens.Sample {
			s[6].Measured, s[8].Measured = s[8].Measured, s[6].Measured
			return s
		}), "folds over itself near"},
		{grid(5, func(p path.Point) path.Point { return pt(-p.X, p.Y) }), "folds over itself near"},
		{grid(5, func(p path.Point) path.Point { return pt(0, 0) }), "folds over itself near"},
		{grid(5, func(p path.Point) path.Point { return pt(p.X/25.4, p.Y/25.4) }),
			"is 0.0394 times as large as the commanded one: measure in millimetres"},
		{grid(5, func(p path.Point) path.Point { return pt(p.X*10, p.Y*10) }), "is 10 times as large"},
		{grid(5, func(p path.Point) path.Point { return pt(-p.Y, p.X) }), "on a plate that lay turned"},
		{grid(5, func(p path.Point) path.Point { return pt(-p.X, -p.Y) }), "on a plate that lay turned"},
	} {
		_, err := lens.Fit(tt.samples)
		require.ErrorContains(t, err, tt.err)
		var fe *lens.FitError
		require.ErrorAs(t, err, &fe)
	}
}

// A point that is measured wrongly by a tenth of a millimetre sticks out.
func TestResidualFindsTheWrongPoint(t *testing.T) {
	s := grid(9, fields["rational barrel"])
	s[40].Measured.X += 0.1
	c, err := lens.Fit(s)
	require.NoError(t, err)
	r := c.Residual()
	require.Equal(t, s[40], r.Worst)
	require.InDelta(t, 0.1, r.WorstMM, 0.02)
	clean, err := lens.Fit(grid(9, fields["rational barrel"]))
	require.NoError(t, err)
	require.Less(t, clean.Residual().WorstMM, 0.005)
}

// bend is no lens, but a cubic in X and in Y, which the map is exact for.
func bend(p path.Point) path.Point {
	x, y := p.X/half, p.Y/half
	return p.Add(pt(0.9*x*x*x*y*y-0.4*x*y*y*y+0.3*y, 0.5*x*x*x*y*y*y+0.7*x*x-0.2*x*y))
}

// The map is what a cubic is, between the points, at them, and a quarter of a cell
// beyond.
func TestCubicsAreExact(t *testing.T) {
	var s []lens.Sample
	for _, y := range []float64{-55, -30, -14, 9, 33, 55} { // unevenly spaced, of unlike numbers
		for _, x := range []float64{-55, -21, 4, 30, 55} {
			s = append(s, lens.Sample{Commanded: pt(x, y), Measured: bend(pt(x, y))})
		}
	}
	c, err := lens.Fit(s)
	require.NoError(t, err)
	for y := -61.25; y <= 60; y += 3.7 { // 25/4 below -55, 22/4 above 55
		for x := -63.5; x <= 61; x += 3.1 { // 34/4 and 25/4
			p := pt(x, y)
			require.InDelta(t, 0, c.Undo(p).Dist(bend(p)), 1e-9, "%v", p)
			got, ok := c.Apply(bend(p))
			require.True(t, ok, "%v", p)
			require.InDelta(t, 0, got.Dist(p), 1e-9, "%v", p)
		}
	}
	for _, p := range []path.Point{pt(-63.6, 0), pt(61.4, 0), pt(0, -61.4), pt(0, 60.6)} {
		_, ok := c.Apply(bend(p))
		require.False(t, ok, "%v", p)
	}
}

// One point in the middle is a tenth of a millimetre off, and the others are exact. Its
// row and its column without it go through where it should be: 0.1 off. Each of its
// neighbours has a line without it, and is 0 off. Of 25 points the four corners are at
// the ends of both of their lines.
func TestResidualByHand(t *testing.T) {
	s := grid(5, bend)
	s[12].Measured.X += 0.1
	c, err := lens.Fit(s)
	require.NoError(t, err)
	r := c.Residual()
	require.InDelta(t, 0.1, r.WorstMM, 1e-9)
	require.Equal(t, s[12], r.Worst)
	require.InDelta(t, 0.1/math.Sqrt(21), r.RMSMM, 1e-9)

	// Columns of five in rows of four, which are too few: 12 points count. What Lagrange's
	// polynomial through 0, 2, 3 and 4 makes at 1 of an error at 2 is
	// (1-0)(1-3)(1-4) / (2-0)(2-3)(2-4) = 1.5 times that, and at 3 the same.
	s = oblong(4, 5, bend)
	s[9].Measured.Y += 0.1
	c, err = lens.Fit(s)
	require.NoError(t, err)
	r = c.Residual()
	require.InDelta(t, 0.15, r.WorstMM, 1e-9)
	require.Contains(t, []lens.Sample{s[5], s[13]}, r.Worst)
	require.InDelta(t, math.Sqrt((0.15*0.15*2+0.1*0.1)/12), r.RMSMM, 1e-9)

	s = oblong(5, 4, bend) // the same in the rows
	s[7].Measured.Y += 0.1
	c, err = lens.Fit(s)
	require.NoError(t, err)
	require.InDelta(t, 0.15, c.Residual().WorstMM, 1e-9)

	c, err = lens.Fit(grid(4, bend)) // none has enough others
	require.NoError(t, err)
	require.Equal(t, lens.Residual{}, c.Residual())
}

// A field may be up to twice as large as it was sent, or half as large, and no more.
func TestFieldsOfAnotherSize(t *testing.T) {
	for scale, ok := range map[float64]bool{0.49: false, 0.5: true, 1.99: true, 2: true, 2.01: false} {
		_, err := lens.Fit(grid(5, func(p path.Point) path.Point { return p.Mul(scale) }))
		require.Equal(t, ok, err == nil, "%g times", scale)
	}
	for degrees, ok := range map[float64]bool{44: true, -44: true, 46: false, -46: false} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		_, err := lens.Fit(grid(5, func(p path.Point) path.Point { return pt(p.X*cos-p.Y*sin, p.X*sin+p.Y*cos) }))
		require.Equal(t, ok, err == nil, "turned by %g", degrees)
	}
	for x, ok := range map[float64]bool{10_000: true, 10_001: false} { // mm from the corner of a plate
		for _, by := range []path.Point{pt(x-half, 0), pt(half-x, 0), pt(0, x-half), pt(0, half-x)} {
			_, err := lens.Fit(grid(5, func(p path.Point) path.Point { return p.Add(by) }))
			require.Equal(t, ok, err == nil, "%v: %v", by, err)
		}
	}
}

// Of unlike sides it is the diagonal that counts: of 0.35 and 0.6 it is 0.491 times as long.
func TestSizeIsThatOfTheDiagonal(t *testing.T) {
	for _, tt := range []struct {
		x, y float64
		ok   bool
	}{{0.35, 0.6, false}, {0.6, 0.35, false}, {0.4, 0.6, true}, {0.6, 0.4, true}, {1.2, 2.5, true}, {2.5, 1.2, true},
		{1.2, 2.6, false}, {2.6, 1.2, false}} {
		_, err := lens.Fit(grid(5, func(p path.Point) path.Point { return pt(p.X*tt.x, p.Y*tt.y) }))
		require.Equal(t, tt.ok, err == nil, "%v", tt)
	}
}

// A point that is measured more than its neighbour's distance off folds the field, wherever
// it stands.
func TestFoldsAreFoundEverywhere(t *testing.T) {
	const cell = 2 * half / 6
	for k := range 49 {
		s := grid(7, func(p path.Point) path.Point { return p })
		by := pt(1.6*cell, 0)
		if k%7 > 3 {
			by = pt(-1.6*cell, 0)
		}
		s[k].Measured = s[k].Measured.Add(by)
		_, err := lens.Fit(s)
		require.ErrorContains(t, err, "folds over itself near", "point %d", k)
	}
}

const header = "point,commanded_x_mm,commanded_y_mm,measured_x_mm,measured_y_mm\n"

func TestCSV(t *testing.T) {
	var b strings.Builder
	require.NoError(t, lens.WriteCSV(&b, []path.Point{pt(-1, 2.5), pt(0, 0)}))
	require.Equal(t, header+"1,-1,2.5,,\n2,0,0,,\n", b.String())
	_, err := lens.ReadCSV(strings.NewReader(b.String()))
	require.EqualError(t, err, "line 2: measured_x_mm is empty: measure every point")
	for _, tt := range []struct{ in, err string }{
		{header + "1,0,0,1,2\r\n2, 3,4 ,5,6", ""},
		{"\ufeff" + header + "1,0,0,1,2\n2,3,4,5,6\n", ""},
		{header + "1, \"0\",0, \"1\",2\n2,3,4,5,6\n", ""},
		{"", "line 1: the file is empty"},
		{"a,b,c,d,e\n", `line 1: column 1 is "a" and not "point"`},
		{"point,commanded_x_mm\n1,0\n", "line 1: wrong number of fields"},
		{header + "1,0,0,1\n", "line 2: wrong number of fields"},
		{header + "1,0,0,x,1\n", `line 2: measured_x_mm: "x" is not a number of millimetres`},
		{header + "1,0,0,1e999,1\n", `line 2: measured_x_mm: "1e999" is not a number of millimetres`},
		{header + strings.Repeat("1,0,0,1,1\n", 10001), "line 10002: more than 10000 points"},
		{strings.Repeat("x", 5<<20), "more than 4194304 bytes are too many for a grid"},
	} {
		got, err := lens.ReadCSV(strings.NewReader(tt.in))
		if tt.err != "" {
			require.EqualError(t, err, tt.err)
			continue
		}
		require.NoError(t, err)
		require.Equal(t, []lens.Sample{{pt(0, 0), pt(1, 2)}, {pt(3, 4), pt(5, 6)}}, got)
	}
}

func FuzzReadCSV(f *testing.F) {
	var b strings.Builder
	b.WriteString(header)
	for i, s := range grid(4, fields["barrel"]) {
		fmt.Fprintf(&b, "%d,%g,%g,%g,%g\n", i+1, s.Commanded.X, s.Commanded.Y, s.Measured.X, s.Measured.Y)
	}
	f.Add(b.String())
	f.Add(header + "1,0,0,1,2\n")
	f.Fuzz(func(t *testing.T, in string) {
		samples, err := lens.ReadCSV(strings.NewReader(in))
		if err != nil {
			return
		}
		c, err := lens.Fit(samples)
		if err != nil {
			return
		}
		c.Residual()
		for _, s := range append(samples, lens.Sample{Measured: pt(1e9, 1)}) {
			if p, ok := c.Apply(s.Measured); ok {
				require.InDelta(t, 0, c.Undo(p).Dist(s.Measured), 1e-3)
			}
		}
	})
}

func BenchmarkApply(b *testing.B) {
	c, err := lens.Fit(grid(9, fields["two mirrors"]))
	if err != nil {
		b.Fatal(err)
	}
	i := 0
	for b.Loop() {
		x := float64(i%1000)/10 - 50
		if _, ok := c.Apply(pt(x, 0.7*x)); !ok {
			b.Fatal("outside")
		}
		i++
	}
}
