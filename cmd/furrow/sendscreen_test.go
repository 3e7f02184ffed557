package main

import (
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/order"
	"furrow/emit/link"

	"github.com/stretchr/testify/require"
)

// fourLines is a job of 100 s: ten seconds, thirty, thirty, thirty.
func fourLines() *sending {
	line := func(s int) link.Line {
		return link.Line{End: s, Until: time.Duration(s) * time.Second, Since: time.Duration(s) * time.Second}
	}
	return &sending{job: link.Job{Lines: []link.Line{line(10), line(40), line(70), line(100)},
		Total: 100 * time.Second}}
}

// saying is what a file says of itself.
func saying(t *testing.T, file string) contents {
	t.Helper()
	c, err := saidBy(strings.NewReader(file))
	require.NoError(t, err)
	return c
}

// onScreen is what a screen shows of some states, with the spaces that wipe left out.
func onScreen(t *testing.T, s *sending, states ...link.State) string {
	out, w, err := os.Pipe()
	require.NoError(t, err)
	r := newRunScreen(s, w)
	for _, st := range states {
		r.show(st)
	}
	r.end()
	require.NoError(t, w.Close())
	text, err := io.ReadAll(out)
	require.NoError(t, err)
	return string(text)
}

// Percent and time left are by the clock of the file: behind two of four lines 40 of 100
// seconds are done. Of the 30 that the next line takes, the time since the last answer
// counts too, but no more than they are.
func TestPercentAndTimeLeft(t *testing.T) {
	text := onScreen(t, fourLines(), link.State{Taken: 2, Sent: 2})
	require.True(t, strings.HasPrefix(text, "\rBEAM MAY BE ON    0 %  1:40 left  line 0 of 4"), "%q", text)
	require.Contains(t, text, "40 %  1:00 left  line 2 of 4")

	r := &runScreen{s: fourLines(), state: link.State{Taken: 1, Sent: 2}, since: time.Now().Add(-12 * time.Second)}
	require.Contains(t, r.line(), "22 %  1:18 left  line 1 of 4")
	r.since = time.Now().Add(-time.Hour)
	require.Contains(t, r.line(), "40 %  1:00 left", "no more than what was sent")
	held := &runScreen{s: fourLines(), state: link.State{Taken: 1, Sent: 2, Phase: link.Held}, since: time.Now().
		Add(-time.Hour)}
	require.Contains(t, held.line(), "10 %  1:30 left", "a machine that is held does not go on")
}

// What was shown as done stays so through a hold and behind it; the time of the hold is none
// of the machine's.
func TestPercentNeverGoesBack(t *testing.T) {
	r := &runScreen{s: fourLines(), wanted: make(chan struct{}, 1)}
	r.show(link.State{Taken: 1, Sent: 3})
	r.since = time.Now().Add(-25 * time.Second)
	require.Contains(t, r.line(), "35 %  1:05 left")
	r.show(link.State{Taken: 1, Sent: 3, Phase: link.Holding})
	require.Contains(t, r.line(), "35 %  1:05 left", "it has its lines to do")
	r.show(link.State{Taken: 1, Sent: 3, Phase: link.Held})
	require.Contains(t, r.line(), "35 %  1:05 left")
	r.since = time.Now().Add(-time.Hour)
	r.show(link.State{Taken: 1, Sent: 3})
	require.Contains(t, r.line(), "35 %  1:05 left", "nothing was done while it was held")
	r.show(link.State{Taken: 3, Sent: 3})
	require.Contains(t, r.line(), "70 %  0:30 left")
}

// Of the beam in a hold that much is said as is known: behind a gap it is off in the file, once
// the machine has had time for what it took before; that the profile turns it off is the
// profile's word.
func TestHeldSaysWhatIsKnown(t *testing.T) {
	r := &runScreen{s: fourLines(), state: link.State{Taken: 2, Sent: 2, Phase: link.Held}, since: time.Now()}
	r.s.job.Lines[1].Since = 35 * time.Second // so that it may have 5 s to do, and take twice that
	r.since = time.Now().Add(-9 * time.Second)
	require.True(t, strings.HasPrefix(r.line(), "BEAM MAY BE ON, held behind the lines it has  "), r.line())
	r.since = time.Now().Add(-11 * time.Second)
	require.True(t, strings.HasPrefix(r.line(),
		"held; beam off in the file; only the machine's own stop is sure  "), r.line())
	r.s.protocol.HoldAtOnce = true
	require.True(t, strings.HasPrefix(r.line(),
		"held; beam off by the profile; only the machine's own stop is sure  "), r.line())
}

// On a terminal that does not tell its width no line goes on in the next row, where a later
// one would leave a piece of it.
func TestLinesFitATerminal(t *testing.T) {
	s := fourLines()
	s.contents = saying(t, "(pockets "+strings.Repeat("11, ", 40)+"7)\n")
	for _, line := range strings.Split(onScreen(t, s, link.State{Taken: 1, Sent: 2},
		link.State{Taken: 4, Sent: 4}), "\r") {
		require.Less(t, len(strings.TrimSuffix(line, "\n")), 80)
	}
}

// Part and pocket stand in the line as they come, and what the machine does in shop words.
func TestLineNamesPartAndPhase(t *testing.T) {
	s := fourLines()
	s.contents = saying(t, "a\n(part 7 pocket 1)\nb\n(pocket 2)\n")
	s.places[1].parts = s.places[1].filledBy(order.Filling{In: map[int]int{2: 9}})
	r := &runScreen{s: s, since: time.Now()}
	for taken, want := range []string{"line 0 of 4", "line 1 of 4  part 7 pocket 1", "line 2 of 4  part 7 pocket 1",
		"line 3 of 4  part 9 pocket 2"} {
		r.state.Taken = taken
		require.True(t, strings.HasSuffix(r.line(), want), r.line())
	}
	for _, tt := range []struct {
		state link.State
		says  string
	}{
		{link.State{}, "BEAM MAY BE ON  "}, {link.State{Phase: link.Holding},
			"BEAM MAY BE ON, holding at the next gap  "},
		{link.State{Phase: link.Held}, "held; beam off in the file; only the machine's own stop is sure  "},
		{link.State{Phase: link.Waiting, MayWait: true}, "BEAM MAY BE ON, stops for you: go on at the machine  "},
		{link.State{MayWait: true}, "BEAM MAY BE ON, may stop for you: go on at the machine  "},
	} {
		r.state = tt.state
		require.True(t, strings.HasPrefix(r.line(), tt.says), r.line())
	}
	s.dry, s.protocol.GoOn = true, []byte("~")
	r.state = link.State{Phase: link.Waiting, MayWait: true}
	require.True(t, strings.HasPrefix(r.line(), "BEAM SHOULD BE OFF, stops for you: Enter goes on  "), r.line())
}

// What a controller says is shown line by line, and cannot move the cursor or hide a line.
func TestWhatIsSaidIsShown(t *testing.T) {
	text := onScreen(t, fourLines(), link.State{Taken: 1, Sent: 1, Said: "the lid\x1b[2J is open"},
		link.State{Taken: 1, Sent: 1, Said: "closed"})
	require.Contains(t, text, "controller   the lid?[2J is open\r\n")
	require.Contains(t, text, "controller   closed\r\n")
}

// A console that stands still does not hold up the run.
func TestFrozenScreenHoldsNothingUp(t *testing.T) {
	out, w, err := os.Pipe()
	require.NoError(t, err)
	r := newRunScreen(fourLines(), w)
	began := time.Now()
	for i := range 20_000 { // far more than a pipe holds
		r.show(link.State{Phase: link.Phase(i % 2), Taken: 1, Sent: 1, Said: strings.Repeat("talk ", 20)})
	}
	require.Less(t, time.Since(began), 5*time.Second)
	go io.Copy(io.Discard, out)
	r.end()
}
