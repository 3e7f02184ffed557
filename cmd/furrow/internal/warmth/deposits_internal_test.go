package warmth

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/emit/heat"
	"furrow/path"
)

func collected(d heat.Deposits) (all []heat.Deposit) {
	for x := range d {
		all = append(all, x)
	}
	return all
}

// 12 J over 3 + 1 mm in 4 s: three quarters on the first piece, one on the second; a dot
// stands still.
func TestDepositsByHand(t *testing.T) {
	p := path.Program{Settings: make([]path.Setting, 3)}
	at := func(x, y float64) path.Point { return path.Point{X: x, Y: y} }
	p.Append(path.Stroke{Kind: path.LineStroke}, at(0, 0), at(3, 0), at(3, 1))
	p.Append(path.Stroke{Setting: 2}, at(7, 7), at(7, 7))
	p.Append(path.Stroke{Setting: 1}, at(0, 5), at(2, 5))
	marking := []path.Marking{
		{Start: 10 * time.Second, End: 14 * time.Second, EnergyJ: 12}, {Start: 20 * time.Second,
			End: 21 * time.Second, EnergyJ: 2},
		{Start: 30 * time.Second, End: 31 * time.Second, EnergyJ: 5},
	}
	require.Equal(t, []heat.Deposit{
		{From: at(0, 0), To: at(3, 0), Start: 10, End: 13, EnergyJ: 9}, {From: at(3, 0), To: at(3, 1), Start: 13,
			End: 14, EnergyJ: 3},
		{From: at(7, 7), To: at(7, 7), Start: 20, End: 21, EnergyJ: 2}, {From: at(0, 5), To: at(2, 5), Start: 30,
			End: 31, EnergyJ: 5},
	}, collected(strokes{prog: p, marking: marking}.deposits()))
	n := 0
	for range (strokes{prog: p, marking: marking}).deposits() {
		if n++; n == 2 {
			break // no more is asked for
		}
	}
	require.Equal(t, 2, n)
	// What stands still has its energy in one place; what has no place has none.
	for _, pts := range [][]path.Point{nil, {at(7, 8)}, {at(7, 8), at(7, 8)}} {
		want := heat.Deposit{Start: 20, End: 21, EnergyJ: 2}
		if len(pts) > 0 {
			want.From, want.To = at(7, 8), at(7, 8)
		}
		var got []heat.Deposit
		along(pts, marking[1], func(d heat.Deposit) bool { got = append(got, d); return true })
		require.Equal(t, []heat.Deposit{want}, got)
	}
	for i := range p.Settings {
		p.Settings[i].Name = string(rune('a' + i))
	}
	ends, names := groupEnds(&p, marking)
	require.Equal(t, []float64{14, 21}, ends, "but the last")
	require.Equal(t, []string{"a", "c"}, names)
	ends, _ = groupEnds(&path.Program{}, nil)
	require.Empty(t, ends)

	require.Equal(t, []heat.Deposit{{Start: 0, End: 0.25, EnergyJ: 1}, {Start: 0.25, End: 0.4, EnergyJ: 2}},
		collected(anywhere([]float64{1, 2}, 0.4)))
}
