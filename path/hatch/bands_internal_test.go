package hatch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// Offsets that differ by what bracketing leaves are one. Of more than there may be, half
// are those met most often and half are spread over the others, ends included.
func TestOffsetsThatAreKept(t *testing.T) {
	require.Empty(t, thinned(nil, 4))
	got := thinned([]float64{0.5, 0.2, 0.5 + 1.8e-6, 0.2 + 9e-7, 0.5 + 9e-7, 0.7}, 4)
	require.Equal(t, []float64{0.2, 0.5, 0.7}, got)
	require.Equal(t, []float64{0.2, 0.2 + 2e-6}, thinned([]float64{0.2, 0.2 + 2e-6}, 4), "farther than that")
	var all []float64
	for i := range 9 { // 0.1 to 0.9, of which 0.6 is met thrice and 0.3 twice
		all = append(all, float64(i+1)/10)
	}
	all = append(all, 0.6, 0.3, 0.6)
	require.Equal(t, []float64{0.1, 0.3, 0.6, 0.9}, thinned(slices.Clone(all), 4))
	require.Equal(t, []float64{0.1, 0.3, 0.6, 0.9}, thinned(slices.Clone(all), 5))
	// three of all by their number, and of 0.2 to 0.9 the ends and 0.5
	require.Equal(t, []float64{0.1, 0.2, 0.3, 0.5, 0.6, 0.9}, thinned(slices.Clone(all), 6))
	require.Len(t, thinned(slices.Clone(all), 9), 9)
}

// The offset that stands for a band is the one met nearest to its middle, inside it.
func TestOffsetOfABand(t *testing.T) {
	r := ramp{seen: []float64{0.1, 0.3, 0.4, 0.8}}
	for _, c := range []struct{ lo, hi, want float64 }{
		{0, 1, 0.4}, {0, 0.5, 0.3}, {0.1, 0.3, 0.2}, {0.1, 0.31, 0.3}, {0.5, 0.7, 0.6}, {0.3, 0.9, 0.4},
		{0.75, 1.2, 0.8}, {0.8, 1, 0.9}, {-1, 0.2, 0.1}, {0.35, 1.1, 0.8},
	} {
		require.InDelta(t, c.want, r.between(c.lo, c.hi), 1e-12, "%+v", c)
	}
	require.Equal(t, 0.5, (&ramp{}).between(0, 1))
}

// rampThat is a gradient that reaches everywhere.
func rampThat(r *rand.Rand) *path.Gradient {
	g := anyRamp(r)
	g.Focus = path.Point{X: 2*r.Float64() - 1, Y: 2*r.Float64() - 1}.Mul((1 - g.Start) * 0.6)
	return g
}

// Rings of a band hold just what of a box has an offset between the two, place by place;
// and all offsets in a box are between its bounds.
func TestBandsHoldTheirOffsets(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	in, out := 0, 0
	for range 200 {
		g := rampThat(r)
		box := path.Rect{Min: path.Point{X: -2 * r.Float64(), Y: -2 * r.Float64()},
			Max: path.Point{X: 3 * r.Float64(), Y: 3 * r.Float64()}}
		inner, outer := 1.5*r.Float64()-0.25, 0.0
		outer = inner + r.Float64()
		switch r.IntN(4) {
		case 0:
			inner = math.Inf(-1)
		case 1:
			outer = math.Inf(1)
		}
		rings := bandRings(g, box, inner, outer, 1e-3)
		lo, hi := offsetsIn(g, box)
		for range 40 {
			p := path.Point{X: box.Min.X + box.W()*r.Float64(), Y: box.Min.Y + box.H()*r.Float64()}
			at, ok := g.Offset(p)
			require.True(t, ok)
			require.GreaterOrEqual(t, at, lo-1e-9)
			require.LessOrEqual(t, at, hi+1e-9)
			if math.Abs(at-inner) < 0.01 || math.Abs(at-outer) < 0.01 {
				continue
			}
			odd := false
			for _, ring := range rings {
				if len(ring) > 0 {
					odd = odd != insideOf(ring, p)
				}
			}
			require.Equal(t, inner < at && at < outer, odd, "%+v: %g from %g to %g", g, at, inner, outer)
			if odd {
				in++
			} else {
				out++
			}
		}
	}
	require.Greater(t, in, 1000)
	require.Greater(t, out, 1000)
	require.Nil(t, bandRings(&path.Gradient{}, path.Rect{}, 0, 1, 1), "a plane that is a line")
}

// insideOf counts crossings of the ray to the right of p.
func insideOf(ring []path.Point, p path.Point) (odd bool) {
	for i, a := range ring {
		b := ring[(i+1)%len(ring)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(p.Y-a.Y)*(b.X-a.X)/(b.Y-a.Y) {
			odd = !odd
		}
	}
	return odd
}

// The bounds of offsets, by hand.
func TestOffsetsInABox(t *testing.T) {
	box := path.Rect{Min: path.Point{X: 1, Y: 2}, Max: path.Point{X: 3, Y: 6}}
	check := func(g path.Gradient, wantLo, wantHi float64) {
		t.Helper()
		lo, hi := offsetsIn(&g, box)
		require.InDelta(t, wantLo, lo, 1e-12)
		require.InDelta(t, wantHi, hi, 1e-12)
	}
	check(path.Gradient{Unit: path.Identity}, 1, 3)
	check(path.Gradient{Unit: path.Rotate(-90)}, 2, 6) // X is what Y was
	check(path.Gradient{Unit: path.Identity, Radial: true}, 0, math.Hypot(3, 6))
	check(path.Gradient{Unit: path.Identity, Radial: true, Start: 0.2}, -0.25, (math.Hypot(3, 6)-0.2)/0.8)
	cone := path.Gradient{Unit: path.Identity, Radial: true, Focus: path.Point{X: 9}, Start: 0.5} // none comes as far
	box = path.Rect{Min: path.Point{X: 20, Y: -1}, Max: path.Point{X: 21, Y: 1}}
	check(cone, 0, 0)
	box = path.EmptyRect()
	check(path.Gradient{Unit: path.Identity}, 0, 0)
}

// faded is a square of 10 mm at a place, from black at its left side to white at its right one,
// so often.
func faded(at path.Point, often float64) path.Shape {
	s := path.Shape{Paint: path.Paint{Opacity: 1}}
	for i, p := range []path.Point{{}, {X: 10}, {X: 10, Y: 10}, {Y: 10}} {
		if p = p.Add(at); i == 0 {
			s.Path.MoveTo(p)
		} else {
			s.Path.LineTo(p)
		}
	}
	s.Path.Close()
	unit := path.Scale(often/10, 1).Mul(path.Translate(-at.X, -at.Y))
	s.Gradient = &path.Gradient{Unit: unit, Spread: path.Repeat, Stops: []path.Stop{
		{Paint: path.Paint{Opacity: 1}}, {Offset: 1, Paint: path.Paint{R: 1, G: 1, B: 1, Opacity: 1}}}}
	return s
}

// Rows find where a fade is no longer dark, once for all of them, and offsets on both
// sides of it, in their sequence.
func TestSurveyOfAFade(t *testing.T) {
	art := path.Artwork{Shapes: []path.Shape{faded(path.Point{X: 3, Y: 1}, 1), faded(path.Point{X: 20}, 3)}}
	f, err := flattenAll(art, Settings{BareAbove: 0.75})
	require.NoError(t, err)
	found, err := survey(f, func(*layer) bool { return true })
	require.NoError(t, err)
	require.Len(t, found[0].changes, 1)
	require.InDeltaSlice(t, []float64{0.75}, found[0].changes, 1e-7)
	require.Len(t, found[1].changes, 5)
	require.InDeltaSlice(t, []float64{0.75, 1, 1.75, 2, 2.75}, found[1].changes, 1e-6)
	for i := range found {
		seen := found[i].seen
		require.True(t, slices.IsSorted(seen))
		require.Equal(t, slices.Compact(slices.Clone(seen)), seen)
		require.Less(t, seen[0], 0.5)
		require.Greater(t, seen[len(seen)-1], 0.75)
		require.LessOrEqual(t, seen[len(seen)-1], []float64{1, 3}[i])
	}
}

// What is cut into bands has the area that is dark, in as many parts, of the lower ones of two
// gradients too.
func TestBandsOfFades(t *testing.T) {
	for _, often := range []float64{1, 7, 65} { // of the last there are more than two gradients may have each
		art := path.Artwork{Shapes: []path.Shape{faded(path.Point{X: 5, Y: 20}, 1), faded(path.Point{}, often)}}
		if often == 65 {
			art.Shapes = art.Shapes[1:]
		}
		rings, err := Boundary(art, Settings{BareAbove: 0.75})
		require.NoError(t, err)
		require.Len(t, rings, int(often)+len(art.Shapes)-1)
		sum := 0.0
		for _, ring := range rings {
			sum += area(ring)
		}
		require.InDelta(t, 75*float64(len(art.Shapes)), sum, 1e-3)
	}
}
