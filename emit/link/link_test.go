//go:build unix

package link_test

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"furrow/emit/link"
	"furrow/emit/link/simulate"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

const at = 400 // the line of a fault

// faulty is a controller with a fault, and what is to come of it.
type faulty struct {
	name       string
	controller simulate.Controller
	why        link.Why
	taken      int // lines of the file, -1 for all
}

// In every fault, a line at a time and with a window, on a fake clock, over a
// pseudo-terminal and over TCP, what the controller got is a start of the file and then the
// stop, byte for byte, and no line was sent beyond the window. What waits for seconds is
// run over true links only where tests are strict.
func TestFaults(t *testing.T) {
	for _, f := range []faulty{
		{"prompt", simulate.Controller{}, "", -1},
		{"slow", simulate.Controller{PerLine: 300 * time.Microsecond}, "", -1},
		{"talks", simulate.Controller{Chatter: "the head moves"}, "", -1},
		{"refuses", simulate.Controller{Refuse: 1000, Refused: "error:3"}, link.Refused, 999},
		{"forgets", simulate.Controller{Forget: at}, link.Silent, at - 1},
		{"unplugs", simulate.Controller{Unplug: at}, link.Lost, at - 1},
		{"resets", simulate.Controller{Reset: at, Greeting: "Quillmere motion 7"}, link.Restarted, at - 1},
	} {
		waits := f.why == link.Silent || f.why == link.Restarted || f.controller.PerLine > 0
		for _, window := range []int{0, 128} {
			name := fmt.Sprintf("%s/window=%d", f.name, window)
			onFakeClock(t, name, func(t *testing.T) { f.judge(t, beginWithin(t, f.controller), window) })
			for _, tcp := range []bool{false, true} {
				t.Run(fmt.Sprintf("%s/tcp=%v", name, tcp), func(t *testing.T) {
					if t.Parallel(); waits {
						outside.Slow(t)
					}
					f.judge(t, begin(t, f.controller, tcp), window)
				})
			}
		}
	}
}

// judge sends rows to a faulty controller and holds what came of it against what is to be.
func (f faulty) judge(t *testing.T, c ending, window int) {
	p := gantry(window)
	j := rows(t, p, 260)
	require.Greater(t, len(j.Lines), 1000)
	l := link.Open(c, link.Of(p))
	defer l.Close()
	ready := 50 * time.Millisecond
	if f.controller.Greeting != "" {
		ready = time.Second // for a busy machine: what it says now is what tells a reset
	}
	_, err := l.Wake(t.Context(), ready)
	require.NoError(t, err)
	report, err := l.Run(t.Context(), j, nil, ignore)
	got, saw := c.end()
	judge(t, j, window, got, saw)
	if f.why == "" {
		require.NoError(t, err)
		require.Equal(t, string(j.Data), got)
		return
	}
	var h *link.HaltError
	require.ErrorAs(t, err, &h)
	require.Equal(t, f.why, h.Why, err)
	require.Equal(t, report.Taken+1, h.Line)
	switch {
	case f.why == link.Silent && window > 0:
		counted(t, j, h, at)
	case f.why == link.Lost: // the last answers may be lost with the link
		require.Zero(t, h.From)
		require.InDelta(t, f.taken-7, report.Taken, 7)
		return
	default:
		require.Zero(t, h.From)
		require.Equal(t, f.taken, report.Taken)
	}
	require.True(t, h.Sent)
	require.True(t, strings.HasSuffix(got, theStop))
}

// counted asserts of a run with a window whose answer to a line is missing that this was
// noticed within the ten seconds of the file that pass from one count to the next, at most,
// and that the lines which it names are a few and hold that one.
func counted(t *testing.T, j link.Job, h *link.HaltError, at int) {
	require.LessOrEqual(t, h.From, at)
	require.GreaterOrEqual(t, h.To, at)
	require.Less(t, h.To, len(j.Lines))
	require.Less(t, j.Lines[h.To-1].Until-j.Lines[at-1].Until, 10*time.Second+500*time.Millisecond)
	require.Equal(t, h.To, h.Line, "all but one are answered")
	require.True(t, j.Lines[h.To-1].Dark && j.Lines[h.To].Dark, "nothing is marked next")
	require.ErrorContains(t, h, fmt.Sprintf("one of lines %d to %d was lost, or its answer", h.From, h.To))
}

// judge holds what a controller got against the file: whole lines of it, and then the
// stop or nothing; and never more under way than the window, or one line.
func judge(t *testing.T, j link.Job, window int, got string, saw simulate.Report) {
	sent, stopped := strings.CutSuffix(got, theStop)
	require.True(t, strings.HasPrefix(string(j.Data), sent), "the controller got what is not in the file")
	require.True(t, sent == "" || strings.HasSuffix(sent, "\n") || !stopped, "the stop came in the midst of a line")
	longest := 0
	for line := range strings.Lines(string(j.Data)) {
		longest = max(longest, len(line))
	}
	require.LessOrEqual(t, saw.Most, max(window, longest)+len(theStop)-1, "beyond the window")
}

// A stop that is asked for, or an interrupt, gets through to a controller that is slow.
func TestStopGetsThrough(t *testing.T) {
	for why, ask := range map[link.Why]bool{link.Asked: true, link.Interrupted: false} {
		onFakeClock(t, string(why), func(t *testing.T) {
			p := gantry(128)
			j := rows(t, p, 400)
			c := beginWithin(t, simulate.Controller{PerLine: 5 * time.Millisecond, Stop: 4})
			l := link.Open(c, link.Of(p))
			defer l.Close()
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			commands := make(chan link.Command, 1)
			_, err := l.Run(ctx, j, commands, func(s link.State) {
				switch {
				case s.Taken != 20:
				case ask:
					select {
					case commands <- link.Stop:
					default:
					}
				default:
					cancel()
				}
			})
			var h *link.HaltError
			require.ErrorAs(t, err, &h)
			require.Equal(t, why, h.Why)
			require.True(t, h.Sent)
			got, saw := c.end()
			require.True(t, strings.HasSuffix(got, theStop))
			judge(t, j, 128, got, saw)
		})
	}
}

// A hold at once sends what the profile says and no more lines; one of a machine whose
// beam would burn meanwhile waits for the end of the marks. Neither counts as time.
func TestHold(t *testing.T) {
	onFakeClock(t, "at once", func(t *testing.T) { holdFor(t, true) })
	onFakeClock(t, "in the dark", func(t *testing.T) { holdFor(t, false) })
}

func holdFor(t *testing.T, atOnce bool) {
	p := gantry(0)
	p.Link.HoldsBeamOff = atOnce
	j := rows(t, p, 100)
	c := beginWithin(t, simulate.Controller{Hold: 0x13, GoOn: 0x11, PerLine: time.Millisecond})
	l := link.Open(c, link.Of(p))
	defer l.Close()
	commands := make(chan link.Command, 2)
	heldAt := -1
	ask := 30
	for j.Lines[ask-1].Dark {
		ask++ // to a line with the beam on
	}
	began := time.Now()
	report, err := l.Run(t.Context(), j, commands, func(s link.State) {
		switch {
		case s.Taken == ask-1 && s.Sent == ask && s.Phase == link.Running && heldAt < 0:
			heldAt = 0
			commands <- link.Hold
		case s.Phase == link.Held && heldAt == 0:
			heldAt = s.Sent
			time.AfterFunc(300*time.Millisecond, func() { commands <- link.GoOn })
		}
	})
	require.NoError(t, err)
	require.Equal(t, 1, report.Holds)
	require.Equal(t, 300*time.Millisecond, report.Held)
	// The line that is under way when it is held may be done meanwhile.
	require.InDelta(t, len(j.Lines), report.Took.Milliseconds(), 1)
	require.Equal(t, 100*time.Millisecond, time.Since(began)-report.Took-report.Held, "it listens on for a tenth")
	got, saw := c.end()
	if atOnce {
		require.Equal(t, 1, saw.Holds)
		require.Equal(t, ask, heldAt)
		require.Equal(t, string(j.Data), strings.NewReplacer("\u0013", "", "\u0011", "").Replace(got))
		return
	}
	require.Equal(t, string(j.Data), got, "nothing but the file")
	require.Greater(t, heldAt, ask)
	require.True(t, j.Lines[heldAt-1].Dark)
}

// What a controller says before the start leaves no doubt, or there is no start.
func TestWakeDoubts(t *testing.T) {
	p := gantry(0)
	p.Link.AskPosition = "?"
	for name, tt := range map[string]struct {
		controller simulate.Controller
		err        error
	}{
		"mute":    {simulate.Controller{}, link.ErrMute},
		"garbled": {simulate.Controller{Ask: '?', Place: "X\x80\xfe\x01"}, link.ErrGarbled},
		"refuses": {simulate.Controller{Ask: '?', Place: "error:9"}, &link.RefusalError{Answer: "error:9"}},
		"ready":   {simulate.Controller{Ask: '?', Place: "at 3 4", Greeting: "Quillmere motion 7"}, nil},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			c := beginWithin(t, tt.controller)
			l := link.Open(c, link.Of(p))
			heard, err := l.Wake(t.Context(), 50*time.Millisecond)
			require.Equal(t, tt.err, err)
			if err == nil {
				require.Equal(t, []string{"Quillmere motion 7", "at 3 4"}, heard)
			}
			l.Close()
			c.end()
		})
	}
}

// An answer to what was not sent is a doubt: here a second one to the last line before
// the hold.
func TestAnswerToNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := gantry(0)
		p.Link.HoldsBeamOff = true
		c := beginWithin(t, simulate.Controller{Hold: 0x13, GoOn: 0x11, PerLine: time.Millisecond, Chatter: "ok"})
		l := link.Open(c, link.Of(p))
		defer l.Close()
		_, err := l.Run(t.Context(), rows(t, p, 5), nil, ignore)
		var h *link.HaltError
		require.ErrorAs(t, err, &h)
		require.Equal(t, link.Confused, h.Why)
		c.end()
	})
}
