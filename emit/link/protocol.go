package link

import (
	"strings"
	"time"

	"furrow/emit/gcode"
	"furrow/emit/machine"
)

// Protocol is how a controller is spoken to.
type Protocol struct {
	Acknowledge string        // word that begins the answer to a line that was taken
	Refusal     string        // the same of one that was refused; "" for none
	Greeting    string        // how the line begins that it says when it starts; "" for what it said at Wake
	WindowBytes int           // most under way; 0 for a line at a time
	Answer      time.Duration // longest that an answer may take beyond the time of moves
	Wake        []byte
	Ask         []byte // what makes it say where the head is
	Hold, GoOn  []byte
	HoldAtOnce  bool // the beam is off in such a hold, and so it may begin in a mark
	Stop        []byte
	BeamOff     []byte // lines that turn the beam off
}

// defaultAnswer is how long a controller may take where the profile does not say: common
// practice, no source.
const defaultAnswer = 5 * time.Second

// Of returns the protocol of a machine with a link and a controller.
func Of(p machine.Profile) Protocol {
	l, g := *p.Link, p.Controller()
	return Protocol{
		Acknowledge: l.Acknowledge, Refusal: l.Refusal, Greeting: l.Greeting, WindowBytes: l.WindowBytes,
		Answer: seconds(l.AnswerS, defaultAnswer), Wake: l.Bytes(l.Wake), Ask: l.Bytes(l.AskPosition),
		Hold: l.Bytes(l.Hold), GoOn: l.Bytes(l.GoOn),
		HoldAtOnce: l.Hold != "" && (l.HoldsBeamOff || g.PowerMode == machine.PowerSpeedFollowing),
		Stop:       l.Bytes(l.Stop), BeamOff: gcode.BeamOff(g),
	}
}

// Ready returns how long the controller takes to be ready when the link is opened.
func Ready(l machine.Link) time.Duration {
	if l.TCP != "" {
		return seconds(l.ReadyS, 500*time.Millisecond)
	}
	return seconds(l.ReadyS, 2*time.Second)
}

func seconds(s float64, other time.Duration) time.Duration {
	if s == 0 {
		return other
	}
	return time.Duration(s * float64(time.Second))
}

// answer is what a line that the controller says means.
type answer int

const (
	said answer = iota // nothing that is known
	taken
	refused
)

func (p Protocol) meaning(line string) answer {
	switch {
	case p.Refusal != "" && beginsWith(line, p.Refusal):
		return refused
	case beginsWith(line, p.Acknowledge):
		return taken
	}
	return said
}

// beginsWith reports that a line begins with a word, behind which no letter or digit
// goes on.
func beginsWith(line, word string) bool {
	rest, ok := strings.CutPrefix(line, word)
	if !ok || rest == "" {
		return ok
	}
	c := rest[0]
	return !(c >= '0' && c <= '9' || c >= 'A' && c <= 'Z' || c >= 'a' && c <= 'z')
}
