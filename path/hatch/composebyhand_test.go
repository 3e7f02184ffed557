package hatch_test

import (
	"math"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// square is a square of the given side about 5,5.
func square(side float64, p path.Paint) path.Shape {
	var s path.Path
	h := side / 2
	for i, c := range []path.Point{{X: -h, Y: -h}, {X: h, Y: -h}, {X: h, Y: h}, {X: -h, Y: h}} {
		if c = c.Add(path.Point{X: 5, Y: 5}); i == 0 {
			s.MoveTo(c)
		} else {
			s.LineTo(c)
		}
	}
	s.Close()
	return path.Shape{Path: s, Paint: p}
}

func grey(v, opacity float64) path.Paint { return path.Paint{R: v, G: v, B: v, Opacity: opacity} }

// middle reports whether the middle of squares, the largest first, is marked.
func middle(t *testing.T, shapes ...path.Shape) bool {
	t.Helper()
	m := fill(t, path.Artwork{Shapes: shapes}, hatch.Group{Setting: path.Setting{SpacingMM: 0.5}})
	for i := range m.Rows {
		set := &m.Rows[i]
		k := set.NumRows() / 2
		for _, s := range set.Row(k) {
			if s.X0 < 5 && 5 < s.X1 {
				return true
			}
		}
	}
	return false
}

// What is seen, worked by hand with W3C Compositing and Blending Level 1: 5.1, simple
// alpha compositing, co = Cs·αs + Cb·αb·(1−αs); 3, groups; 9.1 and 10, blending,
// Cs' = (1−αb)·Cs + αb·B(Cb, Cs). Bare is a least channel of 0.96.
func TestByHand(t *testing.T) {
	black, white := grey(0, 1), grey(1, 1)
	in := func(g *path.PaintGroup, s path.Shape) path.Shape {
		s.In = g
		return s
	}
	half := &path.PaintGroup{Opacity: 0.5}
	blend := func(b path.Blend) *path.PaintGroup { return &path.PaintGroup{Opacity: 1, Blend: b} }
	for name, tc := range map[string]struct {
		marked bool
		shapes []path.Shape
	}{
		"3 % black alone: 1−0.03 = 0.97": {false, []path.Shape{square(4, grey(0, 0.03))}},
		"3 % black over black": {true, []path.Shape{square(8, black),
			square(4, grey(0, 0.03))}},
		"3 % black twice: 0.97² = 0.9409": {true, []path.Shape{square(8, grey(0, 0.03)),
			square(4, grey(0, 0.03))}},
		"1.9 % black twice: 0.981² = 0.962": {false, []path.Shape{square(8, grey(0, 0.019)),
			square(4, grey(0, 0.019))}},
		"half of white over black: 0.5": {true, []path.Shape{square(8, black),
			square(4, grey(1, 0.5))}},
		"97 % white over black: 0.97": {false, []path.Shape{square(8, black),
			square(4, grey(1, 0.97))}},
		"95 % white over black: 0.95": {true, []path.Shape{square(8, black),
			square(4, grey(1, 0.95))}},
		"black under white": {false, []path.Shape{square(8, black), square(4, white)}},
		"a group of white on black, half: 1": {false, []path.Shape{in(half, square(8, black)),
			in(half, square(4, white))}},
		"and each by itself: 0.5 + 0.5·0.5 = 0.75": {true, []path.Shape{square(8, grey(0, 0.5)),
			square(4, grey(1, 0.5))}},
		"a group of 5 % with black in it: 0.95": {true,
			[]path.Shape{in(&path.PaintGroup{Opacity: 0.05}, square(4, black))}},
		"of two groups of 20 %: 1−0.2·0.2 = 0.96": {false,
			[]path.Shape{in(&path.PaintGroup{Opacity: 0.2, In: &path.PaintGroup{Opacity: 0.2}}, square(4, black))}},
		"of 20 and 21 %: 0.958": {true,
			[]path.Shape{in(&path.PaintGroup{Opacity: 0.2, In: &path.PaintGroup{Opacity: 0.21}}, square(4, black))}},
		"0.98 grey twice, multiplied: 0.9604": {false, []path.Shape{square(8, grey(0.98, 1)),
			in(blend(path.Multiply), square(4, grey(0.98, 1)))}},
		"0.97 grey twice, multiplied: 0.9409": {true, []path.Shape{square(8, grey(0.97, 1)),
			in(blend(path.Multiply), square(4, grey(0.97, 1)))}},
		"0.97 grey twice, not multiplied": {false, []path.Shape{square(8, grey(0.97, 1)),
			square(4, grey(0.97, 1))}},
		"0.8 grey twice, screened: 0.8+0.8−0.64 = 0.96": {false, []path.Shape{square(8, grey(0.8, 1)),
			in(blend(path.Screen), square(4, grey(0.8, 1)))}},
		"0.79 grey twice, screened: 0.9559": {true, []path.Shape{square(8, grey(0.79, 1)),
			in(blend(path.Screen), square(4, grey(0.79, 1)))}},
		"white from white, difference: 0": {true, []path.Shape{square(8, white),
			in(blend(path.Difference), square(4, white))}},
		"black on 0.97 grey, lighten": {false, []path.Shape{square(8, grey(0.97, 1)),
			in(blend(path.Lighten), square(4, black))}},
		"white on black, darken": {true, []path.Shape{square(8, black),
			in(blend(path.Darken), square(4, white))}},
		"multiply in a group of its own: white on nothing": {false, []path.Shape{square(8, black),
			in(&path.PaintGroup{Opacity: 1, Blend: path.Multiply, In: &path.PaintGroup{Opacity: 1}},
				square(4, white))}},
		"white mask": {true,
			[]path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Shapes: []path.Shape{square(6, white)}}},
				square(4, black))}},
		"black mask": {false,
			[]path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Shapes: []path.Shape{square(6, black)}}},
				square(4, black))}},
		"black mask by opacity": {true,
			[]path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Alpha: true,
				Shapes: []path.Shape{square(6, black)}}}, square(4, black))}},
		"a blue mask: luminance 0.0721 of black": {true,
			[]path.Shape{in(&path.PaintGroup{Opacity: 1,
				Mask: &path.Mask{Shapes: []path.Shape{square(6, path.Paint{B: 1, Opacity: 1})}}}, square(4, black))}},
		"half a blue mask: 0.036": {false, []path.Shape{in(&path.PaintGroup{Opacity: 1,
			Mask: &path.Mask{Shapes: []path.Shape{square(6, path.Paint{B: 1, Opacity: 0.5})}}}, square(4, black))}},
		"a mask of nothing": {false, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{}},
			square(4, black))}},
	} {
		assert.Equal(t, tc.marked, middle(t, tc.shapes...), name)
	}
}

// A fade from black to nothing is bare from where 1−(1−t) = 0.96, and a ring of it
// likewise; both by hand, to what bracketing leaves.
func TestFade(t *testing.T) {
	stops := []path.Stop{{Offset: 0, Paint: grey(0, 1)}, {Offset: 1, Paint: grey(0, 0)}}
	s := square(10, path.Paint{})
	s.Gradient = &path.Gradient{Stops: stops, Unit: path.Scale(0.1, 0.1)}
	m := fill(t, path.Artwork{Shapes: []path.Shape{s}}, hatch.Group{Setting: path.Setting{SpacingMM: 1}})
	for k := range m.Rows[0].NumRows() {
		row := m.Rows[0].Row(k)
		require.Len(t, row, 1)
		assert.InDelta(t, 9.6, row[0].X1, 1e-6)
	}
	s.Gradient = &path.Gradient{Stops: stops, Radial: true, Unit: path.Scale(0.25, 0.25).Mul(path.Translate(-5, -5))}
	m = fill(t, path.Artwork{Shapes: []path.Shape{s}}, hatch.Group{Setting: path.Setting{SpacingMM: 1}})
	for k := range m.Rows[0].NumRows() {
		p := m.Rows[0].At(k, 0)
		half := math.Sqrt(max(0, 3.84*3.84-(p.Y-5)*(p.Y-5)))
		if half == 0 {
			assert.Empty(t, m.Rows[0].Row(k))
			continue
		}
		require.Len(t, m.Rows[0].Row(k), 1)
		assert.InDelta(t, 5-half, m.Rows[0].Row(k)[0].X0, 1e-6)
		assert.InDelta(t, 5+half, m.Rows[0].Row(k)[0].X1, 1e-6)
	}
	rings, err := hatch.Boundary(path.Artwork{Shapes: []path.Shape{s}}, hatch.Settings{Tolerance: 0.001})
	require.NoError(t, err)
	require.Len(t, rings, 1)
	for _, p := range rings[0] {
		assert.InDelta(t, 3.84, p.Dist(path.Point{X: 5, Y: 5}), 2e-5)
	}
}
