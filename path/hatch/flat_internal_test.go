package hatch

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/require"
)

// plate is a black rectangle.
func plate(x0, y0, x1, y1 float64) path.Shape {
	s := path.Shape{Paint: path.Paint{Opacity: 1}}
	s.Path.MoveTo(path.Point{X: x0, Y: y0})
	s.Path.LineTo(path.Point{X: x1, Y: y0})
	s.Path.LineTo(path.Point{X: x1, Y: y1})
	s.Path.LineTo(path.Point{X: x0, Y: y1})
	s.Path.Close()
	return s
}

func box(x0, y0, x1, y1 float64) path.Rect {
	return path.Rect{Min: path.Point{X: x0, Y: y0}, Max: path.Point{X: x1, Y: y1}}
}

// What a clip of two shapes leaves of a shape has a box round both, cut to the shape's; what is
// clipped twice is in both clips; a clip within itself lets nothing through.
func TestBoxesOfClips(t *testing.T) {
	two := &path.Clip{Shapes: []path.Shape{plate(1, 1, 3, 2), plate(5, -2, 6, 4)}}
	left := &path.Clip{Shapes: []path.Shape{plate(-9, -9, 2.5, 9)}}
	itself := &path.Clip{}
	itself.Shapes = []path.Shape{plate(0, 0, 5, 5)}
	itself.Shapes[0].Clips = []*path.Clip{itself}
	inner := plate(0, 0, 9, 9)
	inner.Clips = []*path.Clip{left}
	nested := &path.Clip{Shapes: []path.Shape{inner}}
	var art path.Artwork
	for _, clips := range [][]*path.Clip{nil, {two}, {two, left}, {itself}, {nested}, {two}} {
		s := plate(0, 0, 8, 3)
		s.Clips = clips
		art.Shapes = append(art.Shapes, s)
	}
	f, err := flattenAll(art, Settings{})
	require.NoError(t, err)
	boxes := f.boxes(f.regionBoxes())
	require.Len(t, boxes, 6)
	require.Equal(t, box(0, 0, 8, 3), boxes[0])
	require.Equal(t, box(1, 0, 6, 3), boxes[1])
	require.Equal(t, box(1, 0, 2.5, 3), boxes[2])
	require.True(t, boxes[3].Empty())
	require.Equal(t, box(0, 0, 2.5, 3), boxes[4])
	require.Equal(t, boxes[1], boxes[5], "the same clip again")
	w := filler{f: f, workers: 1}
	for dir, want := range map[path.Point][2]float64{{X: 1}: {0, 3}, {Y: 1}: {-6, -1}, {X: -1}: {-3, 0}} {
		n := 0
		lo, hi, ok := w.heights(dir, func(*layer) bool { n++; return n == 2 })
		require.True(t, ok)
		require.Equal(t, want, [2]float64{lo, hi}, "the heights of what the clip leaves, along %v", dir)
	}
	_, _, ok := w.heights(path.Point{X: 1}, func(*layer) bool { return false })
	require.False(t, ok)
	require.Equal(t, []int32{f.layers[0].in}, f.regionsOf(f.layers[0].in, nil))
	require.Len(t, f.regionsOf(f.layers[1].in, nil), 3)
	require.Len(t, f.regionsOf(f.layers[3].in, nil), 2, "each once")
}

// Points may be as far from the origin as 1,000 km in a straight line, and no farther.
func TestRangeOfCoordinates(t *testing.T) {
	for x, ok := range map[float64]bool{1e6: true, -1e6: true, 1e6 + 1e-3: false, 1e200: false, math.Inf(-1): false} {
		_, err := flattenAll(path.Artwork{Shapes: []path.Shape{plate(0, 0, x, 0)}}, Settings{})
		require.Equal(t, ok, err == nil, x)
	}
	_, err := flattenAll(path.Artwork{Shapes: []path.Shape{plate(0, 0, 8e5, 8e5)}}, Settings{})
	require.ErrorContains(t, err, "shape 0 (): a point is out of range: use 1e+06 mm from the origin at most")
}

// A path of lines is taken as it is: rings of three points and more, a line after a close
// as a ring of its own, which is none; curves are not.
func TestStraightPaths(t *testing.T) {
	p := plate(0, 0, 2, 3).Path
	p.MoveTo(path.Point{X: 7})
	p.LineTo(path.Point{X: 8})
	p.Close()
	p.MoveTo(path.Point{X: 5})
	p.LineTo(path.Point{X: 6})
	p.LineTo(path.Point{X: 6, Y: 1})
	f := &flattener{}
	require.True(t, f.straight(p, 4))
	require.Len(t, f.rings, 2)
	require.Len(t, f.rings[0].points, 4)
	require.Equal(t, []path.Point{{X: 5}, {X: 6}, {X: 6, Y: 1}}, f.rings[1].points)
	require.Equal(t, int32(4), f.rings[1].region)
	require.Equal(t, 7, f.points())
	p.CubeTo(path.Point{X: 1}, path.Point{X: 2}, path.Point{X: 3})
	require.False(t, f.straight(p, 4))
	require.Len(t, f.rings, 2, "nothing is added")
	q := plate(0, 0, 2, 3).Path
	q.LineTo(path.Point{X: 9, Y: 9}) // from where it was closed
	q.LineTo(path.Point{X: 9, Y: 0})
	require.False(t, f.straight(q, 4))
}

// Whether a gradient is bare, dark, or neither all over, by its stops.
func TestKindsOfGradients(t *testing.T) {
	grey := func(v float64) path.Paint { return path.Paint{R: v, G: v, B: v, Opacity: 1} }
	stops := func(paints ...path.Paint) *path.Gradient {
		g := &path.Gradient{}
		for i, p := range paints {
			g.Stops = append(g.Stops, path.Stop{Offset: float64(i), Paint: p})
		}
		return g
	}
	r, g, b := path.Paint{R: 1, Opacity: 1}, path.Paint{G: 1, Opacity: 1}, path.Paint{B: 1, Opacity: 1}
	cyan, yellow := path.Paint{G: 1, B: 1, Opacity: 1}, path.Paint{R: 1, G: 1, Opacity: 1}
	magenta := path.Paint{R: 1, B: 1, Opacity: 1}
	for name, c := range map[string]struct {
		g    *path.Gradient
		want paint
	}{
		"none": {stops(), unclear}, "black": {stops(grey(0), grey(0.5)), showsMark},
		"white": {stops(grey(0.97), grey(1)), showsBare}, "both": {stops(grey(0), grey(1)), unclear},
		"at the threshold": {stops(grey(0.96), grey(0.96)), showsBare}, "below": {stops(grey(0.959)), showsMark},
		"red to green": {stops(r, g), showsMark}, "cyan to yellow": {stops(cyan, yellow), unclear},
		"yellow to magenta": {stops(yellow, magenta), unclear}, "magenta to cyan": {stops(magenta, cyan), unclear},
		"red to cyan": {stops(r, cyan), unclear}, "blue to magenta": {stops(b, magenta), showsMark},
		"over blue": {stops(yellow, b), unclear}, "by black": {stops(yellow, grey(0), cyan), showsMark},
		"thin": {stops(grey(0), path.Paint{Opacity: 0.99}), unclear},
	} {
		require.Equal(t, c.want, kindOf(c.g, 0.96), name)
	}
	round := stops(yellow, grey(0), cyan) // a repeated one goes from its end to its start
	round.Spread = path.Repeat
	require.Equal(t, unclear, kindOf(round, 0.96))
	round.Spread = path.Reflect
	require.Equal(t, showsMark, kindOf(round, 0.96))
	round.Radial, round.Focus, round.Start = true, path.Point{X: 0.3, Y: 0.4}, 0.45
	require.Equal(t, showsMark, kindOf(round, 0.96))
	round.Start = 0.5 // its circles touch
	require.Equal(t, unclear, kindOf(round, 0.96))
}

// All groups are one to the boundary and to what is shown.
func TestShapesOfAnyGroup(t *testing.T) {
	art := path.Artwork{Shapes: []path.Shape{plate(0, 0, 2, 3), plate(4, 0, 5, 3)}}
	art.Shapes[0].Group, art.Shapes[0].Width = 5, 0.5
	rings, err := Boundary(art, Settings{})
	require.NoError(t, err)
	require.Len(t, rings, 2)
	_, areas, err := Shown(art, 0.1, Settings{})
	require.NoError(t, err)
	require.Len(t, areas, 2)
	require.InDeltaSlice(t, []float64{6, 3}, areas, 1e-9)
}

// Rows are shared out by their crossings: every worker has about as many, and the rows
// follow each other without a gap.
func TestSharesOfRows(t *testing.T) {
	var rings [][]path.Point // a stair of 3,000 teeth, each crossed by more rows than the last
	for i := range 3000 {
		x := float64(i)
		rings = append(rings, []path.Point{{X: x}, {X: x + 0.5}, {X: x + 0.25, Y: x + 1}})
	}
	for _, workers := range []int{1, 2, 3, 8} {
		w := filler{f: flatRings(rings, path.NonZero), workers: workers}
		g := newGrid(path.Point{X: 1}, 0, 3000, 1, true)
		require.NoError(t, w.prepare(&g))
		require.EqualValues(t, 3000*3001, w.chains.total, "two for each row of each tooth")
		shares := w.shares(g.n)
		require.Len(t, shares, workers)
		row, before := int32(0), 0
		for i, s := range shares {
			require.Equal(t, row, s.lo)
			require.EqualValues(t, before, s.before)
			n := 0
			for ; row < s.hi; row++ {
				n += 2 * (3000 - int(row))
			}
			before += n
			require.EqualValues(t, before, s.end)
			require.InDelta(t, 3000*3001/workers, n, 6001, "%d of %d", i, workers)
		}
		require.EqualValues(t, 3000, row)
	}
	few := filler{f: flatRings(rings[:1000], path.NonZero), workers: 8} // a million crossings
	g := newGrid(path.Point{X: 1}, 0, 1000, 1, true)
	require.NoError(t, few.prepare(&g))
	require.Equal(t, []share{{hi: 1000, end: 1000 * 1001}}, few.shares(g.n), "not worth two")
}

// Parts of rows are joined in the room that they share, and elsewhere where one has
// outgrown its own or there is none.
func TestPartsAreJoined(t *testing.T) {
	all := []share{{end: 4}, {before: 4, end: 10}, {before: 10, end: 12}}
	spans := func(from, n int) (out []path.Span) {
		for i := range n {
			out = append(out, path.Span{X0: float64(from + i)})
		}
		return out
	}
	for _, tt := range []struct {
		sizes  [3]int
		room   int
		inRoom bool
	}{{[3]int{2, 3, 1}, 6, true}, {[3]int{1, 0, 1}, 6, true}, {[3]int{3, 3, 1}, 6, false}, {[3]int{2, 3, 2}, 6, false},
		{[3]int{2, 3, 1}, 0, false}, {[3]int{2, 3, 1}, 4, false}} {
		room := make([]path.Span, tt.room)
		var parts [][]path.Span
		n := 0
		for i, size := range tt.sizes {
			parts = append(parts, append(all[i].room(room), spans(n, size)...))
			n += size
		}
		got := joined(parts, all, room)
		require.Equal(t, spans(0, n), got)
		require.Equal(t, tt.inRoom, len(room) > 0 && &got[0] == &room[0], "%v", tt)
	}
}

// Boxes come in the sequence of Morton: of the four quarters of the whole the lower left one
// first, then the lower right, the upper left and the upper right, each in the same way.
func TestBoxesByPlace(t *testing.T) {
	const n = 16
	r := rand.New(rand.NewPCG(6, 6))
	var boxes []path.Rect
	for i := range n * n {
		c := path.Point{X: 3 + 2*float64(i%n), Y: -7 + 2*float64(i/n)}
		boxes = append(boxes, path.Rect{Min: c, Max: c})
	}
	r.Shuffle(len(boxes), func(i, k int) { boxes[i], boxes[k] = boxes[k], boxes[i] })
	var want []int32
	var quarters func(x, y, size float64)
	quarters = func(x, y, size float64) {
		if size == 1 {
			at := path.Point{X: 3 + 2*x, Y: -7 + 2*y}
			want = append(want, int32(slices.IndexFunc(boxes, func(b path.Rect) bool { return b.Min == at })))
			return
		}
		h := size / 2
		quarters(x, y, h)
		quarters(x+h, y, h)
		quarters(x, y+h, h)
		quarters(x+h, y+h, h)
	}
	quarters(0, 0, n)
	require.Equal(t, want, byPlace(boxes))
	same := []path.Rect{box(1, 1, 1, 1), box(1, 1, 1, 1), box(1, 1, 1, 1)}
	require.Equal(t, []int32{0, 1, 2}, byPlace(same), "in one place as they come")
	for _, x := range []uint64{0, 1, 0xffff, 0x8000, 0x1234, 0xabcd} {
		want := uint64(0)
		for bit := range 16 {
			want |= (x >> bit & 1) << (2 * bit)
		}
		require.Equal(t, want, spread16(x))
	}
}

// A tree finds just the boxes that meet another, in sequence, and stops when told to; it
// looks at few more than it finds.
func TestTreeAgainstAllBoxes(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 7))
	anyBox := func(size float64) path.Rect {
		x, y := float64(r.IntN(100)), float64(r.IntN(100))
		return box(x, y, x+math.Floor(size*r.Float64()), y+math.Floor(size*r.Float64()))
	}
	for _, n := range []int{0, 1, 2, 7, 8, 9, 63, 64, 65, 300} {
		boxes := make([]path.Rect, n)
		for i := range boxes {
			boxes[i] = anyBox(9)
		}
		tr := newTree(boxes)
		for range 50 {
			q := anyBox(30)
			var want, got []int
			for i, b := range boxes {
				if b.Min.X <= q.Max.X && q.Min.X <= b.Max.X && b.Min.Y <= q.Max.Y && q.Min.Y <= b.Max.Y {
					want = append(want, i)
				}
			}
			tr.search(q, func(i int) bool { got = append(got, i); return true })
			require.Equal(t, want, got)
			if len(want) > 1 {
				got = nil
				tr.search(q, func(i int) bool { got = append(got, i); return len(got) < 2 })
				require.Equal(t, want[:2], got)
			}
		}
		for level := 1; level < len(tr); level++ {
			require.Len(t, tr[level], (len(tr[level-1])+7)/8)
			for i, b := range tr[level-1] {
				require.Equal(t, b, intersect(b, tr[level][i/8]), "inside the one above")
			}
		}
		require.LessOrEqual(t, len(tr[len(tr)-1]), 1)
	}
}

// How far a place is from a box is how far it is from the nearest of its places.
func TestGapToABox(t *testing.T) {
	b := box(1, 2, 4, 6)
	for x := -1.0; x <= 6; x += 0.5 {
		for y := 0.0; y <= 8; y += 0.5 {
			least := math.Inf(1)
			for u := 1.0; u <= 4; u += 0.5 {
				for v := 2.0; v <= 6; v += 0.5 {
					least = min(least, (x-u)*(x-u)+(y-v)*(y-v))
				}
			}
			require.Equal(t, least, gap(&b, path.Point{X: x, Y: y}), "%g %g", x, y)
		}
	}
}
