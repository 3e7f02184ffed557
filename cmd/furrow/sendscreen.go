package main

import (
	"fmt"
	"os"
	"sort"
	"strings"
	"sync"
	"time"
	"unicode"

	"furrow/cmd/furrow/internal/words"
	"furrow/emit/link"

	"golang.org/x/term"
)

// runScreen is the one line that is kept fresh while a file runs, and above it what the
// controller says. What is shown never holds up the run: a console can stand still for
// minutes, as while text is selected in it, and the machine must not run dry with it.
type runScreen struct {
	s      *sending
	out    *os.File
	wanted chan struct{} // something changed that a person waits for
	ended  chan struct{}
	drawn  sync.WaitGroup

	lock  sync.Mutex // of what follows, and never held while something is written
	state link.State
	since time.Time     // the last line that was acknowledged came then, or a hold ended
	most  time.Duration // of what was shown as done: it never goes back
	said  []string      // by the controller, and not shown yet

	width int // of the line that stands there; of the one goroutine that draws
	shown string
}

// newRunScreen shows the first line before it returns: it says that the beam may be on.
func newRunScreen(s *sending, out *os.File) *runScreen {
	r := &runScreen{s: s, out: out, since: time.Now(), wanted: make(chan struct{}, 1), ended: make(chan struct{})}
	r.draw()
	r.drawn.Go(r.keepFresh)
	return r
}

// freshEvery is how often the line is written anew.
const freshEvery = 200 * time.Millisecond

func (r *runScreen) keepFresh() {
	tick := time.NewTicker(freshEvery)
	defer tick.Stop()
	for {
		select {
		case <-tick.C:
		case <-r.wanted:
		case <-r.ended:
			return
		}
		r.draw()
	}
}

// mostSaid bounds what waits to be shown; more of it is dropped, the oldest first.
const mostSaid = 200

// show takes a state. It is drawn at once where a person waits for it.
func (r *runScreen) show(st link.State) {
	r.lock.Lock()
	defer r.lock.Unlock()
	urgent := st.Phase != r.state.Phase || st.MayWait != r.state.MayWait || st.Said != ""
	if st.Taken != r.state.Taken || r.stands() {
		r.since = time.Now()
	}
	r.state = st
	if st.Said != "" {
		r.said = append(r.said[max(0, len(r.said)+1-mostSaid):], printable(st.Said))
	}
	if urgent {
		select {
		case r.wanted <- struct{}{}:
		default:
		}
	}
}

// draw writes the line in place of the one that stands there, behind what was said.
func (r *runScreen) draw() {
	r.lock.Lock()
	line, said := r.line(), r.said
	r.said = nil
	r.lock.Unlock()
	if len(said) > 0 {
		fmt.Fprintf(r.out, "\r%s\r", strings.Repeat(" ", r.width))
		r.width = 0
	}
	for _, text := range said {
		fmt.Fprintf(r.out, "controller   %s\r\n", text)
	}
	room := roomOn(r.out)
	line = line[:min(len(line), room)]
	if line == r.shown && r.width > 0 {
		return
	}
	fmt.Fprintf(r.out, "\r%s%s", line, strings.Repeat(" ", max(0, min(r.width, room)-len(line))))
	r.shown, r.width = line, max(r.width, len(line))
}

// roomOn is how long a line may be that one written over it takes away whole: one that went on
// in the next row would leave a piece behind. A terminal that does not tell has 80 columns.
func roomOn(out *os.File) int {
	columns, _, err := term.GetSize(int(out.Fd()))
	if err != nil || columns < 2 {
		columns = 80
	}
	return columns - 1
}

// end leaves the last line where it is.
func (r *runScreen) end() {
	close(r.ended)
	r.drawn.Wait()
	r.draw()
	fmt.Fprint(r.out, "\r\n")
}

// line says how it stands. That the beam may be on comes first, since it is what is left
// on the screen of a program that is ended.
func (r *runScreen) line() string {
	done, total := r.done(), r.s.job.Total
	percent := 0.0
	if total > 0 {
		percent = 100 * done.Seconds() / total.Seconds()
	}
	left := int((total - done).Round(time.Second).Seconds())
	text := fmt.Sprintf("%s  %3.0f %%  %d:%02d left  line %s of %s", r.phase(), percent, left/60, left%60,
		words.Thousands(int64(r.state.Taken)), words.Thousands(int64(len(r.s.job.Lines))))
	if p := r.place(); p != "" {
		text += "  " + p
	}
	return text
}

// done is how far the machine is by the clock: as the last answer says, and on from there
// for as long as it may still have to do.
func (r *runScreen) done() time.Duration {
	lines, taken, sent := r.s.job.Lines, r.state.Taken, r.state.Sent
	if taken == 0 {
		return 0
	}
	at := lines[taken-1].Until
	if !r.stands() && sent > taken {
		at = min(at+time.Since(r.since), lines[sent-1].Until)
	}
	r.most = max(r.most, at)
	return r.most
}

// stands reports that the machine waits for a person.
func (r *runScreen) stands() bool { return r.state.Phase == link.Held || r.state.Phase == link.Waiting }

func (r *runScreen) phase() string {
	beam := "BEAM MAY BE ON"
	if r.s.dry {
		beam = "BEAM SHOULD BE OFF"
	}
	switch {
	case r.state.Phase == link.Holding:
		return beam + ", holding at the next gap"
	case r.state.Phase == link.Held:
		return r.heldWords(beam)
	case !r.state.MayWait:
		return beam
	}
	stops, how := "stops for you", "Enter goes on"
	if r.state.Phase != link.Waiting {
		stops = "may stop for you"
	}
	if len(r.s.protocol.GoOn) == 0 {
		how = "go on at the machine"
	}
	return beam + ", " + stops + ": " + how
}

// heldWords say what is known of the beam in a hold. One that is not at once takes effect where
// the file has the beam off, when the machine is done with the lines that it has taken.
func (r *runScreen) heldWords(beam string) string {
	const sure = "; only the machine's own stop is sure"
	if r.s.protocol.HoldAtOnce {
		return "held; beam off by the profile" + sure
	}
	if n := r.state.Taken; n > 0 {
		if l := r.s.job.Lines[n-1]; time.Since(r.since) < link.ClockMayBeSlow*(l.Until-l.Since) {
			return beam + ", held behind the lines it has"
		}
	}
	return "held; beam off in the file" + sure
}

// place is the part that is being marked, where the file names parts.
func (r *runScreen) place() string {
	all := r.s.places
	i := sort.Search(len(all), func(i int) bool { return all[i].line > r.state.Taken })
	if i == 0 {
		return ""
	}
	return all[i-1].words()
}

// printable keeps what a controller says from changing the screen.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return '?'
		}
		return r
	}, s)
}
