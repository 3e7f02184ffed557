package main

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"time"

	"furrow/cmd/furrow/internal/claim"
	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/figures"
	"furrow/cmd/furrow/internal/journal"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/port"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/cmd/furrow/internal/words"
	"furrow/emit/link"
)

// send opens the link, has a person start, and runs the file.
func (a *app) send(s *sending, t *terminal) error {
	s.tellWork(t)
	if own, err := journal.Claim(s.Machine.ID); err == nil {
		defer own.Close()
	} else {
		s.unkept = errors.Is(err, claim.ErrTaken)
	}
	s.tellPlace(t)
	rw, err := port.Open(*s.Machine.Link)
	if err != nil {
		return err
	}
	defer rw.Close()
	l := link.Open(rw, s.protocol)
	defer l.Close()
	heard, err := l.Wake(t.ctx, link.Ready(*s.Machine.Link))
	s.tellHeard(t, heard)
	if err != nil {
		return fault.Workf("%s: %w", s.linkWords(), err).
			Hintf("nothing was sent that moves the machine; see [link] in its profile, and the controller's manual")
	}
	s.tellCaution(t)
	if err := start(t); err != nil {
		return err
	}
	return a.runFile(s, t, l)
}

// tellPlace says where the place of this run is not kept, or takes that of another file, whose
// rest was not run.
func (s *sending) tellPlace(t *terminal) {
	line := func(head, form string, args ...any) {
		fmt.Fprintf(t.screen, "%-12s %s\n", head, fmt.Sprintf(form, args...))
	}
	if s.unkept {
		line("place", "another file runs on %s: the place of this one is not kept", s.Machine.ID)
		return
	}
	e, found := journal.Last(s.Machine.ID)
	if !found || s.dry || e.Done == 0 || e.SHA256 == s.sum || s.restOf == filepath.Base(e.File) {
		return
	}
	line("place", "%s was stopped behind line %s, by the clock: START drops that place", e.File,
		words.Thousands(int64(e.Done)))
	line("", "furrow resume %s -o REST makes its rest first", e.File)
}

// start waits for a person to say that the machine may run.
func start(t *terminal) error {
	typed, err := t.asks("Who stands at the stop? Type START when somebody does: ")
	if err != nil {
		return err
	}
	if typed != "START" {
		return fault.Workf("not started: %q is not START", typed)
	}
	return nil
}

// tellWork says what is to be run.
func (s *sending) tellWork(t *terminal) {
	line := func(head, text string) { fmt.Fprintf(t.screen, "%-12s %s\n", head, text) }
	line("file", fmt.Sprintf("%s, %s, proved and whole", filepath.Base(s.Name), words.Plural(len(s.job.Lines), "line")))
	line("machine", s.Machine.NameWords())
	line("link", s.linkWords())
	if text := s.contents.words(); text != "" {
		line("order", text)
	}
	line("marks", marksWords(s.Report))
	line(s.reachWords())
	line("time", figures.TimeWords(s.Report.Parts, s.Span))
	if limit, effect, _ := s.Report.Warning(); limit != "" {
		line("warning", limit+" "+effect)
	}
	if n := s.stops(); n > 0 {
		how := "go on at the machine"
		if len(s.protocol.GoOn) > 0 {
			how = "Enter goes on"
		}
		line("stops", words.Plural(n, "time")+" for you, with the beam off: "+how)
	}
	if s.dry {
		line("dry", "every power is 0: the machine goes its way, and the beam should stay off; trust nothing but "+
			"the shutter")
	}
}

// reachWords says where the machine goes, and from where that counts.
func (s *sending) reachWords() (head, text string) {
	if s.Machine.IsGalvo() {
		return "beam", words.Place(s.Report.Moves) + ", from the middle of the field"
	}
	return "head", words.Place(s.Report.Moves) + ", from X0 Y0 as it is set now"
}

// stops counts the lines that wait for the operator.
func (s *sending) stops() (n int) {
	for _, l := range s.job.Lines {
		if l.Waits {
			n++
		}
	}
	return n
}

func (s *sending) linkWords() string {
	l := s.Machine.Link
	way := fmt.Sprintf("%s at %s bits/s", l.Port, words.Thousands(int64(l.Baud)))
	if l.TCP != "" {
		way = l.TCP
	}
	if l.WindowBytes > 0 {
		return fmt.Sprintf("%s, at most %s under way", way, words.Plural(l.WindowBytes, "byte"))
	}
	return way + ", a line at a time"
}

// tellHeard shows what the controller has said.
func (s *sending) tellHeard(t *terminal, heard []string) {
	for i, text := range heard {
		fmt.Fprintf(t.screen, "%-12s %s\n", words.OnlyFirst("controller", i), printable(text))
	}
}

// tellCaution says what a person must know before they start.
func (s *sending) tellCaution(t *terminal) {
	for i, text := range append(s.Machine.Cautions(), "More of it: furrow help safety.") {
		fmt.Fprintf(t.screen, "%-12s %s\n", words.OnlyFirst("caution", i), text)
	}
	fmt.Fprintf(t.screen, "%-12s %s\n", "keys", "space holds, Enter goes on, q stops")
	fmt.Fprintf(t.screen, "%-12s %s\n", "hold", s.holdWords())
	fmt.Fprintf(t.screen, "%-12s %s\n", "stop", s.stopWords())
	fmt.Fprintf(t.screen, "%-12s %s\n", "", "Only the machine's own stop is sure. If the link is lost, the beam may "+
		"be on.")
}

func (s *sending) holdWords() string {
	if s.protocol.HoldAtOnce {
		return "at once; by the profile the controller turns the beam off meanwhile"
	}
	return "behind the marks that the controller has and the next place with the beam off, not at once"
}

func (s *sending) stopWords() string {
	if len(s.protocol.Stop) > 0 {
		return "q sends the profile's stop, and lines that turn the beam off"
	}
	return "the profile names none: behind q the controller first does the lines that it has"
}

// runFile runs the file and writes down what came of it.
func (a *app) runFile(s *sending, t *terminal, l *link.Link) error {
	if err := t.takeKeys(); err != nil {
		return fault.Workf("the keyboard: %w", err)
	}
	done := make(chan struct{})
	screen := newRunScreen(s, t.screen)
	kept := newKeeper(s)
	report, err := l.Run(t.ctx, s.job, t.commands(done), func(st link.State) {
		screen.show(st)
		kept.note(st)
	})
	close(done)
	reached := kept.end(err, report)
	screen.end()
	t.giveBack()
	logged := a.logSent(s, report, reached, err)
	if err != nil {
		err = s.halted(a, report, err)
	}
	return errors.Join(err, logged)
}

// logSent writes the run to the logs, if there was any, with the last line that was done.
func (a *app) logSent(s *sending, report link.Report, reached int, err error) error {
	if report.Taken == 0 {
		return nil
	}
	r := s.ranToday()
	r.What, r.MeasuredS = runlog.Ran, report.Took.Seconds()
	notes := s.note
	add := func(format string, args ...any) { notes = joined(notes, fmt.Sprintf(format, args...)) }
	switch {
	case err != nil:
		r.What = runlog.Stopped
		add("%v; line %d was the last to be acknowledged", err, report.Taken)
		s.addStopped(&r, reached, add)
	case !s.dry:
		r.Parts = order.NumbersText(s.parts())
	default:
		r.What = runlog.Dry
	}
	if s.dry {
		add("every power 0")
	}
	if n := report.Unclear; n > 0 {
		r.MeasuredS = 0
		add("how long the operator took at %s is not known, and so the run's time is not", words.Plural(n, "stop"))
	}
	if report.Holds > 0 {
		add("held %s, %s left out", times(report.Holds), words.Time(report.Held))
	}
	if s.doubts(&r) {
		add("far off the prediction")
	}
	r.Note = notes
	if s.json {
		return a.writeRunJSON(s.Name, r)
	}
	if err := a.writeRun(s.Name, r); err != nil {
		return err
	}
	s.tellTime(a.notes, r, report.Unclear)
	return nil
}

// ranToday is a run of the file, as far as it is known at any time.
func (s *sending) ranToday() runlog.Run {
	r := runlog.Run{Date: time.Now().Format(time.DateOnly), Load: s.filling.Load}
	describe(&r, s.File, s.sum)
	return r
}

// cutShort is the line of a run of which no more is known than that so many lines were
// acknowledged, and those up to reached done by the clock.
func (s *sending) cutShort(taken, reached int) runlog.Run {
	r := s.ranToday()
	r.What, r.Note = runlog.Stopped, s.note
	add := func(format string, args ...any) { r.Note = joined(r.Note, fmt.Sprintf(format, args...)) }
	add("furrow was ended in the midst of it; line %d is the last that is known to be acknowledged", taken)
	s.addStopped(&r, reached, add)
	return r
}

// tellTime says of a time that is none of the machine's what can be done.
func (s *sending) tellTime(w io.Writer, r runlog.Run, unclear int) {
	switch {
	case r.What == runlog.Doubtful:
		fmt.Fprintf(w, "%-12s that is far off, and written down as doubtful: furrow tune leaves it out\n", "doubtful")
		fmt.Fprintf(w, "%-12s timed by a watch too? furrow log %s --measured TIME --sure writes it down for furrow "+
			"tune\n", "", s.Name)
	case unclear > 0:
		fmt.Fprintf(w, "%-12s not known, for the time that you took; furrow log %s --measured TIME takes one by a "+
			"watch\n", "measured", s.Name)
	}
}

// doubts marks a whole run whose time is no time of the file's: a controller that answers
// before it moves is no watch.
func (s *sending) doubts(r *runlog.Run) bool {
	least, most := plausible(s.File)
	whole := r.What == runlog.Ran || r.What == runlog.Dry
	if !whole || r.MeasuredS == 0 || r.MeasuredS >= least && r.MeasuredS <= most {
		return false
	}
	r.What = runlog.Doubtful
	return true
}

// addStopped adds what of a run that was stopped is done, by the clock. Of a dry one
// nothing is.
func (s *sending) addStopped(r *runlog.Run, reached int, add func(string, ...any)) {
	done, under := s.partsDone(reached)
	if s.dry {
		return
	}
	r.Parts = order.NumbersText(done)
	if len(under) > 0 {
		add("%s under way", counted("part", under))
	}
}

func joined(notes, more string) string {
	if notes == "" {
		return more
	}
	return notes + "; " + more
}

func times(n int) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// halted words a run that did not come to its end.
func (s *sending) halted(a *app, report link.Report, err error) error {
	var h *link.HaltError
	if !errors.As(err, &h) {
		return err
	}
	fault.Say(a.stderr, "warning", stopSent(h))
	f := fault.Workf("%s: line %d: %w", s.Name, min(h.Line, len(s.job.Lines)), err)
	if h.From > 0 { // the lines stand in it
		f = fault.Workf("%s: %w", s.Name, err)
	}
	switch {
	case s.dry || report.Taken == 0:
		return f
	case h.From > 0:
		return f.Hintf("look whether a row is missing and where the marks end; %s makes the rest, --after-line N from "+
			"another place", s.resumed())
	}
	return f.Hintf("look where the marks end; %s makes the rest", s.resumed())
}

// resumed is the command that makes the rest, with the machine where it was named.
func (s *sending) resumed() string {
	words := "furrow resume " + s.Name + " -o " + filepath.Join(orderFolder(s.Name), "REST")
	if s.asked != "" {
		words += " --machine " + s.asked
	}
	return words
}

// stopSent says what is known of the beam, which is never that it is off.
func stopSent(h *link.HaltError) string {
	switch {
	case !h.Sent:
		return "THE BEAM MAY BE ON: the stop could not be sent. Press the machine's own stop now"
	case h.Why == link.Lost:
		return "THE BEAM MAY BE ON: the stop went out over a link that is lost. Press the machine's own stop now"
	}
	return "the stop and lines that turn the beam off were sent; whether they came in is not known here. " +
		"Only the machine's own stop is sure: look, and use it"
}
