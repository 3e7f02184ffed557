package order

import (
	"fmt"
	"maps"
	"math"
	"slices"
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
	text := fmt.Sprintf("%s x %s mm", words.Decimal(o.Blank.Size.X, 2), words.Decimal(o.Blank.Size.Y, 2))
	if b.Thickness != nil {
		text = fmt.Sprintf("%s x %s x %s mm", words.Decimal(o.Blank.Size.X, 2), words.Decimal(o.Blank.Size.Y, 2),
			words.Decimal(float64(*b.Thickness), 2))
	}
	if o.Blank.Round {
		text += ", " + words.Round(o.Blank.Size.X, o.Blank.Size.Y)
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
	what, at := "lower-left corner", p.At
	if o.Blank.Round || math.Mod(p.Turn, 90) != 0 { // whose room's corner nothing lies in
		what, at = "middle", p.Room(o.Blank).Centre()
	}
	text := fmt.Sprintf("%s; the %s of pocket %d at X%s Y%s mm", words.Plural(len(o.Pockets), "pocket"), what, p.Number,
		words.Decimal(at.X, 3), words.Decimal(at.Y, 3))
	if skip := append(o.Skipped, o.Job.Fixture.Skip...); len(skip) > 0 {
		text += emptyWords(skip)
	}
	text += o.turnWords()
	if value.Or(o.Job.Fixture.Hold, false) {
		text += "; the machine waits for the operator before each part but the first"
	}
	return text
}

// mostTurns is how many different turns are told one by one.
const mostTurns = 3

// turnWords says how blanks lie that are turned.
func (o *Order) turnWords() string {
	pockets := map[float64][]int{}
	for _, p := range o.Pockets {
		turn := math.Mod(math.Mod(p.Turn, 360)+360, 360)
		pockets[turn] = append(pockets[turn], p.Number)
	}
	all := slices.Sorted(maps.Keys(pockets))
	if len(all) == 1 && all[0] != 0 {
		return fmt.Sprintf("; each blank turned by %s degrees counter-clockwise", words.Decimal(all[0], 3))
	}
	if len(all) > mostTurns {
		return "; blanks turned as the picture shows"
	}
	text := ""
	for _, turn := range all {
		if turn != 0 {
			text += fmt.Sprintf("; turned by %s degrees counter-clockwise: %s", words.Decimal(turn, 3),
				pocketWords(pockets[turn]))
		}
	}
	return text
}

// emptyWords names the pockets that stay empty.
func emptyWords(pockets []int) string {
	if len(pockets) == 1 {
		return "; " + pocketWords(pockets) + " stays empty"
	}
	return "; " + pocketWords(pockets) + " stay empty"
}

func pocketWords(pockets []int) string {
	if len(pockets) == 1 {
		return fmt.Sprintf("pocket %d", pockets[0])
	}
	return "pockets " + words.Numbers(pockets)
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
			return "X0 Y0 set by hand to the lower-left corner of the rectangle round the blank: furrow locate goes round its " +
				"edge"
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
		blanks = blanks.Union(s.Pocket.Room(o.Blank))
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
