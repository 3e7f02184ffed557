package heat_test

import (
	"iter"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit/heat"
)

// numbered gives each deposit a number, as strokes that may all be paused before.
func numbered(all []heat.Deposit) iter.Seq2[int, heat.Deposit] {
	return func(yield func(int, heat.Deposit) bool) {
		for i, d := range all {
			if !yield(i, d) {
				return
			}
		}
	}
}

// later moves deposits behind the pauses before them.
func later(all []heat.Deposit, pauses []heat.Pause) (out []heat.Deposit) {
	by := 0.0
	for i, d := range all {
		for ; len(pauses) > 0 && pauses[0].Before == i; pauses = pauses[1:] {
			by += pauses[0].S
		}
		d.Start, d.End = d.Start+by, d.End+by
		out = append(out, d)
	}
	return out
}

// A plate of one cell is a lump: 2 x 2 x 1 mm of 6061 takes 9.6768e-3 J/K, and loses by
// half in ln 2 times its heat over 2,000 W/m2K on 4 mm2, 1.2096 s. By hand: pulses of
// 5 K each, 0.1 s apart, reach a limit of 20 K after some; a pause then cools it to
// 0.85·20-5 = 12 K and lasts 1.2096·ln(T/12), rounded up to a tenth of a second.
func TestPausesOfALump(t *testing.T) {
	p := plate(al6061, 2, 2, 1)
	p.Loss = heat.Loss{Above: 1000, Below: 1000}
	var all []heat.Deposit
	for i := range 40 {
		at := float64(i) * 0.1
		all = append(all, heat.Deposit{From: pt(1, 1), To: pt(1, 1), Start: at, End: at + 0.05, EnergyJ: 5 * p.Heat()})
	}
	o := heat.Options{CellMM: 2, StepS: 0.001}
	got, err := heat.Pauses(p, numbered(all), 1, heat.Limit{MostK: 20}, o)
	require.NoError(t, err)
	require.NotEmpty(t, got)
	tau := p.Heat() / (2000 * 4e-6)
	require.InDelta(t, 1.2096, tau, 1e-4)

	rise, now, next := 0.0, 0.0, 0
	for i, d := range later(all, got) {
		if next < len(got) && got[next].Before == i {
			at := d.Start - got[next].S
			before := rise * math.Exp(-(at-now)/tau)
			require.Less(t, before, 20.1)
			require.Greater(t, before, 14.0, "not before it has to be")
			want := tau * math.Log(before/12)
			require.InDelta(t, want, got[next].S, 0.11)
			next++
		}
		rise = rise*math.Exp(-(d.Start-now)/tau)*math.Exp(-0.05/tau) + 5*tau/0.05*(1-math.Exp(-0.05/tau))
		require.Less(t, rise, 20.5, "pulse %d", i)
		now = d.End
	}
	require.Equal(t, len(got), next)
}

// Rows here and there over a plate, replayed with their pauses by the map itself: hotter
// than the limit without them, and above it by no more than a row with them.
func TestPausesHoldALimit(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	p := plate(ss304, 40, 30, 1)
	p.Loss = heat.OnPins
	var all []heat.Deposit
	for i := range 300 { // rows of a block, and of another
		x := 5.0
		if i >= 150 {
			x = 22
		}
		y := 5 + float64(i%150)*0.1 + 0.01*r.Float64()
		now := float64(i) * 0.12
		all = append(all, heat.Deposit{From: pt(x, y), To: pt(x+12, y), Start: now, End: now + 0.1, EnergyJ: 1.2})
	}
	o := heat.Options{CellMM: 0.5, StepS: 0.02}
	plain, err := heat.Run(p, each(all...), 0.6, o)
	require.NoError(t, err)
	limit := 0.7 * plain.Peak
	pauses, err := heat.Pauses(p, numbered(all), 0.6, heat.Limit{MostK: limit}, o)
	require.NoError(t, err)
	require.NotEmpty(t, pauses)
	held, err := heat.Run(p, each(later(all, pauses)...), 0.6, o)
	require.NoError(t, err)
	alone, err := heat.Run(p, each(all[0]), 0.6, o)
	require.NoError(t, err)
	assert.Less(t, held.Peak, limit+alone.Peak)
	assert.Less(t, held.Peak, 0.85*plain.Peak)
	for i, x := range pauses {
		assert.InDelta(t, 0, math.Remainder(x.S, 0.1), 1e-9)
		if i > 0 {
			assert.Greater(t, x.Before, pauses[i-1].Before)
		}
	}
	none, err := heat.Pauses(p, numbered(all), 0.6, heat.Limit{MostK: 2 * plain.Peak}, o)
	require.NoError(t, err)
	require.Empty(t, none)
}

// What no pause helps against is told: a stroke that is too hot alone, and a plate that
// keeps its heat.
func TestPausesThatDoNotHelp(t *testing.T) {
	p := plate(al6061, 20, 20, 1)
	hot := []heat.Deposit{
		{From: pt(5, 5), To: pt(5, 5), End: 0.01, EnergyJ: 20}, {From: pt(15, 15), To: pt(15, 15), Start: 0.02,
			End: 0.03, EnergyJ: 20},
	}
	var over *heat.LimitError
	_, err := heat.Pauses(p, numbered(hot), 1, heat.Limit{MostK: 20}, heat.Options{})
	require.ErrorAs(t, err, &over)
	require.ErrorContains(t, err, "stroke alone")
	_, err = heat.Pauses(p, numbered(hot), 1, heat.Limit{MostK: 1.01 * over.LeastK}, heat.Options{})
	require.NoError(t, err)

	var many []heat.Deposit // 1 J/K in all; without a loss
	for i := range 100 {
		now := float64(i)
		many = append(many, heat.Deposit{From: pt(2, 10), To: pt(18, 10), Start: now, End: now + 0.9, EnergyJ: 1})
	}
	_, err = heat.Pauses(p, numbered(many), 1, heat.Limit{MostK: 40, LongestS: 60}, heat.Options{})
	require.ErrorAs(t, err, &over)
	require.ErrorContains(t, err, "1 minutes are not enough")
	_, err = heat.Pauses(heat.Plate{}, numbered(many), 1, heat.Limit{MostK: 40}, heat.Options{})
	require.Error(t, err)
}

// A pause that is followed in long steps ends as one that is followed in short ones, which
// nothing laid down in each of them asks for.
func TestLongPauseInFewSteps(t *testing.T) {
	p := plate(al6061, 30, 20, 0.5)
	p.Loss = heat.OnPins
	warm := heat.Deposit{From: pt(3, 10), To: pt(27, 10), End: 1, EnergyJ: 20}
	again := heat.Deposit{From: pt(3, 5), To: pt(27, 5), Start: 61, End: 62, EnergyJ: 20}
	o := heat.Options{CellMM: 0.5, StepS: 0.01}
	few, err := heat.Run(p, each(warm, again), 1, o)
	require.NoError(t, err)
	all := []heat.Deposit{warm}
	for s := 1.0; s < 61; s += 0.01 {
		all = append(all, heat.Deposit{From: pt(3, 5), To: pt(3, 5), Start: s, End: s})
	}
	many, err := heat.Run(p, each(append(all, again)...), 1, o)
	require.NoError(t, err)
	assert.InEpsilon(t, many.Peak, few.Peak, 1e-3)
	assert.InEpsilon(t, many.Ends[0].Mean, few.Ends[0].Mean, 1e-6)
	assert.InEpsilon(t, many.Ends[0].Difference(), few.Ends[0].Difference(), 1e-3)
}

// The states of a film: none at the start, the end's at the end, and between them that of
// its moment. Without loss a plate warmed evenly in time is half as warm half way.
func TestFrames(t *testing.T) {
	p := plate(al6061, 20, 10, 1)
	m, err := heat.Run(p, each(heat.Deposit{From: pt(2, 5), To: pt(18, 5), End: 4, EnergyJ: 8}), 1,
		heat.Options{CellMM: 1, StepS: 0.01, Frames: 9})
	require.NoError(t, err)
	require.Len(t, m.Frames, 9)
	for i, f := range m.Frames {
		sum := 0.0
		for _, v := range f {
			sum += float64(v)
		}
		assert.InDelta(t, 8/p.Heat()*float64(i)/8, sum/float64(len(f)), 0.02, "frame %d", i)
	}
}

// Heat is linear: of a thousandth or a thousandfold of the energy and of the limit the pauses
// are the same.
func TestPausesScale(t *testing.T) {
	p := plate(ss304, 12, 10, 1)
	p.Loss = heat.Loss{Above: 400, Below: 400}
	of := func(scale float64) []heat.Pause {
		var all []heat.Deposit
		for i := range 60 {
			y, now := 3+float64(i%20)*0.2, float64(i)*0.1
			all = append(all, heat.Deposit{From: pt(3, y), To: pt(9, y), Start: now, End: now + 0.08,
				EnergyJ: 1.2 * scale})
		}
		got, err := heat.Pauses(p, numbered(all), 0.6, heat.Limit{MostK: 40 * scale},
			heat.Options{CellMM: 1, StepS: 0.02})
		require.NoError(t, err)
		return got
	}
	want := of(1)
	require.Greater(t, len(want), 3)
	for _, scale := range []float64{1.0 / 1024, 1024} { // which leave all digits as they are
		require.Equal(t, want, of(scale))
	}
}

// Where the job itself leaves the plate time to cool, as between its parts, no pause is asked
// for, and none of no length: pulses of 5 K in groups of three, which come to 13.5 K, and 20 s
// between the groups.
func TestNoPauseWhereItCoolsByItself(t *testing.T) {
	p := plate(al6061, 2, 2, 1)
	p.Loss = heat.Loss{Above: 1000, Below: 1000}
	var all []heat.Deposit
	for i := range 12 {
		at := float64(i%3)*0.1 + float64(i/3)*20
		all = append(all, heat.Deposit{From: pt(1, 1), To: pt(1, 1), Start: at, End: at + 0.05, EnergyJ: 5 * p.Heat()})
	}
	for _, most := range []float64{14, 15, 16, 17, 18} {
		got, err := heat.Pauses(p, numbered(all), 1, heat.Limit{MostK: most}, heat.Options{CellMM: 2, StepS: 0.001})
		require.NoError(t, err)
		require.Empty(t, got, "%g K", most)
	}
}
