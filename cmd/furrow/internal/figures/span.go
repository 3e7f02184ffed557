package figures

import (
	"fmt"
	"time"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/emit/clock"
	"furrow/emit/machine"
)

// Span is between what a time may lie, by what is assumed of the machine. The zero
// value knows nothing of that.
type Span struct {
	Low, High time.Duration
	Assumed   []string // what no one measured, of that which makes the span
}

// SpanOf runs the clock for the quickest and the slowest machine that the profile may
// stand for. r is what it says of the profile itself.
func SpanOf(m emit.Moves, p machine.Profile, r clock.Report) (Span, error) {
	slow, fast, ok := p.Ends()
	if !ok {
		return Span{}, nil
	}
	var ends [2]time.Duration
	for i, end := range []machine.Profile{fast, slow} {
		t, err := clock.Run(OnMachine(m, end), end)
		if err != nil {
			return Span{}, err
		}
		ends[i] = t.Total()
	}
	s := Span{Low: min(ends[0], r.Total()), High: max(ends[1], r.Total())}
	for _, g := range p.Assumed() {
		if g.Moves() {
			s.Assumed = append(s.Assumed, g.What)
		}
	}
	return s, nil
}

// OnMachine returns moves with the delays of a scanner in place of those they were
// planned for.
func OnMachine(m emit.Moves, p machine.Profile) emit.Moves {
	if m.ForGalvo() && p.IsGalvo() {
		m.Scanner = p.Scanners(m.Settings)
	}
	return m
}

// Known reports that there is a span to tell.
func (s Span) Known() bool { return s.High > s.Low }

// Words puts the span behind a time: " (9:40 to 13:30 until the acceleration is
// measured)"; empty where none is known, or none to be seen.
func (s Span) Words() string {
	if !s.Known() || words.Time(s.Low) == words.Time(s.High) {
		return ""
	}
	text := fmt.Sprintf(" (%s to %s", words.Time(s.Low), words.Time(s.High))
	switch n := len(s.Assumed); n {
	case 0:
		text += " by the measured runs"
	case 1:
		text += " until the " + s.Assumed[0] + " is measured"
	default:
		text += fmt.Sprintf(" until the %s and %s are measured", s.Assumed[0], s.more())
	}
	return text + ")"
}

func (s Span) more() string {
	if len(s.Assumed) == 2 {
		return "the " + s.Assumed[1]
	}
	return fmt.Sprintf("%d more values", len(s.Assumed)-1)
}

// Add puts the span into the figures.
func (f *Figures) Add(s Span) {
	if s.Known() {
		f.Least, f.Most, f.Assumed = s.Low.Seconds(), s.High.Seconds(), s.Assumed
	}
}
