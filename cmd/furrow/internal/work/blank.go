package work

import (
	"fmt"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"
)

// BlankRect returns where the blank lies on the machine: its lower-left corner at
// X0 Y0 of a gantry whose zero is set on it by hand, and at the page's corner where
// zero is the bed's; its middle in the middle of a galvo's field. With fit it lies
// about the page. ok is false where its size is not known.
func (w Work) BlankRect() (r path.Rect, ok bool) { return w.BlankRound(w.Art.Page) }

// BlankRound is BlankRect of a page as it lies on the machine.
func (in Input) BlankRound(page path.Rect) (r path.Rect, ok bool) {
	blank := in.Job.Blank.Size()
	corner := path.Point{}
	switch {
	case value.Or(in.Job.Artwork.Fit, false):
		r = around(page.Centre(), blank)
		return r, in.Job.Blank.Known()
	case in.forGalvo():
		return around(path.Point{}, blank), in.Job.Blank.Known()
	case in.Machine != nil && in.Machine.Gantry.Zero == machine.ZeroBed:
		corner = page.Min
	}
	return path.Rect{Min: corner, Max: corner.Add(blank)}, in.Job.Blank.Known()
}

// blankWarnings say where marks leave the blank, or come nearer to its edge than
// the margin.
func (w *Work) blankWarnings() []Warning {
	margin := float64(value.Or(w.Job.Artwork.Margin, 0))
	r, ok := w.BlankRect()
	if !ok || w.Clock.Marks.Empty() {
		return nil
	}
	if sides := words.PastSides(w.Clock.Marks, r); sides != "" {
		return []Warning{{Message: fmt.Sprintf("marks reach past the blank of %s: %s", words.Size(r), sides)}}
	}
	if sides := words.PastSides(w.Clock.Marks, r.Grow(-margin)); sides != "" {
		return []Warning{{Message: fmt.Sprintf("marks reach past the margin of %g mm on the blank of %s: %s", margin,
			words.Size(r), sides)}}
	}
	return nil
}
