package proof

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/emit"
	"furrow/path"
)

// Blanks that are found by their place hold what one of all holds that are tried in turn:
// of many sizes, over each other and far apart, on both sides of zero.
func TestBlanksFoundByPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	held := 0
	for range 40 {
		var all []emit.Blank
		for range 1 + r.IntN(30) {
			at := path.Point{X: 200 * (r.Float64() - 0.5), Y: 200 * (r.Float64() - 0.5)}
			size := path.Point{X: 1 + 40*r.Float64()*r.Float64(), Y: 1 + 40*r.Float64()*r.Float64()}
			all = append(all, emit.Blank{Rect: path.Rect{Min: at, Max: at.Add(size)}, Bleed: float64(r.IntN(2)),
				Round: r.IntN(2) == 0, Turn: float64(r.IntN(3)) * 180 * r.Float64()})
		}
		b := newBlanks(all)
		for range 500 {
			one := all[r.IntN(len(all))].Rect
			in := func() path.Point {
				return path.Point{X: one.Min.X + one.W()*(1.4*r.Float64()-0.2), Y: one.Min.Y + one.H()*(1.4*r.Float64()-0.2)}
			}
			from, mv := in(), emit.Move{Kind: emit.Mark, To: in()}
			plain := slices.ContainsFunc(all, func(x emit.Blank) bool { return holds(x, mv, from) })
			require.Equal(t, plain, b.hold(mv, from), "%v to %v", from, mv.To)
			if plain {
				held++
			}
		}
	}
	require.Greater(t, held, 5000)
	require.Less(t, held, 15000)
}

// A straight mark's ends are what a round blank holds it by, and of an arc all of its way: of
// a half circle of 12 mm radius whose ends are 9 mm from the middle, the top is 20.
func TestRoundBlankHoldsAnArc(t *testing.T) {
	b := emit.Blank{Rect: path.Rect{Min: path.Point{X: -15, Y: -15}, Max: path.Point{X: 15, Y: 15}}, Round: true}
	from, arc := path.Point{X: 12, Y: 8}, emit.Move{Kind: emit.Mark, To: path.Point{X: -12, Y: 8},
		Centre: path.Point{Y: 8}, Turn: emit.CounterClockwise}
	straight := emit.Move{Kind: emit.Mark, To: arc.To}
	require.True(t, holds(b, straight, from))
	require.False(t, holds(b, arc, from))
	require.Equal(t, "5.00 mm past its round edge", past(b, arc, from))
	arc.Turn = emit.Clockwise
	require.True(t, holds(b, arc, from))
}
