package hatch_test

import (
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A thin line is bare where marked and bare are swapped, and whole elsewhere: from 0 to
// 20 mm over a rectangle from 5 to 10, which is marked but for the line.
func TestThinLinesWhereMarksAreSwapped(t *testing.T) {
	line := path.Shape{Paint: path.Paint{Opacity: 1}, Width: 0.05}
	for _, p := range []path.Point{{}, {X: 20}} {
		if p.X == 0 {
			line.Centre.MoveTo(p)
		} else {
			line.Centre.LineTo(p)
		}
	}
	line.Path = box(0, -0.025, 20, 0.025)
	swapped := path.Shape{Path: box(5, -2, 10, 2), Paint: path.Paint{R: 1, G: 1, B: 1, Opacity: 1}, Invert: true}
	fill := hatch.Group{Setting: path.Setting{SpacingMM: 0.25}, MarkWidth: 0.2}
	marks, _, err := hatch.Fill(path.Artwork{Page: path.Rect{Min: path.Point{Y: -5}, Max: path.Point{X: 20, Y: 5}},
		Shapes: []path.Shape{swapped, line}},
		hatch.Settings{Groups: []hatch.Group{fill}})
	require.NoError(t, err)
	var got [][2]float64
	for _, l := range marks.Lines {
		require.Len(t, l.Points, 2)
		got = append(got, [2]float64{min(l.Points[0].X, l.Points[1].X), max(l.Points[0].X, l.Points[1].X)})
	}
	require.Len(t, got, 2)
	assert.InDelta(t, 0, got[0][0], 1e-6)
	assert.InDelta(t, 5, got[0][1], 1e-6)
	assert.InDelta(t, 10, got[1][0], 1e-6)
	assert.InDelta(t, 20, got[1][1], 1e-6)
	require.Len(t, marks.Rows, 1)
	assert.InEpsilon(t, 5*4, marks.Rows[0].Length()*0.25, 0.1)
}

// box is a rectangle as a path.
func box(x0, y0, x1, y1 float64) (p path.Path) {
	p.MoveTo(path.Point{X: x0, Y: y0})
	p.LineTo(path.Point{X: x1, Y: y0})
	p.LineTo(path.Point{X: x1, Y: y1})
	p.LineTo(path.Point{X: x0, Y: y1})
	p.Close()
	return p
}

// triangle is one anywhere on 20 x 10 mm.
func triangle(r *rand.Rand) []path.Point {
	var pts []path.Point
	for range 3 {
		pts = append(pts, path.Point{X: 24*r.Float64() - 2, Y: 14*r.Float64() - 2})
	}
	return pts
}

func through(pts []path.Point) (p path.Path) {
	p.MoveTo(pts[0])
	for _, q := range pts[1:] {
		p.LineTo(q)
	}
	return p
}

// inside says on which side of a triangle a place lies, and how far it is from its lines.
func inside(pts []path.Point, p path.Point) (in bool, near float64) {
	left, near := 0, 1e9
	for i, a := range pts {
		d := pts[(i+1)%3].Sub(a)
		c := d.Cross(p.Sub(a)) / d.Len()
		if near = min(near, max(c, -c)); c > 0 {
			left++
		}
	}
	return left == 0 || left == 3, near
}

// A thin line shows where nothing lies above it, inside its clip, and outside of what
// swaps marks, or inside two of them: asked place by place, of random triangles.
func TestThinLinesPlaceByPlace(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	hidden, seen := 0, 0
	for range 150 {
		zigzag := []path.Point{{X: 1, Y: 9 * r.Float64()}, {X: 9, Y: 9 * r.Float64()}, {X: 19, Y: 9 * r.Float64()}}
		line := path.Shape{Paint: path.Paint{Opacity: 1}, Width: 0.01, Centre: through(zigzag),
			Path: box(0, -1, 20, 11)}
		clip := triangle(r)
		clipped := r.IntN(3) == 0
		if clipped {
			line.Clips = []*path.Clip{{Shapes: []path.Shape{{Path: through(clip)}}}}
		}
		var all []path.Shape
		var corners [][]path.Point
		at := r.IntN(4)
		for i := range 4 {
			if i == at {
				all = append(all, line)
			}
			shade := float64(r.IntN(2))
			tri := triangle(r)
			all = append(all, path.Shape{Path: through(tri), Paint: path.Paint{R: shade, G: shade, B: shade,
				Opacity: 1}, Invert: r.IntN(4) == 0})
			corners = append(corners, tri)
		}
		marks, _, err := hatch.Fill(path.Artwork{Shapes: all},
			hatch.Settings{Groups: []hatch.Group{{Setting: path.Setting{SpacingMM: 0.5}, MarkWidth: 0.2}}})
		require.NoError(t, err)
		for k := range 400 {
			p := zigzag[0].Lerp(zigzag[1], float64(k)/200)
			if k >= 200 {
				p = zigzag[1].Lerp(zigzag[2], float64(k-200)/200)
			}
			there, swaps, near := true, false, 1e9
			if in, off := inside(clip, p); clipped {
				there, near = in, off
			}
			for i, tri := range corners {
				in, off := inside(tri, p)
				near = min(near, off)
				shape := all[i]
				if i >= at {
					shape = all[i+1]
				}
				swaps = swaps != (in && shape.Invert)
				there = there && !(in && i >= at)
			}
			want := there && !swaps
			if near < 0.02 {
				continue
			}
			got := false
			for _, l := range marks.Lines {
				for i := 1; i < len(l.Points); i++ {
					got = got || off(p, l.Points[i-1], l.Points[i]) < 1e-6
				}
			}
			require.Equal(t, want, got, "%v: the line is shape %d of %+v, clipped %v", p, at, all, clipped)
			if want {
				seen++
			} else {
				hidden++
			}
		}
	}
	require.Greater(t, seen, 5000)
	require.Greater(t, hidden, 5000)
}

// off is the distance of a place from a piece of a line.
func off(p, a, b path.Point) float64 {
	d := b.Sub(a)
	return p.Dist(a.Add(d.Mul(min(1, max(0, p.Sub(a).Dot(d)/d.Dot(d))))))
}
