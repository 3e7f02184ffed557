package sequence

import (
	"context"
	"sync/atomic"
	"testing"
	"time"

	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

const ms = time.Millisecond

// Of plain rows of a second a sequence has to save more than 2 ms, a five-hundredth; what is
// told of bound and search is that of the search either way.
func TestAgainstPlainRowsByHand(t *testing.T) {
	plain := Report{Report: route.Report{Cost: 9, Bound: 1, Sweeps: 4}, Time: 1000 * ms}
	search := route.Report{Cost: 5, Bound: 3, Iterations: 7, Sweeps: 2, Interrupted: true}
	rows := route.Report{Cost: 9, Bound: 3, Iterations: 7, Sweeps: 4, Interrupted: true}
	for _, c := range []struct {
		plain, found, byDefault time.Duration
		time, gained            time.Duration
		of                      route.Report
	}{
		{1000 * ms, 900 * ms, 0, 900 * ms, 0, search}, {1000 * ms, 998*ms - 1, 0, 998*ms - 1, 0, search},
		{1000 * ms, 998 * ms, 0, 1000 * ms, 0, rows}, {1000 * ms, 1100 * ms, 0, 1000 * ms, 0, rows},
		{0, 1100 * ms, 0, 1100 * ms, 0, search}, {0, 1100 * ms, 1200 * ms, 1100 * ms, 1200 * ms, search},
		{1000 * ms, 900 * ms, 950 * ms, 900 * ms, 950 * ms, search},
		{1000 * ms, 900 * ms, 999 * ms, 900 * ms, 1000 * ms, search}, // whose default would be plain rows
		{1000 * ms, 999 * ms, 999 * ms, 1000 * ms, 1000 * ms, rows}, {1000 * ms, 900 * ms, 1, 900 * ms, 1, search},
	} {
		plain.Time = c.plain
		got := plain.against(Report{Report: search, Time: c.found, Default: c.byDefault})
		require.Equal(t, Report{Report: c.of, Time: c.time, Plain: c.plain, Default: c.gained}, got, "%+v", c)
		require.Equal(t, max(0, c.plain-c.time), got.Saved())
		require.Equal(t, max(0, c.gained-c.time), got.Gained())
	}
}

// marksOf is so many spans of two rows, and so many lines.
func marksOf(spans, lines int) (m path.Marks) {
	m.Lines = make([]path.Line, lines)
	m.Rows = make([]path.RowSet, 2)
	m.Rows[0].Spans, m.Rows[1].Spans = make([]path.Span, spans/3), make([]path.Span, spans-spans/3)
	return m
}

// What looking may cost, by hand: 100 ns a look have to be saved each time that a job is
// done, and it may look 900,000 times, or in proportion where it has more than 20,000 strokes;
// but the best has no limits. The memory of what was made before goes to the next.
func TestLooksByHand(t *testing.T) {
	for _, c := range []struct {
		spans, lines, quantity int
		worth                  float64
		looks                  int
	}{
		{10, 5, 0, 1e-7, 900_000}, {10, 5, 1, 1e-7, 900_000}, {10, 5, 8, 1.25e-8, 7_200_000},
		{19_000, 1000, 1, 1e-7, 900_000}, {30_000, 10_000, 1, 1e-7, 1_800_000}, {10_000, 20_002, 2, 5e-8, 2_700_180},
		{0, 0, 2, 5e-8, 1_800_000},
	} {
		used := path.Program{Strokes: make([]path.Stroke, 1)}
		chooser := chooser{marks: marksOf(c.spans, c.lines), opt: Options{Quantity: c.quantity}, used: used}
		got := chooser.options(route.BySize)
		require.InEpsilon(t, c.worth, got.Worth, 1e-12)
		got.Worth = 0
		want := route.Options{Effort: route.BySize, Start: &path.Point{}, Looks: c.looks, Reuse: used}
		require.Equal(t, want, got, "%+v", c)
		require.Equal(t, route.Options{Effort: route.Best, Start: &path.Point{}}, chooser.options(route.Best))
	}
}

// crossed is short rows in two columns on two phases' heights, which plain rows take badly.
func crossed() path.Marks {
	m := path.Marks{Settings: []path.Setting{{SpeedMMPerS: 200, Power: 0.5, SpacingMM: 1}}}
	for i := range 40 {
		at := path.Point{X: float64(i*37%40) * 6, Y: float64(i*23%40) * 5}
		m.Lines = append(m.Lines, path.Line{Before: -1, Points: []path.Point{at, at.Add(path.Point{X: 2, Y: 1})}})
	}
	return m
}

// Where nothing is looked for, plain rows are returned with a bound if one is asked for, and
// nothing is checked; else the bound is that of the search.
func TestBoundsAndChecks(t *testing.T) {
	p := machine.Examples()[0]
	checked := 0
	opt := Options{Effort: route.None, Bound: 20, Check: func(path.Program) error {
		checked++
		return nil
	}}
	_, plain, err := Of(context.Background(), crossed(), p, opt)
	require.NoError(t, err)
	require.Zero(t, checked)
	require.Positive(t, plain.Bound)
	require.Equal(t, plain.Time, plain.Plain)
	opt.Effort = route.Quick
	_, found, err := Of(context.Background(), crossed(), p, opt)
	require.NoError(t, err)
	require.Equal(t, 1, checked)
	require.Positive(t, found.Iterations)
	require.InEpsilon(t, plain.Bound, found.Bound, 0.05)
	require.Equal(t, plain.Time, found.Plain)
	require.Less(t, found.Time, plain.Time)
	require.Less(t, found.Bound, found.Cost)

	broken := crossed()
	broken.Lines[0].Setting = 7
	_, _, err = Of(context.Background(), broken, p, opt)
	require.Error(t, err)
	require.Equal(t, 1, checked)
}

// counted ends once it was asked so many times whether to go on.
type counted struct {
	context.Context
	asked atomic.Int64
	most  int64
}

func (c *counted) Err() error {
	if c.asked.Add(1) > c.most {
		return context.Canceled
	}
	return nil
}

// A best effort that is cut off at once finds less than the default one did: what that
// found is returned, and that the search was cut off, with its bound.
func TestDefaultMayHaveLuck(t *testing.T) {
	p := machine.Examples()[0]
	marks := crossed()
	first := &counted{Context: context.Background(), most: 1 << 60}
	c := chooser{marks: marks, profile: p, cost: clock.Cost(p, nil), opt: Options{Effort: route.BySize}}
	want, err := c.search(first)
	require.NoError(t, err)
	cut := &counted{Context: context.Background(), most: first.asked.Load()}
	c.opt = Options{Effort: route.Best, Bound: 10}
	got, err := c.search(cut)
	require.NoError(t, err)
	require.True(t, got.report.Interrupted)
	alone, err := c.try(&counted{Context: context.Background()}, c.options(route.Best))
	require.NoError(t, err)
	require.Greater(t, alone.report.Time, want.report.Time, "what is cut off at once is worse")
	require.Equal(t, want.report.Time, got.report.Time)
	require.Equal(t, want.report.Time, got.report.Default)
	require.Equal(t, want.program.Strokes, got.program.Strokes)
}

// The best effort says by how much it does better than the default one, and has its own bound.
func TestBestSaysWhatItGained(t *testing.T) {
	p := machine.Examples()[0]
	_, first, err := Of(context.Background(), crossed(), p, Options{})
	require.NoError(t, err)
	_, r, err := Of(context.Background(), crossed(), p, Options{Effort: route.Best, Bound: 5})
	require.NoError(t, err)
	require.Equal(t, first.Time, r.Default)
	require.Less(t, r.Time, r.Default)
	require.Equal(t, r.Default-r.Time, r.Gained())
	require.Equal(t, 5, r.Iterations)
	require.Positive(t, r.Bound)
	require.False(t, r.Interrupted)
}
