package route

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Neighbours are the eight nearest of other items, and four of other groups, the nearest
// first: of lines by comparing all.
func TestNeighboursAgainstAllEnds(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 5))
	for _, n := range []int{1, 2, 5, 30} {
		for _, grouped := range []bool{false, true} {
			w := newWork(mixed(r, n, true), Length{}, 0)
			tr := newTour(w, w.greedy(nil), ends{})
			var group []int32
			if grouped {
				for i := range n {
					group = append(group, int32(i*5/n))
				}
			}
			near := newNeighbours(tr, group)
			require.True(t, near.sorted)
			for e := range 2 * int32(n) {
				var any, other []int32
				for f := range 2 * int32(n) {
					if f>>1 != e>>1 {
						any = append(any, f)
						if grouped && group[f>>1] != group[e>>1] {
							other = append(other, f)
						}
					}
				}
				byWay := func(a, b int32) int {
					p, q := tr.ends[a].At, tr.ends[b].At
					return cmp.Or(cmp.Compare(tr.ends[e].At.Dist(p), tr.ends[e].At.Dist(q)), cmp.Compare(a, b))
				}
				slices.SortFunc(any, byWay)
				slices.SortFunc(other, byWay)
				want := append(any[:min(len(any), 8)], other[:min(len(other), 4)]...)
				slices.SortFunc(want, byWay)
				require.Equal(t, fmt.Sprint(slices.Compact(want)), fmt.Sprint(near.of(e)))
			}
			require.Nil(t, near.of(2*int32(n)), "the depot has none")
			if n < 30 {
				continue
			}
			some := []int32{8, 3, 41, 22, 7} // items 4, 1, 20, 11 and 3
			part := near.within(some)
			for i, e := range some {
				for side := range int32(2) {
					var want []int32
					for _, f := range near.of(e&^1 | side) {
						if k := slices.IndexFunc(some, func(g int32) bool { return g>>1 == f>>1 }); k >= 0 {
							want = append(want, 2*int32(k)+f&1)
						}
					}
					require.Equal(t, fmt.Sprint(want), fmt.Sprint(part.of(2*int32(i)+side)))
				}
			}
		}
	}
	w := newWork(mixed(r, 3, true), Length{}, 0)
	all := allEnds(newTour(w, w.greedy(nil), ends{})) // with the depot, 6 and 7
	require.Equal(t, []int32{0, 1, 4, 5, 6, 7}, all.of(3))
	require.Equal(t, []int32{0, 1, 2, 3, 4, 5}, all.of(6))
}

// step is a unit as a sequence visits it.
type step struct {
	u           unit
	side, start int32
}

func steps(all walk) (list []step) {
	all(func(u unit, side, start int32) { list = append(list, step{u, side, start}) })
	return list
}

// A sequence stays what it is when its cells are cut to fewer rows, and is of every unit
// once; that by going to the nearest goes to none that is farther than another.
func TestPlansOfPieces(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 6))
	for seed := range uint64(12) {
		m := scattered(seed)
		for i := range m.Lines {
			m.Lines[i].Closed = i > 0
		}
		w := newWork(&m, Length{}, 0)
		p := w.greedy(nil)
		for i, c := range w.cells {
			p.variant[i] = r.Int32N(w.variants(c))
			if !w.directed(c) {
				p.seq[i] ^= r.Int32N(2)
			}
		}
		want := steps(w.along(p))
		require.Len(t, want, len(w.units))
		for _, rows := range []int32{1000, 7, 2, 1} {
			cut, q := w.split(p, rows)
			require.Len(t, cut.cells, w.pieces(rows))
			require.Equal(t, want, steps(cut.along(q)), "%d rows", rows)
			for _, c := range cut.cells {
				require.LessOrEqual(t, c.len(), rows)
			}
			again, q := cut.split(q, 1)
			require.Equal(t, want, steps(again.along(q)))
			require.Len(t, again.cells, len(w.units))
		}
	}
}

// From each item greedy goes to the nearest way into another that nothing has to come
// before.
func TestGreedyGoesToTheNearest(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 7))
	for range 60 {
		w := newWork(mixed(r, 1+r.IntN(20), false), Length{}, 0)
		from := anyEnds(r, w).from
		p := w.greedy(from)
		require.Len(t, p.seq, len(w.cells))
		here := w.cellEnd(w.cells[0], 0, 0).At
		if from != nil {
			here = from.At
		}
		done := map[int32]bool{}
		for _, e := range p.seq {
			least := math.Inf(1)
			for c := range int32(len(w.cells)) {
				free := !done[c]
				for k := range w.cells {
					free = free && (w.awaited(w.cells[k]) != c || done[int32(k)])
				}
				for v := int32(0); free && v < w.variants(w.cells[c]); v++ {
					for side := range w.sides(w.cells[c]) {
						least = min(least, here.Dist(w.cellEnd(w.cells[c], v, side).At))
					}
				}
			}
			c := e >> 1
			require.False(t, done[c])
			require.InDelta(t, least, here.Dist(w.cellEnd(w.cells[c], p.variant[c], e&1).At), 1e-12)
			done[c] = true
			here = w.cellEnd(w.cells[c], p.variant[c], e&1^1).At
		}
	}
}

// A cell is spans of rows that follow each other, each meeting the next and no other, and
// as near: by comparing all spans of neighbouring rows.
func TestCellsAgainstAllSpans(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 8))
	for range 80 {
		set := path.RowSet{Dir: path.Point{X: 1}, Spacing: 0.1, Start: []int32{0}}
		for range 12 {
			for x := 3 * r.Float64(); x < 20; x += 0.5 + 2*r.Float64() {
				to := x + 4*r.Float64()*r.Float64() + 0.01
				set.Spans = append(set.Spans, path.Span{X0: x, X1: to})
				x = to
			}
			set.Start = append(set.Start, int32(len(set.Spans)))
		}
		m := &path.Marks{Settings: make([]path.Setting, 1), Rows: []path.RowSet{set}}
		w := newWork(m, Length{}, 0)
		owner, seen := map[int32]int{}, 0
		for i, c := range w.cells {
			for k := c.lo; k < c.hi; k++ {
				u := w.units[k]
				require.EqualValues(t, 1, u.n)
				owner[u.first] = i
				seen++
				if k > c.lo {
					require.Equal(t, w.units[k-1].row+1, u.row)
				}
			}
		}
		require.Equal(t, len(set.Spans), seen)
		require.Len(t, owner, seen)
		meets := func(k int, s path.Span) (all []int32) {
			for i := set.Start[k]; k >= 0 && i < set.Start[k+1]; i++ {
				if o := set.Spans[i]; o.X0 < s.X1 && s.X0 < o.X1 {
					all = append(all, i)
				}
			}
			return all
		}
		for k := 1; k < 12; k++ {
			for i := set.Start[k]; i < set.Start[k+1]; i++ {
				s := set.Spans[i]
				below := meets(k-1, s)
				one := len(below) == 1 && len(meets(k, set.Spans[below[0]])) == 1
				if one {
					o := set.Spans[below[0]]
					one = math.Abs(o.X0-s.X0) <= 2 && math.Abs(o.X1-s.X1) <= 2 // twenty spacings
					require.Equal(t, one, owner[i] == owner[below[0]])
					continue
				}
				for _, b := range below {
					require.NotEqual(t, owner[i], owner[b])
				}
			}
		}
	}
}

// Lines are written from the side at which they are entered, closed ones from their start
// on and back to it; spans of a sweep from either side.
func TestStrokesByHand(t *testing.T) {
	a, b, c := path.Point{X: 1}, path.Point{X: 2, Y: 1}, path.Point{X: 4}
	m := &path.Marks{Settings: make([]path.Setting, 1), Lines: []path.Line{
		{Before: -1, Points: []path.Point{a, b, c}}, {Before: -1, Points: []path.Point{a, b, c}, Closed: true}}}
	m.Rows = []path.RowSet{{
		Dir: path.Point{X: 1}, Spacing: 1, Start: []int32{0, 2}, Spans: []path.Span{{X0: 1, X1: 2}, {X0: 3, X1: 5}},
	}}
	w := newWork(m, Length{}, 0)
	write := func(u unit, side, start int32) (got [][]path.Point) {
		o := newOutput(m, Length{})
		o.room(m, path.Program{})
		o.add(w, u, side, start)
		for i := range o.program.Strokes {
			got = append(got, slices.Clone(o.program.PointsOf(i)))
		}
		return got
	}
	open, closed := unit{set: -1}, unit{set: -1, row: 1}
	require.Equal(t, [][]path.Point{{a, b, c}}, write(open, 0, 0))
	require.Equal(t, [][]path.Point{{c, b, a}}, write(open, 1, 0))
	require.Equal(t, [][]path.Point{{a, b, c, a}}, write(closed, 0, 0))
	require.Equal(t, [][]path.Point{{c, a, b, c}}, write(closed, 0, 2))
	require.Equal(t, [][]path.Point{{b, a, c, b}}, write(closed, 1, 1))
	sweep := unit{first: 0, n: 2}
	require.Equal(t, [][]path.Point{{{X: 1}, {X: 2}}, {{X: 3}, {X: 5}}}, write(sweep, 0, 0))
	require.Equal(t, [][]path.Point{{{X: 5}, {X: 3}}, {{X: 2}, {X: 1}}}, write(sweep, 1, 0))
	require.Equal(t, path.Span{X0: 1, X1: 5}, w.extent(sweep))
	for side, at := range []path.Point{a, c} { // where they are left, and which way that is
		e := w.end(open, int32(side), 0)
		require.Equal(t, at, e.At)
		require.InDelta(t, 0, e.Dir.Dist(at.Sub(b).Mul(1/at.Dist(b))), 1e-12)
		require.InDelta(t, a.Dist(b)+b.Dist(c), e.Room, 1e-12)
	}
	long := path.Line{Before: -1} // of seven pieces, of which four say how fast it may be entered
	for _, x := range []float64{0, 1, 1, 3, 6, 10, 15, 21} {
		long.Points = append(long.Points, path.Point{X: x})
	}
	for side, room := range map[int32]float64{0: 1 + 2 + 3 + 4, 1: 6 + 5 + 4 + 3} {
		require.InDelta(t, room, w.lineEnd(&long, side, 0).Room, 1e-12)
		require.Equal(t, path.Point{X: float64(2*side - 1)}, w.lineEnd(&long, side, 0).Dir)
	}
	for start, next := range map[int32][2]path.Point{0: {b, c}, 1: {c, a}, 2: {a, b}} {
		for side := range int32(2) {
			e, at := w.end(closed, side, start), m.Lines[1].Points[start]
			require.Equal(t, at, e.At)
			require.InDelta(t, 0, e.Dir.Dist(at.Sub(next[side]).Mul(1/at.Dist(next[side]))), 1e-12)
			require.InDelta(t, at.Dist(next[side])+next[side].Dist(next[1-side]), e.Room, 1e-12)
		}
	}
}

// Efforts are shared out by size, with a least and a most.
func TestEffortsByHand(t *testing.T) {
	l := level{perItem: 2, least: 100, most: 1000}
	for _, c := range []struct {
		items int
		part  float64
		want  int
	}{{1, 1, 20}, {2, 1, 80}, {3, 1, 100}, {70, 1, 140}, {700, 1, 1000}, {70, 0.1, 100}, {40, 0.5, 80}, {3, 0.5, 50}} {
		require.Equal(t, c.want, l.kicks(c.items, c.part), "%+v", c)
	}
	require.Equal(t, budget{kicks: 40, looks: 4, worth: 2}, budget{kicks: 100, looks: 10, worth: 2}.part(2, 5))
	require.Equal(t, budget{kicks: 1, looks: 1}, budget{kicks: 30, looks: 10}.part(1, 20))
	require.Equal(t, budget{kicks: 1}, budget{kicks: 30}.part(1, 20))
	w := work{cells: []cell{{0, 1}, {1, 8}, {8, 11}}}
	require.Equal(t, []int{11, 7, 4, 3}, []int{w.pieces(1), w.pieces(2), w.pieces(5), w.pieces(7)})
	l.rows = 1
	require.Equal(t, 100+20, w.kicks([]level{l, {rows: 9, least: 20, most: 90}}, 1))
}

// A sequence in windows is one of all items, no dearer than it was, and one that ends and
// begins where it has to; constraints aside.
func TestWindowsKeepEveryItem(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 9))
	m := &path.Marks{Settings: make([]path.Setting, 1)}
	for range 12_000 {
		at := path.Point{X: 200 * r.Float64(), Y: 200 * r.Float64()}
		m.Lines = append(m.Lines, path.Line{Before: -1, Points: []path.Point{at, {X: at.X + 1, Y: at.Y}}})
	}
	w := newWork(m, Length{}, 0)
	at := ends{from: &End{At: path.Point{X: -5}}, to: &End{At: path.Point{X: 500}}}
	p := w.greedy(at.from)
	ro := router{marks: m, cost: Length{}, phases: 1, effort: Normal}
	near := newNeighbours(newTour(w, plan{slices.Clone(p.seq), slices.Clone(p.variant)}, at), nil)
	for round := range 2 {
		q := ro.inWindows(context.Background(), w, p, at, near, budget{kicks: 30}, round)
		seen := slices.Clone(q.seq)
		for i := range seen {
			seen[i] >>= 1
		}
		slices.Sort(seen)
		require.Len(t, slices.Compact(seen), 12_000)
		require.Less(t, w.total(w.along(q), at), 0.97*w.total(w.along(p), at))
		cuts := [][]int{{0, 5000, 10_000, 12_000}, {0, 2500, 7500, 12_000}}[round]
		for i, lo := range cuts[:3] { // a window keeps its items
			was, is := slices.Clone(p.seq[lo:cuts[i+1]]), slices.Clone(q.seq[lo:cuts[i+1]])
			for k := range was {
				was[k], is[k] = was[k]>>1, is[k]>>1
			}
			slices.Sort(was)
			slices.Sort(is)
			require.Equal(t, was, is)
		}
		p = q
	}
}
