package hatch

import (
	"math"

	"furrow/path"
)

// colour is an sRGB colour with its opacity a, each channel multiplied by it: what
// the formulas of W3C Compositing and Blending Level 1 call co and αo. The zero
// value is nothing.
type colour struct{ r, g, b, a float64 }

func newColour(p path.Paint) colour {
	a := min(max(p.Opacity, 0), 1)
	return colour{p.R * a, p.G * a, p.B * a, a}
}

func (c colour) fade(k float64) colour { return colour{c.r * k, c.g * k, c.b * k, c.a * k} }

// luminance is what a mask lets through (CSS Masking 1, 7.10.1, coefficients of
// the color matrix luminanceToAlpha).
func (c colour) luminance() float64 {
	return float64(0.2125*c.r) + float64(0.7154*c.g) + float64(0.0721*c.b)
}

// least returns the least channel of c over white.
func (c colour) least() float64 { return min(c.r, c.g, c.b) + (1 - c.a) }

// over lays s over b (5.1, simple alpha compositing).
func over(b, s colour) colour {
	k := 1 - s.a
	return colour{
		s.r + float64(b.r*k), s.g + float64(b.g*k), s.b + float64(b.b*k),
		s.a + float64(b.a*k),
	}
}

// mix lays s over b with a blend mode (section 10): co = cs·(1−αb) + cb·(1−αs) +
// αs·αb·B(Cb, Cs), where cs and cb are multiplied by their opacity.
func mix(mode path.Blend, b, s colour) colour {
	if mode == path.Normal || b.a == 0 || s.a == 0 {
		return over(b, s)
	}
	channel := func(cb, cs float64) float64 {
		both := blended(mode, min(cb/b.a, 1), min(cs/s.a, 1))
		return float64(cs*(1-b.a)) + float64(cb*(1-s.a)) + float64(s.a*b.a*both)
	}
	return colour{
		channel(b.r, s.r), channel(b.g, s.g), channel(b.b, s.b),
		s.a + float64(b.a*(1-s.a)),
	}
}

// blended is B(Cb, Cs) of section 9.1 for one channel.
func blended(mode path.Blend, b, s float64) float64 {
	switch mode {
	case path.Multiply:
		return b * s
	case path.Screen:
		return b + s - float64(b*s)
	case path.Overlay:
		return hardLight(s, b)
	case path.Darken:
		return min(b, s)
	case path.Lighten:
		return max(b, s)
	case path.ColourDodge:
		return dodge(b, s)
	case path.ColourBurn:
		return 1 - dodge(1-b, 1-s)
	case path.HardLight:
		return hardLight(b, s)
	case path.SoftLight:
		return softLight(b, s)
	case path.Difference:
		return math.Abs(b - s)
	case path.Exclusion:
		return b + s - float64(2*b*s)
	}
	return s
}

func dodge(b, s float64) float64 {
	switch {
	case b == 0:
		return 0
	case s >= 1:
		return 1
	}
	return min(1, b/(1-s))
}

func hardLight(b, s float64) float64 {
	if s <= 0.5 {
		return b * 2 * s
	}
	s = float64(2*s) - 1
	return b + s - float64(b*s)
}

func softLight(b, s float64) float64 {
	if s <= 0.5 {
		return b - float64((1-float64(2*s))*b*(1-b))
	}
	d := math.Sqrt(b)
	if b <= 0.25 {
		d = (float64((float64(16*b)-12)*b) + 4) * b
	}
	return b + float64((float64(2*s)-1)*(d-b))
}
