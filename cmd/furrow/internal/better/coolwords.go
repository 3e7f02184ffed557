package better

import (
	"fmt"
	"time"

	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/words"
)

// Words say what looking for a cooler sequence came to.
func (s *Spread) Words() string {
	change := fmt.Sprintf("+%s K in place of +%s K", warmth.Kelvin(s.HottestK), warmth.Kelvin(s.PlainK))
	switch {
	case s.Kept && s.HottestK < s.PlainK:
		return fmt.Sprintf("kept the plain sequence: of %s none is worth it, the best has its hottest at %s, %s",
			words.Plural(s.Tried, "other way"), change, s.cost())
	case s.Kept:
		return fmt.Sprintf("kept the plain sequence: none of %s is cooler at its hottest, +%s K",
			words.Plural(s.Tried, "other way"), warmth.Kelvin(s.PlainK))
	}
	return fmt.Sprintf("%s: hottest %s, %s", s.how(), change, s.cost())
}

// how words the sequence.
func (s *Spread) how() string {
	cells := fmt.Sprintf("rows in %d cells, marked far apart", s.Cells)
	switch {
	case s.Interleave <= 1:
		return cells
	case s.Cells == 0:
		return fmt.Sprintf("one row in %d first", s.Interleave)
	}
	return fmt.Sprintf("one row in %d first, %s", s.Interleave, cells)
}

// cost words how much longer the sequence takes.
func (s *Spread) cost() string {
	switch d := words.Seconds(s.Seconds - s.PlainS); {
	case d >= time.Second/2:
		return words.Duration(d) + " longer"
	case d <= -time.Second/2:
		return words.Duration(-d) + " shorter"
	}
	return "in the same time"
}

// Words say what the pauses came to.
func (p *Paused) Words() string {
	if p.Pauses == 0 {
		return fmt.Sprintf("none needed: hottest +%s K, below +%s K", warmth.Kelvin(p.WithoutK), warmth.Kelvin(p.LimitK))
	}
	said := fmt.Sprintf("%s of %s in all: hottest +%s K in place of +%s K; the job takes %s longer",
		words.Plural(p.Pauses, "pause"), words.Duration(words.Seconds(p.Seconds)), warmth.Kelvin(p.HottestK),
		warmth.Kelvin(p.WithoutK), words.Duration(words.Seconds(p.LongerS)))
	if p.StillOver {
		said += fmt.Sprintf("; that is above +%s K, and pauses between rows get it no lower", warmth.Kelvin(p.LimitK))
	}
	return said
}
