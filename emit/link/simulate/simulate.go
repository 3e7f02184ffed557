// Package simulate is a controller for tests, with the faults that controllers and cables
// have. It knows nothing of package link: what it takes and answers is written from the
// meaning of the profile's keys alone.
package simulate

import (
	"bytes"
	"io"
	"strings"
	"sync"
	"time"
)

// Controller is one, of which the zero value answers each line with "ok" at once. Lines
// count from 1; 0 is none.
type Controller struct {
	Taken    string // answer to a line; "" for ok
	Refused  string // answer to line Refuse
	Greeting string // said at the start and at a reset
	Chatter  string // said beside each answer
	Refuse   int
	Forget   int // takes this line and does not answer
	Unplug   int // is gone behind this line
	Reset    int // starts anew at this line: what it has received is lost
	PerLine  time.Duration
	Waits    string // begins a line at which it waits for GoOn before it answers
	Early    int    // so many answers, that line's first, come before it waits

	Hold, GoOn, Stop byte   // taken at once
	Ask              byte   // where the head is, taken at once
	Place            string // answer to Ask
}

// Report is what a controller saw.
type Report struct {
	Most  int // bytes of lines that were received and not answered, at their most
	Lines int // answered
	Holds int
}

// Run serves rw until it ends or the controller is gone, and writes every byte that comes
// in to got.
func (c Controller) Run(rw io.ReadWriter, got io.Writer) Report {
	s := &state{Controller: c, rw: rw, more: make(chan struct{}, 1), toWait: -1}
	s.say(c.Greeting)
	go s.receive(got)
	for s.next() {
	}
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.report
}

type state struct {
	Controller
	rw   io.ReadWriter
	more chan struct{} // something has come in

	lock   sync.Mutex
	buffer []byte
	held   bool
	goesOn bool // GoOn has come since the last wait began
	ended  bool
	toWait int // answers before it waits; -1 where it does not
	lineNo int
	report Report
}

// receive takes what comes in into the buffer, and does at once what is to be done so.
func (s *state) receive(got io.Writer) {
	chunk := make([]byte, 4096)
	for {
		n, err := s.rw.Read(chunk)
		got.Write(chunk[:n])
		s.lock.Lock()
		for _, b := range chunk[:n] {
			s.receiveByte(b)
		}
		s.ended = s.ended || err != nil
		s.lock.Unlock()
		select {
		case s.more <- struct{}{}:
		default:
		}
		if err != nil {
			return
		}
	}
}

func (s *state) receiveByte(b byte) {
	switch {
	case b == s.Hold && b != 0:
		s.held = true
		s.report.Holds++
	case b == s.GoOn && b != 0:
		s.held, s.goesOn = false, true
	case b == s.Stop && b != 0:
		s.buffer, s.held = nil, false
	case b == s.Ask && b != 0:
		s.say(s.Place)
	default:
		s.buffer = append(s.buffer, b)
		s.report.Most = max(s.report.Most, len(s.buffer))
	}
}

// next does a line, or waits for more; false at the end.
func (s *state) next() bool {
	s.lock.Lock()
	line, _, whole := bytes.Cut(s.buffer, []byte("\n"))
	ended := s.ended
	if whole && !s.held && !s.waits(string(line)) {
		s.lock.Unlock()
		time.Sleep(s.PerLine)
		return s.do(len(line) + 1)
	}
	s.lock.Unlock()
	if ended {
		return false
	}
	<-s.more
	return true
}

// waits reports that the operator has to let it go on before this line is answered.
func (s *state) waits(line string) bool {
	if s.toWait < 0 && s.Waits != "" && strings.HasPrefix(line, s.Waits) {
		s.toWait, s.goesOn = s.Early, false
	}
	switch {
	case s.goesOn:
		s.toWait = -1
	case s.toWait == 0:
		return true
	case s.toWait > 0:
		s.toWait--
	}
	return false
}

// do takes a line of so many bytes out of the buffer and answers it.
func (s *state) do(n int) bool {
	s.lock.Lock()
	if n > len(s.buffer) {
		s.lock.Unlock()
		return true // a stop has come in
	}
	s.buffer = s.buffer[n:]
	s.lineNo++
	s.report.Lines++
	at := s.lineNo
	if at == s.Reset {
		s.buffer = nil
	}
	s.lock.Unlock()
	s.say(s.Chatter)
	switch at {
	case s.Unplug:
		return false
	case s.Reset:
		s.say(s.Greeting)
	case s.Refuse:
		s.say(s.Refused)
	case s.Forget:
	default:
		s.say(s.answer())
	}
	return true
}

func (s *state) answer() string {
	if s.Taken == "" {
		return "ok"
	}
	return s.Taken
}

func (s *state) say(text string) {
	if text != "" {
		io.WriteString(s.rw, text+"\r\n")
	}
}
