package route

import (
	"cmp"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// crowd is places of which some are the same, so that ties come up.
func crowd(r *rand.Rand, n int) (at []path.Point) {
	for range n {
		at = append(at, path.Point{X: float64(r.IntN(30)), Y: float64(r.IntN(20)) / 2})
	}
	return at
}

// The nearest of those switched on is that of looking at all, the lower index of two as
// near, whatever was switched before.
func TestNearestAgainstAllPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for _, n := range []int{0, 1, 2, 15, 16, 17, 33, 300} {
		at := crowd(r, n)
		tree := newKDTree(slices.Clone(at), nil)
		require.LessOrEqual(t, len(tree.nodes), nodesOf(n))
		on := slices.Repeat([]bool{true}, n)
		for range 400 {
			if n > 0 {
				i := r.IntN(n)
				on[i] = r.IntN(3) == 0
				tree.set(int32(i), on[i])
			}
			q := path.Point{X: 40*r.Float64() - 5, Y: 14*r.Float64() - 2}
			if r.IntN(2) == 0 && n > 0 {
				q = at[r.IntN(n)]
			}
			want := -1
			for i, p := range at {
				if on[i] && (want < 0 || p.Dist(q) < at[want].Dist(q)) {
					want = i
				}
			}
			require.Equal(t, int32(want), tree.nearest(q), "%d places", n)
		}
	}
}

// The nearest few without those of an item, and without those of a group, are the first
// of all when these are sorted by distance and then by index.
func TestNearestFewAgainstAllPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 2))
	for _, n := range []int{1, 5, 16, 40, 400} {
		at := crowd(r, n)
		end, tags := make([]int32, n), make([]int32, n)
		for i := range n {
			end[i], tags[i] = int32(r.IntN(n+1)), int32(i*4/n) // tags in runs, as groups lie
		}
		tree := newKDTree(slices.Clone(at), tags)
		for range 200 {
			s := kNearest{tree: tree, end: end, k: 1 + r.IntN(9), item: int32(r.IntN(n+1)) / 2,
				without: int32(r.IntN(5)) - 1}
			q := path.Point{X: 34*r.Float64() - 2, Y: 12*r.Float64() - 1}
			if r.IntN(2) == 0 {
				q = at[r.IntN(n)]
			}
			var want []near
			for i, p := range at {
				d := p.Sub(q)
				if end[i]/2 != s.item && (s.without < 0 || tags[i] != s.without) {
					want = append(want, near{d.Dot(d), int32(i)})
				}
			}
			slices.SortFunc(want, func(a, b near) int {
				return cmp.Or(cmp.Compare(a.d2, b.d2), cmp.Compare(a.index, b.index))
			})
			s.find(q)
			require.Equal(t, fmt.Sprint(want[:min(len(want), s.k)]), fmt.Sprint(s.found))
		}
	}
	empty := kNearest{tree: newKDTree(nil, nil), k: 3}
	empty.find(path.Point{})
	require.Empty(t, empty.found)
}

// How far a place is from a box: of very many places in it the nearest.
func TestDistanceToABox(t *testing.T) {
	box := path.Rect{Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 4, Y: 3}}
	for q, want := range map[path.Point]float64{
		{X: 2, Y: 2.5}: 0, {X: 0, Y: 2.5}: 1, {X: 6, Y: 2.5}: 4, {X: 2}: 4, {X: 2, Y: 6}: 9, {X: 7, Y: 7}: 25,
		{X: -3, Y: -1}: 25, {X: 4, Y: 3}: 0,
	} {
		require.InDelta(t, want, dist2(&box, q), 1e-12, q)
	}
}

// Items that were joined hang together, and no others: against colours that are handed on.
func TestJoinedAgainstColours(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	for range 50 {
		n := 1 + r.IntN(40)
		var j joined
		j.reset(n)
		colour := make([]int, n)
		for i := range colour {
			colour[i] = i
		}
		for range 60 {
			a, b := r.IntN(n), r.IntN(n)
			apart := colour[a] != colour[b]
			require.Equal(t, apart, j.join(int32(a), int32(b)))
			for i, was := 0, colour[b]; i < n; i++ {
				if colour[i] == was {
					colour[i] = colour[a]
				}
			}
			x, y := r.IntN(n), r.IntN(n)
			require.Equal(t, colour[x] == colour[y], j.root(int32(x)) == j.root(int32(y)))
			require.Equal(t, len(slices.Compact(slices.Sorted(slices.Values(colour)))), j.parts)
		}
	}
}

// Lines of a phase keep their sequence, but each goes ahead of the line that it comes
// before: of random forests, by looking at every pair.
func TestLinesBeforeLines(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2))
	for range 300 {
		n := 1 + r.IntN(12)
		lines := make([]path.Line, n)
		rank := r.Perm(n)
		for i := range lines {
			lines[i] = path.Line{Points: []path.Point{{}}, Phase: r.IntN(2), Before: -1}
			if k := r.IntN(n); rank[k] > rank[i] {
				lines[i].Before = k
			}
			if r.IntN(8) == 0 {
				lines[i].Points = nil
			}
		}
		above := make([]int, n) // how many lines wait for it, one after the other
		for i := range lines {
			for at := i; at >= 0; at = lines[at].Before {
				above[i]++
			}
		}
		require.Equal(t, above, depths(lines))
		var want []int32
		for depth := n; depth > 0; depth-- {
			for i := range lines {
				if above[i] == depth && lines[i].Phase == 1 && len(lines[i].Points) > 0 {
					want = append(want, int32(i))
				}
			}
		}
		require.Equal(t, want, lineSequence(lines, 1))
	}
}

// A report never goes back, ends at all strokes, and counts a phase by its share.
func TestProgressOfPhases(t *testing.T) {
	var got [][2]int
	p := progress{total: 30, report: func(done, total int) { got = append(got, [2]int{done, total}) }}
	p.phase(10, 4)
	p.add(1)
	p.add(2)
	p.add(7)
	p.phase(20, 0)
	p.add(1)
	require.Equal(t, [][2]int{{0, 30}, {2, 30}, {7, 30}, {10, 30}, {10, 30}, {30, 30}}, got)
	(&progress{}).add(3) // nobody listens
}

// Pieces that were marked last are warm: the next is each time the one with the least of
// 1/(age·d²), reckoned for four places on a line by hand from the first on.
func TestApartByHand(t *testing.T) {
	var all []piece
	for i, x := range []float64{0, 1, 5, 9} {
		all = append(all, piece{from: i, to: i + 1, middle: path.Point{X: x}})
	}
	// d² has 81/16 added. From 0: the farthest is 9. Then of 1 and 5: 1 has 1/(64+5.06) +
	// 1/(2·6.06) = 0.097, 5 has 1/(16+5.06) + 1/(2·30.06) = 0.064.
	var got []int
	for _, p := range apart(all) {
		got = append(got, p.from)
	}
	require.Equal(t, []int{0, 3, 2, 1}, got)
	require.Nil(t, apart(nil))
}

// Rows are cut where the marked length so far reaches another share of all of it.
func TestCutByLength(t *testing.T) {
	var p path.Program
	for i, mm := range []float64{4, 1, 1, 2, 3, 3, 2} {
		p.Append(path.Stroke{Sweep: int32(i/2 + 1)}, path.Point{Y: float64(i)}, path.Point{X: mm, Y: float64(i)})
	}
	var got [][2]int
	for _, c := range cut(&p, 0, 7, 4) { // 16 mm in shares of 4; sweeps are of two strokes
		got = append(got, [2]int{c.from, c.to})
	}
	require.Equal(t, [][2]int{{0, 2}, {2, 4}, {4, 6}, {6, 7}}, got)
	first := cut(&p, 0, 7, 4)[0]
	require.InDelta(t, (4*2+1*0.5)/5, first.middle.X, 1e-12)
	require.InDelta(t, (4*0+1*1)/5., first.middle.Y, 1e-12)
	require.Len(t, cut(&p, 0, 7, 1), 1)
	require.InDelta(t, 5, lengthOf([]path.Point{{}, {X: 3, Y: 4}}), 1e-12)
	require.Zero(t, lengthOf(nil))

	var dots path.Program // of no length at all
	dots.Append(path.Stroke{}, path.Point{X: 3, Y: 4}, path.Point{X: 3, Y: 4})
	require.Equal(t, []piece{{from: 0, to: 1, middle: path.Point{X: 3, Y: 4}}}, cut(&dots, 0, 1, 1))
}
