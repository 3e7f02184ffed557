package machine

import (
	"fmt"
	"strings"
)

// Link is how a controller is reached and spoken to, as its manual states it. Texts
// that are sent go out as they stand, each character up to U+00FF as one byte: one
// that holds the end of a line is a line, which the controller acknowledges as it does
// any other; one that does not is taken at once, and is not acknowledged.
type Link struct {
	Port         string  `toml:"port,omitempty" comment:"serial port by its name on this computer, as /dev/ttyUSB0 or COM3; or give tcp"`
	TCP          string  `toml:"tcp,omitempty" comment:"host:port, of a controller in the network; or give port"`
	Baud         int     `toml:"baud,omitempty" comment:"of a serial port, bits/s (controller manual)"`
	Acknowledge  string  `toml:"acknowledge" comment:"word that answers a line that was taken, such as ok (controller manual)"`
	Refusal      string  `toml:"refusal,omitempty" comment:"word that begins the answer to a line that was refused, such as error (controller manual); left out: what was refused is known by the answer that does not come"`
	Greeting     string  `toml:"greeting,omitempty" comment:"how the line begins with which the controller says that it has started (controller manual); heard while a file runs, it ends the run; left out: what it says when the link is opened"`
	WindowBytes  int     `toml:"window_bytes,omitempty" comment:"how much may be under way before it is acknowledged, bytes: the controller's receive buffer (controller manual); left out: a line at a time"`
	AnswerS      float64 `toml:"answer_s,omitempty" comment:"longest that an answer may take beyond the time of the moves under way, s; left out: 5"`
	ReadyS       float64 `toml:"ready_s,omitempty" comment:"how long the controller takes to be ready when the link is opened, s (by a watch); left out: 2 for a port, 0.5 for tcp"`
	Wake         string  `toml:"wake,omitempty" comment:"what is sent first, \\n being the end of a line (controller manual); left out: nothing"`
	AskPosition  string  `toml:"ask_position,omitempty" comment:"what makes the controller say where the head is (controller manual); left out: it is not asked"`
	Hold         string  `toml:"hold,omitempty" comment:"what makes the head stop at once and wait (controller manual); left out: no more lines are sent behind one that ends with the beam off"`
	HoldsBeamOff bool    `toml:"hold_beam_off,omitempty" comment:"true: in such a hold the controller turns the beam off (controller manual)"`
	GoOn         string  `toml:"go_on,omitempty" comment:"what ends such a hold (controller manual)"`
	Stop         string  `toml:"stop,omitempty" comment:"what makes the controller drop everything and turn the beam off (controller manual); left out: it is left to do what it has taken"`
}

// Bytes returns what is sent for a text of the link.
func (Link) Bytes(text string) []byte {
	b := make([]byte, 0, len(text))
	for _, r := range text {
		b = append(b, byte(r)) // Validate refuses what does not fit
	}
	return b
}

func (v *validator) link(p Profile) {
	l := *p.Link
	v.check(p.GCode != nil, "link", "needs a controller that takes G-code: a gcode section")
	v.check((l.Port == "") != (l.TCP == ""), "link", "give one of port and tcp")
	v.check(l.TCP == "" || strings.Contains(l.TCP, ":"), "link.tcp", "%q is not host:port", l.TCP)
	switch {
	case l.Port != "":
		v.within("link.baud", float64(l.Baud), 300, 20e6)
	default:
		v.check(l.Baud == 0, "link.baud", "goes with port")
	}
	v.answers(l)
	v.within("link.window_bytes", float64(l.WindowBytes), 0, 1e6)
	v.optional("link.answer_s", l.AnswerS, 0.05, 600)
	v.optional("link.ready_s", l.ReadyS, 0.01, 60)
	v.sent(l)
}

func (v *validator) answers(l Link) {
	v.check(l.Acknowledge != "", "link.acknowledge", "is empty: without an answer no line can be known to be taken")
	for _, a := range []struct{ key, text string }{
		{"acknowledge", l.Acknowledge}, {"refusal", l.Refusal}, {"greeting", l.Greeting},
	} {
		v.check(plainWord(a.text), "link."+a.key, "%q is not a text of printable ASCII without spaces at its ends", a.text)
	}
	v.check(l.Refusal == "" || !strings.HasPrefix(l.Refusal, l.Acknowledge) && !strings.HasPrefix(l.Acknowledge, l.Refusal),
		"link.refusal", "%q cannot be told from %q", l.Refusal, l.Acknowledge)
}

func plainWord(s string) bool {
	return strings.TrimSpace(s) == s && len(s) <= 60 && strings.Trim(s, printable) == ""
}

// printable are the characters of ASCII that show.
var printable = func() string {
	var b strings.Builder
	for c := byte(' '); c <= '~'; c++ {
		b.WriteByte(c)
	}
	return b.String()
}()

// sent judges the texts that go to the controller.
func (v *validator) sent(l Link) {
	for _, s := range []struct{ key, text string }{
		{"wake", l.Wake}, {"ask_position", l.AskPosition}, {"hold", l.Hold}, {"go_on", l.GoOn}, {"stop", l.Stop},
	} {
		beyond := strings.ContainsFunc(s.text, func(r rune) bool { return r > 0xff })
		v.check(!beyond && len(s.text) <= 200, "link."+s.key, "%s is not a text of characters up to U+00FF",
			fmt.Sprintf("%.40q", s.text))
	}
	v.check((l.Hold == "") == (l.GoOn == ""), "link.go_on", "hold and go_on go together")
	v.check(l.Hold != "" || !l.HoldsBeamOff, "link.hold_beam_off", "goes with hold")
}
