package hatch_test

import (
	"math"

	"furrow/path"
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
