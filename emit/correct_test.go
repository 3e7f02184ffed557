package emit_test

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"furrow/emit"
	"furrow/emit/lens"
	"furrow/emit/machine"
	"furrow/emit/machine/byhand"
	"furrow/emit/markvec"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// distortion of two mirrors behind a lens that is not f·theta, 2 percent at the
// middle of an edge of 110 mm; see the lens package's tests.
func distortion(p path.Point) path.Point {
	const a = 0.2423
	x, y := p.X/55*a, p.Y/55*a
	return pt(math.Tan(x)/math.Cos(y), math.Tan(y)).Mul(55 / a)
}

func distorted(t *testing.T) machine.Profile { return gridded(t, distortion) }

// gridded is a galvo whose field was measured at 9 by 9 points.
func gridded(t *testing.T, distort func(path.Point) path.Point) machine.Profile {
	p := byhand.Fibre()
	p.Galvo.FieldMM = [2]float64{110, 110}
	for j := range 9 {
		for i := range 9 {
			c := pt(-54+13.5*float64(i), -54+13.5*float64(j))
			p.Galvo.Samples = append(p.Galvo.Samples, lens.Sample{Commanded: c, Measured: distort(c)})
		}
	}
	require.NoError(t, p.Validate())
	return p
}

// What is sent, taken through the true distortion, follows the line that was
// drawn: within 2 µm of it everywhere, by the fit's own half micrometre.
func TestCorrectedLinesAreStraight(t *testing.T) {
	p := distorted(t)
	rng := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		a, b := pt(rng.Float64()*104-52, rng.Float64()*104-52), pt(rng.Float64()*104-52, rng.Float64()*104-52)
		prog := path.Program{Settings: []path.Setting{fill}}
		prog.Append(path.Stroke{}, a, b)
		m, err := emit.Plan(prog, p)
		require.NoError(t, err)
		require.True(t, m.Header.Corrected)
		moves := collect(t, m)
		d := b.Sub(a).Mul(1 / a.Dist(b))
		for i := 1; i < len(moves); i++ {
			for k := range 11 {
				sent := moves[i-1].To.Add(moves[i].To.Sub(moves[i-1].To).Mul(float64(k) / 10))
				require.Less(t, math.Abs(distortion(sent).Sub(a).Cross(d)), 0.0026)
			}
		}
		require.Less(t, distortion(moves[0].To).Dist(a), 0.001)
		require.Less(t, distortion(moves[len(moves)-1].To).Dist(b), 0.001)
	}
}

// The straight pieces that are sent keep to the corrected curve within 2 µm,
// rounding to the file's grid included: every place of it is looked at, not only
// those by which a line is cut.
func TestPiecesFollowTheCurve(t *testing.T) {
	scaled := func(k float64) func(path.Point) path.Point {
		return func(q path.Point) path.Point { return q.Mul(1 + k*q.Dot(q)/(55*55)) }
	}
	for name, distort := range map[string]func(path.Point) path.Point{
		"two mirrors": distortion, "pincushion": scaled(0.02), "barrel": scaled(-0.02),
		"far worse than any lens": func(q path.Point) path.Point {
			return pt(q.X+0.4*math.Sin(q.Y/6),
				q.Y+0.4*math.Sin(q.X/5))
		},
	} {
		p := gridded(t, distort)
		c, err := lens.Fit(p.Galvo.Samples)
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(8, 8))
		place := func() path.Point { return pt(rng.Float64()*100-50, rng.Float64()*100-50) }
		worst := 0.0
		for range 60 {
			a, b := place(), place()
			prog := path.Program{Settings: []path.Setting{fill}}
			prog.Append(path.Stroke{}, a, b)
			m, err := emit.Plan(prog, p)
			require.NoError(t, err)
			var sent []path.Point
			for _, mv := range collect(t, m) {
				sent = append(sent, mv.To)
			}
			for i := range 500 {
				q, ok := c.Apply(a.Add(b.Sub(a).Mul(float64(i) / 499)))
				require.True(t, ok)
				worst = max(worst, distanceTo(q, sent))
			}
		}
		t.Logf("%s: at most %.2f um from the curve", name, 1000*worst)
		require.LessOrEqual(t, worst, 0.002, name)
	}
}

// A list whose coordinates are corrected says so, and is never corrected again:
// reading and writing leaves it as it is, and undoing it twice is undoing it
// once.
func TestCorrectionIsNotAppliedTwice(t *testing.T) {
	p := distorted(t)
	prog := path.Program{Settings: []path.Setting{fill}}
	prog.Append(path.Stroke{}, pt(-40, -30), pt(45, 20))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	var b, again bytes.Buffer
	require.NoError(t, markvec.Encoder{}.Encode(&b, m))
	require.Contains(t, b.String(), "\ncorrected 1\n")
	back, err := markvec.Read(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.NoError(t, markvec.Encoder{}.Encode(&again, back))
	require.Equal(t, b.String(), again.String())
	once := emit.AsMarked(back, p)
	require.Equal(t, collect(t, once), collect(t, emit.AsMarked(once, p)))
}

func TestCorrectionIsUndoneOnReading(t *testing.T) {
	p := distorted(t)
	p.Galvo.FieldScale, p.Galvo.FieldRotateDegrees, p.Galvo.FieldOffsetMM = [2]float64{0.98, 1.01}, 1.5,
		[2]float64{0.3, -0.2}
	prog := path.Program{Settings: []path.Setting{fill}}
	prog.Append(path.Stroke{}, pt(-40, -30), pt(45, 20))
	prog.Append(path.Stroke{Kind: path.LineStroke}, pt(0, 0), pt(10, 40), pt(-40, 40))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, markvec.Encoder{}.Encode(&b, m))
	back, err := markvec.Read(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.True(t, back.Header.Corrected)
	plain := emit.AsMarked(back, p)
	require.False(t, plain.Header.Corrected)
	got, err := plain.Program()
	require.NoError(t, err)
	require.Len(t, got.Strokes, 2)
	for i, want := range [][]path.Point{{pt(-40, -30), pt(45, 20)}, {pt(0, 0), pt(10, 40), pt(-40, 40)}} {
		pts := got.PointsOf(i)
		require.Less(t, pts[0].Dist(want[0]), 0.001)
		require.Less(t, pts[len(pts)-1].Dist(want[len(want)-1]), 0.001)
		for _, q := range pts {
			require.Less(t, distanceTo(q, want), 0.001, "%v", q)
		}
	}
}

func distanceTo(q path.Point, line []path.Point) float64 {
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		a, d := line[i-1], line[i].Sub(line[i-1])
		t := min(1, max(0, q.Sub(a).Dot(d)/d.Dot(d)))
		best = min(best, q.Dist(a.Add(d.Mul(t))))
	}
	return best
}

func TestTrimAloneKeepsLinesWhole(t *testing.T) {
	p := byhand.Fibre()
	p.Galvo.FieldScale = [2]float64{1.01, 0.99}
	p.Galvo.FieldRotateDegrees = 90
	p.Galvo.FieldOffsetMM = [2]float64{1, 2}
	prog := path.Program{Settings: []path.Setting{fill}}
	prog.Append(path.Stroke{}, pt(0, 0), pt(10, 20))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	moves := collect(t, m)
	require.Equal(t, "JM", kinds(moves))
	require.Equal(t, pt(1, 2), moves[0].To)
	require.InDelta(t, 0, moves[1].To.Dist(pt(1-19.8, 2+10.1)), 1e-4)
	require.True(t, m.Header.Corrected)
}

func TestOutsideTheGridIsRefused(t *testing.T) {
	p := distorted(t)
	prog := path.Program{Settings: []path.Setting{fill}}
	prog.Append(path.Stroke{}, pt(0, 0), pt(80, 0))
	m, err := emit.Plan(prog, p)
	require.NoError(t, err)
	err = emit.Check(m, p)
	var ce *emit.CoverError
	require.ErrorAs(t, err, &ce)
	require.EqualError(t, err, "place 80, 0 mm lies outside the part of the field of example-fibre that its "+
		"correction grid covers")
}

func TestGridThatFoldsIsRefused(t *testing.T) {
	p := distorted(t)
	s := p.Galvo.Samples
	s[40].Measured, s[42].Measured = s[42].Measured, s[40].Measured
	require.ErrorContains(t, p.Validate(), "galvo.correction_csv")
	_, err := emit.Plan(path.Program{}, p)
	require.ErrorContains(t, err, "folds over itself")
}

// A list that is not corrected is, for a profile that has a correction: as if it had been
// planned for it. One that is corrected, or bare on purpose, as a field grid is, stays as it
// is.
func TestListsAreCorrectedOnce(t *testing.T) {
	plain := byhand.Fibre()
	plain.Galvo.FieldMM = [2]float64{110, 110}
	p := distorted(t)
	prog := path.Program{Settings: []path.Setting{fill}}
	prog.Append(path.Stroke{}, pt(-40, -30), pt(45, 20))
	list, err := emit.Plan(prog, plain)
	require.NoError(t, err)
	want, err := emit.Plan(prog, p)
	require.NoError(t, err)

	sent, changed, err := emit.Corrected(list, p)
	require.NoError(t, err)
	require.True(t, changed)
	require.True(t, sent.Header.Corrected)
	require.Equal(t, collect(t, want), collect(t, sent))
	again, changed, err := emit.Corrected(sent, p)
	require.NoError(t, err)
	require.False(t, changed)
	require.Equal(t, collect(t, want), collect(t, again))
	same, changed, err := emit.Corrected(list, plain)
	require.NoError(t, err)
	require.False(t, changed)
	require.False(t, same.Header.Corrected)

	grid, _, err := emit.FieldGrid(p, 4, fill)
	require.NoError(t, err)
	_, changed, err = emit.Corrected(grid, p)
	require.NoError(t, err)
	require.False(t, changed, "it measures what the correction would hide")
	var b bytes.Buffer
	require.NoError(t, markvec.Encoder{}.Encode(&b, grid))
	back, err := markvec.Read(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.True(t, back.Header.Bare)
	found, err := markvec.Audit(&b, &p, 9)
	require.NoError(t, err)
	require.Empty(t, found)

	far := path.Program{Settings: []path.Setting{fill}}
	far.Append(path.Stroke{}, pt(0, 0), pt(54.99, 54.99))
	list, err = emit.Plan(far, plain)
	require.NoError(t, err)
	narrow := p
	g := *p.Galvo
	g.Samples, g.FieldScale = nil, [2]float64{1.01, 1}
	narrow.Galvo = &g
	_, _, err = emit.Corrected(list, narrow)
	var fe *emit.FieldError
	require.ErrorAs(t, err, &fe)
	require.ErrorContains(t, err, "corrected for the lens")
}

func BenchmarkPlanCorrected(b *testing.B) {
	p := byhand.Fibre()
	for j := range 9 {
		for i := range 9 {
			c := pt(-80+20*float64(i), -80+20*float64(j))
			p.Galvo.Samples = append(p.Galvo.Samples, lens.Sample{Commanded: c, Measured: distortion(c)})
		}
	}
	prog := path.Program{Settings: []path.Setting{fill}}
	for i := range 1000 {
		y := float64(i)*0.1 - 50
		prog.Append(path.Stroke{}, pt(y, -50), pt(y+1, 50))
	}
	m, err := emit.Plan(prog, p)
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for b.Loop() {
		n = 0
		for range m.Play {
			n++
		}
	}
	b.ReportMetric(float64(n)/1000, "records/row")
	b.ReportMetric(float64(b.N*n)/1e6/b.Elapsed().Seconds(), "Mrecords/s")
}
