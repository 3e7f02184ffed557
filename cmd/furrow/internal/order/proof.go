package order

import (
	"cmp"
	"io"
	"slices"

	"furrow/cmd/furrow/internal/sheet"
	"furrow/cmd/furrow/internal/value"
	"furrow/raster/paper"
)

// proof writes what the customer signs: the parts that are made now.
func (o *Order) proof(w io.Writer, size paper.Size) error {
	p := sheet.Proof{
		Order: o.title(), Customer: value.Or(o.Job.Order.Customer,
			""), Quantity: o.Quantity(), Due: o.due(), Blank: o.blankWords(),
	}
	var err error
	if p.Fonts, err = o.Fonts(); err != nil {
		return err
	}
	for _, l := range o.looks() {
		if _, drawn := o.pictures[l[0].Look]; !drawn { // made by another run
			if _, err := o.strokes(l[0].Look); err != nil {
				return err
			}
			if err := o.drawLook(); err != nil {
				return err
			}
		}
		part := sheet.ProofPart{Texts: l[0].Texts, Picture: o.pictures[l[0].Look]}
		for _, x := range l {
			part.Numbers = append(part.Numbers, x.Number)
		}
		p.Parts = append(p.Parts, part)
	}
	p.Notes = o.proofNotes()
	return p.Encode(w, size)
}

// proofNotes say how the proof's parts are drawn and sorted.
func (o *Order) proofNotes() (all []string) {
	if o.wider {
		all = append(all, "Letters of lines are drawn wider here than they are marked, to be read.")
	}
	byNumber := func(a, b []Part) int { return cmp.Compare(a[0].Number, b[0].Number) }
	if !slices.IsSortedFunc(o.looks(), byNumber) {
		all = append(all, "The parts with the longest and the shortest of each text, and with those set smallest, come "+
			"first; the others follow in the sequence of the list.")
	}
	return all
}

// looks lists the parts of each look that is made now: those that a person should see
// first, unless the job has them as listed, and then in the sequence of their numbers.
func (o *Order) looks() (all [][]Part) {
	where := map[int]int{}
	for _, p := range o.shownParts() {
		i, had := where[p.Look]
		if !had {
			i = len(all)
			where[p.Look] = i
			all = append(all, nil)
		}
		all[i] = append(all[i], p)
	}
	if !value.Or(o.Job.Order.AsListed, false) {
		slices.SortStableFunc(all, func(a, b []Part) int { return cmp.Compare(o.rank(a[0].Look), o.rank(b[0].Look)) })
	}
	return all
}

// shownParts are those on the proof: all of the order, or what a run for some of the
// parts makes.
func (o *Order) shownParts() (all []Part) {
	if o.Name == "load" {
		return o.Source.Parts
	}
	for _, n := range o.Numbers {
		all = append(all, o.parts[n])
	}
	return all
}

// rank is lower for looks that a person should see first.
func (o *Order) rank(look int) int {
	if i := slices.Index(o.Source.First, look); i >= 0 {
		return i
	}
	return len(o.Source.First)
}
