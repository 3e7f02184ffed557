package clock_test

import (
	"math"
	"testing"

	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
	"furrow/path"
	"furrow/path/route"

	"github.com/stretchr/testify/require"
)

// rectangle is rows of a w x h mm rectangle along X.
func rectangle(w, h, spacing float64) path.RowSet {
	n := int(math.Round(h / spacing))
	r := path.RowSet{Dir: path.Point{X: 1}, Spacing: spacing, Start: []int32{0}}
	for k := range n {
		r.Spans = append(r.Spans, path.Span{X0: 0, X1: w})
		r.Start = append(r.Start, int32(k+1))
	}
	return r
}

func settings(speed, power float64) []path.Setting {
	return []path.Setting{{SpeedMMPerS: speed, Power: power}}
}

func programOf(r path.RowSet, set []path.Setting) path.Program {
	p := path.Program{Settings: set}
	for k := range r.NumRows() {
		for i, s := range r.Row(k) {
			a, b := r.At(k, s.X0), r.At(k, s.X1)
			if k%2 == 1 && !r.OneWay {
				s = r.Row(k)[len(r.Row(k))-1-i]
				a, b = r.At(k, s.X1), r.At(k, s.X0)
			}
			p.Append(path.Stroke{Sweep: int32(k + 1)}, a, b)
		}
	}
	return p
}

// The estimate is what the clock says, but for the way to the first row.
func TestRowSecondsAgreeWithTheClock(t *testing.T) {
	p := axes(500, 1000)
	gapped := rectangle(60, 20, 0.5)
	gapped.Spans, gapped.Start = nil, []int32{0}
	for k := range 40 {
		gapped.Spans = append(gapped.Spans, path.Span{X0: 0, X1: 10}, path.Span{X0: 12, X1: 30})
		gapped.Start = append(gapped.Start, int32(2*k+2))
	}
	oneWay := rectangle(60, 20, 0.1)
	oneWay.OneWay = true
	for i, r := range []path.RowSet{rectangle(60, 90, 0.1), rectangle(5, 20, 0.1), oneWay, gapped} {
		set := settings(150, 0.35)
		m, err := emit.Plan(programOf(r, set), p)
		require.NoError(t, err)
		want := run(t, m, p).Total().Seconds() - 2*math.Sqrt(11.75/1000)
		require.InEpsilon(t, want, clock.RowSeconds(&r, clock.Cost(p, set), 150, r.Dir), 0.002, "rows %d", i)
	}
}

// The design's example: on a 60 x 90 mm tag rows along the longer side are 300
// fewer, each 2v/a + 2·margin/v, and save 1 min 32 s of 10 min 36 s.
func TestLongRowsAreQuicker(t *testing.T) {
	p := axes(500, 1000)
	set := settings(150, 0.35)
	cost := clock.Cost(p, set)
	across, along := rectangle(60, 90, 0.1), rectangle(90, 60, 0.1)
	saves := clock.RowSeconds(&across, cost, 150, path.Point{X: 1}) - clock.RowSeconds(&along, cost, 150,
		path.Point{Y: 1})
	require.InDelta(t, 92, saves, 0.5)
}

// Turned by 90 degrees, the same rows use the other axis.
func TestTurnedRowsUseTheOtherAxis(t *testing.T) {
	p := machine.Examples()[0] // Y is the weaker axis
	set := settings(150, 0.35)
	r := rectangle(60, 20, 0.1)
	x, y := clock.RowSeconds(&r, clock.Cost(p, set), 150, path.Point{X: 1}),
		clock.RowSeconds(&r, clock.Cost(p, set), 150, path.Point{Y: 1})
	require.Less(t, x, y)
}

func TestRowSecondsOfNothing(t *testing.T) {
	require.Zero(t, clock.RowSeconds(&path.RowSet{}, route.Length{}, 100, path.Point{X: 1}))
}
