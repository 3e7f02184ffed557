package order

import (
	"fmt"
	"strings"
	"time"

	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/machine"
	"furrow/path"
)

// title names the order.
func (o *Order) title() string {
	if name := value.Or(o.Job.Order.Name, ""); name != "" {
		return name
	}
	return o.One.Shown()
}

// whatLoad says what a file holds.
func (o *Order) whatLoad(m Made) string {
	var parts []int
	for _, s := range m.Seats {
		parts = append(parts, s.Part)
	}
	if all := o.loadsOf(m.File); len(all) > 1 {
		return fmt.Sprintf("%s, run %d times", words.Plural(len(m.Seats), "part"), len(all))
	}
	return "parts " + words.Numbers(parts)
}

// blankWords says what lies in a pocket.
func (o *Order) blankWords() string {
	b := o.Job.Blank
	text := fmt.Sprintf("%s x %s mm", words.Decimal(o.Blank.X, 2), words.Decimal(o.Blank.Y, 2))
	if b.Thickness != nil {
		text = fmt.Sprintf("%s x %s x %s mm", words.Decimal(o.Blank.X, 2), words.Decimal(o.Blank.Y, 2),
			words.Decimal(float64(*b.Thickness), 2))
	}
	if b.Round() {
		text += ", round"
	}
	if b.Material != "" {
		text += ", " + b.Material
	}
	return text
}

// fixtureWords says how many pockets there are, and where the first one is.
func (o *Order) fixtureWords() string {
	if !o.Job.Fixture.Given() {
		return "one blank at a time"
	}
	p := o.Pockets[0]
	text := fmt.Sprintf("%s; the lower-left corner of pocket %d at X%s Y%s mm",
		words.Plural(len(o.Pockets), "pocket"), p.Number,
		words.Decimal(p.At.X, 3), words.Decimal(p.At.Y, 3))
	if skip := append(o.Skipped, o.Job.Fixture.Skip...); len(skip) > 0 {
		text += emptyWords(skip)
	}
	if value.Or(o.Job.Fixture.Hold, false) {
		text += "; the machine waits for the operator before each part but the first"
	}
	return text
}

// emptyWords names the pockets that stay empty.
func emptyWords(pockets []int) string {
	if len(pockets) == 1 {
		return fmt.Sprintf("; pocket %d stays empty", pockets[0])
	}
	return "; pockets " + words.Numbers(pockets) + " stay empty"
}

// zeroWords says where X0 Y0 is.
func (o *Order) zeroWords() string {
	switch g := o.Machine.Gantry; {
	case o.Machine.IsGalvo():
		return "the middle of the field"
	case g.Zero == machine.ZeroBed:
		return "X0 Y0 is that of the bed"
	}
	if !o.Job.Fixture.Given() {
		if o.Job.Blank.Round() {
			return "X0 Y0 set by hand to the lower-left corner of the square round the blank"
		}
		return "X0 Y0 set by hand to the lower-left corner of the blank"
	}
	return "X0 Y0 set by hand; the pockets are measured from there"
}

// clearance says what the head needs beyond the blanks.
func (o *Order) clearance(m Made) string {
	if o.Machine.IsGalvo() {
		f := o.Machine.Galvo.FieldMM
		return fmt.Sprintf("%s of the %g x %g mm field", words.Size(m.Clock.Marks), f[0], f[1])
	}
	blanks := path.EmptyRect()
	for _, s := range m.Seats {
		blanks = blanks.Union(o.blankIn(s.Pocket))
	}
	if sides := words.Sides(m.Clock.Moves, blanks, 1); sides != "" {
		return "beyond the blanks the head needs " + sides
	}
	return "the head stays within the blanks"
}

// loading is the time to change one part.
func (o *Order) loading() time.Duration {
	return words.Seconds(float64(value.Or(o.Job.Order.Loading, 0)))
}

// due is the day the order is promised for, if it is.
func (o *Order) due() string {
	if o.Job.Order.Due == nil {
		return ""
	}
	return o.Job.Order.Due.String()
}

// Late says that a day is past the one promised.
func (o *Order) Late(today value.Date) string {
	due := o.Job.Order.Due
	if due == nil || !today.AsTime(time.UTC).After(due.AsTime(time.UTC)) {
		return ""
	}
	return fmt.Sprintf("the order was due on %s", due)
}

// recipeWords names the recipe.
func (o *Order) recipeWords() string {
	if o.Recipe == nil {
		return ""
	}
	return strings.TrimSpace(o.Recipe.ID + ": " + o.Recipe.Words())
}
