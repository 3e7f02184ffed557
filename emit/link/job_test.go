package link_test

import (
	"testing"
	"time"

	"furrow/emit/link"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// Of lines of a second each that the machine takes up to three at a time, by hand: when five
// were taken it was done with two of them, or with as many as it had time for.
func TestDoneAtByHand(t *testing.T) {
	j := lettered("dmmdmm", 3)
	for _, c := range []struct {
		taken int
		ran   time.Duration
		done  int
	}{
		{0, 9 * s, 0}, {-1, 9 * s, 0}, {5, 0, 2}, {5, 2500 * ms, 2}, {5, 3 * s, 3}, {5, 3900 * ms, 3},
		{5, 9 * s, 5}, {2, 0, 0}, {6, 4 * s, 4}, {1, 999 * ms, 0}, {1, 1 * s, 1},
	} {
		require.Equal(t, c.done, j.DoneAt(c.taken, c.ran), "%+v", c)
	}
}

// Lines as they stand, and the first that is longer than a window.
func TestLinesOfAJob(t *testing.T) {
	j := link.Job{Data: []byte("G21\r\n\nX1\nM2"), Lines: []link.Line{{End: 5}, {End: 6}, {End: 9}, {End: 11}}}
	for i, text := range []string{"G21", "", "X1", "M2"} {
		require.Equal(t, text, j.Text(i+1))
	}
	require.NoError(t, j.Fits(0))
	require.NoError(t, j.Fits(5))
	require.Error(t, j.Fits(1))
	require.EqualError(t, j.Fits(4), "line 1 has 5 bytes, which is more than the 4 that the controller takes")
	j.Lines, j.Data = []link.Line{{End: 2}, {End: 6}}, []byte("a\nabc\n")
	require.ErrorContains(t, j.Fits(3), "line 2 has 4 bytes")
}

// When the machine is done with each line, and when at the earliest it takes it: a mark of a
// second a line, from rest to rest by the clock, of which it holds two.
func TestTimesOfLines(t *testing.T) {
	p := gantry(0)
	g := *p.GCode
	g.LookaheadMoves, g.LinkBytesPerS = 2, 0
	p.GCode = &g
	file := "G21 G17 G90 G94\nM5 S0\nM3 S0\nG0 X1 Y1\nG1 X2 F60\nX3 S9\nX4\nX5 S0\nM5 S0\nM2\n"
	j, err := link.NewJob([]byte(file), p)
	require.NoError(t, err)
	require.Len(t, j.Lines, 10)
	before := j.Lines[3].Until // the way to the first place
	require.Positive(t, before)
	for i, l := range j.Lines {
		until := time.Duration(0)
		if i >= 3 {
			until = before + time.Duration(min(i-3, 4))*time.Second
		}
		since := time.Duration(0)
		if i >= 5 {
			since = before + time.Duration(min(i-5, 2))*time.Second
		}
		require.InDelta(t, until.Seconds(), l.Until.Seconds(), 0.05, "line %d", i+1)
		require.InDelta(t, since.Seconds(), l.Since.Seconds(), 0.05, "line %d", i+1)
		require.Equal(t, i != 5 && i != 6, l.Dark, "line %d", i+1)
	}
	require.InDelta(t, (before + 4*time.Second).Seconds(), j.Total.Seconds(), 0.05)
	require.Equal(t, j.Lines[9].Until, j.Total)
	_, err = link.NewJob([]byte("G91\n"), p)
	require.ErrorContains(t, err, "line 1")
	// Where the profile does not say how many it holds: 128 moves.
	g.LookaheadMoves = 0
	var long []byte
	long = append(long, "G21 G17 G90 G94\nM5 S0\nG0 X1 Y1\nG1 F600 X0\n"...)
	for i := range 200 {
		long = append(long, []string{"X1\n", "X0\n"}[i%2]...)
	}
	j, err = link.NewJob(append(long, "M2\n"...), p)
	require.NoError(t, err)
	require.Zero(t, j.Lines[2+127].Since)
	require.Equal(t, j.Lines[2].Until, j.Lines[2+128].Since)
	require.Equal(t, j.Lines[3].Until, j.Lines[2+129].Since)
}

// What the profile leaves open: five seconds for an answer, two until a port is ready and half
// a second for a network.
func TestProtocolOfAProfile(t *testing.T) {
	p := gantry(64)
	p.Link.Wake, p.Link.AskPosition, p.Link.Greeting = "\n", "?", "Quill"
	got := link.Of(p)
	require.Equal(t, link.Protocol{
		Acknowledge: "ok", Refusal: "error", Greeting: "Quill", WindowBytes: 64, Answer: 2 * s, Wake: []byte("\n"),
		Ask: []byte("?"), Hold: []byte{0x13}, GoOn: []byte{0x11}, Stop: []byte{4}, BeamOff: []byte("M5 S0\n"),
	}, got)
	p.Link.AnswerS = 0
	require.Equal(t, 5*s, link.Of(p).Answer)
	require.Equal(t, s/2, link.Ready(*p.Link))
	require.Equal(t, 2*s, link.Ready(machine.Link{Port: "somewhere"}))
	require.Equal(t, 1500*time.Millisecond, link.Ready(machine.Link{Port: "somewhere", ReadyS: 1.5}))
	require.Equal(t, 1500*time.Millisecond, link.Ready(machine.Link{TCP: "bench:1", ReadyS: 1.5}))
	for _, c := range []struct {
		mode   string
		off    bool
		hold   string
		atOnce bool
	}{
		{machine.PowerSteady, false, "!", false}, {machine.PowerSteady, true, "!", true},
		{machine.PowerSpeedFollowing, false, "!", true}, {machine.PowerSpeedFollowing, true, "", false},
	} {
		p.Link.HoldsBeamOff, p.Link.Hold = c.off, c.hold
		g := *p.GCode
		g.PowerMode, p.GCode = c.mode, &g
		require.Equal(t, c.atOnce, link.Of(p).HoldAtOnce, "%+v", c)
	}
}
