package link

import (
	"fmt"
	"slices"
	"time"
)

// Why is the reason for which a run was stopped.
type Why string

// The reasons.
const (
	Asked       Why = "stopped by a person"
	Interrupted Why = "interrupted"
	Refused     Why = "the controller refused a line"
	Silent      Why = "the controller does not answer"
	Restarted   Why = "the controller has started anew"
	Confused    Why = "the controller answers what was not sent"
	Lost        Why = "the link is lost"
)

// HaltError is a run that did not come to its end.
type HaltError struct {
	Why    Why
	Line   int    // that was to be answered next, 1-based
	From   int    // with Silent and a window: an answer to one of the lines From to To is missing,
	To     int    // or the line was lost: nobody knows which; else 0
	Answer string // what the controller said, where that was the reason
	Sent   bool   // the stop was sent; nobody knows whether it came in
	Err    error  // what the link says, where it is lost
}

func (e *HaltError) Error() string {
	text := string(e.Why)
	if e.From > 0 {
		text = fmt.Sprintf("an answer is missing: one of lines %d to %d was lost, or its answer", e.From, e.To)
	}
	if e.Answer != "" {
		text += fmt.Sprintf(": %q", e.Answer)
	}
	if e.Err != nil {
		text += ": " + e.Err.Error()
	}
	return text
}

// Unwrap returns what the link says.
func (e *HaltError) Unwrap() error { return e.Err }

// stopTakes is how long the stop may take to go out, behind what is being written.
const stopTakes = time.Second

// halt sends the stop, and behind it what turns the beam off, and returns the reason as
// an error. It is sent over a link that is lost too: perhaps only what comes in is.
func (r *run) halt(why Why, answer string, err error) error {
	h := &HaltError{Why: why, Line: r.taken + 1, Answer: answer, Err: err}
	if why == Silent && r.protocol.WindowBytes > 0 {
		h.From, h.To = r.settled+1, r.sent
	}
	stop := slices.Concat(r.protocol.Stop, r.protocol.BeamOff)
	late := time.After(stopTakes)
	for sending := false; ; {
		if !r.writing && !sending {
			sending = true
			r.send(stop)
		}
		select {
		case failed := <-r.written:
			r.writing = false
			if sending || failed != nil {
				h.Sent = failed == nil
				return h
			}
		case <-r.heard: // so that a controller that talks is not held up
		case <-late:
			return h
		}
	}
}
