package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
)

// lost says what a list asks for that samples of two mirrors and a gate cannot carry.
func (p played) lost() (all []string, err error) {
	holds, guides := 0, 0
	for mv, err := range p.moves.All() {
		switch {
		case err != nil:
			return nil, err
		case mv.Kind == emit.Hold:
			holds++
		case mv.Kind == emit.Guide:
			guides++
		}
	}
	if holds > 0 {
		all = append(all, fmt.Sprintf("the list waits for the operator in %s, and samples do not: what plays them runs on; "+
			"for a part at a time, order --only-parts", words.Plural(holds, "place")))
	}
	if guides > 0 {
		all = append(all, fmt.Sprintf("the visible guide of %s is not in samples", words.Plural(guides, "move")))
	}
	return append(all, p.pulses()...), nil
}

// pulses says that the source is to be set while a list runs, which samples cannot do.
func (p played) pulses() []string {
	type source struct{ frequency, pulse float64 }
	found := map[source]bool{}
	for _, s := range p.moves.Settings {
		found[source{s.FrequencyHz, s.PulseNS}] = true
	}
	if len(found) < 2 {
		return nil
	}
	return []string{fmt.Sprintf("the list has %d settings of pulse frequency and length, which are not in samples: "+
		"the source keeps the one that it is set to", len(found))}
}
