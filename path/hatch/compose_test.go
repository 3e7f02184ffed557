package hatch_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The reference for what is seen: every point is asked by itself, shape by shape,
// with the general formula of W3C Compositing and Blending Level 1, section 10, in
// plain colours; nothing is shared with the engine but the values of package path.

type rgbo struct{ r, g, b, o float64 }

// refBlend is section 9.1 as it is written there.
func refBlend(mode path.Blend, cb, cs float64) float64 {
	hard := func(cb, cs float64) float64 {
		if cs <= 0.5 {
			return cb * (2 * cs)
		}
		return cb + (2*cs - 1) - cb*(2*cs-1)
	}
	switch mode {
	case path.Multiply:
		return cb * cs
	case path.Screen:
		return 1 - (1-cb)*(1-cs)
	case path.Overlay:
		return hard(cs, cb)
	case path.Darken:
		return math.Min(cb, cs)
	case path.Lighten:
		return math.Max(cb, cs)
	case path.ColourDodge:
		if cb == 0 {
			return 0
		} else if cs == 1 {
			return 1
		}
		return math.Min(1, cb/(1-cs))
	case path.ColourBurn:
		if cb == 1 {
			return 1
		} else if cs == 0 {
			return 0
		}
		return 1 - math.Min(1, (1-cb)/cs)
	case path.HardLight:
		return hard(cb, cs)
	case path.SoftLight:
		d := math.Sqrt(cb)
		if cb <= 0.25 {
			d = ((16*cb-12)*cb + 4) * cb
		}
		if cs <= 0.5 {
			return cb - (1-2*cs)*cb*(1-cb)
		}
		return cb + (2*cs-1)*(d-cb)
	case path.Difference:
		return math.Abs(cb - cs)
	case path.Exclusion:
		return cb + cs - 2*cb*cs
	}
	return cs
}

func refOver(b, s rgbo, mode path.Blend) rgbo {
	o := s.o + b.o*(1-s.o)
	if o == 0 {
		return rgbo{}
	}
	channel := func(cb, cs float64) float64 {
		mixed := (1-b.o)*cs + b.o*refBlend(mode, cb, cs)
		return (s.o*mixed + (1-s.o)*b.o*cb) / o
	}
	return rgbo{channel(b.r, s.r), channel(b.g, s.g), channel(b.b, s.b), o}
}

// refInside is the winding number of a path of straight lines.
func refInside(s *path.Shape, p path.Point) bool {
	wind := 0
	s.Path.Flatten(1, func(pts []path.Point, _ bool) {
		for i, a := range pts {
			b := pts[(i+1)%len(pts)]
			if (a.Y <= p.Y) == (b.Y <= p.Y) {
				continue
			}
			if x := a.X + (b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y); x > p.X {
				if b.Y > a.Y {
					wind++
				} else {
					wind--
				}
			}
		}
	})
	if s.Rule == path.EvenOdd && wind%2 == 0 || wind == 0 {
		return false
	}
	for _, c := range s.Clips {
		through := false
		for i := range c.Shapes {
			through = through || refInside(&c.Shapes[i], p)
		}
		if !through {
			return false
		}
	}
	return true
}

// refStops interpolates between the stops.
func refStops(g *path.Gradient, t float64) rgbo {
	switch g.Spread {
	case path.Pad:
		t = math.Max(0, math.Min(1, t))
	case path.Repeat:
		t -= math.Floor(t)
	case path.Reflect:
		t = math.Mod(math.Abs(t), 2)
		if t > 1 {
			t = 2 - t
		}
	}
	var last path.Stop
	for i, s := range g.Stops {
		if t < s.Offset {
			if i == 0 {
				last = s
			}
			k := 0.0
			if s.Offset > last.Offset {
				k = (t - last.Offset) / (s.Offset - last.Offset)
			}
			a, b := last.Paint, s.Paint
			return rgbo{a.R + k*(b.R-a.R), a.G + k*(b.G-a.G), a.B + k*(b.B-a.B), a.Opacity + k*(b.Opacity-a.Opacity)}
		}
		last = s
	}
	return rgbo{last.Paint.R, last.Paint.G, last.Paint.B, last.Paint.Opacity}
}

// refPaint finds the offset in a radial gradient by halving: the circles grow.
func refPaint(s *path.Shape, p path.Point) rgbo {
	g := s.Gradient
	if g == nil {
		return rgbo{s.Paint.R, s.Paint.G, s.Paint.B, s.Paint.Opacity}
	}
	u := g.Unit.Apply(p)
	if !g.Radial {
		return refStops(g, u.X)
	}
	lo, hi := -g.Start/(1-g.Start), 1e6
	for range 200 {
		t := (lo + hi) / 2
		if u.Dist(g.Focus.Mul(1-t)) > g.Start+t*(1-g.Start) {
			lo = t
		} else {
			hi = t
		}
	}
	return refStops(g, hi)
}

// refOpacity is that of a group with its mask.
func refOpacity(g *path.PaintGroup, p path.Point) float64 {
	if g.Mask == nil {
		return g.Opacity
	}
	c := refLayers(g.Mask.Shapes, nil, p)
	if g.Mask.Alpha {
		return g.Opacity * c.o
	}
	return g.Opacity * c.o * (0.2125*c.r + 0.7154*c.g + 0.0721*c.b)
}

// refWithin returns the child of in that g is or lies in, nil where it does not.
func refWithin(g, in *path.PaintGroup) *path.PaintGroup {
	for ; g != nil; g = g.In {
		if g.In == in {
			return g
		}
	}
	return nil
}

// refLayers paints shapes of one group.
func refLayers(shapes []path.Shape, in *path.PaintGroup, p path.Point) rgbo {
	var sum rgbo
	for i := 0; i < len(shapes); {
		s := &shapes[i]
		if s.In == in {
			if refInside(s, p) {
				sum = refOver(sum, refPaint(s, p), path.Normal)
			}
			i++
			continue
		}
		child := refWithin(s.In, in)
		n := i
		for n < len(shapes) && (shapes[n].In == child || refWithin(shapes[n].In, child) != nil) {
			n++
		}
		c := refLayers(shapes[i:n], child, p)
		c.o *= refOpacity(child, p)
		sum, i = refOver(sum, c, child.Blend), n
	}
	return sum
}

// refSeen reports what is marked for a group at a point.
func refSeen(art path.Artwork, group int, p path.Point) bool {
	top, swaps := -1, false
	for i := range art.Shapes {
		s := &art.Shapes[i]
		if !refInside(s, p) {
			continue
		}
		swaps = swaps != s.Invert
		o := refPaint(s, p).o
		for g := s.In; g != nil; g = g.In {
			o *= refOpacity(g, p)
		}
		if o >= 1.0/510 {
			top = i
		}
	}
	if top < 0 || art.Shapes[top].Group != group {
		return false
	}
	c := refOver(rgbo{1, 1, 1, 1}, refLayers(art.Shapes, nil, p), path.Normal)
	bare := math.Min(c.r, math.Min(c.g, c.b)) >= 0.96
	return bare == swaps
}

// painterly gives the shapes of a random artwork see-through paints, gradients,
// groups, blends and masks.
func (a *artist) painterly(art path.Artwork) path.Artwork {
	for i := range art.Shapes {
		a.repaint(&art.Shapes[i])
	}
	var group *path.PaintGroup
	for i := range art.Shapes {
		switch a.IntN(4) {
		case 0:
			group = a.group(group)
		case 1:
			if group != nil {
				group = group.In
			}
		}
		art.Shapes[i].In = group
	}
	return art
}

func (a *artist) colour() path.Paint {
	p := path.Paint{R: a.Float64(), G: a.Float64(), B: a.Float64(), Opacity: []float64{1, 1, a.Float64(), a.Float64() * 0.1, 0}[a.IntN(5)]}
	switch a.IntN(3) {
	case 0:
		p.R, p.G, p.B = 0, 0, 0
	case 1:
		p.R, p.G, p.B = 1, 1, 0.9+a.Float64()*0.1
	}
	return p
}

func (a *artist) repaint(s *path.Shape) {
	s.Paint = a.colour()
	if a.IntN(2) == 0 {
		return
	}
	g := &path.Gradient{Spread: path.Spread(a.IntN(3)), Radial: a.IntN(2) == 0}
	at := 0.0
	for range 1 + a.IntN(4) {
		at = math.Min(1, at+a.Float64()*0.6*float64(a.IntN(3)))
		g.Stops = append(g.Stops, path.Stop{Offset: at, Paint: a.colour()})
	}
	m := path.Translate(a.Float64()*10, a.Float64()*10).Mul(path.Rotate(a.Float64() * 360)).Mul(path.Scale(1+a.Float64()*8, 1+a.Float64()*8))
	g.Unit, _ = m.Inverse()
	if g.Radial && a.IntN(2) == 0 {
		g.Focus = path.Point{X: a.Float64() * 0.7, Y: a.Float64() * 0.6}
		g.Start = a.Float64() * (1 - g.Focus.Len())
	}
	s.Gradient = g
}

func (a *artist) group(in *path.PaintGroup) *path.PaintGroup {
	g := &path.PaintGroup{In: in, Opacity: []float64{1, a.Float64()}[a.IntN(2)]}
	if a.IntN(3) == 0 {
		g.Blend = path.Blend(a.IntN(12))
	}
	if a.IntN(4) == 0 {
		g.Mask = &path.Mask{Alpha: a.IntN(2) == 0}
		for range 1 + a.IntN(3) {
			s := path.Shape{Path: a.path(), Rule: path.FillRule(a.IntN(2))}
			a.repaint(&s)
			if a.IntN(4) == 0 {
				s.In = a.group(nil)
			}
			g.Mask.Shapes = append(g.Mask.Shapes, s)
		}
	}
	return g
}

func painterlyCase(seed uint64) (path.Artwork, *rand.Rand, int) {
	a := &artist{Rand: rand.New(rand.NewPCG(seed, 7)), groups: 1 + int(seed%3)}
	a.grid = []float64{0, 1, 0.5}[a.IntN(3)]
	return a.painterly(a.artwork()), a.Rand, a.groups
}

// settled reports that a little to all sides of a point the same is seen.
func settled(art path.Artwork, group int, p path.Point, d float64) bool {
	is := refSeen(art, group, p)
	for _, v := range []path.Point{{X: d}, {X: -d}, {Y: d}, {Y: -d}} {
		if refSeen(art, group, p.Add(v)) != is {
			return false
		}
	}
	return true
}

func TestSeenIsMarked(t *testing.T) {
	first, n := seeds(t, 1500)
	if testing.Short() {
		n = min(n, 200)
	}
	marked, asked := 0, 0
	for seed := first; seed < first+n; seed++ {
		art, r, groups := painterlyCase(seed)
		s := hatch.Settings{Workers: 1, Tolerance: 1}
		for i := range groups {
			s.Groups = append(s.Groups, hatch.Group{Setting: path.Setting{Name: fmt.Sprint(i), SpacingMM: 0.5}, Angles: []float64{r.Float64() * 180}})
		}
		marks, _, err := hatch.Fill(art, s)
		require.NoError(t, err)
		for i := range marks.Rows {
			set := &marks.Rows[i]
			var group int
			_, err := fmt.Sscan(marks.Settings[set.Setting].Name, &group)
			require.NoError(t, err)
			for range 40 {
				k := r.IntN(set.NumRows())
				x := r.Float64()*30 - 10
				p := set.At(k, x)
				if !settled(art, group, p, 1e-4) {
					continue
				}
				asked++
				got := false
				for _, sp := range set.Row(k) {
					got = got || sp.X0 <= x && x < sp.X1
				}
				if got {
					marked++
				}
				require.Equal(t, refSeen(art, group, p), got, "FURROW_SEED=%d, group %d, row %d at %v: %v", seed, group, k, x, p)
			}
		}
	}
	t.Logf("%d points, %d of them marked", asked, marked)
	if n > 100 {
		require.Greater(t, marked, asked/50)
	}
}

// The boundary is that of the same region: points away from it are inside where
// they are seen. A gradient over another is cut into bands, so that a place may be
// wrong by the width of one.
func TestSeenBoundary(t *testing.T) {
	first, n := seeds(t, 60)
	if testing.Short() {
		n = min(n, 15)
	}
	asked, wrong := 0, 0
	for seed := first; seed < first+n; seed++ {
		art, r, _ := painterlyCase(seed)
		for i := range art.Shapes {
			art.Shapes[i].Group = 0
		}
		rings, err := hatch.Boundary(art, hatch.Settings{})
		require.NoError(t, err)
		var all path.Path
		for _, ring := range rings {
			all.MoveTo(ring[0])
			for _, p := range ring[1:] {
				all.LineTo(p)
			}
			all.Close()
		}
		for range 100 {
			p := path.Point{X: r.Float64() * 10, Y: r.Float64() * 10}
			if !settled(art, 0, p, 0.02) {
				continue
			}
			asked++
			if refSeen(art, 0, p) != refInside(&path.Shape{Path: all}, p) {
				wrong++
				if wrong < 10 {
					t.Logf("FURROW_SEED=%d at %v", seed, p)
				}
			}
		}
	}
	t.Logf("%d of %d points differ", wrong, asked)
	assert.LessOrEqual(t, wrong*500, asked)
}

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
		"3 % black alone: 1−0.03 = 0.97":                   {false, []path.Shape{square(4, grey(0, 0.03))}},
		"3 % black over black":                             {true, []path.Shape{square(8, black), square(4, grey(0, 0.03))}},
		"3 % black twice: 0.97² = 0.9409":                  {true, []path.Shape{square(8, grey(0, 0.03)), square(4, grey(0, 0.03))}},
		"1.9 % black twice: 0.981² = 0.962":                {false, []path.Shape{square(8, grey(0, 0.019)), square(4, grey(0, 0.019))}},
		"half of white over black: 0.5":                    {true, []path.Shape{square(8, black), square(4, grey(1, 0.5))}},
		"97 % white over black: 0.97":                      {false, []path.Shape{square(8, black), square(4, grey(1, 0.97))}},
		"95 % white over black: 0.95":                      {true, []path.Shape{square(8, black), square(4, grey(1, 0.95))}},
		"black under white":                                {false, []path.Shape{square(8, black), square(4, white)}},
		"a group of white on black, half: 1":               {false, []path.Shape{in(half, square(8, black)), in(half, square(4, white))}},
		"and each by itself: 0.5 + 0.5·0.5 = 0.75":         {true, []path.Shape{square(8, grey(0, 0.5)), square(4, grey(1, 0.5))}},
		"a group of 5 % with black in it: 0.95":            {true, []path.Shape{in(&path.PaintGroup{Opacity: 0.05}, square(4, black))}},
		"of two groups of 20 %: 1−0.2·0.2 = 0.96":          {false, []path.Shape{in(&path.PaintGroup{Opacity: 0.2, In: &path.PaintGroup{Opacity: 0.2}}, square(4, black))}},
		"of 20 and 21 %: 0.958":                            {true, []path.Shape{in(&path.PaintGroup{Opacity: 0.2, In: &path.PaintGroup{Opacity: 0.21}}, square(4, black))}},
		"0.98 grey twice, multiplied: 0.9604":              {false, []path.Shape{square(8, grey(0.98, 1)), in(blend(path.Multiply), square(4, grey(0.98, 1)))}},
		"0.97 grey twice, multiplied: 0.9409":              {true, []path.Shape{square(8, grey(0.97, 1)), in(blend(path.Multiply), square(4, grey(0.97, 1)))}},
		"0.97 grey twice, not multiplied":                  {false, []path.Shape{square(8, grey(0.97, 1)), square(4, grey(0.97, 1))}},
		"0.8 grey twice, screened: 0.8+0.8−0.64 = 0.96":    {false, []path.Shape{square(8, grey(0.8, 1)), in(blend(path.Screen), square(4, grey(0.8, 1)))}},
		"0.79 grey twice, screened: 0.9559":                {true, []path.Shape{square(8, grey(0.79, 1)), in(blend(path.Screen), square(4, grey(0.79, 1)))}},
		"white from white, difference: 0":                  {true, []path.Shape{square(8, white), in(blend(path.Difference), square(4, white))}},
		"black on 0.97 grey, lighten":                      {false, []path.Shape{square(8, grey(0.97, 1)), in(blend(path.Lighten), square(4, black))}},
		"white on black, darken":                           {true, []path.Shape{square(8, black), in(blend(path.Darken), square(4, white))}},
		"multiply in a group of its own: white on nothing": {false, []path.Shape{square(8, black), in(&path.PaintGroup{Opacity: 1, Blend: path.Multiply, In: &path.PaintGroup{Opacity: 1}}, square(4, white))}},
		"white mask":                             {true, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Shapes: []path.Shape{square(6, white)}}}, square(4, black))}},
		"black mask":                             {false, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Shapes: []path.Shape{square(6, black)}}}, square(4, black))}},
		"black mask by opacity":                  {true, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Alpha: true, Shapes: []path.Shape{square(6, black)}}}, square(4, black))}},
		"a blue mask: luminance 0.0721 of black": {true, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Shapes: []path.Shape{square(6, path.Paint{B: 1, Opacity: 1})}}}, square(4, black))}},
		"half a blue mask: 0.036":                {false, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{Shapes: []path.Shape{square(6, path.Paint{B: 1, Opacity: 0.5})}}}, square(4, black))}},
		"a mask of nothing":                      {false, []path.Shape{in(&path.PaintGroup{Opacity: 1, Mask: &path.Mask{}}, square(4, black))}},
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
