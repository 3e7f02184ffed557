package main

import (
	"math"

	"furrow/path"

	"github.com/spf13/pflag"
)

// artworkSpec is the artwork and its place on the blank. The toml tags are the
// keys of a job file's [artwork].
type artworkSpec struct {
	File   string    `toml:"file" comment:"SVG file, beside this one"`
	Width  *lengthMM `toml:"width" comment:"of the page"`
	Height *lengthMM `toml:"height" comment:"of the page"`
	Rotate *number   `toml:"rotate" comment:"turn the page, degrees counter-clockwise"`
	Mirror *string   `toml:"mirror" comment:"x swaps left and right, y swaps top and bottom"`
	At     *point    `toml:"at" comment:"where the page goes: its lower-left corner on a gantry, its middle in a galvo's field"`
	selection
}

func (s *artworkSpec) flags(fs *pflag.FlagSet) {
	optionalVar(fs, &s.Width, "width", "make the page this wide: `LENGTH` as 60mm or 2in")
	optionalVar(fs, &s.Height, "height", "make the page this high: `LENGTH`")
	optionalVar(fs, &s.Rotate, "rotate", "turn the page by `DEGREES` counter-clockwise")
	fs.Var(oneOf{&s.Mirror, []string{"x", "y"}}, "mirror", "`AXIS` x swaps left and right, y swaps top and bottom")
	s.selection.flags(fs)
	optionalVar(fs, &s.At, "at", "place the page's lower-left corner (gantry) or middle (galvo) at `X,Y`")
}

// over returns s with what it leaves out taken from base.
func (s artworkSpec) over(base artworkSpec) artworkSpec {
	base.Width = first(s.Width, base.Width)
	base.Height = first(s.Height, base.Height)
	base.Rotate = first(s.Rotate, base.Rotate)
	base.Mirror = first(s.Mirror, base.Mirror)
	base.At = first(s.At, base.At)
	base.selection = s.selection.over(base.selection)
	return base
}

func first[T any](a, b *T) *T {
	if a != nil {
		return a
	}
	return b
}

// sameShape is how far two scales may differ and still be one, relative.
const sameShape = 1e-3

// place sizes, mirrors and turns the page, with its lower-left corner at 0,0
// (or, centred, its middle) and then moves it to At.
func (s artworkSpec) place(art path.Artwork, centred bool) (path.Artwork, error) {
	m, err := s.sizeAndTurn(art.Page)
	if err != nil {
		return path.Artwork{}, err
	}
	page := path.Artwork{Page: art.Page}.Transform(m).Page
	from := page.Min
	if centred {
		from = page.Centre()
	}
	to := or(s.At, point{})
	shift := path.Translate(to.X-from.X, to.Y-from.Y)
	return art.Transform(shift.Mul(m)), nil
}

func (s artworkSpec) sizeAndTurn(page path.Rect) (path.Matrix, error) {
	scale, err := s.scale(page)
	if err != nil {
		return path.Matrix{}, err
	}
	m := path.Scale(scale, scale)
	switch or(s.Mirror, "") {
	case "x":
		m = path.Scale(-1, 1).Mul(m)
	case "y":
		m = path.Scale(1, -1).Mul(m)
	}
	return path.Rotate(float64(or(s.Rotate, 0))).Mul(m), nil
}

func (s artworkSpec) scale(page path.Rect) (float64, error) {
	w, h := 1.0, 1.0
	if s.Width != nil {
		w = float64(*s.Width) / page.W()
	}
	if s.Height != nil {
		h = float64(*s.Height) / page.H()
	}
	switch {
	case s.Width == nil:
		w = h
	case s.Height == nil:
		h = w
	case math.Abs(w/h-1) > sameShape:
		return 0, usagef("a page of %s does not become %g x %g mm without being stretched", size(page), *s.Width, *s.Height).
			hintf("give only the width or only the height")
	}
	if !(w > 0) || math.IsInf(w, 0) {
		return 0, usagef("the page cannot be made %g mm wide", w*page.W()).hintf("give a width above 0")
	}
	return w, nil
}
