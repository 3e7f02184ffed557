package hatch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// arcThen is a half disc of 1 mm in n chords on a box of 2 by 3 mm: corners at 0, 1, and where
// the disc's chords meet the box, if they are steep.
func arcThen(n int) (ring []path.Point) {
	ring = []path.Point{{X: -1, Y: -3}, {X: 1, Y: -3}}
	for i := range n + 1 {
		sin, cos := math.Sincos(math.Pi * float64(i) / float64(n))
		ring = append(ring, path.Point{X: cos, Y: sin})
	}
	return ring
}

// A vertex is a corner where the line turns by 20 degrees or more, to either side.
func TestCornersOfLines(t *testing.T) {
	require.Equal(t, []int{0, 1}, cornersOf(arcThen(18)), "chords turn by 10 degrees")
	require.Equal(t, []int{0, 1, 3, 4, 5, 6, 7, 8, 9}, cornersOf(arcThen(8)), "by 22.5, at its ends by half of that")
	for degrees, corner := range map[float64]bool{19.9: false, 20.1: true, -19.9: false, -20.1: true, 120: true} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		pts := []path.Point{{}, {X: 5}, {X: 5 + 2*cos, Y: 2 * sin}, {X: 2, Y: 40 * math.Copysign(1, sin)}}
		require.Equal(t, corner, slices.Contains(cornersOf(pts), 1), degrees)
	}
}

// A line with corners begins in the middle of its longest stretch, one without where it
// would; it goes on over its start by the overlap, once round at most.
func TestWhereLinesBegin(t *testing.T) {
	ring := []path.Point{{}, {X: 6}, {X: 6, Y: 2}, {Y: 2}}
	got := begin(newLine(ring, true), 0)
	require.False(t, got.Closed)
	require.Equal(t, []path.Point{{X: 3}, {X: 6}, {X: 6, Y: 2}, {Y: 2}, {}, {X: 3}}, got.Points)
	got = begin(newLine(ring, true), 4)
	require.Equal(t, []path.Point{{X: 3}, {X: 6}, {X: 6, Y: 2}, {Y: 2}, {}, {X: 3}, {X: 6}, {X: 6, Y: 1}}, got.Points)
	got = begin(newLine(ring, true), 3)
	require.Equal(t, path.Point{X: 6}, got.Points[len(got.Points)-1])
	require.Len(t, got.Points, 7)
	got = begin(newLine(ring, true), 50)
	require.Len(t, got.Points, 11, "twice round")
	require.InDelta(t, 32, length(&got), 1e-12)
	var circle []path.Point
	for i := range 36 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 18)
		circle = append(circle, path.Point{X: cos, Y: sin})
	}
	require.Equal(t, newLine(circle, true), begin(newLine(circle, true), 0), "no corner, no overlap")
	got = begin(newLine(circle, true), 0.1)
	require.False(t, got.Closed)
	require.Equal(t, circle[0], got.Points[0])
	require.InDelta(t, 36*2*math.Sin(math.Pi/36)+0.1, length(&got), 1e-9)
	require.Equal(t, circle, begin(newLine(circle, true), 1e-9).Points[:36])
	stretch := arcThen(18) // the sides and the half disc are one stretch
	got = begin(newLine(stretch, true), 0)
	require.InDelta(t, 0, got.Points[0].Dist(path.Point{Y: 1}), 1e-9, "at the top")
}

// Starting on an edge, at one of its ends too, and of doubled points only one.
func TestRingsFromAPlace(t *testing.T) {
	ring := []path.Point{{}, {X: 6}, {X: 6}, {X: 6, Y: 2}, {Y: 2}}
	require.Equal(t, []path.Point{{}, {X: 6}, {X: 6, Y: 2}, {Y: 2}}, from(ring, 0, 0))
	require.Equal(t, []path.Point{{X: 6}, {X: 6, Y: 2}, {Y: 2}, {}}, from(ring, 0, 6))
	require.Equal(t, []path.Point{{X: 1}, {X: 6}, {X: 6, Y: 2}, {Y: 2}, {}}, from(ring, 0, 1))
	require.Equal(t, []path.Point{{Y: 1.5}, {}, {X: 6}, {X: 6, Y: 2}, {Y: 2}}, from(ring, 4, 0.5))
	require.Equal(t, []path.Point{{X: 6}, {X: 6, Y: 2}, {Y: 2}, {}}, from(ring, 1, 0))
}

// Spans along a line cut it to pieces, joined over the start of a closed one; all of it is
// the closed line.
func TestPiecesOfLines(t *testing.T) {
	round := []path.Point{{}, {X: 4}, {X: 4, Y: 2}, {Y: 2}, {}}
	cut := func(closed bool, spans ...path.Span) (out [][]path.Point) {
		for _, l := range pieces(round, spans, 12, closed) {
			require.False(t, l.Closed)
			require.Equal(t, -1, l.Before)
			out = append(out, l.Points)
		}
		return out
	}
	require.Equal(t, [][]path.Point{{{X: 1}, {X: 3}}}, cut(true, path.Span{X0: 1, X1: 3}))
	require.Equal(t, [][]path.Point{{{X: 1}, {X: 4}, {X: 4, Y: 2}, {X: 3, Y: 2}}}, cut(true, path.Span{X0: 1, X1: 7}))
	require.Equal(t, [][]path.Point{{{X: 4}, {X: 4, Y: 2}}}, cut(true, path.Span{X0: 4, X1: 6}))
	ends := []path.Span{{X0: 0, X1: 1}, {X0: 5, X1: 6.5}, {X0: 11, X1: 12}}
	middle := []path.Point{{X: 4, Y: 1}, {X: 4, Y: 2}, {X: 3.5, Y: 2}}
	require.Equal(t, [][]path.Point{{{Y: 1}, {}, {X: 1}}, middle}, cut(true, ends...))
	require.Equal(t, [][]path.Point{{{}, {X: 1}}, middle, {{Y: 1}, {}}}, cut(false, ends...))
	require.Equal(t, [][]path.Point{{{X: 0.1}, {X: 1}}, {{Y: 1}, {}}}, cut(true, path.Span{X0: 0.1, X1: 1}, ends[2]))
	require.Equal(t, [][]path.Point{{{}, {X: 1}}, {{Y: 1}, {Y: 0.5}}}, cut(true, ends[0], path.Span{X0: 11, X1: 11.5}))
	whole := pieces(round, []path.Span{{X0: 5e-8, X1: 12 - 5e-8}}, 12, true)
	require.Equal(t, []path.Line{newLine(round[:4], true)}, whole)
	require.Equal(t, [][]path.Point{round}, cut(false, path.Span{X0: 0, X1: 12}))
	require.Len(t, pieces(round, []path.Span{{X0: 0, X1: 11.9}}, 12, true)[0].Points, 5)
	require.False(t, newLine(round[:2], true).Closed, "two points are no ring")
	require.True(t, newLine(round[:3], true).Closed)
}

// Gaps are bridged up to a width, where one stretch of what may be crossed holds them.
func TestBridgedGaps(t *testing.T) {
	shown := func() []path.Span { return []path.Span{{X0: 0, X1: 1}, {X0: 1.5, X1: 2}, {X0: 3, X1: 4}} }
	all := []path.Span{{X0: 1, X1: 3}}
	require.Equal(t, []path.Span{{X0: 0, X1: 4}}, bridge(shown(), all, 1))
	require.Equal(t, []path.Span{{X0: 0, X1: 2}, {X0: 3, X1: 4}}, bridge(shown(), all, 0.9))
	require.Equal(t, shown(), bridge(shown(), nil, 1))
	require.Equal(t, []path.Span{{X0: 0, X1: 1}, {X0: 1.5, X1: 4}},
		bridge(shown(), []path.Span{{X0: 1, X1: 1.25}, {X0: 1.25, X1: 1.5}, {X0: 1.9, X1: 3.1}}, 1))
	require.Equal(t, shown(), bridge(shown(), []path.Span{{X0: 1.1, X1: 1.5}, {X0: 2, X1: 2.9}}, 1))
	next := extend([]path.Span{{X0: 0, X1: 2}}, []path.Span{{X0: 0, X1: 1}, {X0: 3, X1: 5}}, 2+5e-8, 9)
	require.Len(t, next, 2)
	require.InDelta(t, 3, next[0].X1, 1e-6)
	require.InDelta(t, 0, next[0].X0, 0)
	require.InDeltaSlice(t, []float64{5, 7}, []float64{next[1].X0, next[1].X1}, 1e-6)
	require.Len(t, extend([]path.Span{{X0: 0, X1: 2}}, []path.Span{{X0: 0, X1: 1}}, 2+2e-7, 9), 2)
	require.Equal(t, []path.Span{{X0: 10, X1: 11}, {X0: 12, X1: 13}},
		extend(nil, []path.Span{{X0: -8, X1: -7}, {X0: -5, X1: 1}, {X0: 2, X1: 5}, {X0: 6, X1: 7}}, 10, 3),
		"what lies beside the segment is none of it")
}

// Each ring comes before the smallest round it, whatever their sequence and winding; open
// lines are round nothing.
func TestNestsAgainstAllRings(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 60 {
		var lines []path.Line
		var add func(x, y, size float64, depth int)
		add = func(x, y, size float64, depth int) { // boxes in the four quarters of boxes
			ring := plate(x+0.05*size, y+0.05*size, x+0.95*size, y+(0.5+0.45*r.Float64())*size).Path.Points
			if r.IntN(2) == 0 {
				ring = backwards(ring)
			}
			k := r.IntN(4)
			ring = append(slices.Clone(ring[k:]), ring[:k]...)
			lines = append(lines, newLine(ring, r.IntN(9) > 0))
			for q := range 4 {
				if depth > 0 && r.IntN(3) > 0 {
					add(x+0.1*size+0.4*size*float64(q%2), y+0.1*size+0.2*size*float64(q/2), size*0.2, depth-1)
				}
			}
		}
		for i := range 3 {
			add(20*float64(i), 3*r.Float64(), 16, 3)
		}
		r.Shuffle(len(lines), func(i, k int) { lines[i], lines[k] = lines[k], lines[i] })
		nest(lines)
		for i, l := range lines {
			want := -1
			for k, m := range lines {
				if l.Closed && m.Closed && i != k && insideOf(m.Points, l.Points[0]) &&
					(want < 0 || math.Abs(area(m.Points)) < math.Abs(area(lines[want].Points))) {
					want = k
				}
			}
			require.Equal(t, want, l.Before, "%d of %d", i, len(lines))
		}
	}
}

// Each number is the one farthest from all before it, on a circle, and of several the first.
func TestSpreadNumbers(t *testing.T) {
	require.Equal(t, []int{0}, spread(1))
	require.Equal(t, []int{0, 1}, spread(2))
	require.Equal(t, []int{0, 2, 1, 3}, spread(4))
	for n := 1; n < 40; n++ {
		got := spread(n)
		require.Len(t, got, n)
		for i := 1; i < n; i++ {
			far := func(k int) int {
				least := n
				for _, before := range got[:i] {
					d := k - before
					if d < 0 {
						d = -d
					}
					least = min(least, d, n-d)
				}
				return least
			}
			for k := range n {
				require.LessOrEqual(t, far(k), far(got[i]), "%d of %d", i, n)
				require.True(t, k >= got[i] || far(k) < far(got[i]), "the first of those")
			}
		}
	}
}

// Rows turned round are the same marks from the last to the first; every n-th row of a set
// lies where it lay.
func TestRowsTurnedAndSkipped(t *testing.T) {
	set := path.RowSet{
		Setting: 3, Phase: 2, OneWay: true,
		Origin: path.Point{X: 1, Y: 2}, Dir: path.Point{X: 0.6, Y: 0.8}, Spacing: 0.5,
		Start: []int32{0, 2, 2, 3, 4},
		Spans: []path.Span{{X0: 1, X1: 2}, {X0: 4, X1: 7}, {X0: -3, X1: -1}, {X0: 5, X1: 6}},
	}
	ends := func(s *path.RowSet) (all [][2]path.Point) {
		for k := range s.NumRows() {
			for _, span := range s.Row(k) {
				all = append(all, [2]path.Point{s.At(k, span.X0), s.At(k, span.X1)})
			}
		}
		return all
	}
	require.Len(t, ends(&set), 4)
	turned := reverse(&set)
	require.Equal(t, path.Point{X: -0.6, Y: -0.8}, turned.Dir)
	require.Equal(t, []int{3, 2}, []int{turned.Setting, turned.Phase})
	require.True(t, turned.OneWay)
	require.Equal(t, 4, turned.NumRows())
	got := ends(&turned)
	require.Len(t, got, 4)
	for i, e := range ends(&set) {
		require.InDelta(t, 0, e[0].Dist(got[3-i][1])+e[1].Dist(got[3-i][0]), 1e-12)
	}
	odd := every(&set, 1, 2)
	require.Equal(t, 2, odd.NumRows())
	require.Equal(t, []int{3, 2}, []int{odd.Setting, odd.Phase})
	require.True(t, odd.OneWay)
	require.Equal(t, set.Dir, odd.Dir)
	got = ends(&odd)
	require.Len(t, got, 1)
	require.InDelta(t, 0, got[0][0].Dist(ends(&set)[3][0])+got[0][1].Dist(ends(&set)[3][1]), 1e-12)
	even := every(&set, 0, 2)
	require.Len(t, ends(&even), 3)
	empty := reverse(&path.RowSet{Start: []int32{0}, Dir: path.Point{X: 1}})
	require.Zero(t, empty.NumRows())
}

// The page that is swapped is the rectangle of the page, under everything.
func TestSwappedPage(t *testing.T) {
	art := path.Artwork{Page: box(1, 2, 5, 4), Shapes: []path.Shape{plate(2, 3, 3, 9)}}
	swapped := InvertPage(art)
	require.Len(t, swapped.Shapes, 2)
	page := swapped.Shapes[0]
	require.Equal(t, box(1, 2, 5, 4), page.Path.Bounds())
	require.Equal(t, []path.Verb{path.MoveTo, path.LineTo, path.LineTo, path.LineTo, path.Close}, page.Path.Verbs)
	require.InDelta(t, 8, area(page.Path.Points), 1e-12)
	require.True(t, page.Invert)
	require.Equal(t, path.Paint{R: 1, G: 1, B: 1, Opacity: 1}, page.Paint)
	require.Equal(t, plate(2, 3, 3, 9), swapped.Shapes[1])
	_, areas, err := Shown(swapped, 0.01, Settings{})
	require.NoError(t, err)
	require.Len(t, areas, 2)
	require.InDeltaSlice(t, []float64{7, 5}, areas, 1e-6, "the shape marks where the page does not swap it")
}

// Lengths go on to the start of a closed line alone.
func TestLengthsOfLines(t *testing.T) {
	l := path.Line{Points: []path.Point{{}, {X: 3}, {X: 3, Y: 4}}}
	require.Equal(t, 7.0, length(&l))
	l.Closed = true
	require.Equal(t, 12.0, length(&l))
	require.Zero(t, length(&path.Line{Closed: true}))
}

// One-way rows go in the direction of their angle, line after line to its left, whatever the
// angle, and where rows are skipped too.
func TestOneWayRows(t *testing.T) {
	for _, angle := range []float64{0, 30, 90, 180, 250, 270, -45, -180, 360, 405, 540} {
		for _, skip := range []int{1, 2} {
			g := Group{Setting: path.Setting{SpacingMM: 0.25}, Angles: []float64{angle}, OneWay: true, Skip: skip}
			art := path.Artwork{Shapes: []path.Shape{plate(1, 1, 5, 3)}}
			marks, report, err := Fill(art, Settings{Groups: []Group{g}})
			require.NoError(t, err)
			require.Len(t, marks.Rows, skip)
			sin, cos := math.Sincos(angle * math.Pi / 180)
			rows, mm := 0, 0.0
			for i := range marks.Rows {
				set := &marks.Rows[i]
				require.True(t, set.OneWay)
				rows += set.NumRows()
				mm += set.Length()
				for k := range set.NumRows() {
					for _, s := range set.Row(k) {
						way := set.At(k, s.X1).Sub(set.At(k, s.X0))
						require.InDelta(t, 0, way.Mul(1/way.Len()).Dist(path.Point{X: cos, Y: sin}), 1e-9, angle)
						if k > 0 {
							step := set.At(k, 0).Sub(set.At(k-1, 0))
							require.InDelta(t, 0, step.Dist(path.Point{X: -sin, Y: cos}.Mul(set.Spacing)), 1e-9, angle)
						}
					}
				}
			}
			require.InEpsilon(t, 8, mm*0.25, 0.05)
			require.Equal(t, rows, report.Rows)
		}
	}
}

// Gaps are closed without leaving out short spans, and the other way round; what is left out
// is told.
func TestGapsOrShortSpansAlone(t *testing.T) {
	art := path.Artwork{Shapes: []path.Shape{plate(0, 0, 4, 1), plate(5, 0, 5.5, 1), plate(7, 0, 9, 1)}}
	for _, c := range []struct {
		gap, shortest float64
		want          []path.Span
		dust          Dust
	}{
		{0, 0, []path.Span{{X0: 0, X1: 4}, {X0: 5, X1: 5.5}, {X0: 7, X1: 9}}, Dust{}},
		{1.2, 0, []path.Span{{X0: 0, X1: 5.5}, {X0: 7, X1: 9}}, Dust{}},
		{0, 1, []path.Span{{X0: 0, X1: 4}, {X0: 7, X1: 9}}, Dust{Spans: 4, MM: 2}},
		{1.2, 3, []path.Span{{X0: 0, X1: 5.5}}, Dust{Spans: 4, MM: 8}},
	} {
		marks, report, err := Fill(art, Settings{Groups: []Group{{Setting: path.Setting{SpacingMM: 0.25},
			CloseGaps: c.gap, Shortest: c.shortest}}})
		require.NoError(t, err)
		for k := range 4 {
			require.Equal(t, c.want, marks.Rows[0].Row(k), "%+v", c)
		}
		require.Equal(t, c.dust, report.Dust)
	}
}

// Groups that are alike are one, whose rows are one set on one grid; others are not.
func TestGroupsThatAreAlike(t *testing.T) {
	low, high := plate(0, 0, 4, 1), plate(0, 5, 4, 6.3)
	high.Group = 1
	art := path.Artwork{Shapes: []path.Shape{low, high}}
	for alike, sets := range map[bool]int{true: 1, false: 2} {
		groups := []Group{{Setting: path.Setting{SpacingMM: 0.5}}, {Setting: path.Setting{SpacingMM: 0.5}}}
		if !alike {
			groups[1].Grid = 1
		}
		marks, report, err := Fill(art, Settings{Groups: groups})
		require.NoError(t, err)
		require.Len(t, marks.Rows, sets)
		require.Zero(t, marks.ToleranceMM, "without lines")
		require.Equal(t, report.Rows, report.Spans)
		if alike {
			require.Equal(t, 13, marks.Rows[0].NumRows(), "over all of 6.3 mm")
		}
	}
}
