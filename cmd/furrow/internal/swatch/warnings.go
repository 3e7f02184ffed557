package swatch

import (
	"furrow/cmd/furrow/internal/value"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/pulse"
)

// Warnings say in which patches the settings are odd for the source: a card is there to
// show such places too, so they are counted and not told one by one.
func Warnings(cards []Made) (all []string) {
	if cards[0].Spec.Kind != swatchKind {
		return nil // which are made to show them
	}
	odd := []struct {
		text string
		is   func(p Patch, f pulse.Facts) bool
	}{
		{"pulses part", func(_ Patch, f pulse.Facts) bool { return f.PerMM > 0 && f.Overlap < 0 }},
		{"lines part", func(p Patch, f pulse.Facts) bool { return linesPart(p, f) }},
		{"pulses carry less than the power asked for, and the dose told is theirs",
			func(_ Patch, f pulse.Facts) bool { return f.Limited }},
	}
	for _, o := range odd {
		var names []string
		for _, c := range cards {
			for _, p := range c.Patches {
				if o.is(p, p.Facts(c.Spec.Machine)) {
					names = append(names, p.Name)
				}
			}
		}
		if len(names) > 0 {
			all = append(all, o.text+" in "+words.Plural(len(names), "patch")+": "+list(names))
		}
	}
	return all
}

// linesPart reports that there is bare material between two lines.
func linesPart(p Patch, f pulse.Facts) bool {
	if w := p.Fill.MarkWidth; w != nil {
		return value.Or(p.Fill.Spacing, value.Spacing{}).MM > float64(*w)
	}
	return f.DoseJPerCM2 > 0 && f.LineOverlap < 0
}
