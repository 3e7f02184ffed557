package emit_test

import (
	"math"
	"slices"
	"testing"

	"furrow/emit"
	"furrow/emit/machine/byhand"
	"furrow/path"

	"github.com/stretchr/testify/require"
)

// A galvo's work by hand: a mark from where the beam stands, two dots, a chain of two
// marks over a gap, a mark. It begins again at a jump or where the beam rests, with a
// jump to there, and what was done of that is marked twice.
func TestAfterOnAGalvoByHand(t *testing.T) {
	dot := emit.Move{Kind: emit.Dot, To: pt(9, 9), Power: 0.5, WaitUS: 10}
	work := []emit.Move{
		burn(3, 4, 100, 0.5), // 5 mm
		to(9, 9), dot, dot,
		to(0, 0), burn(1, 0, 100, 0.5), gapTo(2, 0), burn(4, 0, 100, 0.5),
		to(0, 5), burn(1, 5, 100, 0.5),
	}
	for _, c := range []struct {
		done   int
		exact  bool
		from   int // the first of work that is left
		begins path.Point
		jump   path.Point
		again  float64
	}{
		{0, false, 0, pt(0, 0), pt(0, 0), 0},
		{1, false, 2, pt(9, 9), pt(9, 9), 0},
		{2, false, 2, pt(9, 9), pt(9, 9), 0},
		{3, false, 3, pt(9, 9), pt(9, 9), 0},
		{4, false, 5, pt(0, 0), pt(0, 0), 0},
		{6, false, 5, pt(2, 0), pt(0, 0), 1},
		{7, false, 5, pt(2, 0), pt(0, 0), 1},
		{6, true, 7, pt(2, 0), pt(2, 0), 0},
		{8, false, 9, pt(0, 5), pt(0, 5), 0},
	} {
		r, err := emit.After(moves(work...), c.done, byhand.Fibre(), c.exact)
		require.NoError(t, err)
		left := list(t, r.Moves)
		require.Equal(t, emit.Travel, left[0].Kind, "%d", c.done)
		require.Equal(t, c.jump, left[0].To, "%d", c.done)
		require.Equal(t, work[c.from:], left[1:], "%d", c.done)
		require.Equal(t, c.begins, r.Begins, "%d", c.done)
		require.InDelta(t, c.again, r.AgainMM, 1e-12, "%d", c.done)
	}
	_, err := emit.After(moves(work...), 10, byhand.Fibre(), false)
	require.ErrorIs(t, err, emit.ErrDone)
}

// An outline that was left within an arc is begun anew, and its arcs count as long as
// they are: a quarter of a circle of 2 mm, and a line of 1 mm. A head goes to an arc
// without a run-up.
func TestAfterWithinArcs(t *testing.T) {
	quarter := arcTo(pt(12, 7), pt(12, 5), emit.Clockwise)
	work := moves(to(10, 5), quarter, burn(13, 7, 50, 0.5), burn(14, 7, 50, 0.5), to(0, 0))
	r, err := emit.After(work, 3, gantry(nil), false)
	require.NoError(t, err)
	require.InDelta(t, math.Pi+1, r.AgainMM, 1e-9)
	left := list(t, r.Moves)
	require.Equal(t, []emit.Move{to(10, 5), quarter}, left[:2])
	require.Len(t, left, 5)
}

// A row that the head reaches at speed is begun with the profile's run-up in its own
// direction, at its own speed and setting; one at which the head was to rest is not.
func TestAfterLeadsToARow(t *testing.T) {
	p := gantry(nil)
	first := burn(20, 30, 100, 0.5)
	first.Setting = 1
	from := pt(23, 34) // 5 mm off, at 3 to 4
	gap := emit.Move{Kind: emit.Gap, To: from, Speed: 100, Setting: 1}
	work := read(to(50, 10), burn(40, 10, 100, 0.5), gap, first, to(0, 0))
	r, err := emit.After(work, 3, p, false)
	require.NoError(t, err)
	left := list(t, r.Moves)
	require.Len(t, left, 4)
	u := pt(-0.6, -0.8)
	over := p.Gantry.Overtravel(u, 100)
	require.Greater(t, over, 1.0)
	require.InDelta(t, 0, from.Sub(u.Mul(over)).Dist(left[0].To), 1e-9)
	require.Equal(t, emit.Move{Kind: emit.Travel, To: left[0].To, Setting: 1}, left[0])
	require.Equal(t, gap, left[1])
	require.Equal(t, first, left[2])

	rested := read(to(23, 34), first, to(0, 0))
	r, err = emit.After(rested, 0, p, false)
	require.NoError(t, err)
	require.Equal(t, []emit.Move{{Kind: emit.Travel, To: from, Setting: 1}, first, to(0, 0)}, list(t, r.Moves))
}

// The waits of the user's own lines, before anything moves, are made again; a pause in
// the work that is done is not. What is said of the work under way is said behind them.
func TestAfterWaitsAsBefore(t *testing.T) {
	wait := func(us int64) emit.Move { return emit.Move{Kind: emit.Wait, WaitUS: us} }
	hold := emit.Move{Kind: emit.Hold}
	work := moves(wait(1), hold, wait(2), to(1, 1), burn(2, 1, 100, 0.5), wait(3), hold, to(1, 2),
		burn(2, 2, 100, 0.5), wait(4))
	work.Notes = []emit.Note{{Text: "part 1"}}
	r, err := emit.After(work, 6, byhand.Fibre(), false)
	require.NoError(t, err)
	require.Equal(t, []emit.Note{{Move: 3, Text: "part 1"}}, r.Moves.Notes)
	require.Equal(t, []emit.Move{wait(1), hold, wait(2), to(1, 2), burn(2, 2, 100, 0.5), wait(4)}, list(t, r.Moves))
	for stop := range 6 { // who stops listening is not called again
		for range r.Moves.All() {
			if stop--; stop < 0 {
				break
			}
		}
	}
}

// A row of short spans with short gaps is one row: what is left of it begins at its first
// mark. The next row is another, also where the head steps over at speed.
func TestAfterWithinARowOfShortSpans(t *testing.T) {
	work := moves(to(10, 5), gapTo(11, 5), burn(11.5, 5, 100, 0.5), gapTo(12, 5), burn(12.5, 5, 100, 0.5), gapTo(14, 5),
		gapTo(14, 5.2), gapTo(12.5, 5.2), burn(12, 5.2, 100, 0.5), gapTo(11.5, 5.2),
		burn(11, 5.2, 100, 0.5), gapTo(9, 5.2))
	for _, c := range []struct {
		done  int
		from  path.Point
		again float64
	}{{3, pt(11, 5), 0.5}, {4, pt(11, 5), 0.5}, {5, pt(12.5, 5.2), 0}, {8, pt(12.5, 5.2), 0}, {9, pt(12.5, 5.2), 0.5},
		{10, pt(12.5, 5.2), 0.5}} {
		r, err := emit.After(work, c.done, gantry(nil), false)
		require.NoError(t, err)
		require.InDelta(t, c.again, r.AgainMM, 1e-9, "%d", c.done)
		require.Equal(t, c.from, list(t, r.Moves)[1].To, "%d", c.done)
	}
}

// What the file says before a move is said before the same move of the rest; what was said last
// before that stands at its head, behind the waits of the user's own lines. The moves are
// numbered here by hand: two waits, then travel and mark three times.
func TestAfterSaysWhereItIs(t *testing.T) {
	p := gantry(nil)
	wait := emit.Move{Kind: emit.Wait, WaitUS: 5}
	go1 := func(y float64) []emit.Move {
		return []emit.Move{{Kind: emit.Travel, To: pt(0, y)}, {Kind: emit.Mark, To: pt(9, y), Speed: 100, Power: 1}}
	}
	work := moves(slices.Concat([]emit.Move{wait, wait}, go1(1), go1(2), go1(3))...)
	work.Notes = []emit.Note{{Move: 0, Text: "a"}, {Move: 4, Text: "b"}, {Move: 6, Text: "c"}}
	for _, c := range []struct {
		done int
		want []emit.Note
	}{
		{0, []emit.Note{{Move: 2, Text: "a"}, {Move: 4, Text: "b"}, {Move: 6, Text: "c"}}},
		{5, []emit.Note{{Move: 2, Text: "b"}, {Move: 4, Text: "c"}}},
		{7, []emit.Note{{Move: 2, Text: "c"}}},
	} {
		r, err := emit.After(work, c.done, p, false)
		require.NoError(t, err)
		require.Equal(t, c.want, r.Moves.Notes, "after %d", c.done)
		left := list(t, r.Moves)
		for _, n := range r.Moves.Notes {
			require.Equal(t, emit.Travel, left[n.Move].Kind)
		}
	}
}
