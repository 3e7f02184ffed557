package route_test

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"

	"furrow/path"
	"furrow/path/outside"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

func sequence(t *testing.T, m path.Marks, c route.Cost, opt route.Options) (path.Program, route.Report) {
	t.Helper()
	p, r, err := route.Sequence(context.Background(), m, c, opt)
	require.NoError(t, err)
	return p, r
}

// stroke is a stroke without its place in the sequence and its direction; of a
// closed line, without the point it starts at.
type stroke struct {
	setting uint16
	kind    path.StrokeKind
	points  int
	lo, hi  path.Point
	length  float64
}

func newStroke(setting int, kind path.StrokeKind, pts []path.Point) stroke {
	s := stroke{setting: uint16(setting), kind: kind, points: len(pts)}
	b, sum := path.EmptyRect(), 0.0
	for i, p := range pts {
		b = b.Include(p)
		if i > 0 {
			sum += p.Dist(pts[i-1])
		}
	}
	s.lo, s.hi, s.length = b.Min, b.Max, math.Round(sum*1e6)/1e6
	return s
}

func sorted(s []stroke) []stroke {
	slices.SortFunc(s, func(a, b stroke) int {
		return cmp.Or(cmp.Compare(a.lo.X, b.lo.X), cmp.Compare(a.lo.Y, b.lo.Y),
			cmp.Compare(a.hi.X, b.hi.X), cmp.Compare(a.hi.Y, b.hi.Y), cmp.Compare(a.length, b.length))
	})
	return s
}

func strokesOf(m path.Marks) []stroke {
	var all []stroke
	for i := range m.Rows {
		r := &m.Rows[i]
		for k := range r.NumRows() {
			for _, s := range r.Row(k) {
				all = append(all, newStroke(r.Setting, path.SpanStroke, []path.Point{r.At(k, s.X0), r.At(k, s.X1)}))
			}
		}
	}
	for _, l := range m.Lines {
		pts := l.Points
		if l.Closed && len(pts) > 0 {
			pts = append(slices.Clone(pts), pts[0])
		}
		if len(pts) > 0 {
			all = append(all, newStroke(l.Setting, path.LineStroke, pts))
		}
	}
	return sorted(all)
}

func strokesIn(p path.Program) []stroke {
	var all []stroke
	for i, s := range p.Strokes {
		all = append(all, newStroke(int(s.Setting), s.Kind, p.PointsOf(i)))
	}
	return sorted(all)
}

// travelOf adds up distances between the strokes, which is what Length counts.
func travelOf(p path.Program) float64 {
	sum := 0.0
	for i := 1; i < len(p.Strokes); i++ {
		from := p.PointsOf(i - 1)
		sum += from[len(from)-1].Dist(p.PointsOf(i)[0])
	}
	return sum
}

func TestPatternsKeepTheirStrokes(t *testing.T) {
	for _, pat := range patterns {
		m := pat.marks()
		p, r := sequence(t, m, route.Length{}, route.Options{Effort: route.Quick})
		require.Equal(t, strokesOf(m), strokesIn(p), pat.name)
		require.InEpsilon(t, travelOf(p), r.Cost, 1e-9, pat.name)
		_, rows := sequence(t, m, route.Length{}, route.Options{Effort: route.None})
		require.Less(t, r.Cost, rows.Cost/10, pat.name)
		require.InEpsilon(t, pat.spans, len(p.Strokes), 0.03, pat.name)
	}
}

// Goals at Best effort are checked by BenchmarkSequence, which takes longer.
func TestGoalsAtNormalEffort(t *testing.T) {
	for _, pat := range patterns {
		if pat.spans > 20_000 && !outside.Strict() {
			continue
		}
		m := pat.marks()
		p, r := sequence(t, m, route.Length{}, route.Options{Effort: route.Normal})
		t.Logf("%s: %.1f mm, %.3f of the bound", pat.name, r.Cost, r.Cost/pat.bound)
		require.Equal(t, strokesOf(m), strokesIn(p), pat.name)
		require.Greater(t, r.Cost, pat.bound, pat.name)
		require.LessOrEqual(t, r.Cost/pat.bound, pat.normal, pat.name)
	}
}

// The bounds that the goals are measured by are those that the package finds.
func TestPatternBounds(t *testing.T) {
	pat := patterns[2]
	_, r := sequence(t, pat.marks(), route.Length{}, route.Options{Effort: route.Quick, Bound: 150})
	require.InEpsilon(t, pat.bound, r.Bound, 0.005)
	require.Equal(t, 150, r.Iterations)
}

func TestSameOnAnyNumberOfCPUs(t *testing.T) {
	m := patterns[1].marks()
	one := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(one)
	want, _ := sequence(t, m, route.Length{}, route.Options{})
	runtime.GOMAXPROCS(2)
	got, _ := sequence(t, m, route.Length{}, route.Options{})
	require.Equal(t, want, got)
}

func TestNothingGivesNothing(t *testing.T) {
	for _, m := range []path.Marks{
		{},
		{Settings: []path.Setting{{}}, Rows: []path.RowSet{{}, {Start: []int32{0, 0, 0}, Dir: path.Point{X: 1}}}},
		{Settings: []path.Setting{{}}, Lines: []path.Line{{Before: -1}}},
	} {
		p, r := sequence(t, m, route.Length{}, route.Options{Return: true, Bound: 10, Start: &path.Point{X: 3}})
		require.Empty(t, p.Strokes)
		require.Zero(t, r.Cost)
		require.Zero(t, r.Bound)
	}
}

func TestRectangleIsSerpentine(t *testing.T) {
	m := hatched([]region{{{{X: 0, Y: 0}, {X: 50, Y: 0}, {X: 50, Y: 1.27}, {X: 0, Y: 1.27}}}})
	p, r := sequence(t, m, route.Length{}, route.Options{})
	require.Len(t, p.Strokes, 20)
	require.InDelta(t, 19*patternSpacing, r.Cost, 1e-9)
}

// sweepUnder sweeps gaps below a length.
type sweepUnder struct {
	route.Length
	gap float64
}

func (s sweepUnder) Sweep(gap float64, _ int) bool { return gap < s.gap }

func TestSweepsAreKeptWhole(t *testing.T) {
	row := []path.Span{{X0: 0, X1: 1}, {X0: 2, X1: 3}, {X0: 9, X1: 10}}
	m := path.Marks{Settings: []path.Setting{{}}, Rows: []path.RowSet{{
		Dir: path.Point{X: 1}, Spacing: 1, Start: []int32{0, 3, 6}, Spans: append(slices.Clone(row), row...),
	}}}
	p, r := sequence(t, m, sweepUnder{gap: 5}, route.Options{})
	require.Equal(t, strokesOf(m), strokesIn(p))
	require.Equal(t, 4, r.Sweeps)
	require.InDelta(t, 1+1+6, r.Cost, 1e-9)
	seen := map[int32]int{}
	for i, s := range p.Strokes {
		if s.Sweep == 0 {
			continue
		}
		seen[s.Sweep]++
		if i > 0 && p.Strokes[i-1].Sweep == s.Sweep {
			a, b := p.PointsOf(i-1), p.PointsOf(i)
			require.Positive(t, a[1].Sub(a[0]).Dot(b[0].Sub(a[1])), "a sweep goes on in its direction")
			require.Equal(t, a[0].Y, b[0].Y)
		}
	}
	require.Equal(t, map[int32]int{1: 2, 2: 2}, seen)
}

func TestBadMarksAreErrors(t *testing.T) {
	set := []path.Setting{{}}
	dir := path.Point{X: 1}
	nan := math.NaN()
	span := []path.Span{{X0: 0, X1: 1}}
	for _, tt := range []struct {
		want string
		m    path.Marks
	}{
		{"row set 0: setting 1 of 1", path.Marks{Settings: set, Rows: []path.RowSet{{Setting: 1}}}},
		{"do not cover", path.Marks{Settings: set, Rows: []path.RowSet{{Dir: dir, Spans: span}}}},
		{"do not cover", path.Marks{Settings: set, Rows: []path.RowSet{{Dir: dir, Spans: span, Start: []int32{0, 2}}}}},
		{"row 1 ends before", path.Marks{Settings: set,
			Rows: []path.RowSet{{Dir: dir, Spans: span, Start: []int32{0, 2, 1}}}}},
		{"length 2", path.Marks{Settings: set, Rows: []path.RowSet{{Dir: path.Point{Y: 2}, Spans: span,
			Start: []int32{0, 1}}}}},
		{"not finite", path.Marks{Settings: set, Rows: []path.RowSet{{Origin: path.Point{X: nan}}}}},
		{"not sorted", path.Marks{Settings: set,
			Rows: []path.RowSet{{Dir: dir, Spans: []path.Span{{X0: 1, X1: 1}}, Start: []int32{0, 1}}}}},
		{"not sorted", path.Marks{Settings: set,
			Rows: []path.RowSet{{Dir: dir, Spans: []path.Span{{X0: 1, X1: nan}}, Start: []int32{0, 1}}}}},
		{"not sorted", path.Marks{Settings: set,
			Rows: []path.RowSet{{Dir: dir, Spans: []path.Span{{X0: 2, X1: 3}, {X0: 0, X1: 1}}, Start: []int32{0, 2}}}}},
		{"not sorted", path.Marks{Settings: set, Rows: []path.RowSet{{Dir: dir,
			Spans: []path.Span{{X0: math.Inf(-1), X1: 1}}, Start: []int32{0, 1}}}}},
		{"not sorted", path.Marks{Settings: set, Rows: []path.RowSet{{Dir: dir,
			Spans: []path.Span{{X0: 1, X1: math.Inf(1)}}, Start: []int32{0, 1}}}}},
		{"line 0: setting -1 of 1", path.Marks{Settings: set, Lines: []path.Line{{Setting: -1, Before: -1}}}},
		{"line 0: setting 1 of 1", path.Marks{Settings: set, Lines: []path.Line{{Setting: 1, Before: -1}}}},
		{"line 0: a coordinate", path.Marks{Settings: set,
			Lines: []path.Line{{Points: []path.Point{{Y: nan}}, Before: -1}}}},
		{"before line 1 of 1", path.Marks{Settings: set, Lines: []path.Line{{Before: 1}}}},
		{"comes before itself", path.Marks{Settings: set, Lines: []path.Line{{Before: -1}, {Before: 2}, {Before: 1}}}},
		{"comes before itself", path.Marks{Settings: set, Lines: []path.Line{{Before: 1}, {Before: 0}}}},
		{"comes before itself", path.Marks{Settings: set, Lines: []path.Line{{Before: 0}}}},
		{"phase is earlier", path.Marks{Settings: set, Lines: []path.Line{{Before: 1, Phase: 2}, {Before: -1}}}},
		{"settings", path.Marks{Settings: make([]path.Setting, 65537)}},
	} {
		_, _, err := route.Sequence(context.Background(), tt.m, route.Length{}, route.Options{})
		require.ErrorContains(t, err, tt.want)
	}
	_, _, err := route.Sequence(context.Background(), path.Marks{Settings: make([]path.Setting, 65536)}, route.Length{},
		route.Options{})
	require.NoError(t, err)
}

func TestInterruptKeepsEveryStroke(t *testing.T) {
	for _, pat := range patterns[:3] {
		m := pat.marks()
		ctx, cancel := context.WithCancel(context.Background())
		calls, last := 0, 0
		p, r, err := route.Sequence(ctx, m, route.Length{}, route.Options{Effort: route.Best,
			Progress: func(done, total int) {
				require.GreaterOrEqual(t, done, last)
				require.LessOrEqual(t, done, total)
				last = done
				if calls++; calls == 3 {
					cancel()
				}
			}})
		cancel()
		require.NoError(t, err)
		require.True(t, r.Interrupted)
		require.Equal(t, strokesOf(m), strokesIn(p), pat.name)
		require.InEpsilon(t, travelOf(p), r.Cost, 1e-9, pat.name)
	}
}

func TestStartAndReturnAreCounted(t *testing.T) {
	m := hatched([]region{{{{X: 5, Y: 0}, {X: 10, Y: 0}, {X: 10, Y: 0.127}, {X: 5, Y: 0.127}}}}) // two rows
	start := &path.Point{X: 5, Y: 3}
	p, r := sequence(t, m, route.Length{}, route.Options{Start: start})
	first, last := p.PointsOf(0)[0], p.PointsOf(1)[1]
	require.InDelta(t, start.Dist(first)+patternSpacing, r.Cost, 1e-9)
	_, r = sequence(t, m, route.Length{}, route.Options{Start: start, Return: true})
	require.InDelta(t, start.Dist(first)+patternSpacing+start.Dist(last), r.Cost, 1e-9)
	_, r = sequence(t, m, route.Length{}, route.Options{Return: true})
	require.InDelta(t, 2*patternSpacing, r.Cost, 1e-9)
}

// A pass begins near where the one before it ended.
func TestPhasesJoinClose(t *testing.T) {
	const side = 100
	m := discs(100, side)
	again := m.Rows[0]
	again.Phase = 1
	m.Rows = append(m.Rows, again)
	p, r := sequence(t, m, route.Length{}, route.Options{Start: &path.Point{}})
	half := len(p.Strokes) / 2
	join := p.PointsOf(half - 1)[1].Dist(p.PointsOf(half)[0])
	require.Less(t, join, side/10.0)
	require.Less(t, p.PointsOf(0)[0].Len(), side/10.0)
	one, _ := sequence(t, path.Marks{Settings: m.Settings, Rows: m.Rows[:1]}, route.Length{},
		route.Options{Start: &path.Point{}})
	require.Less(t, r.Cost, 2.03*travelOf(one))
}

// How far from the least rows as they are given are can be told too.
func TestBoundOfRowsAsGiven(t *testing.T) {
	m := constrained(rand.New(rand.NewPCG(1, 7)), 4)
	_, searched := sequence(t, m, route.Length{}, route.Options{Bound: 400})
	_, given := sequence(t, m, route.Length{}, route.Options{Effort: route.None, Bound: 400})
	require.InEpsilon(t, searched.Bound, given.Bound, 0.1)
	require.Greater(t, given.Cost, searched.Cost)
	require.Equal(t, 400, given.Iterations)
}

// Three rows one above the other that are marked one way have two ways back of √(10² + 1²)
// mm, whatever their sequence, or 2.5 % more; the bound tells as much.
func TestOneWayRowsGoBack(t *testing.T) {
	m := path.Marks{Settings: []path.Setting{{}}, Rows: []path.RowSet{{
		Dir: path.Point{X: 1}, Spacing: 1, Start: []int32{0, 1, 2, 3}, OneWay: true,
		Spans: []path.Span{{X0: 0, X1: 10}, {X0: 0, X1: 10}, {X0: 0, X1: 10}},
	}}}
	_, r := sequence(t, m, route.Length{}, route.Options{Bound: 1000})
	require.InDelta(t, 2*math.Sqrt(101), r.Cost, 1e-9)
	require.InEpsilon(t, r.Cost, r.Bound, 0.001)
}

// From above, one-way rows are marked downwards: by hand, nine ways back of 1 mm and one
// row down each. From below upwards it would take the way to the first row besides.
func TestOneWayRowsGoDown(t *testing.T) {
	set := path.RowSet{Dir: path.Point{X: 1}, Spacing: 1, Start: []int32{0}, OneWay: true}
	for range 10 {
		set.Spans = append(set.Spans, path.Span{X1: 1})
		set.Start = append(set.Start, int32(len(set.Spans)))
	}
	m := path.Marks{Settings: make([]path.Setting, 1), Rows: []path.RowSet{set}}
	for _, effort := range []route.Effort{route.Quick, route.Normal} {
		p, r := sequence(t, m, route.Length{}, route.Options{Effort: effort, Start: &path.Point{Y: 9}})
		require.InDelta(t, 9*math.Sqrt2, r.Cost, 1e-9)
		require.Equal(t, path.Point{Y: 9}, p.Points[0])
	}
}

// The memory of a program that is no longer needed makes no other program.
func TestReusedMemoryHoldsTheSameProgram(t *testing.T) {
	for seed := range uint64(5) {
		m := constrained(rand.New(rand.NewPCG(seed, 9)), 30)
		used, _ := sequence(t, m, route.Length{}, route.Options{Effort: route.None})
		first := &used.Points[0]
		want, report := sequence(t, m, route.Length{}, route.Options{Effort: route.Quick})
		got, again := sequence(t, m, route.Length{}, route.Options{Effort: route.Quick, Reuse: used})
		require.Equal(t, want, got)
		require.Equal(t, report, again)
		require.Same(t, first, &got.Points[0])
	}
}
