//go:build unix

package main

import (
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/runlog"
	"furrow/emit/link/simulate"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// benchOfFewMoves holds few moves, so that a lost answer is soon missed.
func benchOfFewMoves() machine.Profile {
	p := benchMachine()
	g := *p.GCode
	g.LookaheadMoves, p.GCode = 4, &g
	return p
}

// A link that is lost, and a controller that starts anew, are told as what they are; the
// place is kept.
func TestSendTellsWhatIsLost(t *testing.T) {
	t.Parallel()
	for _, tt := range []struct {
		controller simulate.Controller
		says, beam string
	}{
		{simulate.Controller{Unplug: 200}, "the link is lost", "THE BEAM MAY BE ON"},
		{simulate.Controller{Reset: 200, Greeting: "Quillmere motion 7"},
			`the controller has started anew: "Quillmere motion 7"`, "Only the machine's own stop is sure: look"},
		{simulate.Controller{Forget: 200}, "line 200: the controller does not answer",
			"Only the machine's own stop is sure: look"},
	} {
		s := newWorkshopOf(t, benchOfFewMoves(), benchFile(t), tt.controller, true, func(l *machine.Link) {
			l.ReadyS = 0.5
		})
		p := s.send()
		p.start()
		code, screen := p.end()
		require.Equal(t, fault.CodeWork, code, screen)
		require.Contains(t, screen, tt.says)
		require.Contains(t, screen, tt.beam)
		sent, _ := strings.CutSuffix(s.got(), theStop)
		require.True(t, strings.HasPrefix(s.data, sent))
		out, err := s.furrow("resume", s.file, "-o", s.path("rest.nc"), "--machine", s.path("bench.toml")).
			CombinedOutput()
		require.NoError(t, err, string(out))
		require.Contains(t, string(out), "the controller acknowledged line 1")
	}
}

// With a window a lost answer is told as what is known of it: among which lines it is.
func TestSendTellsOfAMissingAnswer(t *testing.T) {
	t.Parallel()
	s := newWorkshopOf(t, benchOfFewMoves(), benchFile(t), simulate.Controller{Forget: 100}, false,
		func(l *machine.Link) { l.WindowBytes, l.AnswerS = 128, 0.3 })
	seat := s.send()
	seat.start()
	code, screen := seat.end()
	require.Equal(t, fault.CodeWork, code, screen)
	require.Contains(t, screen, "bars.nc: an answer is missing: one of lines ")
	require.Contains(t, screen, "look whether a row is missing")
	require.Less(t, len(s.got()), len(s.data), "long before the end")
	runs, _, err := runlog.Read(s.path("settings/furrow/runs/bench.csv"))
	require.NoError(t, err)
	require.Equal(t, runlog.Stopped, runs[0].What)
}

// A controller is woken and asked where the head is before anybody is; one that does not
// tell, or refuses, leaves a doubt, and nothing of the file is sent.
func TestSendWakesAndAsks(t *testing.T) {
	t.Parallel()
	for place, says := range map[string]string{"at X3 Y4": "", "": "although it was asked where the head is",
		"error:8": "the controller refuses: error:8"} {
		s := newWorkshopOf(t, benchMachine(), benchFile(t), simulate.Controller{Ask: '?', Place: place}, true,
			func(l *machine.Link) {
				l.Wake, l.AskPosition = "\x18", "?"
			})
		p := s.send()
		if says == "" {
			p.start()
		}
		code, screen := p.end()
		if says == "" {
			require.Zero(t, code, screen)
			require.Less(t, strings.Index(screen, "controller   at X3 Y4"),
				strings.Index(screen, "Who stands at the stop?"))
			require.Equal(t, "\x18?"+s.data, s.got())
			continue
		}
		require.Equal(t, fault.CodeWork, code)
		require.Contains(t, screen, says)
		require.Contains(t, screen, "nothing was sent that moves the machine")
		require.NotContains(t, screen, "START")
		require.NotContains(t, s.got(), "G")
	}
}

// A terminal that is closed under a run stops the machine.
func TestSendStopsWithItsTerminal(t *testing.T) {
	t.Parallel()
	s := newWorkshop(t, simulate.Controller{PerLine: 3 * time.Millisecond}, true)
	p := s.send()
	p.start()
	p.until("line 1")
	require.NoError(t, p.screen.Close())
	require.Error(t, p.cmd.Wait())
	sent, stopped := strings.CutSuffix(s.got(), theStop)
	require.True(t, stopped)
	require.True(t, strings.HasPrefix(s.data, sent))
	require.NotEqual(t, s.data, sent)
}
