package main

import (
	"fmt"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit"
	"furrow/path"
)

// sentFile is how far a file came that furrow send was stopped at. What the machine had
// done of what it was sent is known by the clock alone. Nil for a place that a person named.
type sentFile struct {
	journal.Entry
	behind bool    // marks behind the place had been sent
	mostMM float64 // of these, if the machine had done all that was sent
}

// asSent takes the place that furrow send has kept, where none is named.
func (c *resumeFlags) asSent(name string, f proof.File) error {
	if c.line > 0 || c.part > 0 || c.percent != nil {
		return nil
	}
	sum, err := sumOf(name)
	if err != nil {
		return err
	}
	e, found := journal.Find(f.Machine.ID, sum)
	if !found {
		return nil
	}
	if e.Done == 0 {
		return fault.Workf("%s: by the clock the machine had done nothing of it when it was stopped", name).
			Hintf("look: where there is no mark, send the whole file again; where there is, name its line by --after-line")
	}
	c.line, c.sent = e.Done, &sentFile{Entry: e}
	return nil
}

// reckon adds up the marks from a move on up to the last one that was sent.
func (s *sentFile) reckon(name string, f proof.File, from int) error {
	if s == nil {
		return nil
	}
	until, err := doneAt(name, f, max(s.Sent, s.Taken))
	if err != nil {
		return err
	}
	i, at := 0, path.Point{}
	for mv, err := range f.Moves.All() {
		if err != nil {
			return err
		}
		if lit := mv.Kind == emit.Mark || mv.Kind == emit.Dot; lit && i >= from && i < until {
			s.behind, s.mostMM = true, s.mostMM+mv.Length(at)
		}
		i, at = i+1, mv.To
	}
	return nil
}

// keepsSent reports that the place says what was sent, as earlier ones do not.
func (s *sentFile) keepsSent() bool { return s.Sent >= s.Taken }

// unsure reports that marks behind the place may have been made.
func (s *sentFile) unsure() bool { return s != nil && (s.behind || !s.Ended) }

// twice words how much is marked twice, as far as it is known.
func (s *sentFile) twice(mm float64) string {
	said := words.Metres(mm) + " of what was done is marked once more"
	if mm == 0 {
		said = "nothing is marked twice"
	}
	if !s.unsure() {
		return said
	}
	sent := "was sent"
	if !s.Ended {
		sent = "is known to be sent"
	}
	if !s.behind {
		return "by the clock " + said + "; what was sent behind that is not known"
	}
	return fmt.Sprintf("by the clock %s; %s if the machine had done all that %s", said, s.most(mm), sent)
}

// most words the most that may be marked twice.
func (s *sentFile) most(mm float64) string {
	if !s.unsure() {
		return words.Metres(mm)
	}
	return "up to " + words.Metres(mm+s.mostMM)
}

// tell says what is known of the place.
func (s *sentFile) tell(line func(head, text string)) {
	if s == nil {
		return
	}
	line("stopped", fmt.Sprintf("the controller acknowledged line %s; by the clock the machine had done line %s",
		words.Thousands(int64(s.Taken)), words.Thousands(int64(s.Done))))
	switch {
	case !s.keepsSent():
		line("", "an earlier furrow sent it, and did not keep how much more was sent")
	case !s.Ended:
		line("", "furrow was ended in the midst of it, and up to a second more was sent than is known")
	}
}

// look says what a clock that is wrong does to a rest that is not the whole file.
func (s *sentFile) look(line func(head, text string), rest emit.Rest, whole bool) {
	if s == nil || whole {
		return
	}
	line("look", fmt.Sprintf("where the marks end: a machine slower than its profile had not come to X%s Y%s, and the",
		words.Decimal(rest.Begins.X, 3), words.Decimal(rest.Begins.Y, 3)))
	line("", "marks between are missing from the rest; --after-line N begins elsewhere")
}

func (s *sentFile) figures(to *restFigures) {
	if s == nil {
		return
	}
	to.ByClock, to.MostMM = true, to.AgainMM+s.mostMM
	if s.keepsSent() {
		to.Ended = &s.Ended
	}
}
