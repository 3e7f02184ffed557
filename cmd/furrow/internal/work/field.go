package work

import (
	"errors"
	"fmt"
	"math"

	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/path"
)

// IntoField moves work that fits the field of a galvo but leaves it to the middle of
// the field, where nothing says where it goes, and tells so: the part is slid along.
func (in Input) IntoField(s Strokes) Strokes {
	var fe *emit.FieldError
	if !in.forGalvo() || in.Job.Artwork.At != nil ||
		!errors.As(emit.InField(in.Machine.Profile, s.Program.Bounds()), &fe) {
		return s
	}
	if asIs, _ := fe.FitsIn(fe.Field); !asIs {
		return s
	}
	by := fe.Bounds.Centre().Mul(-1)
	s = s.Moved(path.Translate(by.X, by.Y))
	s.Warnings = append(s.Warnings, Warning{Message: fmt.Sprintf(
		"moved by %s, %s mm to the middle of the field: slide the blank by as much", words.Decimal(by.X, 2),
		words.Decimal(by.Y, 2))})
	return s
}

// offField is for strokes that leave the field, with the flags that help.
func (w *Work) offField(err error) *UnfitError {
	e := unfit(err)
	var fe *emit.FieldError
	if !errors.As(err, &fe) {
		return e
	}
	at := value.Or(w.Job.Artwork.At, value.Point{})
	off := fe.Bounds.Centre().Sub(path.Point{X: at.X, Y: at.Y}) // of the work from what at places
	asIs, turned := fe.FitsIn(fe.Field)
	switch {
	case asIs:
		e.failure.Hint += ": " + atFlag(off.Mul(-1))
	case turned:
		quarter := path.Point{X: -off.Y, Y: off.X}
		e.failure.Hint += fmt.Sprintf(": --rotate %g %s", math.Mod(float64(value.Or(w.Job.Artwork.Rotate, 0))+90, 360),
			atFlag(quarter.Mul(-1)))
	case !value.Or(w.Job.Artwork.Fit, false):
		e.failure.Hint += ": " + w.smaller(fe, off)
	}
	return e
}

func atFlag(p path.Point) string {
	return fmt.Sprintf("--at %s,%s", words.Decimal(p.X, 3), words.Decimal(p.Y, 3))
}

// smaller words the width at which the work fits. A row more or less may be laid
// there, so one is left free.
func (in Input) smaller(fe *emit.FieldError, off path.Point) string {
	row := 0.0
	for _, f := range in.Groups {
		row = max(row, f.Setting.SpacingMM)
	}
	page := in.Drawing.Art.Page
	scale, err := scaleOf(in.Job.Artwork, in.Drawing, turnOf(in.Job.Artwork), in.Job.Blank)
	if err != nil {
		return ""
	}
	size := fe.Size()
	width := page.W() * scale
	to := math.Floor(10*width*min((fe.Field.X-row)/size.X, (fe.Field.Y-row)/size.Y)) / 10
	return fmt.Sprintf("--width %smm %s", words.Decimal(to, 1), atFlag(off.Mul(-to/width)))
}
