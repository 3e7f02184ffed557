package main

import (
	"math"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/path"

	"github.com/spf13/pflag"
)

// artworkSpec is the artwork and its place on the blank. The toml tags are the
// keys of a job file's [artwork].
type artworkSpec struct {
	File   string        `toml:"file" comment:"SVG file, beside this one"`
	Width  *value.Length `toml:"width" comment:"width of the page, which height follows" range:"0.001 to 100000 mm"`
	Height *value.Length `toml:"height" comment:"height of the page, which width follows" range:"0.001 to 100000 mm"`
	Fit    *bool         `toml:"fit" comment:"make the page as large as the blank less the margin lets it be, in the blank's middle"`
	Margin *value.Length `toml:"margin" comment:"kept free along the blank's edges: fit leaves it, and marks in it give a warning" range:"0 to 10000 mm"`
	Rotate *value.Number `toml:"rotate" comment:"turn the page, degrees counter-clockwise" range:"-360 to 360 degrees"`
	Mirror *string       `toml:"mirror" comment:"x swaps left and right, y swaps top and bottom"`
	At     *value.Point  `toml:"at" comment:"where the page (with fit, the blank) goes: its lower-left corner on a gantry, its middle in a galvo's field" range:"-100000 to 100000 mm"`
	selection
}

func (s *artworkSpec) flags(fs *pflag.FlagSet) {
	value.Flag(fs, &s.Width, "width", "make the page this wide: `LENGTH` as 60mm or 2in")
	value.Flag(fs, &s.Height, "height", "make the page this high: `LENGTH`")
	value.Switch(fs, &s.Fit, "fit", "make the page as large as the blank less --margin lets it be, in the blank's middle")
	value.Flag(fs, &s.Margin, "margin", "keep `LENGTH` free along the blank's edges: --fit leaves it, and marks in it give a warning (default 0)")
	value.Flag(fs, &s.Rotate, "rotate", "turn the page by `DEGREES` counter-clockwise")
	fs.Var(value.OneOf{To: &s.Mirror, Words: mirrorWords}, "mirror", "`AXIS` x swaps left and right, y swaps top and bottom")
	s.selection.flags(fs)
	value.Flag(fs, &s.At, "at", "place the page's (with --fit, the blank's) lower-left corner (gantry) or middle (galvo) at `X,Y`")
	limitFlags(fs, *s)
}

var mirrorWords = []string{"x", "y"}

// over returns s with what it leaves out taken from base. A size asked for here
// takes the place of any asked for there.
func (s artworkSpec) over(base artworkSpec) artworkSpec {
	if s.sized() {
		base.Width, base.Height, base.Fit = s.Width, s.Height, s.Fit
	}
	base.Margin = value.First(s.Margin, base.Margin)
	base.Rotate = value.First(s.Rotate, base.Rotate)
	base.Mirror = value.First(s.Mirror, base.Mirror)
	base.At = value.First(s.At, base.At)
	base.selection = s.selection.over(base.selection)
	return base
}

// sameShape is how far two scales may differ and still be one, relative.
const sameShape = 1e-3

// sized reports that something is said of the page's size.
func (s artworkSpec) sized() bool { return s.Width != nil || s.Height != nil || s.Fit != nil }

// place sizes, mirrors and turns the page, with its lower-left corner at 0,0
// (or, centred, its middle) and then moves it to At. A page that is to fit lies in
// the middle of the blank, which is moved to At instead.
func (s artworkSpec) place(art path.Artwork, blank blankSpec, centred bool) (path.Artwork, error) {
	if value.Or(s.Margin, 0) > 0 && !blank.known() {
		return path.Artwork{}, fault.Usagef("a margin needs the size of the blank").Hintf("%s", blankHint)
	}
	turn := s.turn()
	scale, err := s.scale(art.Page, turn, blank)
	if err != nil {
		return path.Artwork{}, err
	}
	m := turn.Mul(path.Scale(scale, scale))
	frame := path.Artwork{Page: art.Page}.Transform(m).Page
	if value.Or(s.Fit, false) {
		frame = around(frame.Centre(), blank.size())
	}
	from := frame.Min
	if centred {
		from = frame.Centre()
	}
	to := value.Or(s.At, value.Point{})
	return art.Transform(path.Translate(to.X-from.X, to.Y-from.Y).Mul(m)), nil
}

const blankHint = "add --blank-size W,H, or width and height to [blank] in the job file"

// around returns the rectangle of a size with its middle at c.
func around(c, size path.Point) path.Rect {
	half := path.Point{X: size.X / 2, Y: size.Y / 2}
	return path.Rect{Min: c.Sub(half), Max: path.Point{X: c.X + half.X, Y: c.Y + half.Y}}
}

// turn mirrors, and then turns, the page.
func (s artworkSpec) turn() path.Matrix {
	m := path.Scale(1, 1)
	switch value.Or(s.Mirror, "") {
	case "x":
		m = path.Scale(-1, 1)
	case "y":
		m = path.Scale(1, -1)
	}
	return path.Rotate(float64(value.Or(s.Rotate, 0))).Mul(m)
}

// scale returns by how much the page grows.
func (s artworkSpec) scale(page path.Rect, turn path.Matrix, blank blankSpec) (float64, error) {
	if value.Or(s.Fit, false) {
		if s.Width != nil || s.Height != nil {
			return 0, fault.Usagef("fit and a width or height at once").Hintf("leave one of them out")
		}
		return s.fitScale(path.Artwork{Page: page}.Transform(turn).Page, blank)
	}
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
		return 0, fault.Usagef("a page of %s does not become %g x %g mm without being stretched", words.Size(page), *s.Width, *s.Height).
			Hintf("give only the width or only the height")
	}
	return w, nil
}

// fitScale returns the scale at which a page, turned as it will lie, takes up the
// blank less the margin.
func (s artworkSpec) fitScale(page path.Rect, blank blankSpec) (float64, error) {
	if !blank.known() {
		return 0, fault.Usagef("fit needs the size of the blank").Hintf("%s", blankHint)
	}
	margin := float64(value.Or(s.Margin, 0))
	room := blank.size().Sub(path.Point{X: 2 * margin, Y: 2 * margin})
	if !(room.X > 0 && room.Y > 0) {
		return 0, fault.Usagef("a margin of %g mm leaves nothing of a blank of %s", margin, words.Size(around(path.Point{}, blank.size()))).
			Hintf("use a smaller margin")
	}
	return min(room.X/page.W(), room.Y/page.H()), nil
}
