package better

import (
	"fmt"
	"slices"
	"time"

	"furrow/cmd/furrow/internal/warmth"
	"furrow/cmd/furrow/internal/words"
	"furrow/cmd/furrow/internal/work"
	"furrow/emit/heat"
)

// Cooling settles what an input leaves open, and keeps the blank cool where the job asks
// for it. Further parts of an order have the angles of the first one, and are spread as it was,
// or they would look different; each has pauses of its own.
type Cooling struct {
	Spread *Spread // nil where none was asked for, as Paused
	Paused *Paused // of the first part

	angles [][]float64 // of the first part's groups
}

// Settle returns an input with its angles and its sequence settled.
func (c *Cooling) Settle(in work.Input) (work.Input, error) {
	in, err := c.angled(in)
	if err != nil || c.Spread != nil {
		return c.Spread.on(in), err
	}
	in, c.Spread, err = Spreading(in)
	return in, err
}

// angled settles the angles that are left open.
func (c *Cooling) angled(in work.Input) (work.Input, error) {
	if c.angles == nil {
		in, err := Angles(in)
		for _, g := range in.Groups {
			c.angles = append(c.angles, g.Angles)
		}
		return in, err
	}
	in.Groups = slices.Clone(in.Groups)
	for i := range in.Groups {
		if g := &in.Groups[i]; len(g.Angles) == 0 {
			g.Angles = c.angles[i]
		}
	}
	return in, nil
}

// on returns the input in the sequence that was found for another one.
func (s *Spread) on(in work.Input) work.Input {
	if s != nil && !s.Kept {
		in.Cells, in.Groups = s.Cells, interleaved(in, s.Interleave)
	}
	return in
}

// Pause puts pauses into strokes that work.Fill has made.
func (c *Cooling) Pause(in work.Input, s work.Strokes) (work.Strokes, error) {
	s, p, err := Pauses(in, s)
	if c.Paused == nil {
		c.Paused = p
	}
	return s, err
}

// Lines tell what was done, each with its head.
func (c *Cooling) Lines() (lines [][2]string) {
	if c.Spread != nil {
		lines = append(lines, [2]string{"spread", c.Spread.Words()})
	}
	if c.Paused != nil {
		lines = append(lines, [2]string{"pauses", c.Paused.Words()})
	}
	return lines
}

// MapOptions are those of the maps that ways were held against each other with.
func (c *Cooling) MapOptions() heat.Options {
	switch {
	case c.Paused != nil:
		return heat.Options{StepS: c.Paused.StepS}
	case c.Spread != nil:
		return heat.Options{StepS: c.Spread.StepS}
	}
	return heat.Options{}
}

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
		return words.Time(d) + " longer"
	case d <= -time.Second/2:
		return words.Time(-d) + " shorter"
	}
	return "in the same time"
}

// Words say what the pauses came to.
func (p *Paused) Words() string {
	if p.Pauses == 0 {
		return fmt.Sprintf("none needed: hottest +%s K, below +%s K", warmth.Kelvin(p.WithoutK),
			warmth.Kelvin(p.LimitK))
	}
	said := fmt.Sprintf("%s, %s in all: hottest +%s K in place of +%s K; the job takes %s longer",
		words.Plural(p.Pauses, "pause"), words.Time(words.Seconds(p.Seconds)), warmth.Kelvin(p.HottestK),
		warmth.Kelvin(p.WithoutK), words.Time(words.Seconds(p.LongerS)))
	if p.StillOver {
		said += fmt.Sprintf("; that is above +%s K, and pauses between rows get it no lower", warmth.Kelvin(p.LimitK))
	}
	return said
}
