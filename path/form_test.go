package path_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"furrow/path"
)

func about(x, y, w, h float64) path.Rect {
	return path.Rect{Min: path.Point{X: x - w/2, Y: y - h/2}, Max: path.Point{X: x + w/2, Y: y + h/2}}
}

// A rectangle of 60 x 20 mm about 0,0 at 30 degrees reaches 30·cos 30 + 10·sin 30 = 30.981 mm
// across and 30·sin 30 + 10·cos 30 = 23.660 mm up, the oval in it √(900·3/4 + 100/4) = 26.458
// and √(900/4 + 100·3/4) = 17.321 mm. The end of its long axis is 25.981,15; what lies 2 mm
// further out is 2 mm past it, and 27,0 is past the oval alone: along its own axes it is at
// 23.383,-13.5, and so 3.5 mm past the side.
func TestBeyondAFormAslant(t *testing.T) {
	b := path.Form{Rect: about(0, 0, 60, 20), Turn: 30}
	oval := b
	oval.Round = true
	require.InDelta(t, 30.981, b.Bounds().Max.X, 1e-3)
	require.InDelta(t, -23.660, b.Bounds().Min.Y, 1e-3)
	require.InDelta(t, 26.458, oval.Bounds().Max.X, 1e-3)
	require.InDelta(t, 17.321, oval.Bounds().Max.Y, 1e-3)
	end := path.Point{X: 25.980762, Y: 15}
	for _, one := range []path.Form{b, oval} {
		mm, _ := one.Beyond(path.Point{}, end.Mul(0.9999), path.Point{X: -4.99, Y: 8.65})
		require.Zero(t, mm)
		mm, at := one.Beyond(path.Point{}, end.Mul(32./30))
		require.InDelta(t, 2, mm, 1e-5)
		require.Equal(t, end.Mul(32./30), at)
		one.Rect = one.Rect.Grow(1.5)
		mm, _ = one.Beyond(end.Mul(32. / 30))
		require.InDelta(t, 0.5, mm, 1e-5)
	}
	mm, _ := b.Beyond(path.Point{X: 27})
	require.InDelta(t, 3.5, mm, 1e-3)
	corner := path.Point{X: 30.9, Y: 6.4} // the corner at 30·cos 30 + 10·sin 30, 30·sin 30 - 10·cos 30 = 6.340
	mm, _ = b.Beyond(corner)
	require.Less(t, mm, 0.1)
	mm, _ = oval.Beyond(corner)
	require.Greater(t, mm, 1.0)
}

// The way round a circle of 20 mm radius in chords of at most 10 µm sag: an angle of
// 2·acos(1 - 0.01/20) = 3.6238 degrees a chord makes 99.34 of them, and 100 is a whole number for
// each quarter. None leaves the square round it, and its four outermost points are those of
// the square.
func TestEdgeOfACircle(t *testing.T) {
	b := path.Form{Rect: path.Rect{Min: path.Point{X: 5, Y: 7}, Max: path.Point{X: 45, Y: 47}}, Round: true}
	way := b.Edge(0.01)
	require.Len(t, way, 101)
	require.Equal(t, way[0], way[100])
	require.Equal(t, b.Rect, path.BoundsOf(way))
	sag, area := 0.0, 0.0
	for i := range way[1:] {
		require.InDelta(t, 20, way[i].Dist(path.Point{X: 25, Y: 27}), 1e-9)
		sag = max(sag, 20-way[i].Lerp(way[i+1], 0.5).Dist(path.Point{X: 25, Y: 27}))
		area += (way[i].X*way[i+1].Y - way[i+1].X*way[i].Y) / 2
	}
	require.LessOrEqual(t, sag, 0.01)
	require.Greater(t, sag, 0.009)
	require.InDelta(t, 1256.64, area, 1, "counter-clockwise") // π·20²
	require.Len(t, b.Edge(100), 9, "never fewer than eight")
	require.LessOrEqual(t, len(b.Edge(0)), 4097)
}

// The way round an oval aslant stays on it, and in its room; that round a rectangle is its corners.
func TestEdgeOfAFormAslant(t *testing.T) {
	b := path.Form{Rect: about(3, 4, 60, 20), Turn: 30, Round: true}
	for _, p := range b.Edge(0.01) {
		sin, cos := math.Sincos(math.Pi / 6)
		x, y := (p.X-3)*cos+(p.Y-4)*sin, (p.Y-4)*cos-(p.X-3)*sin
		require.InDelta(t, 1, x*x/900+y*y/100, 1e-9)
		require.Equal(t, b.Bounds().Grow(1e-9), b.Bounds().Grow(1e-9).Include(p))
	}
	tall := path.Form{Rect: about(0, 0, 20, 60), Round: true}
	require.Len(t, tall.Edge(0.01), len(b.Edge(0.01)), "as fine as one that is wide")
	long := path.Form{Rect: about(0, 0, 200, 4), Turn: 90}
	require.InDelta(t, 0, long.Edge(0)[0].Dist(path.Point{X: 2, Y: -100}), 1e-9)
	plain := path.Form{Rect: about(10, 20, 4, 2)}
	require.Equal(t, []path.Point{{X: 8, Y: 19}, {X: 12, Y: 19}, {X: 12, Y: 21}, {X: 8, Y: 21}, {X: 8, Y: 19}},
		plain.Edge(0.01))
}

// Chords of a circle of 10 mm about 5,5: of the line 6 mm above its middle 16 mm, of which a
// point 3 mm from the middle's height has 11 behind it and 5 ahead. Of an oval of 60 x 20 mm
// 6 mm up it is 0.8 of 60 mm, and turned by 90 degrees it is 6 mm to the side.
func TestChords(t *testing.T) {
	circle := path.Form{Rect: about(5, 5, 20, 20), Round: true}
	oval := path.Form{Rect: about(0, 0, 60, 20), Round: true}
	upright := oval
	upright.Turn = 90
	slanted := oval
	slanted.Turn = 30
	sin, cos := 0.5, math.Sqrt(3)/2
	for _, tt := range []struct {
		form          path.Form
		from, along   path.Point
		behind, ahead float64
	}{
		{circle, path.Point{X: 8, Y: 11}, path.Point{X: 1}, 11, 5},
		{circle, path.Point{X: 8, Y: 11}, path.Point{X: -1}, 5, 11},
		{circle, path.Point{X: -1, Y: 8}, path.Point{Y: 1}, 11, 5},
		{circle, path.Point{X: 5, Y: 15}, path.Point{X: 1}, 0, 0},
		{circle, path.Point{X: 14, Y: 14}, path.Point{X: 1}, 0, 0},
		{circle, path.Point{X: 5, Y: 5}, path.Point{X: 0.6, Y: 0.8}, 10, 10},
		{oval, path.Point{X: 4, Y: 6}, path.Point{X: 1}, 28, 20},
		{oval, path.Point{X: 18}, path.Point{Y: 1}, 8, 8},
		{upright, path.Point{X: -6, Y: 4}, path.Point{Y: 1}, 28, 20},
		{slanted, path.Point{X: 4*cos - 6*sin, Y: 4*sin + 6*cos}, path.Point{X: cos, Y: sin}, 28, 20},
		{path.Form{Rect: about(0, 0, -2, 4), Round: true}, path.Point{}, path.Point{X: 1}, 0, 0},
	} {
		behind, ahead := tt.form.Chord(tt.from, tt.along)
		require.InDeltaSlice(t, []float64{tt.behind, tt.ahead}, []float64{behind, ahead}, 1e-9, "%+v", tt)
	}
}

// On an oval of 60 x 20 mm at 30 degrees the end of its long axis is on the edge, half as far out a
// half; in its own axes 18,8 is at 0.6, 0.8 and so on the edge, and of the rectangle at 0.8.
func TestShareOfAForm(t *testing.T) {
	oval := path.Form{Rect: about(3, 4, 60, 20), Round: true, Turn: 30}
	plain := path.Form{Rect: oval.Rect, Turn: 30}
	at := func(x, y float64) path.Point {
		sin, cos := math.Sincos(math.Pi / 6)
		return path.Point{X: 3 + x*cos - y*sin, Y: 4 + x*sin + y*cos}
	}
	for p, want := range map[path.Point][2]float64{
		at(30, 0): {1, 1}, at(-15, 0): {0.5, 0.5}, at(18, -8): {1, 0.8}, at(0, 0): {0, 0}, at(0, 20): {2, 2},
	} {
		require.InDelta(t, want[0], oval.Share(p), 1e-9, "%v", p)
		require.InDelta(t, want[1], plain.Share(p), 1e-9, "%v", p)
	}
	require.InDelta(t, 2, oval.Share(at(30, 0), at(0, 20), at(1, 1)), 1e-9)
	require.Zero(t, oval.Share())
	half := oval.Scaled(0.5)
	require.InDelta(t, 1, half.Share(at(-15, 0)), 1e-9)
	require.Equal(t, about(3, 4, 30, 10), half.Rect)
}

// Of a circle how far points lie past it is by Pythagoras: 43 and 42.9 mm from the middle of one of
// 45 mm radius are 60.741 mm. On its axes an oval is as far as its rectangle, and the first of
// points that lie as far is named.
func TestBeyondACircleAndAnOval(t *testing.T) {
	circle := path.Form{Rect: about(45, 45, 90, 90), Round: true}
	on := []path.Point{{X: 45, Y: 45}, {X: 90, Y: 45}, {X: 45, Y: 0}, {X: 13.19, Y: 13.19}}
	mm, at := circle.Beyond(append(on, path.Point{X: 2, Y: 87.9}, path.Point{X: 91, Y: 45})...)
	require.InDelta(t, 15.741, mm, 0.001)
	require.Equal(t, path.Point{X: 2, Y: 87.9}, at)
	oval := path.Form{Rect: about(30, 20, 60, 40), Round: true}
	for p, want := range map[path.Point]float64{
		{X: 70, Y: 20}: 10, {X: 30, Y: -3}: 3, {X: 30, Y: 43}: 3, {X: 60, Y: 20}: 0, {X: 51, Y: 34}: 0, {X: 30, Y: 39}: 0,
	} {
		mm, _ := oval.Beyond(p)
		require.InDelta(t, want, mm, 1e-9, "%v", p)
	}
	mm, at = oval.Beyond(path.Point{X: 70, Y: 20}, path.Point{X: -10, Y: 20})
	require.InDelta(t, 10, mm, 1e-9)
	require.Equal(t, path.Point{X: 70, Y: 20}, at)
}

// Little forms are forms, and one degree is a turn: 2 x 1 mm takes 2·cos 1 + sin 1 = 2.0171 mm.
func TestSmallForms(t *testing.T) {
	require.InDelta(t, 2.0171, path.Form{Rect: about(0, 0, 2, 1), Turn: 1}.Bounds().W(), 1e-4)
	for _, size := range []path.Point{{X: 0.5, Y: 4}, {X: 4, Y: 0.5}} {
		f := path.Form{Rect: about(0, 0, size.X, size.Y), Round: true}
		behind, ahead := f.Chord(path.Point{}, path.Point{X: 1})
		require.Equal(t, []float64{size.X / 2, size.X / 2}, []float64{behind, ahead})
	}
	behind, ahead := path.Form{Rect: about(0, 0, 4, 0), Round: true}.Chord(path.Point{}, path.Point{X: 1})
	require.Equal(t, []float64{0, 0}, []float64{behind, ahead})
	for _, size := range []path.Point{{X: 60, Y: 20}, {X: 20, Y: 60}} { // of the larger half: 30 mm take 121.7 chords
		require.Len(t, path.Form{Rect: about(0, 0, size.X, size.Y), Round: true}.Edge(0.01), 125)
	}
}
