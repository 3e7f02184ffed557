package link

import (
	"context"
	"time"
)

// Command is what a person asks for while a file runs.
type Command int

// The commands.
const (
	Hold Command = iota
	GoOn
	Stop
)

// Phase is what a run is doing.
type Phase int

// The phases.
const (
	Running Phase = iota
	Holding       // lines are still sent, up to one that leaves the beam off, or still under way
	Held
	Waiting // the file has a line that waits for the operator
)

// State is how far a run is.
type State struct {
	Phase   Phase
	MayWait bool   // the machine may stand at a line that waits for the operator
	Taken   int    // lines that were acknowledged
	Sent    int    // lines
	Said    string // what the controller said that is no answer, since the last state; "" for nothing
}

// Report is what a run came to.
type Report struct {
	Taken, Sent int           // lines
	Took        time.Duration // from the first line to the last answer, without what was held
	Held        time.Duration
	Holds       int
	Unclear     int // stops of the file of which it is not known how long the operator took: their time is in Took
}

// run is the state of Run.
type run struct {
	*Link
	job     Job
	watch   func(State)
	sent    int // lines
	taken   int
	under   []piece // lines under way, in their sequence
	bytes   int     // of them
	stop    int     // the last line that was sent and waits for the operator, 1-based; 0 for none
	settled int     // lines up to which every one was answered
	wentOn  bool    // the operator has let it go on since the next answer is that to such a line
	urgent  []byte  // a command, to be sent before more of the file

	phase     Phase
	holdAt    int // lines to be sent before a hold; -1 without one
	heldSince time.Time
	began     time.Time
	progress  time.Time // when something was last heard or asked for
	report    Report
}

// piece is a line under way, of the file or of a command.
type piece struct {
	bytes   int
	command bool
}

// Run sends the file and returns when the last line is acknowledged; or it stops the
// machine, and the error is a *HaltError. It does what comes by commands, and tells watch
// of every change, which must not keep it waiting. When ctx is done it stops.
func (l *Link) Run(ctx context.Context, j Job, commands <-chan Command, watch func(State)) (Report, error) {
	r := &run{Link: l, job: j, watch: watch, holdAt: -1, began: time.Now(), progress: time.Now()}
	r.listening.Store(true)
	err := r.loop(ctx, commands)
	r.setPhase(Running)
	r.report.Taken, r.report.Sent = r.taken, r.sent
	r.report.Took = r.progress.Sub(r.began) - r.report.Held
	return r.report, err
}

func (r *run) loop(ctx context.Context, commands <-chan Command) error {
	timer := time.NewTimer(time.Hour)
	defer timer.Stop()
	for {
		r.advance()
		if r.done() && !r.writing {
			return r.linger()
		}
		timer.Reset(r.patience())
		var err error
		select {
		case s := <-r.heard:
			err = r.hear(s)
		case failed := <-r.written:
			if r.writing = false; failed != nil {
				err = r.halt(Lost, "", failed)
			}
		case <-r.lost:
			err = r.atEnd()
		case c := <-commands:
			err = r.obey(c)
		case <-ctx.Done():
			err = r.halt(Interrupted, "", nil)
		case <-timer.C:
			err = r.silent()
		}
		if err != nil {
			return err
		}
	}
}

// done reports that all lines were taken, and that the machine is not held in them.
func (r *run) done() bool { return r.taken == len(r.job.Lines) && r.phase != Held }

// linger listens for answers too many, which would mean that the file went out faster than
// it was taken.
func (r *run) linger() error {
	late := time.After(quiet)
	for {
		select {
		case s := <-r.heard:
			if r.protocol.meaning(s) == taken && len(r.under) == 0 {
				return r.halt(Confused, s, nil)
			}
		case <-r.lost:
			return nil
		case <-late:
			return nil
		}
	}
}

// atEnd takes what was heard before the link was lost: the last answer may be in it.
func (r *run) atEnd() error {
	for {
		select {
		case s := <-r.heard:
			if err := r.hear(s); err != nil {
				return err
			}
		default:
			if r.done() {
				return nil
			}
			return r.halt(Lost, "", r.gone())
		}
	}
}

// advance sends what may be sent now, in one piece, and settles holds.
func (r *run) advance() {
	if r.phase == Holding && r.sent >= r.holdAt && len(r.under) == 0 {
		r.beginHold()
	}
	switch {
	case r.writing:
	case len(r.urgent) > 0:
		r.sendCommand()
	case r.phase != Held:
		r.sendLines()
	}
}

// sendLines sends what the window allows.
func (r *run) sendLines() {
	from := r.sent
	for r.sent < len(r.job.Lines) && r.sent != r.holdAt && !r.settles() && r.fits(r.job.length(r.sent)) {
		r.put(piece{bytes: r.job.length(r.sent)})
		if r.sent++; r.job.Lines[r.sent-1].Waits {
			r.stop = r.sent
		}
	}
	if r.sent == from {
		return
	}
	if len(r.under) == r.sent-from { // nothing was under way: time begins anew
		r.progress = time.Now()
	}
	r.send(r.job.bytes(from, r.sent))
	r.waitOrRun()
	r.tell("")
}

func (r *run) put(p piece) { r.under, r.bytes = append(r.under, p), r.bytes+p.bytes }

// fits reports that n bytes more may be under way. The first line goes alone.
func (r *run) fits(n int) bool {
	if len(r.under) == 0 {
		return true
	}
	return r.protocol.WindowBytes > 0 && r.taken > 0 && r.bytes+n <= r.protocol.WindowBytes
}

// never is a time that no run takes.
const never = 1000 * time.Hour

// patience returns how long to wait for an answer: the time of what the machine may still
// have to do of the lines that it has, and the profile's own on top.
func (r *run) patience() time.Duration {
	if len(r.under) == 0 || r.phase == Held || r.mayWait() {
		return never
	}
	var moves time.Duration
	if r.sent > 0 {
		moves = r.job.Lines[r.sent-1].Until
	}
	if r.taken > 0 {
		moves -= r.job.Lines[r.taken-1].Since
	}
	return time.Until(r.progress.Add(moves*ClockMayBeSlow + r.protocol.Answer))
}

// mayWait reports that the machine may stand at a line of the file that waits for the
// operator: some controllers answer such a line at once, and then none that they have no
// room for. It has gone on where an answer tells of a move behind it that was done.
func (r *run) mayWait() bool {
	return r.stop > 0 && (r.taken < r.stop || r.job.Lines[r.taken-1].Since <= r.job.Lines[r.stop-1].Until)
}

// ClockMayBeSlow is how many times as long as by the clock the moves may take: profiles
// whose acceleration was only assumed are off by so much.
const ClockMayBeSlow = 2

// hear takes a line that the controller says.
func (r *run) hear(s string) error {
	switch m := r.protocol.meaning(s); {
	case r.restarted(s):
		return r.halt(Restarted, s, nil)
	case m == refused:
		return r.halt(Refused, s, nil)
	case m == said:
		r.tell(s)
		return nil
	case len(r.under) == 0:
		return r.halt(Confused, s, nil)
	}
	r.take()
	return nil
}

// take counts the answer to the oldest line under way.
func (r *run) take() {
	r.progress = time.Now()
	p := r.under[0]
	r.under, r.bytes = r.under[1:], r.bytes-p.bytes
	if p.command {
		return
	}
	if r.taken++; r.job.Lines[r.taken-1].Waits {
		r.passStop()
	}
	r.waitOrRun()
	r.tell("")
}

// passStop takes the answer to a line that waits for the operator. Where it came without a
// word from here, it is not known whether the machine has waited yet.
func (r *run) passStop() {
	switch {
	case !r.wentOn:
		r.report.Unclear++
	case r.taken == r.stop:
		r.stop = 0
	}
	r.wentOn = false
}

// waitOrRun passes to Waiting where the next answer is that to a line which waits for the
// operator, and back behind it.
func (r *run) waitOrRun() {
	switch waits := r.taken < r.sent && r.job.Lines[r.taken].Waits; {
	case r.phase == Waiting && !waits:
		r.setPhase(Running)
	case r.phase == Running && waits:
		r.wentOn = false
		r.setPhase(Waiting)
	}
}

func (r *run) restarted(s string) bool {
	if g := r.protocol.Greeting; g != "" {
		return beginsWith(s, g)
	}
	return r.greeting[s]
}

func (r *run) tell(said string) {
	r.watch(State{Phase: r.phase, Taken: r.taken, Sent: r.sent, Said: said, MayWait: r.mayWait()})
}

// silent ends a run in which no answer has come, unless it is that the time has changed.
func (r *run) silent() error {
	if r.patience() > 0 {
		return nil
	}
	return r.halt(Silent, "", nil)
}
