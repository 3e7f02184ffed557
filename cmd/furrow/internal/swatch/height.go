package swatch

import "slices"

// byHeight makes a file of its own for each height at which a gantry marks: its file
// cannot wait for a person to set it. The lettering comes with the first. A galvo's list
// waits.
func byHeight(cards []Card) []Card {
	if cards[0].Spec.Machine.IsGalvo() || !slices.ContainsFunc(cards, Card.stops) {
		return cards
	}
	var all []Card
	for _, c := range cards {
		all = append(all, c.apart()...)
	}
	for i := range all {
		all[i].Number, all[i].Of = i+1, len(all)
	}
	return all
}

// stops reports that the card has more than one height.
func (c Card) stops() bool {
	return slices.ContainsFunc(c.Patches, func(p Patch) bool { return p.stop != c.Patches[0].stop })
}

func (c Card) apart() (all []Card) {
	var heights []int
	for _, p := range c.Patches {
		if !slices.Contains(heights, p.stop) {
			heights = append(heights, p.stop)
		}
	}
	slices.Sort(heights)
	for i, h := range heights {
		one := c
		one.Patches = slices.DeleteFunc(slices.Clone(c.Patches), func(p Patch) bool { return p.stop != h })
		for k := range one.Patches {
			one.Patches[k].stop = 0
		}
		if i > 0 {
			one.Labels, one.Lines, one.Out = nil, nil, nil
		}
		all = append(all, one)
	}
	return all
}

// Height returns the distance from the focus at which all of a card is marked, mm; ok is
// false where it has several, or none is set.
func (c Card) Height() (mm float64, ok bool) {
	if len(c.Patches) == 0 || c.Patches[0].Fill.FocusOffset == nil || c.stops() {
		return 0, false
	}
	return float64(*c.Patches[0].Fill.FocusOffset), true
}
