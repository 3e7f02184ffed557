package hatch

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// scribble is one ring of n corners anywhere on a page of 100 mm.
func scribble(n int) [][]path.Point {
	r := rand.New(rand.NewPCG(5, 3))
	ring := make([]path.Point, n)
	for i := range ring {
		ring[i] = path.Point{X: r.Float64() * 100, Y: r.Float64() * 100}
	}
	return [][]path.Point{ring}
}

// crossingsOf counts the pairs of sides with the ends of each on both sides of the
// other.
func crossingsOf(ring []path.Point) int {
	n, count := len(ring), 0
	left := func(a, b, c path.Point) bool { return b.Sub(a).Cross(c.Sub(a)) > 0 }
	for i := range n {
		a, b := ring[i], ring[(i+1)%n]
		for k := i + 2; k < n; k++ {
			c, d := ring[k], ring[(k+1)%n]
			if (i > 0 || k < n-1) && left(a, b, c) != left(a, b, d) && left(c, d, a) != left(c, d, b) {
				count++
			}
		}
	}
	return count
}

// All crossings are found, each once: no three lines of a scribble meet in a pixel.
func TestEveryCrossingIsFound(t *testing.T) {
	rings := scribble(800)
	a, err := arrange(flatRings(rings, path.NonZero))
	require.NoError(t, err)
	n := crossingsOf(rings[0])
	require.Greater(t, n, 50_000)
	require.Equal(t, n, len(a.spots)-int(a.corners))
	require.Len(t, a.sides, 800+2*n, "each crossing cuts two sides")
}

// What crosses too often is refused with about how often: with all pairs of 4,000
// sides counted, within a tenth.
func TestTangleIsRefusedWithItsCount(t *testing.T) {
	rings := scribble(4000)
	_, err := arrange(flatRings(rings, path.NonZero))
	var tangle *TangleError
	require.ErrorAs(t, err, &tangle)
	require.InEpsilon(t, crossingsOf(rings[0]), tangle.Crossings, 0.1)
	require.Contains(t, tangle.Error(), "about 1.8 million times")
	require.NotEmpty(t, tangle.Hint())
}

func TestRoughNumbers(t *testing.T) {
	for x, want := range map[float64]string{
		1_234_567: "1.2 million", 2_000_000: "2 million", 45_678_900: "46 million",
		123_456_789: "120 million", 5.5e9: "5.5 thousand million", 99_400: "99 thousand",
	} {
		require.Equal(t, want, rough(x))
	}
}

// Sides that lie on each other count as one: thousands of copies of a ring are united
// to that ring.
func TestSidesOnEachOther(t *testing.T) {
	zigzag := []path.Point{{}, {X: 10, Y: 1}, {X: 20}, {X: 30, Y: 1}, {X: 30, Y: 9}, {Y: 8}}
	var rings [][]path.Point
	for range 3000 {
		rings = append(rings, zigzag)
	}
	united, err := boundary(flatRings(rings, path.NonZero), &winding{sign: 1})
	require.NoError(t, err)
	got := united.rings
	require.Len(t, got, 1)
	require.InDelta(t, area(zigzag), area(got[0]), 1e-5)
}

// Real crossings that lie on each other, as of copies, are not told from the pairs of
// their sides, nor are many that stay within the bound: both are united.
func TestFewCrossingsOfManySidesAreNotHopeless(t *testing.T) {
	cross := [][]path.Point{{{Y: 4}, {X: 10, Y: 4}, {X: 10, Y: 6}, {Y: 6}},
		{{X: 4}, {X: 6}, {X: 6, Y: 10}, {X: 4, Y: 10}}}
	var copies [][]path.Point
	for range 3000 { // 9,000,000 pairs of sides cross at each of four places
		copies = append(copies, cross...)
	}
	united, err := boundary(flatRings(copies, path.NonZero), &winding{sign: 1})
	require.NoError(t, err)
	got := united.rings
	require.Len(t, got, 1)
	_, err = arrange(flatRings(one(star(7)), path.NonZero)) // 600,000 crossings
	require.NoError(t, err)
}

// What crosses far too often is refused before any of it is looked for in full.
func TestHopelessTanglesAreSeenAtAGlance(t *testing.T) {
	for _, rings := range [][][]path.Point{scribbled(), one(star(49_999))} {
		a := &arrangement{}
		a.place(flatRings(rings, path.NonZero))
		require.True(t, a.hopeless(firsts(a.twins())))
	}
}

// Of rings that do not cross themselves no crossing is told, at a glance or in detail:
// neighbours that share a corner do not cross there.
func TestRingsWithoutCrossings(t *testing.T) {
	for _, ring := range [][]path.Point{round(path.Point{X: 5}, 9, 300), backwards(round(path.Point{}, 9, 300))} {
		a := &arrangement{}
		a.place(flatRings([][]path.Point{ring, round(path.Point{X: 1}, 3, 40)}, path.NonZero))
		sides := firsts(a.twins())
		require.Len(t, sides, 340)
		require.Zero(t, a.estimate(sides))
		n, hits := a.estimateIn(a.whole(), sides, atAGlance)
		require.Zero(t, n)
		require.Zero(t, hits)
		require.NoError(t, a.meet(sides))
		require.Len(t, a.spots, 340)
		require.Empty(t, a.splits)
	}
}

// Estimates of crossings are near to their number, by few pairs of them too.
func TestEstimatesOfCrossings(t *testing.T) {
	rings := scribble(300)
	want := float64(crossingsOf(rings[0]))
	a := &arrangement{}
	a.place(flatRings(rings, path.NonZero))
	sides := firsts(a.twins())
	require.InDelta(t, want, a.estimate(sides), 1e-9, "in detail all pairs are tried")
	for _, pairs := range []int{1 << 9, 1 << 12, 1 << 20} {
		n, hits := a.sample(a.whole(), sides, pairs)
		require.InEpsilon(t, want, n, 0.15, pairs)
		tried := min(300*299/2, float64(pairs)*1.3)
		require.LessOrEqual(t, float64(hits), tried)
		require.InEpsilon(t, want/(300*299/2), float64(hits)/tried, 0.4)
	}
	require.False(t, a.hopeless(sides))
	whole := a.whole()
	require.Zero(t, whole.size&(whole.size-1), "it can be quartered down to a spot")
	for i := range a.spots {
		require.True(t, whole.holds(a.spots[i]))
		n := 0
		for k := range int64(4) {
			if whole.quarter(k).holds(a.spots[i]) {
				n++
			}
		}
		require.Equal(t, 1, n, "in one of the quarters")
	}
}

// The sides of a square are those that come within a pixel and a half of it, by cutting each
// to that wider square; a quarter has no more than the whole.
func TestSidesOfSquares(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 4))
	in, out := 0, 0
	for range 400 {
		q := square{spot{r.Int64N(60) - 30, r.Int64N(60) - 30}, 1 << r.IntN(6)}
		a := &arrangement{}
		for range 12 {
			a.spots = append(a.spots, spot{r.Int64N(120) - 60, r.Int64N(120) - 60})
		}
		var ids, want []int32
		for i := range int32(11) {
			a.sides = append(a.sides, side{a: i, b: i + 1})
			ids = append(ids, i)
			p, d := a.spots[i].point().Mul(1/pixel), a.spots[i].to(a.spots[i+1])
			lo, hi := 0.0, 1.0 // of the way along the side, what lies in the wider square
			for _, axis := range [][3]float64{{p.X, d.X, float64(q.corner.x)}, {p.Y, d.Y, float64(q.corner.y)}} {
				from, to := axis[2]-1.5-axis[0], axis[2]+float64(q.size)+1.5-axis[0]
				if axis[1] < 0 {
					from, to = to, from
				}
				switch {
				case axis[1] != 0:
					lo, hi = max(lo, from/axis[1]), min(hi, to/axis[1])
				case from > 0 || to < 0:
					hi = -1
				}
			}
			if lo <= hi {
				want = append(want, i)
				in++
			} else {
				out++
			}
		}
		require.Equal(t, want, a.within(q, ids, nil))
		whole := a.within(q, ids, nil)
		for k := range int64(4) {
			require.Subset(t, whole, a.within(q.quarter(k), whole, []int32{}))
		}
	}
	require.Greater(t, in, 300)
	require.Greater(t, out, 1000)
}

// A side is led through a spot where it comes into the spot's pixel, by cutting it to that;
// two cross where each has the other's ends on both sides, at the pixel of that place.
func TestPixelsOfSides(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	through, crossed := 0, 0
	for range 6000 {
		a := &arrangement{}
		for range 5 {
			a.spots = append(a.spots, spot{r.Int64N(14), r.Int64N(14)})
		}
		line := func(u, v int32) segment {
			return segment{id: u, a: u, b: v, p: a.spots[u], d: a.spots[u].to(a.spots[v])}
		}
		s, o := line(0, 1), line(2, 3)
		lo, hi := 0.0, 1.0
		q := s.p.to(a.spots[4])
		for _, axis := range [][2]float64{{q.X, s.d.X}, {q.Y, s.d.Y}} {
			from, to := axis[0]-0.5, axis[0]+0.5
			if axis[1] < 0 {
				from, to = to, from
			}
			switch {
			case axis[1] != 0:
				lo, hi = max(lo, from/axis[1]), min(hi, to/axis[1])
			case from > 0 || to < 0:
				hi = -1
			}
		}
		m := meeting{arrangement: a}
		m.lead(&s, 4)
		if d := hi - lo; d > 1e-9 || d < -1e-9 {
			require.Equal(t, d > 0, len(a.splits) == 1, "%v to %v through %v", a.spots[0], a.spots[1], a.spots[4])
			if d > 0 {
				through++
			}
		}
		a.splits = nil
		m.lead(&s, 1)
		require.Empty(t, a.splits, "its own end")
		side := func(l *segment, p spot) float64 { return l.d.Cross(l.p.to(p)) }
		c0, c1 := side(&s, a.spots[2]), side(&s, a.spots[3])
		d0, d1 := side(&o, a.spots[0]), side(&o, a.spots[1])
		x, ok := crossing(&s, &o)
		if c0*c1 == 0 || d0*d1 == 0 {
			continue // they touch, or lie on each other
		}
		require.Equal(t, c0*c1 < 0 && d0*d1 < 0, ok)
		if ok {
			crossed++
			f := d0 / (d0 - d1)
			require.InDelta(t, float64(s.p.x)+f*s.d.X, float64(x.x), 0.5+1e-9)
			require.InDelta(t, float64(s.p.y)+f*s.d.Y, float64(x.y), 0.5+1e-9)
		}
	}
	require.Greater(t, through, 200)
	require.Greater(t, crossed, 200)
}

// The star polygon {n/k} crosses itself n(k-1) times: each of its n sides crosses 2(k-1)
// others (counted by hand). Where many lines meet in little room no crossing counts twice.
func TestCrossingsOfStars(t *testing.T) {
	for _, n := range []int{7, 11, 41, 101} {
		var ring []path.Point
		for i := range n {
			ring = append(ring, polar(10, 10, 9, 2*math.Pi*float64(i*(n/2))/float64(n)))
		}
		a, err := arrange(flatRings([][]path.Point{ring}, path.NonZero))
		require.NoError(t, err)
		require.Equal(t, n*(n/2-1), a.crossings(), "%d", n)
		spots := slices.Clone(a.spots)
		slices.SortFunc(spots, func(p, q spot) int { return cmp.Or(cmp.Compare(p.x, q.x), cmp.Compare(p.y, q.y)) })
		require.Len(t, slices.Compact(spots), len(a.spots))
	}
}

// Looking goes on to a bound, whatever crosses.
func TestLooksAreBounded(t *testing.T) {
	f := flatRings([][]path.Point{plate(0, 0, 4, 4).Path.Points, plate(1, 1, 5, 5).Path.Points}, path.NonZero)
	for left, done := range map[int]bool{8: true, 7: false} {
		a := &arrangement{}
		a.place(f)
		m := meeting{arrangement: a, ids: firsts(a.twins()), looks: maxLooks - left}
		require.Equal(t, done, m.square(a.whole(), 0, len(m.ids), 0))
	}
	require.EqualError(t, &TangleError{Crossings: 1.53e6, Beside: true}, "very many edges lie close beside each "+
		"other and cross about 1.5 million times, too many to unite the region that they bound")
}

// Where all lines of a bundle cross in one place, that is one spot.
func TestManyCrossingsInOneSpot(t *testing.T) {
	a := &arrangement{corners: 40}
	for i := range int32(20) {
		p := polar(0, 0, 1e6, math.Pi*float64(i)/20)
		x, y := int64(math.Round(p.X)), int64(math.Round(p.Y))
		a.spots = append(a.spots, spot{x, y}, spot{-x, -y})
		a.sides = append(a.sides, side{a: 2 * i, b: 2*i + 1})
	}
	require.NoError(t, a.meet(firsts(a.twins())))
	require.Equal(t, []spot{{}}, a.spots[40:])
	require.Len(t, a.splits, 20)
}
