package main

import (
	"fmt"
	"strings"

	"furrow/emit/machine"
	"furrow/path"

	"github.com/spf13/pflag"
)

// blankSpec is the part before it is marked. The toml tags are the keys of a
// job file's [blank].
type blankSpec struct {
	Material  string    `toml:"material,omitempty" comment:"as recipes name it"`
	Width     *lengthMM `toml:"width" comment:"width of the blank, across" range:"0.001 to 100000 mm"`
	Height    *lengthMM `toml:"height" comment:"height of the blank, as it lies" range:"0.001 to 100000 mm"`
	Thickness *lengthMM `toml:"thickness" comment:"thickness of the blank" range:"0.001 to 10000 mm"`
	Colour    *string   `toml:"colour" comment:"of the blank, as #rrggbb or named as in SVG, for pictures"`
}

// blankFlag registers the blank's size on the command line.
func blankFlag(fs *pflag.FlagSet, to **point) {
	limit(optionalVar(fs, to, "blank-size", "width and height of the blank, `W,H`, for --fit and --margin"), limits{0.001, 100_000, "mm"})
}

// over returns s with the size of the command line, if it names one.
func (s blankSpec) over(asked *point) blankSpec {
	if asked != nil {
		s.Width, s.Height = given(lengthMM(asked.X)), given(lengthMM(asked.Y))
	}
	return s
}

// known reports that the size of the blank is.
func (s blankSpec) known() bool { return s.Width != nil && s.Height != nil }

// size returns width and height, mm.
func (s blankSpec) size() path.Point {
	return path.Point{X: float64(or(s.Width, 0)), Y: float64(or(s.Height, 0))}
}

// blankRect returns where the blank lies on the machine: its lower-left corner at
// X0 Y0 of a gantry whose zero is set on it by hand, and at the page's corner where
// zero is the bed's; its middle in the middle of a galvo's field. With fit it lies
// about the page. ok is false where its size is not known.
func (b *build) blankRect() (r path.Rect, ok bool) {
	blank := b.job.Blank.size()
	corner := path.Point{}
	switch {
	case or(b.job.Artwork.Fit, false):
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
	margin := float64(or(b.job.Artwork.Margin, 0))
	r, ok := b.blankRect()
	if !ok || b.clocked.Marks.Empty() {
		return
	}
	if sides := pastSides(b.clocked.Marks, r); sides != "" {
		b.warn(warning{Message: fmt.Sprintf("marks reach past the blank of %s: %s", size(r), sides)})
	} else if sides := pastSides(b.clocked.Marks, r.Grow(-margin)); sides != "" {
		b.warn(warning{Message: fmt.Sprintf("marks reach past the margin of %g mm on the blank of %s: %s", margin, size(r), sides)})
	}
}

// pastSides words how far a rectangle reaches past another, to a hundredth of a
// millimetre, or returns "".
func pastSides(marks, room path.Rect) string { return sidesWords(marks, room, 2) }

// sidesWords words how far a rectangle reaches past another, or returns "".
func sidesWords(r, room path.Rect, digits int) string {
	var sides []string
	for _, s := range []struct {
		name string
		mm   float64
	}{
		{"left", room.Min.X - r.Min.X}, {"right", r.Max.X - room.Max.X},
		{"below", room.Min.Y - r.Min.Y}, {"above", r.Max.Y - room.Max.Y},
	} {
		if s.mm > pastSide {
			sides = append(sides, fmt.Sprintf("%.*f mm %s", digits, s.mm, s.name))
		}
	}
	return strings.Join(sides, ", ")
}

// pastSide is how far a rectangle may reach past another without a word: a tenth
// of what can be measured with a rule, mm.
const pastSide = 0.05
