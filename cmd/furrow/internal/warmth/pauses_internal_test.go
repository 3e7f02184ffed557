package warmth

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/settings"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/heat"
	"furrow/path"
)

// A pause may stand before a stroke that begins elsewhere than the last one ended, by a
// hundredth of a millimetre and more, and belongs to no sweep that has begun.
func TestWhereAPauseMayStand(t *testing.T) {
	m, err := settings.FindMachine("example-fibre")
	require.NoError(t, err)
	w := work.Work{}
	w.Machine = &m
	p := path.Program{Settings: []path.Setting{{SpeedMMPerS: 100, Power: 0.5, FrequencyHz: 50_000, PulseNS: 100}}}
	at := func(x, y float64) path.Point { return path.Point{X: x, Y: y} }
	p.Append(path.Stroke{}, at(0, 0), at(10, 0))
	p.Append(path.Stroke{}, at(0, 5), at(10, 5))             // 1: elsewhere
	p.Append(path.Stroke{Sweep: 1}, at(0, 10), at(4, 10))    // 2: a sweep begins
	p.Append(path.Stroke{Sweep: 1}, at(6, 10), at(10, 10))   // goes on
	p.Append(path.Stroke{Sweep: 2}, at(0, 15), at(4, 15))    // 4: another
	p.Append(path.Stroke{}, at(4.009, 15), at(4.009, 20))    // too near
	p.Append(path.Stroke{}, at(4.009, 20.011), at(9, 20.01)) // 6: far enough
	w.Program = p
	before, err := pausable(w)
	require.NoError(t, err)
	require.Equal(t, []int{-1, 1, 2, -1, 4, -1, 6}, before)
}

// Of a stroke's pieces a pause may stand before the first alone.
func TestPiecesThatMayBePaused(t *testing.T) {
	p := path.Program{Settings: make([]path.Setting, 1)}
	at := func(x, y float64) path.Point { return path.Point{X: x, Y: y} }
	p.Append(path.Stroke{}, at(0, 0), at(1, 0))
	p.Append(path.Stroke{}, at(0, 1), at(1, 1), at(1, 2), at(2, 2))
	p.Append(path.Stroke{}, at(0, 3), at(1, 3))
	s := strokes{prog: p, marking: []path.Marking{{End: time.Second, EnergyJ: 1},
		{Start: time.Second, End: 4 * time.Second, EnergyJ: 3},
		{Start: 4 * time.Second, End: 5 * time.Second, EnergyJ: 1}}}
	var got []int
	var starts []float64
	for before, d := range s.paused([]int{-1, 7, 9}) {
		got, starts = append(got, before), append(starts, d.Start)
	}
	require.Equal(t, []int{-1, 7, -1, -1, 9}, got)
	require.Len(t, starts, 5)
	require.InDeltaSlice(t, []float64{0, 1, 2, 3, 4}, starts, 1e-9)
	n := 0
	for range s.paused([]int{-1, 7, 9}) {
		if n++; n == 2 {
			break
		}
	}
	require.Equal(t, 2, n, "no more is asked for")
	require.Equal(t, 5*time.Second, Rested([]path.Rest{{For: 2 * time.Second}, {For: 3 * time.Second}}))
	require.Zero(t, Rested(nil))
}

// What a blank lies on.
func TestLosses(t *testing.T) {
	require.Equal(t, []heat.Loss{heat.OnPins, heat.OnMetal, heat.OnTable, heat.OnTable},
		[]heat.Loss{lossOf("pins"), lossOf("metal"), lossOf("table"), lossOf("")})
}

// A material of which nothing is known but its heat does not bow; a dot has its place.
func TestNothingIsSaidOfWarp(t *testing.T) {
	require.Empty(t, (&Estimate{}).warpWords())
	require.Empty(t, (&Estimate{FreeK: 5, NotThin: "thick"}).warpWords())
	require.Len(t, (&Estimate{FreeK: 1}).warpWords(), 2)
}
