package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"
)

// blankRect returns where the blank lies on the machine: its lower-left corner at
// X0 Y0 of a gantry whose zero is set on it by hand, and at the page's corner where
// zero is the bed's; its middle in the middle of a galvo's field. With fit it lies
// about the page. ok is false where its size is not known.
func (b *build) blankRect() (r path.Rect, ok bool) {
	blank := b.Job.Blank.Size()
	corner := path.Point{}
	switch {
	case value.Or(b.Job.Artwork.Fit, false):
		r = around(b.art.Page.Centre(), blank)
		return r, b.Job.Blank.Known()
	case b.forGalvo():
		return around(path.Point{}, blank), b.Job.Blank.Known()
	case b.Machine != nil && b.Machine.Gantry.Zero == machine.ZeroBed:
		corner = b.art.Page.Min
	}
	return path.Rect{Min: corner, Max: corner.Add(blank)}, b.Job.Blank.Known()
}

// warnOfBlank says where marks leave the blank, or come nearer to its edge than
// the margin.
func (b *build) warnOfBlank() {
	margin := float64(value.Or(b.Job.Artwork.Margin, 0))
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
