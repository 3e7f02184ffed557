package order

import (
	"fmt"
	"time"

	"furrow/cmd/furrow/internal/fixture"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit"
	"furrow/path"
)

// run is seats of a load that are marked as one: rows run across them.
type run struct{ from, to int } // of the load's seats

// runs groups the seats of a load: those that lie side by side and look alike, where
// rows are to run across them, and else each by itself. Turned blanks are marked by
// themselves: their rows lie another way.
func (o *Order) runs(l Load) (all []run) {
	for i := 0; i < len(l.Seats); {
		k := i + 1
		for o.Job.Fixture.Across() && k < len(l.Seats) && o.beside(l.Seats[i], l.Seats[k]) {
			k++
		}
		all = append(all, run{i, k})
		i = k
	}
	return all
}

// beside reports that rows can run across two seats.
func (o *Order) beside(a, b fixture.Seat) bool {
	return a.Pocket.Turn == 0 && b.Pocket.Turn == 0 && a.Pocket.At.Y == b.Pocket.At.Y &&
		o.parts[a.Part].Look == o.parts[b.Part].Look
}

// across makes one piece of parts that lie side by side.
func (o *Order) across(l Load, r run) (emit.Piece, error) {
	seats := l.Seats[r.from:r.to]
	number := o.parts[seats[0].Part].Look
	s, err := o.strokes(number)
	if err != nil {
		return emit.Piece{}, err
	}
	in, err := o.input(number)
	if err != nil {
		return emit.Piece{}, err
	}
	marks, err := work.Hatch(in, s.Art, in.Groups)
	if err != nil {
		return emit.Piece{}, err
	}
	var offsets []path.Point
	var pockets []int
	for _, seat := range seats {
		offsets, pockets = append(offsets, seat.Pocket.At), append(pockets, seat.Pocket.Number)
	}
	prog, err := work.Sequence(in, marks.Across(offsets))
	return emit.Piece{
		Program: prog, Place: path.Identity, Note: fmt.Sprintf("pockets %s", words.Numbers(pockets)),
	}, err
}

// worthIt returns a load whose rows run across parts, or the same part after part where
// they save no time worth telling, and says which and why. The other loads follow it.
func (o *Order) worthIt(made Made) (Made, string, error) {
	if !o.Job.Fixture.Across() || len(made.Runs) == len(made.Seats) {
		return made, "", nil
	}
	byPart := "part"
	asked := o.Job.Fixture.Sequence
	o.Job.Fixture.Sequence = &byPart
	plain, err := o.Make(made.Load)
	if err != nil {
		return made, "", err
	}
	saved := plain.Clock.Total() - made.Clock.Total()
	if !words.Tells(saved, made.Clock.Total()) {
		return plain, "part after part: rows across them would take " + longer(-saved, plain.Clock.Total()), nil
	}
	o.Job.Fixture.Sequence = asked
	most := 0
	for _, r := range made.Runs {
		most = max(most, r.to-r.from)
	}
	return made, fmt.Sprintf("rows run across parts: saves %s a load; a stop leaves up to %s half done",
		words.Saving(saved, made.Clock.Total()), words.Plural(most, "part")), nil
}

// longer words how much more than a time something else takes.
func longer(by, than time.Duration) string {
	if !words.Tells(by, than) {
		return "as long"
	}
	return words.Saving(by, than) + " more"
}
