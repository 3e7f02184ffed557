package link_test

import (
	"context"
	"errors"
	"io"
	"strings"
	"testing"
	"time"

	"furrow/emit/link"

	"github.com/stretchr/testify/require"
)

// deaf takes the first writes and then none, and says nothing.
type deaf struct {
	*scripted
	takes int
}

func (d *deaf) Write(p []byte) (int, error) {
	if d.takes--; d.takes < 0 {
		<-d.done
		return 0, io.ErrClosedPipe
	}
	return d.scripted.Write(p)
}

// A port that takes no more holds up a stop for a second at most, and it is told that the
// stop was not sent.
func TestDeafPort(t *testing.T) {
	onFakeClock(t, "stop", func(t *testing.T) {
		d := &deaf{newScripted(t, each(s)), 1}
		l := link.Open(d, link.Protocol{Acknowledge: "ok", Answer: 10 * s, Stop: []byte("S")})
		defer l.Close()
		began := time.Now()
		_, err := l.Run(t.Context(), lettered("ddd", 1), commanded(asked{3 * s: link.Stop}), ignore)
		var h *link.HaltError
		require.ErrorAs(t, err, &h)
		require.False(t, h.Sent)
		require.Equal(t, 4*s, time.Since(began))
	})
	onFakeClock(t, "wake", func(t *testing.T) {
		d := &deaf{newScripted(t, each(s)), 0}
		l := link.Open(d, link.Protocol{Acknowledge: "ok", Wake: []byte("\n")})
		defer l.Close()
		_, err := l.Wake(t.Context(), 3*s)
		require.EqualError(t, err, "the controller takes nothing")
		_, err = l.Run(t.Context(), lettered("md", 1), commanded(asked{s: link.Hold, 2 * s: link.Stop}), ignore)
		var h *link.HaltError
		require.ErrorAs(t, err, &h, "whoever runs it all the same may still hold and stop")
		require.Equal(t, []any{link.Asked, false}, []any{h.Why, h.Sent})
	})
}

// A controller that talks on when nobody listens any more is let go: nothing of the link is
// left behind, or the bubble would not end.
func TestTalksOn(t *testing.T) {
	onFakeClock(t, "", func(t *testing.T) {
		c := newScripted(t, each(s))
		l := link.Open(c, link.Protocol{Acknowledge: "ok", Answer: s})
		_, err := l.Run(t.Context(), lettered("d", 1), nil, ignore)
		require.NoError(t, err)
		for range 200 {
			c.says <- "still here\n"
		}
		time.Sleep(s)
		l.Close()
		c.end()
	})
}

// late is a port that hands a line on at once and comes back three seconds later.
type late struct{ *scripted }

func (l late) Write(p []byte) (int, error) {
	n, err := l.scripted.Write(p)
	time.Sleep(3 * s)
	return n, err
}

// How long an answer takes counts from when its line was sent, which a slow port puts off.
func TestLatePort(t *testing.T) {
	onFakeClock(t, "", func(t *testing.T) {
		c := newScripted(t, each(s))
		l := link.Open(late{c}, link.Protocol{Acknowledge: "ok", Answer: 2 * s})
		defer l.Close()
		j := lettered("ddd", 1)
		for i := range j.Lines {
			j.Lines[i].Until, j.Lines[i].Since = 0, 0
		}
		_, err := l.Run(t.Context(), j, nil, ignore)
		require.NoError(t, err)
		require.Equal(t, "0 d, 3 d, 6 d", strings.Join(c.log, ", "))
	})
}

// part is a port that takes one byte at a time, or none, or fails.
type part struct {
	*scripted
	took []byte
	fail error
	none bool
}

func (p *part) Write(b []byte) (int, error) {
	if p.fail != nil || p.none {
		return 0, p.fail
	}
	p.took = append(p.took, b[0])
	if b[0] == '\n' {
		p.says <- "ok\n"
	}
	return 1, nil
}

// A port that takes a part is given the rest; one that takes nothing or fails is lost.
func TestPortsThatTakeAPart(t *testing.T) {
	for name, c := range map[string]struct {
		port part
		err  string
	}{
		"a byte": {part{}, ""}, "nothing": {part{none: true}, "the link is lost: short write"},
		"fails": {part{fail: errors.New("no cable")}, "the link is lost: no cable"},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			c.port.scripted = newScripted(t, nil)
			l := link.Open(&c.port, link.Protocol{Acknowledge: "ok", Answer: s, Stop: []byte("S")})
			defer l.Close()
			_, err := l.Run(t.Context(), lettered("dmd", 1), nil, ignore)
			if c.err != "" {
				require.EqualError(t, err, c.err)
				return
			}
			require.NoError(t, err)
			require.Equal(t, "d\nm\nd\n", string(c.port.took))
		})
	}
}

// Waking by hand: the controller's time to get ready, and then until nothing was said for a
// tenth of a second; half a second for where the head is; two seconds at most for one that
// never stops talking.
func TestWakeByHand(t *testing.T) {
	talk := func(from, to time.Duration, every time.Duration, what string) func(*scripted) {
		return func(s *scripted) {
			for d := from; d <= to; d += every {
				s.after(d, what)
			}
		}
	}
	for name, c := range map[string]struct {
		says  func(*scripted)
		ask   string
		log   string
		lines int
		took  time.Duration
		err   error
	}{
		"quiet": {talk(0, 0, s, "hello there"), "", "0 wake", 1, s, nil},
		"long in waking": {talk(950*ms, 1250*ms, 90*ms, "x"), "", "0 wake", 4,
			1320 * ms, nil},
		"a pause in what it says": {talk(950*ms, 1250*ms, 150*ms, "x"), "", "0 wake", 1,
			1050 * ms, nil},
		"never stops": {talk(0, 9*s, 60*ms, "x"), "", "0 wake", 52, 3060 * ms, nil},
		"asked":       {talk(1200*ms, 1200*ms, s, "at 1"), "?", "0 wake, 1 ?", 1, 2 * s, nil},
		"mute":        {func(*scripted) {}, "?", "0 wake, 1 ?", 0, 2 * s, link.ErrMute},
		"refuses": {talk(10*ms, 10*ms, s, "no: locked"), "", "0 wake", 1, s,
			&link.RefusalError{Answer: "no: locked"}},
		"garbled":   {talk(10*ms, 10*ms, s, "a\x7fb"), "", "0 wake", 1, s, link.ErrGarbled},
		"not UTF-8": {talk(10*ms, 10*ms, s, "a\xffb"), "", "0 wake", 1, s, link.ErrGarbled},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			c2 := newScripted(t, func(*scripted, int, string) {})
			p := link.Protocol{Acknowledge: "ok", Refusal: "no", Wake: []byte("wake\n"), Ask: []byte(c.ask)}
			l := link.Open(c2, p)
			defer l.Close()
			c.says(c2)
			lines, err := l.Wake(t.Context(), s)
			require.Equal(t, c.err, err)
			require.Equal(t, c.took, time.Since(c2.began))
			require.Len(t, lines, c.lines)
			c2.end()
			require.Equal(t, c.log, strings.Join(c2.log, ", "))
		})
	}
	onFakeClock(t, "soon ready and mute", func(t *testing.T) {
		c2 := newScripted(t, func(*scripted, int, string) {})
		l := link.Open(c2, link.Protocol{Acknowledge: "ok", Ask: []byte("?")})
		defer l.Close()
		_, err := l.Wake(t.Context(), 200*ms)
		require.Equal(t, link.ErrMute, err)
		require.Equal(t, 700*ms, time.Since(c2.began), "half a second to say where the head is")
		require.Equal(t, []string{"0.2 ?"}, c2.log)
	})
	onFakeClock(t, "lost", func(t *testing.T) {
		c2 := newScripted(t, func(s *scripted, _ int, _ string) { s.end() })
		l := link.Open(c2, link.Protocol{Acknowledge: "ok", Wake: []byte("\n")})
		defer l.Close()
		_, err := l.Wake(t.Context(), s)
		require.EqualError(t, err, "closed from the other side")
	})
	onFakeClock(t, "ended", func(t *testing.T) {
		c2 := newScripted(t, each(s))
		l := link.Open(c2, link.Protocol{Acknowledge: "ok"})
		defer l.Close()
		ctx, cancel := context.WithTimeout(t.Context(), 100*ms)
		defer cancel()
		_, err := l.Wake(ctx, s)
		require.ErrorIs(t, err, context.DeadlineExceeded)
	})
}

// Which lines say that the controller has started anew: the profile's greeting with more
// behind it, or what was said once at the start, is more than a prompt and no answer. What
// the controller says while nobody listens is dropped.
func TestRestartsByHand(t *testing.T) {
	for name, c := range map[string]struct {
		greeting string
		first    []string
		then     string
		restart  bool
	}{
		"the profile's":       {"Quill", nil, "Quill 7", true},
		"another word":        {"Quill", nil, "Quillmere 7", false},
		"not the first one":   {"Quill", []string{"hello"}, "hello", false},
		"what it said first":  {"", []string{"hello", "more"}, "hello", true},
		"also the last of it": {"", []string{"hello", "more"}, "more", true},
		"what it said twice":  {"", []string{"hello", "hello"}, "hello", false},
		"a prompt":            {"", []string{"> >"}, "> >", false},
		"four characters":     {"", []string{"> > "}, "> >", false},
		"something else":      {"", []string{"hello"}, "hello again", false},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			c2 := newScripted(t, func(s *scripted, n int, _ string) {
				if n == 2 {
					s.after(time.Second/2, c.then)
				}
				s.after(time.Second, "ok")
			})
			l := link.Open(c2, link.Protocol{Acknowledge: "ok", Greeting: c.greeting, Answer: 2 * s})
			defer l.Close()
			for _, text := range c.first {
				c2.after(0, text)
			}
			_, err := l.Wake(t.Context(), s)
			require.NoError(t, err)
			c2.after(0, c.then) // between waking and running
			time.Sleep(s)
			said := ""
			_, err = l.Run(t.Context(), lettered("ddd", 1), nil, func(st link.State) { said += st.Said })
			var h *link.HaltError
			require.Equal(t, c.restart, errors.As(err, &h))
			if !c.restart {
				require.Equal(t, c.then, said)
				return
			}
			require.Equal(t, []any{link.Restarted, c.then, 2}, []any{h.Why, h.Answer, h.Line})
		})
	}
}

// Lines as they come in: without what ends them and without spaces, none that are empty,
// and of a very long one the first thousand characters.
func TestLinesThatComeIn(t *testing.T) {
	onFakeClock(t, "", func(t *testing.T) {
		c2 := newScripted(t, func(*scripted, int, string) {})
		l := link.Open(c2, link.Protocol{Acknowledge: "ok"})
		defer l.Close()
		for _, text := range []string{"one\r\n\r\ntw", "o \n\n  \n three\n", strings.Repeat("x", 3000), "\nok", "\n"} {
			c2.says <- text
		}
		lines, err := l.Wake(t.Context(), s)
		require.NoError(t, err)
		require.Equal(t, []string{"one", "two", "three", strings.Repeat("x", 1000), "ok"}, lines)
	})
}

// An answer begins with its word, behind which no letter or digit goes on.
func TestWordsOfAnswers(t *testing.T) {
	taken := map[string]bool{"ok": true, "ok:3": true, "ok 3": true, "ok>": true, "ok[": true, "ok@": true, "ok`": true,
		"ok{": true, "ok/": true, "okay": false, "ok0": false, "ok9": false, "okA": false, "okZ": false, "oka": false,
		"okz": false, "o": false, "not ok": false, "OK": false}
	for answer, is := range taken {
		onFakeClock(t, answer, func(t *testing.T) {
			c2 := newScripted(t, func(s *scripted, _ int, _ string) { s.after(0, answer) })
			l := link.Open(c2, link.Protocol{Acknowledge: "ok", Refusal: "error", Answer: s, Stop: []byte("S")})
			defer l.Close()
			_, err := l.Run(t.Context(), lettered("d", 1), nil, ignore)
			require.Equal(t, is, err == nil)
		})
	}
}
