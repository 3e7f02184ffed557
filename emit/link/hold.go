package link

import (
	"bytes"
	"time"
)

// obey does what a person asks for.
func (r *run) obey(c Command) error {
	switch c {
	case Stop:
		return r.halt(Asked, "", nil)
	case Hold:
		r.hold()
	case GoOn:
		r.goOn()
	}
	return nil
}

// hold stops the head at once, or the file behind the next line that leaves the beam off.
func (r *run) hold() {
	if r.phase == Holding || r.phase == Held {
		return
	}
	if r.protocol.HoldAtOnce {
		r.command(r.protocol.Hold)
		r.beginHold()
		return
	}
	r.holdAt = r.sent
	for r.holdAt < len(r.job.Lines) && r.holdAt > 0 && !r.job.Lines[r.holdAt-1].Dark {
		r.holdAt++
	}
	r.setPhase(Holding)
}

func (r *run) beginHold() {
	r.report.Holds++
	r.setPhase(Held)
}

// goOn ends a hold; or it tells a controller to go on that waits for the operator.
func (r *run) goOn() {
	switch r.phase {
	case Waiting:
		r.wentOn = true
		r.command(r.protocol.GoOn)
	case Running:
		if r.mayWait() {
			r.command(r.protocol.GoOn)
		}
	case Held:
		if r.protocol.HoldAtOnce {
			r.command(r.protocol.GoOn)
		}
		fallthrough
	case Holding:
		r.holdAt = -1
		r.setPhase(Running)
	}
}

// command sends what stands in the profile as soon as what is being written is out.
func (r *run) command(b []byte) {
	r.urgent = append(r.urgent, b...)
	r.progress = time.Now()
}

// sendCommand sends a command: at once, or where it is of lines, which are acknowledged,
// when the window has room for it.
func (r *run) sendCommand() {
	if bytes.IndexByte(r.urgent, '\n') >= 0 && !r.fits(len(r.urgent)) {
		return
	}
	for line := range bytes.Lines(r.urgent) {
		if bytes.HasSuffix(line, []byte("\n")) {
			r.put(piece{bytes: len(line), command: true})
		}
	}
	r.send(r.urgent)
	r.urgent = nil
}

// setPhase passes to another phase, and counts the time in those that wait for a person.
func (r *run) setPhase(p Phase) {
	now := time.Now()
	if r.phase == Held || r.phase == Waiting {
		r.report.Held += now.Sub(r.heldSince)
		r.progress = now
	}
	r.phase, r.heldSince = p, now
	r.tell("")
}
