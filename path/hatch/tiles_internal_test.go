package hatch

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// BoundaryInTiles is Boundary tile by tile, however few points there are, for tests.
func BoundaryInTiles(art path.Artwork, s Settings, most int) ([][]path.Point, error) {
	f, err := flattenAll(art, s)
	if err != nil {
		return nil, err
	}
	any := func(*layer) bool { return true }
	if f, err = even(f, any); err != nil {
		return nil, err
	}
	all, err := tiledBoundary(f, newPainter(f, any), most)
	return all.rings, err
}

// heaps is n wavy rings of 90 corners, of 20 mm2 each, over each other, so many deep.
func heaps(n int, deep float64) (rings [][]path.Point) {
	r := rand.New(rand.NewPCG(7, 2))
	wide := math.Sqrt(20 * float64(n) / deep)
	for range n {
		x, y, radius := wide*r.Float64(), wide*r.Float64(), 1+3*r.Float64()
		ring := make([]path.Point, 90)
		for k := range ring {
			a := 2 * math.Pi * float64(k) / 90
			ring[k] = polar(x, y, radius*(1+0.2*math.Sin(7*a)), a)
		}
		rings = append(rings, ring)
	}
	return rings
}

// layered lays rings over each other, every so many of them bare.
func layered(rings [][]path.Point, bare int) *flat {
	f := &flat{above: DefaultBareAbove}
	for i, r := range rings {
		f.add([][]path.Point{r}, path.NonZero, i%bare == bare-1)
	}
	return f
}

// Tiles of any size make the same rings as uniting all at once: the same number of them,
// which mark the same, and corners that hardly moved: sides move by a pixel, and where
// they cross at a small angle by some more.
func TestTilesOfHeaps(t *testing.T) {
	for _, f := range []*flat{layered(heaps(120, 2.5), 1000), layered(heaps(120, 5), 3)} {
		p := newPainter(f, func(*layer) bool { return true })
		united, err := boundary(f, p)
		require.NoError(t, err)
		want := united.rings
		require.Greater(t, len(want), 5)
		marked := 0.0
		for _, ring := range want {
			marked += area(ring)
		}
		for _, most := range []int{8, 100, 1500} {
			united, err := tiledBoundary(f, p, most)
			require.NoError(t, err)
			got := united.rings
			require.Empty(t, p.inside, "the painter came back out of everything")
			require.Len(t, got, len(want))
			inTiles := 0.0
			for _, ring := range got {
				inTiles += area(ring)
				for _, c := range ring {
					require.Less(t, distance(want, c), 1e-5)
				}
			}
			require.InDelta(t, marked, inTiles, 1e-4)
		}
	}
}

// What a layer hides is not looked at: a hundred rings under one that covers them cost
// nothing, and neither do those on it that are as dark, but for where its edge is near.
func TestTilesLeaveOutWhatDoesNotShow(t *testing.T) {
	rings := heaps(100, 10)
	sheet := []path.Point{{X: -20, Y: -20}, {X: 50, Y: -20}, {X: 50, Y: 50}, {X: -20, Y: 50}}
	crossings := func(rings [][]path.Point) int {
		f := layered(rings, 1000)
		u := newTiler(f, newPainter(f, func(*layer) bool { return true }), 64)
		require.True(t, u.tile(u.all(), 0, 0))
		u.meetRims()
		got := u.stitch()
		require.Len(t, got, 1)
		require.ElementsMatch(t, sheet, got[0], "the sheet's edge as it was drawn")
		return u.crossings
	}
	a, err := arrange(flatRings(rings, path.NonZero))
	require.NoError(t, err)
	all := len(a.spots) - int(a.corners)
	require.Greater(t, all, 1000)
	require.Less(t, crossings(append(heaps(100, 10), sheet)), all/100)
	require.Less(t, crossings(append([][]path.Point{sheet}, rings...)), all/100)
}

// Bricks in a bond meet at corners in the midst of edges. Turned, those lie beside the
// edges by what rounding leaves, and a seam is no gap: one ring is left, of the corners of
// the two long sides and of the teeth at the ends.
func TestSeamsBetweenTurnedBricks(t *testing.T) {
	const courses, bricks = 40, 50
	for _, angle := range []float64{0, 30, 45, 0.01} {
		turn := path.Rotate(angle)
		var rings [][]path.Point
		for j := range courses {
			for i := range bricks {
				x, y := float64(i)*3+float64(j%2)*1.3, float64(j)*1.7
				rings = append(rings, []path.Point{
					turn.Apply(path.Point{X: x, Y: y}), turn.Apply(path.Point{X: x + 3, Y: y}),
					turn.Apply(path.Point{X: x + 3, Y: y + 1.7}), turn.Apply(path.Point{X: x, Y: y + 1.7}),
				})
			}
		}
		f := flatRings(rings, path.NonZero)
		p := newPainter(f, func(*layer) bool { return true })
		for _, most := range []int{100, 1 << 20} {
			united, err := tiledBoundary(f, p, most)
			require.NoError(t, err)
			got := united.rings
			require.Len(t, got, 1, "at %g degrees", angle)
			require.InDelta(t, courses*bricks*3*1.7, area(got[0]), 1e-4)
		}
	}
}

// What crosses far too often is refused before any work, and what comes to one place from
// all sides, which no tile can part, is united all the same: 1,500 blades that meet at their
// tips alone, whose area is reckoned by hand.
func TestTilesOfTanglesAndHubs(t *testing.T) {
	const corners, blades = 8000, 1500
	f := flatRings(scribble(corners), path.NonZero)
	var tangle *TangleError
	_, err := tiledBoundary(f, newPainter(f, func(*layer) bool { return true }), tilePoints)
	require.ErrorAs(t, err, &tangle)
	require.InEpsilon(t, 0.23*corners*corners/2, tangle.Crossings, 0.1, "of two random sides 0.23 cross")

	var rings [][]path.Point
	for i := range blades {
		a := 2 * math.Pi * float64(i) / blades
		rings = append(rings, []path.Point{{X: 100, Y: 100}, polar(100, 100, 90, a),
			polar(100, 100, 90, a+math.Pi/blades)})
	}
	f = flatRings(rings, path.NonZero)
	p := newPainter(f, func(*layer) bool { return true })
	u := newTiler(f, p, tilePoints)
	require.False(t, u.tile(u.all(), 0, 0))
	require.True(t, u.crowded)
	require.Empty(t, p.inside)
	united, err := tiledBoundary(f, p, tilePoints)
	require.NoError(t, err)
	got := united.rings
	sum := 0.0
	for _, ring := range got {
		sum += area(ring)
	}
	require.InDelta(t, blades*90*90*math.Sin(math.Pi/blades)/2, sum, 1e-2)
}

// The bands of a gradient have their rings behind those of layers above them: a dark sheet,
// a bare strip on it, and a dark bar across the strip leave two holes, in whatever sequence
// their rings come.
func TestTilesOfRingsInAnySequence(t *testing.T) {
	const sheet, strip, bar = 0, 1, 2
	f := &flat{above: DefaultBareAbove}
	for i, r := range [][]path.Point{
		sheet: {{X: -50, Y: -50}, {X: 50, Y: -50}, {X: 50, Y: 50}, {X: -50, Y: 50}},
		strip: {{X: -4, Y: -2}, {X: 4, Y: -2}, {X: 4, Y: 2}, {X: -4, Y: 2}},
		bar:   {{X: -1, Y: -3}, {X: 1, Y: -3}, {X: 1, Y: 3}, {X: -1, Y: 3}},
	} {
		f.add([][]path.Point{r}, path.NonZero, i == strip)
	}
	for _, sequence := range [][3]int{{sheet, strip, bar}, {sheet, bar, strip}, {bar, strip, sheet}} {
		g := *f
		g.rings = []ring{f.rings[sequence[0]], f.rings[sequence[1]], f.rings[sequence[2]]}
		for _, most := range []int{4, 8, 100} {
			all, err := tiledBoundary(&g, newPainter(&g, func(*layer) bool { return true }), most)
			require.NoError(t, err)
			sum := 0.0
			for _, r := range all.rings {
				sum += area(r)
			}
			require.InDelta(t, 100*100-2*3*4, sum, 1e-5, "%v, %d points", sequence, most)
			require.Len(t, all.rings, 3)
		}
	}
}

// clothes is wavy rings over each other, of all that hides, shows through and is cut: dark,
// grey and bare paint, white that lets the grey below it look bare, clips and holes.
func clothes(seed uint64) (art path.Artwork) {
	r := rand.New(rand.NewPCG(seed, 5))
	grey := func(v, opacity float64) path.Paint { return path.Paint{R: v, G: v, B: v, Opacity: opacity} }
	paints := []path.Paint{grey(0, 1), grey(0, 1), grey(0.7, 1), grey(1, 1), grey(1, 0.9)}
	if seed%3 == 0 {
		paints = paints[:4]
	}
	ring := func() path.Path {
		x, y := 4*r.Float64(), 4*r.Float64()
		return ringArt(one(curveOf(90, x, y, 1+3*r.Float64()))).Shapes[0].Path
	}
	for range 12 {
		s := path.Shape{Path: ring(), Paint: paints[r.IntN(len(paints))], Rule: path.EvenOdd}
		switch r.IntN(4) {
		case 0:
			s.Clips = []*path.Clip{{Shapes: []path.Shape{{Path: ring()}}}}
		case 1:
			hole := ring()
			s.Path.Verbs, s.Path.Points = append(s.Path.Verbs, hole.Verbs...), append(s.Path.Points, hole.Points...)
		}
		art.Shapes = append(art.Shapes, s)
	}
	return art
}

// curveOf is a wavy ring of n corners.
func curveOf(n int, x, y, radius float64) (ring []path.Point) {
	for k := range n {
		a := 2 * math.Pi * float64(k) / float64(n)
		ring = append(ring, polar(x, y, radius*(1+0.2*math.Sin(7*a)), a))
	}
	return ring
}

// Whatever covers a tile, hides, shows through or is cut off there, the area that is marked
// is that of all at once.
func TestTilesOfClothes(t *testing.T) {
	for seed := range uint64(30) {
		art := clothes(seed)
		want, err := BoundaryInTiles(art, Settings{}, 1<<20)
		require.NoError(t, err)
		got, err := BoundaryInTiles(art, Settings{}, 40)
		require.NoError(t, err)
		require.InDelta(t, areaOfAll(want), areaOfAll(got), 1e-4, "seed %d", seed)
	}
}

func areaOfAll(rings [][]path.Point) (mm2 float64) {
	for _, r := range rings {
		mm2 += area(r)
	}
	return mm2
}

// A triangle of crossings whose first corner is three spots within a pixel keeps it, though
// each of the three lies on the way between its neighbours, wherever the ring begins: half
// of 900 x 400 pixels.
func TestCornerOfSpotsWithinAPixel(t *testing.T) {
	a := arrangement{spots: []spot{{1000, 1000}, {1001, 1000}, {1450, 1000}, {1900, 1000}, {1000, 1400}, {1000, 1001}}}
	var ring []int32
	for i := range a.spots {
		ring = append(ring, int32(i))
	}
	for range ring {
		got := a.straighten(ring)
		require.Len(t, got, 3)
		require.InDelta(t, 900*400/2, area(got)/pixel/pixel, 1500, "%v", got)
		ring = append(ring[1:], ring[0])
	}
}
