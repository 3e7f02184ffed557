package machine_test

import (
	"strings"
	"testing"

	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// linked is a machine with a link that has every key.
func linked() machine.Profile {
	p := machine.Examples()[0]
	p.Link = &machine.Link{
		Port: "/dev/ttyUSB0", Baud: 115200, Acknowledge: "ok", Refusal: "error", Greeting: "Quillmere",
		WindowBytes: 120,
		AnswerS:     3, ReadyS: 1, Wake: "\n", AskPosition: "?", Hold: "\u0013", GoOn: "\u0011", Stop: "\u0004",
		HoldsBeamOff: true,
	}
	return p
}

func TestLinkIsValid(t *testing.T) {
	p := linked()
	require.NoError(t, p.Validate())
	require.Equal(t, machine.Examples()[0].Hash(), p.Hash(), "how a controller is reached alters no mark")
	p.Link.Port, p.Link.Baud, p.Link.TCP = "", 0, "bench:2300"
	require.NoError(t, p.Validate())
	p.Link = &machine.Link{TCP: "bench:2300", Acknowledge: "ok"}
	require.NoError(t, p.Validate(), "all else is left out")
}

// Each change makes one key wrong, and the error names it.
func TestLinkNamesTheKey(t *testing.T) {
	for _, tt := range []struct {
		key    string
		change func(l *machine.Link)
	}{
		{"link.window_bytes", func(l *machine.Link) { l.WindowBytes = -1 }},
		{"link.window_bytes", func(l *machine.Link) { l.WindowBytes = 1_000_001 }},
		{"link", func(l *machine.Link) { l.TCP = "bench:1" }},
		{"link", func(l *machine.Link) { l.Port, l.Baud = "", 0 }},
		{"link.tcp", func(l *machine.Link) { l.Port, l.Baud, l.TCP = "", 0, "bench" }},
		{"link.baud", func(l *machine.Link) { l.Baud = 0 }},
		{"link.baud", func(l *machine.Link) { l.Port, l.TCP = "", "bench:1" }},
		{"link.acknowledge", func(l *machine.Link) { l.Acknowledge, l.Refusal = "", "" }},
		{"link.acknowledge", func(l *machine.Link) { l.Acknowledge = "o\nk" }},
		{"link.refusal", func(l *machine.Link) { l.Refusal = "okay" }},
		{"link.refusal", func(l *machine.Link) { l.Refusal = " no" }},
		{"link.greeting", func(l *machine.Link) { l.Greeting = strings.Repeat("a", 61) }},
		{"link.window_bytes", func(l *machine.Link) { l.WindowBytes = -1 }},
		{"link.answer_s", func(l *machine.Link) { l.AnswerS = 601 }},
		{"link.ready_s", func(l *machine.Link) { l.ReadyS = -1 }},
		{"link.wake", func(l *machine.Link) { l.Wake = "\u20ac" }},
		{"link.stop", func(l *machine.Link) { l.Stop = strings.Repeat("\u0004", 201) }},
		{"link.go_on", func(l *machine.Link) { l.GoOn = "" }},
		{"link.hold_beam_off", func(l *machine.Link) { l.Hold, l.GoOn = "", "" }},
	} {
		p := linked()
		tt.change(p.Link)
		var e *machine.KeyError
		require.ErrorAs(t, p.Validate(), &e, tt.key)
		require.Equal(t, tt.key, e.Key)
		require.Len(t, p.Validate(), 1, tt.key)
	}
	p := linked()
	p.GCode = nil
	require.ErrorContains(t, p.Validate(), "link: needs a controller that takes G-code")
}

// Every character up to U+00FF goes out as one byte, so that a manual's bytes can be
// written down.
func TestLinkBytes(t *testing.T) {
	require.Equal(t, []byte{0x04, 'M', '0', '\n', 0x90, 0xff}, machine.Link{}.Bytes("\u0004M0\n\u0090\u00ff"))
	require.Empty(t, machine.Link{}.Bytes(""))
}
