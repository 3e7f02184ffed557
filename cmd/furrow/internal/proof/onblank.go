package proof

import (
	"cmp"
	"fmt"
	"slices"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/path"
)

// onBlank proves that the marks lie on the blank that the file was made for, if it names
// one, or each mark on one of those of a load.
func (c *File) onBlank() error {
	all, marks := c.Moves.Header.Blanks, c.Report.Marks
	switch {
	case c.Moves.Header.Unread > 0 && c.Moves.Header.Profile != "":
		return c.offBlank("%s: it was changed since it was made", c.unreadWords())
	case len(all) == 0 || marks.Empty():
		return nil
	case len(all) > 1 || !upright(all[0]):
		return c.onBlanks(newBlanks(all))
	}
	if !words.Past(marks, allowed(all[0])) {
		return nil
	}
	return c.offBlank("marks reach past the blank of %s that the file names: %s", words.Size(all[0].Rect),
		words.PastSides(marks, all[0].Rect))
}

// unreadWords say that comments tell of blanks and cannot be read; "" where all can.
func (c *File) unreadWords() string {
	switch n := c.Moves.Header.Unread; n {
	case 0:
		return ""
	case 1:
		return "a comment tells of a blank and cannot be read"
	default:
		return words.Thousands(int64(n)) + " comments tell of blanks and cannot be read"
	}
}

func (c *File) offBlank(form string, args ...any) error {
	return c.refuse(Problem{Rule: ruleBlank, Message: fmt.Sprintf(form, args...), Remedy: "write the file again"})
}

// onBlanks looks at every mark, where the beam makes it as far as the machine is known.
func (c *File) onBlanks(b *blanks) error {
	moves, at := c.Moves, path.Point{}
	if c.Machine != nil {
		moves = emit.AsMarked(moves, c.Machine.Profile)
	}
	for mv, err := range moves.All() {
		if err != nil {
			return c.refuse(problemOf(ruleReadable, err))
		}
		from := at
		at = mv.To
		if lit := mv.Kind == emit.Mark || mv.Kind == emit.Dot; !lit || b.hold(mv, from) {
			continue
		}
		r := mv.Bounds(from)
		near := b.nearest(r.Centre())
		which := "the blank that the file names"
		if len(b.all) > 1 {
			which = fmt.Sprintf("the nearest of the %d blanks that the file names", len(b.all))
		}
		return c.offBlank("a mark at %s reaches past %s: %s", words.Place(r), which, past(near, mv, from))
	}
	return nil
}

// onBlankWords says that the marks lie on the blanks that a file names, "" where it names none.
func onBlankWords(all []emit.Blank) string {
	switch len(all) {
	case 0:
		return ""
	case 1:
		name := "blank"
		if all[0].Round {
			name = words.Round(all[0].Rect.W(), all[0].Rect.H()) + " blank"
		}
		return "the marks lie on the " + name + " of " + words.Size(all[0].Rect) + turnWords(all[0].Turn) +
			bleedWords(all[0].Bleed)
	}
	most := slices.MaxFunc(all, func(x, y emit.Blank) int { return cmp.Compare(x.Bleed, y.Bleed) })
	return fmt.Sprintf("each mark lies on one of the %d blanks that the file names%s", len(all), bleedWords(most.Bleed))
}

// turnWords says that a blank lies aslant, where it does.
func turnWords(degrees float64) string {
	if degrees == 0 {
		return ""
	}
	return ", turned by " + words.Decimal(degrees, 3) + " degrees"
}

// bleedWords says how far marks may run over the blank's edge, where they may.
func bleedWords(mm float64) string {
	if mm == 0 {
		return ""
	}
	return ", or over its edge by " + words.Decimal(mm, 3) + " mm at most"
}
