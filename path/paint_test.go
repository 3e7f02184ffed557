package path_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"furrow/path"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// darkest is by how much the darkest channel of a gradient laid over white is less
// than 1, looked at in many places.
func darkest(g *path.Gradient) (most float64) {
	for i := range 4001 {
		r, gr, b := g.Paint(float64(i) / 4000).OverWhite()
		most = max(most, 1-r, 1-gr, 1-b)
	}
	return most
}

// A gradient of any stops is bare where it is light enough in the darkest of many
// places: at a stop, or between two of them where opacity and darkness run against
// each other.
func TestBareOfRandomGradients(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	between := 0
	for range 400 {
		g := &path.Gradient{Unit: path.Identity}
		ends := 0.0
		for i := range 2 + r.IntN(2) {
			p := path.Paint{R: r.Float64(), G: r.Float64(), B: r.Float64(), Opacity: r.Float64()}
			g.Stops = append(g.Stops, path.Stop{Offset: float64(i) / 2, Paint: p})
			ends = max(ends, p.Opacity*(1-min(p.R, p.G, p.B)))
		}
		most := darkest(g)
		if most > ends+1e-3 {
			between++
		}
		for _, off := range []float64{-2e-3, 2e-3} {
			s := path.Shape{Gradient: g}
			assert.Equal(t, off < 0, s.Bare(1-most+off), "%v of %v", g.Stops, most)
			s.In = &path.PaintGroup{Opacity: 0.5}
			assert.Equal(t, off < 0, s.Bare(1-most/2+off), "%v of %v", g.Stops, most)
		}
	}
	assert.Greater(t, between, 10)
}

// Paint that is just as light as that is bare; more than 1 makes nothing bare.
func TestBareOfPaint(t *testing.T) {
	white := path.Paint{R: 1, G: 1, B: 1, Opacity: 1}
	assert.True(t, white.Bare(1))
	assert.True(t, path.Paint{}.Bare(1))
	assert.False(t, white.Bare(1.01))
	assert.True(t, path.Paint{R: 0.5, G: 0.75, B: 1, Opacity: 1}.Bare(0.5))
	assert.True(t, path.Paint{Opacity: 0.5}.Bare(0.5))
	assert.True(t, path.Paint{R: 0.5, G: 1, B: 1, Opacity: 0.5}.Bare(0.75))
	for _, one := range []path.Paint{{R: 0.4, G: 1, B: 1, Opacity: 1}, {R: 1, G: 0.4, B: 1, Opacity: 1},
		{R: 1, G: 1, B: 0.4, Opacity: 1}} {
		assert.False(t, one.Bare(0.5))
	}
}

// Pad, back and forth, and from the start again, by hand.
func TestFold(t *testing.T) {
	for spread, want := range map[path.Spread][]float64{
		path.Pad:     {0, 0, 0.25, 1, 1, 1},
		path.Reflect: {0.75, 0.5, 0.25, 0.75, 0.5, 0.25},
		path.Repeat:  {0.25, 0.5, 0.25, 0.25, 0.5, 0.75},
	} {
		g := path.Gradient{Spread: spread}
		for i, at := range []float64{-2.75 + 2, -0.5, 0.25, 1.25, 2.5, 3.75} {
			assert.InDelta(t, want[i], g.Fold(at), 1e-12, "%d %g", spread, at)
		}
	}
}

// Along a line the offset is how far along it a place lies, whatever the map.
func TestOffsetAlongALine(t *testing.T) {
	inverse, ok := path.Translate(2, 3).Mul(path.Rotate(30)).Mul(path.Scale(4, 1)).Inverse()
	require.True(t, ok)
	g := path.Gradient{Unit: inverse, Stops: []path.Stop{{Paint: path.Paint{Opacity: 1}},
		{Offset: 1, Paint: path.Paint{R: 1, Opacity: 1}}}}
	sin, cos := math.Sincos(math.Pi / 6)
	for _, along := range []float64{-1, 0, 1, 3, 6} {
		p := pt(2+along*cos-7*sin, 3+along*sin+7*cos) // and 7 mm beside it
		at, ok := g.Offset(p)
		assert.True(t, ok)
		assert.InDelta(t, along/4, at, 1e-12)
		assert.InDelta(t, min(1, max(0, along/4)), g.At(p).R, 1e-12)
	}
	g.Stops = nil
	assert.Zero(t, g.At(pt(2, 3)), "without stops it paints nothing")
}

// Between two circles a place has the greatest t of those circles that pass through
// it, of radius 0 and more (SVG 2, 14.2.3): of ten thousand circles here, walked down
// from far beyond the end one.
func TestOffsetBetweenCircles(t *testing.T) {
	r := rand.New(rand.NewPCG(6, 1))
	reached, missed := 0, 0
	for range 300 {
		g := path.Gradient{
			Unit: path.Identity, Radial: true, Start: 0.9 * r.Float64() * float64(r.IntN(2)),
			Focus: pt(3*r.Float64()-1.5, 3*r.Float64()-1.5),
			Stops: []path.Stop{{Paint: path.Paint{Opacity: 1}}},
		}
		switch r.IntN(4) {
		case 0:
			g.Focus = pt(0, 0)
		case 1: // the circles touch
			g.Focus = pt(0, 1-g.Start)
		}
		p := pt(4*r.Float64()-2, 4*r.Float64()-2)
		off := func(t float64) float64 { return p.Dist(g.Focus.Mul(1-t)) - (g.Start + t*(1-g.Start)) }
		want, found := 0.0, false
		const step = 0.002
		for at := 20.0; at > -20 && !found; at -= step {
			if off(at)*off(at-step) <= 0 && g.Start+at*(1-g.Start) >= 0 {
				want, found = at-step/2, true
			}
		}
		got, ok := g.Offset(p)
		if ok && math.Abs(got) > 19 {
			continue
		}
		if found {
			reached++
			assert.True(t, ok, "%+v at %v", g, p)
			assert.InDelta(t, want, got, 2*step, "%+v at %v", g, p)
		} else if ok { // it only touches, or lies at the tip
			assert.InDelta(t, 0, off(got), 1e-6, "%+v at %v", g, p)
		} else {
			missed++
			assert.Zero(t, g.At(p))
		}
	}
	assert.Greater(t, reached, 150)
	assert.Greater(t, missed, 20)
}

// A copy has groups, clips and gradients of its own, which stay shared as they were;
// the group that it goes into, and those round that, are not copied.
func TestCopy(t *testing.T) {
	page := &path.PaintGroup{Opacity: 0.5}
	outer := &path.PaintGroup{In: page, Opacity: 1,
		Mask: &path.Mask{Shapes: []path.Shape{{Path: circle(1)}}, Alpha: true}}
	inner := &path.PaintGroup{In: outer, Opacity: 0.3, Blend: path.Multiply}
	clip := &path.Clip{Shapes: []path.Shape{{Path: circle(3)}}}
	ramp := &path.Gradient{Unit: path.Identity, Stops: []path.Stop{{Paint: path.Paint{Opacity: 1}}}}
	shapes := []path.Shape{
		{Path: circle(2), In: inner, Clips: []*path.Clip{clip}, Gradient: ramp, Width: 1},
		{Path: circle(2), In: inner, Clips: []*path.Clip{clip}, Gradient: ramp},
		{Path: circle(2), In: page},
		{Path: circle(2)},
	}
	m := path.Translate(10, 0).Mul(path.Scale(2, 2))
	got := path.Copy(shapes, m, page)
	require.Len(t, got, 4)
	near(t, pt(6, -4), got[0].Path.Bounds().Min, 1e-9)
	assert.InDelta(t, 2, got[0].Width, 1e-12)
	assert.Same(t, page, got[2].In)
	assert.Nil(t, got[3].In)
	assert.NotSame(t, inner, got[0].In)
	assert.Same(t, got[0].In, got[1].In)
	assert.NotSame(t, outer, got[0].In.In)
	assert.Same(t, page, got[0].In.In.In)
	assert.Equal(t, 0.3, got[0].In.Opacity)
	assert.True(t, got[0].In.In.Mask.Alpha)
	near(t, pt(8, -2), got[0].In.In.Mask.Shapes[0].Path.Bounds().Min, 1e-9)
	near(t, pt(4, -6), got[0].Clips[0].Shapes[0].Path.Bounds().Min, 1e-9)
	assert.Same(t, got[0].Clips[0], got[1].Clips[0])
	assert.Same(t, got[0].Gradient, got[1].Gradient)
	at, _ := got[0].Gradient.Offset(m.Apply(pt(0.25, 7)))
	assert.InDelta(t, 0.25, at, 1e-12)

	all := path.Copy(shapes, m, nil)
	assert.NotSame(t, page, all[2].In)
	assert.Same(t, all[2].In, all[0].In.In.In)
	flat := path.Copy(shapes, path.Scale(1, 0), nil)
	assert.Equal(t, *ramp, *flat[0].Gradient, "what has no area keeps its gradient")
	assert.Same(t, inner, shapes[0].In, "the first stay as they are")
}

func TestPlainGroups(t *testing.T) {
	assert.True(t, (&path.PaintGroup{Opacity: 0.2}).Plain())
	assert.False(t, (&path.PaintGroup{Blend: path.Screen}).Plain())
	assert.False(t, (&path.PaintGroup{Mask: &path.Mask{}}).Plain())
}
