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
	Port         string  `toml:"port,omitempty"`
	TCP          string  `toml:"tcp,omitempty"`
	Baud         int     `toml:"baud,omitempty"`
	Acknowledge  string  `toml:"acknowledge"`
	Refusal      string  `toml:"refusal,omitempty"`
	Greeting     string  `toml:"greeting,omitempty"`
	WindowBytes  int     `toml:"window_bytes,omitempty"`
	AnswerS      float64 `toml:"answer_s,omitempty"`
	ReadyS       float64 `toml:"ready_s,omitempty"`
	Wake         string  `toml:"wake,omitempty"`
	AskPosition  string  `toml:"ask_position,omitempty"`
	Hold         string  `toml:"hold,omitempty"`
	HoldsBeamOff bool    `toml:"hold_beam_off,omitempty"`
	GoOn         string  `toml:"go_on,omitempty"`
	Stop         string  `toml:"stop,omitempty"`
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
		v.check(plainWord(a.text), "link."+a.key,
			"%q is not a text of printable ASCII without spaces at its ends", a.text)
	}
	v.check(l.Refusal == "" || !strings.HasPrefix(l.Refusal, l.Acknowledge) &&
		!strings.HasPrefix(l.Acknowledge, l.Refusal),
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
