package work

import (
	"fmt"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/machine"
	"furrow/path"
	"math"
)

// BlankRect returns where the blank lies on the machine: its lower-left corner at
// X0 Y0 of a gantry whose zero is set on it by hand, and at the page's corner where
// zero is the bed's; its middle in the middle of a galvo's field. Where the page lies
// in its middle it goes where the page goes. ok is false where its size is not known.
func (w Work) BlankRect() (r path.Rect, ok bool) { return w.BlankRound(w.Art.Page) }

// Blank is what the file says of the blank; nothing where its size is not known.
func (w Work) Blank() emit.Blank {
	r, ok := w.BlankRect()
	if !ok {
		return emit.Blank{}
	}
	return w.blankAt(r)
}

// blankAt is the blank in its rectangle.
func (in Input) blankAt(r path.Rect) emit.Blank {
	return emit.Blank{Rect: r, Bleed: float64(value.Or(in.Job.Blank.Bleed, 0)), Round: in.Job.Blank.Round()}
}

// onRound refuses strokes that leave a round blank by more than the bleed, wherever the part
// is marked, and tells of those that come nearer to its edge than the margin.
func (in Input) onRound(s *Strokes) error {
	r, ok := in.BlankRound(s.Art.Page)
	if !ok || !in.Job.Blank.Round() || in.Machine == nil {
		return nil
	}
	b := in.blankAt(r)
	if mm, at := b.Beyond(s.Program.Points...); mm > words.PastSide {
		least := math.Ceil(100*(mm+b.Bleed)) / 100
		b.Bleed = 0
		mm, _ = b.Beyond(at)
		e := fault.Workf("marks reach past the %s blank of %s by %.2f mm, at X%s Y%s", words.Round(r.W(), r.H()),
			words.Size(r), mm, words.Decimal(at.X, 3), words.Decimal(at.Y, 3)).
			Hintf("make the page smaller or move it, or allow it: --bleed %smm", words.Decimal(least, 2))
		if !in.Lenient {
			return &UnfitError{e}
		}
		s.Warnings = append(s.Warnings, Warning{Message: e.Error()})
		return nil
	}
	margin := float64(value.Or(in.Job.Artwork.Margin, 0))
	b.Bleed = -min(margin, r.W()/2, r.H()/2)
	if mm, _ := b.Beyond(s.Program.Points...); margin > 0 && mm > words.PastSide {
		s.Warnings = append(s.Warnings, Warning{Message: fmt.Sprintf("marks reach past the margin of %g mm on the %s "+
			"blank of %s by %.2f mm", margin, words.Round(r.W(), r.H()), words.Size(r), mm)})
	}
	return nil
}

// BlankRound is BlankRect of a page as it lies on the machine.
func (in Input) BlankRound(page path.Rect) (r path.Rect, ok bool) {
	blank := in.Job.Blank.Size()
	if in.Turned {
		blank = path.Point{X: blank.Y, Y: blank.X}
	}
	corner := path.Point{}
	switch {
	case inBlank(in.Job.Artwork, in.Job.Blank):
		r = around(page.Centre(), blank)
		return r, in.Job.Blank.Known()
	case in.forGalvo():
		return around(path.Point{}, blank), in.Job.Blank.Known()
	case in.Machine != nil && in.Machine.Gantry.Zero == machine.ZeroBed:
		corner = page.Min
	}
	return path.Rect{Min: corner, Max: corner.Add(blank)}, in.Job.Blank.Known()
}

// onBlank refuses marks that leave the blank by more than the bleed. Those within it
// that come nearer to its edge than the margin are told.
func (w *Work) onBlank() error {
	r, ok := w.BlankRect()
	marks := w.Clock.Marks
	if !ok || marks.Empty() {
		return nil
	}
	bleed := float64(value.Or(w.Job.Blank.Bleed, 0))
	margin := float64(value.Or(w.Job.Artwork.Margin, 0))
	if words.Past(marks, r.Grow(bleed)) {
		e := fault.Workf("marks reach past the blank of %s: %s", words.Size(r), words.PastSides(marks, r)).
			Hintf("make the page smaller or move it, or allow it: --bleed %smm", words.Decimal(mostPast(marks, r), 2))
		if !w.Lenient {
			return &UnfitError{e}
		}
		w.Warnings = append(w.Warnings, Warning{Message: e.Error()})
		return nil
	}
	if sides := words.PastSides(marks, r.Grow(-margin)); margin > 0 && sides != "" {
		told := fmt.Sprintf("marks reach past the margin of %g mm on the blank of %s: %s", margin, words.Size(r), sides)
		if !value.Or(w.Job.Artwork.Fit, false) {
			told += "; --fit makes the page as large as the margin allows"
		}
		w.Warnings = append(w.Warnings, Warning{Message: told})
	}
	return nil
}

// mostPast is how far marks leave the blank on the side where they do so most, mm,
// rounded up to a hundredth.
func mostPast(marks, blank path.Rect) float64 {
	most := max(blank.Min.X-marks.Min.X, marks.Max.X-blank.Max.X, blank.Min.Y-marks.Min.Y, marks.Max.Y-blank.Max.Y)
	return math.Ceil(most*100-1e-6) / 100
}
