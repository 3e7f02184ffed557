package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"

	"github.com/spf13/pflag"
)

// blankSpec is the part before it is marked. The toml tags are the keys of a
// job file's [blank].
type blankSpec struct {
	Material  string        `toml:"material,omitempty" comment:"as recipes name it"`
	Width     *value.Length `toml:"width" comment:"width of the blank, across" range:"0.001 to 100000 mm"`
	Height    *value.Length `toml:"height" comment:"height of the blank, as it lies" range:"0.001 to 100000 mm"`
	Thickness *value.Length `toml:"thickness" comment:"thickness of the blank" range:"0.001 to 10000 mm"`
	Colour    *string       `toml:"colour" comment:"of the blank, as #rrggbb or named as in SVG, for pictures"`
}

// blankFlag registers the blank's size on the command line.
func blankFlag(fs *pflag.FlagSet, to **value.Point) {
	value.Limit(value.Flag(fs, to, "blank-size", "width and height of the blank, `W,H`, for --fit and --margin"), value.Limits{Least: 0.001, Most: 100_000, Unit: "mm"})
}

// over returns s with the size of the command line, if it names one.
func (s blankSpec) over(asked *value.Point) blankSpec {
	if asked != nil {
		s.Width, s.Height = value.Given(value.Length(asked.X)), value.Given(value.Length(asked.Y))
	}
	return s
}

// known reports that the size of the blank is.
func (s blankSpec) known() bool { return s.Width != nil && s.Height != nil }

// size returns width and height, mm.
func (s blankSpec) size() path.Point {
	return path.Point{X: float64(value.Or(s.Width, 0)), Y: float64(value.Or(s.Height, 0))}
}

// blankRect returns where the blank lies on the machine: its lower-left corner at
// X0 Y0 of a gantry whose zero is set on it by hand, and at the page's corner where
// zero is the bed's; its middle in the middle of a galvo's field. With fit it lies
// about the page. ok is false where its size is not known.
func (b *build) blankRect() (r path.Rect, ok bool) {
	blank := b.job.Blank.size()
	corner := path.Point{}
	switch {
	case value.Or(b.job.Artwork.Fit, false):
		r = around(b.art.Page.Centre(), blank)
		return r, b.job.Blank.known()
	case b.forGalvo():
		return around(path.Point{}, blank), b.job.Blank.known()
	case b.machine != nil && b.machine.Gantry.Zero == machine.ZeroBed:
		corner = b.art.Page.Min
	}
	return path.Rect{Min: corner, Max: corner.Add(blank)}, b.job.Blank.known()
}

// warnOfBlank says where marks leave the blank, or come nearer to its edge than
// the margin.
func (b *build) warnOfBlank() {
	margin := float64(value.Or(b.job.Artwork.Margin, 0))
	r, ok := b.blankRect()
	if !ok || b.clocked.Marks.Empty() {
		return
	}
	if sides := words.PastSides(b.clocked.Marks, r); sides != "" {
		b.warn(warning{Message: fmt.Sprintf("marks reach past the blank of %s: %s", words.Size(r), sides)})
	} else if sides := words.PastSides(b.clocked.Marks, r.Grow(-margin)); sides != "" {
		b.warn(warning{Message: fmt.Sprintf("marks reach past the margin of %g mm on the blank of %s: %s", margin, words.Size(r), sides)})
	}
}
