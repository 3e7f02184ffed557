package link_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"sync"
	"testing"
	"time"

	"furrow/emit/link"

	"github.com/stretchr/testify/require"
)

// scripted is a controller on a fake clock that takes everything at once, notes when, and
// says what a test has thought up.
type scripted struct {
	began time.Time
	reply func(s *scripted, n int, line string) // to the nth line, counted from 1
	says  chan string
	done  chan struct{}

	lock sync.Mutex
	n    int
	log  []string // what came in and when, "1.5 G0 X1"
}

func newScripted(t *testing.T, reply func(s *scripted, n int, line string)) *scripted {
	s := &scripted{began: time.Now(), reply: reply, says: make(chan string, 1000), done: make(chan struct{})}
	t.Cleanup(s.end)
	return s
}

// after says something later.
func (s *scripted) after(d time.Duration, text string) {
	time.AfterFunc(d, func() {
		select {
		case <-s.done:
		default:
			s.says <- text + "\n"
		}
	})
}

func (s *scripted) Write(p []byte) (int, error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	for line := range strings.Lines(string(p)) {
		s.log = append(s.log, fmt.Sprintf("%g %s", time.Since(s.began).Seconds(), strings.TrimSuffix(line, "\n")))
		if strings.HasSuffix(line, "\n") {
			s.n++
			s.reply(s, s.n, strings.TrimSuffix(line, "\n"))
		}
	}
	return len(p), nil
}

func (s *scripted) Read(p []byte) (int, error) {
	select {
	case text := <-s.says:
		return copy(p, text), nil
	case <-s.done:
		return 0, io.EOF
	}
}

func (s *scripted) end() {
	select {
	case <-s.done:
	default:
		close(s.done)
	}
}

// each answers each line after so long.
func each(d time.Duration) func(s *scripted, n int, line string) {
	return func(s *scripted, _ int, _ string) { s.after(d, "ok") }
}

// lettered is a file of a line a letter: d leaves the beam off, m marks, w waits for the
// operator. The machine takes a second for each, and may hold so many.
func lettered(pattern string, holds int) link.Job {
	j := link.Job{Data: []byte(strings.Join(strings.Split(pattern, ""), "\n") + "\n")}
	for i, c := range pattern {
		j.Lines = append(j.Lines, link.Line{
			End: 2 * (i + 1), Until: time.Duration(i+1) * time.Second,
			Since: time.Duration(max(0, i+1-holds)) * time.Second,
			Dark:  c != 'm', Waits: c == 'w',
		})
	}
	j.Total = time.Duration(len(pattern)) * time.Second
	return j
}

// asked is what a person asks for, and when.
type asked map[time.Duration]link.Command

// commanded asks for commands at times.
func commanded(at asked) <-chan link.Command {
	commands := make(chan link.Command, len(at))
	for d, c := range at {
		time.AfterFunc(d, func() { commands <- c })
	}
	return commands
}

const (
	s  = time.Second
	ms = time.Millisecond
)

// Scenes by hand: what is sent when, second for second, of a controller that answers each
// line after a second and a half, and what the run says of itself.
func TestScenes(t *testing.T) {
	p := link.Protocol{Acknowledge: "ok", Refusal: "no", Answer: 2 * s, Hold: []byte("H"), GoOn: []byte("G"),
		Stop: []byte("S"), BeamOff: []byte("off\n")}
	atOnce, window, ofLines := p, p, p
	atOnce.HoldAtOnce = true
	window.WindowBytes = 4 // two lines
	ofLines.HoldAtOnce, ofLines.Hold, ofLines.GoOn = true, []byte("hold\n"), []byte("on\n")
	ofWindow, empty := ofLines, atOnce
	empty.GoOn = []byte("\n")
	ofWindow.WindowBytes = 8
	for name, c := range map[string]struct {
		protocol link.Protocol
		pattern  string
		commands asked
		log      string
		phases   string // each change: running, holding, held, waiting
		report   link.Report
		why      link.Why
	}{
		"a line at a time": {p, "dmd", nil, "0 d, 1.5 m, 3 d", "r", link.Report{Taken: 3, Sent: 3, Took: 4500 * ms},
			""},
		"a window, the first line alone": {window, "dmmd", nil, "0 d, 1.5 m, 1.5 m, 3 d", "r",
			link.Report{Taken: 4, Sent: 4, Took: 4500 * ms}, ""},
		"held at once": {atOnce, "dmmd", asked{2 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 1.5 m, 2 H, 9 G, 9 m, 10.5 d", "rhr",
			link.Report{Taken: 4, Sent: 4, Holds: 1, Held: 7 * s, Took: 5 * s}, ""},
		"held at once, twice asked": {atOnce, "dmmd",
			asked{2 * s: link.Hold, 4 * s: link.Hold, 9 * s: link.GoOn, 9500 * ms: link.GoOn},
			"0 d, 1.5 m, 2 H, 9 G, 9 m, 10.5 d", "rhr",
			link.Report{Taken: 4, Sent: 4, Holds: 1, Held: 7 * s, Took: 5 * s}, ""},
		"held in the dark": {p, "dmmdd", asked{2 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 1.5 m, 3 m, 4.5 d, 9 d", "rohr",
			link.Report{Taken: 5, Sent: 5, Holds: 1, Held: 3 * s, Took: 7500 * ms}, ""},
		"held in the dark at once": {p, "dmmdd", asked{1 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 9 m, 10.5 m, 12 d, 13.5 d", "rohr",
			link.Report{Taken: 5, Sent: 5, Holds: 1, Held: 7500 * ms, Took: 7500 * ms}, ""},
		"let go on before it is held": {p, "dmmdd",
			asked{2 * s: link.Hold, 3 * s: link.Hold, 4 * s: link.GoOn},
			"0 d, 1.5 m, 3 m, 4.5 d, 6 d", "ror", link.Report{Taken: 5, Sent: 5, Took: 7500 * ms}, ""},
		"held at the end": {p, "dmm", asked{2 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 1.5 m, 3 m", "rohr",
			link.Report{Taken: 3, Sent: 3, Holds: 1, Held: 4500 * ms, Took: 4500 * ms}, ""},
		"held at once behind the last line": {atOnce, "dm", asked{2 * s: link.Hold, 6 * s: link.GoOn},
			"0 d, 1.5 m, 2 H, 6 G", "rhr", link.Report{Taken: 2, Sent: 2, Holds: 1, Held: 4 * s, Took: 2 * s}, ""},
		"held in the first mark": {p, "mmdd", asked{1 * s: link.Hold, 9 * s: link.GoOn}, "0 m, 1.5 m, 3 d, 9 d", "rohr",
			link.Report{Taken: 4, Sent: 4, Holds: 1, Held: 4500 * ms, Took: 6 * s}, ""},
		"let go on by an empty line, which waits for its turn": {empty, "dmd",
			asked{2 * s: link.Hold, 2500 * ms: link.GoOn},
			"0 d, 1.5 m, 2 H, 3 , 4.5 d", "rhr", link.Report{Taken: 3, Sent: 3, Holds: 1, Held: 500 * ms,
				Took: 5500 * ms}, ""},
		"held in a window": {window, "dmmmmdd", asked{2 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 1.5 m, 1.5 m, 3 m, 3 m, 4.5 d, 9 d", "rohr",
			link.Report{Taken: 7, Sent: 7, Holds: 1, Held: 3 * s, Took: 7500 * ms}, ""},
		"held by lines, which are answered": {ofLines, "dmd", asked{2 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 1.5 m, 3 hold, 9 on, 10.5 d", "rhr",
			link.Report{Taken: 3, Sent: 3, Holds: 1, Held: 7 * s, Took: 5 * s}, ""},
		"held by lines in a window": {ofWindow, "dmmmmmdd", asked{2 * s: link.Hold, 9 * s: link.GoOn},
			"0 d, 1.5 m, 1.5 m, 1.5 m, 1.5 m, 3 hold, 9 on, 9 m, 9 d, 10.5 d", "rhr",
			link.Report{Taken: 8, Sent: 8, Holds: 1, Held: 7 * s, Took: 5 * s}, ""},
		"stopped": {p, "dmmd", asked{2 * s: link.Stop}, "0 d, 1.5 m, 2 Soff", "r",
			link.Report{Taken: 1, Sent: 2, Took: 1500 * ms}, link.Asked},
		"stopped while it is held": {atOnce, "dmmd", asked{2 * s: link.Hold, 7 * s: link.Stop},
			"0 d, 1.5 m, 2 H, 7 Soff", "rhr", link.Report{Taken: 2, Sent: 2, Holds: 1, Held: 5 * s,
				Took: 2 * s}, link.Asked},
		"waits": {p, "dwd", asked{2 * s: link.GoOn}, "0 d, 1.5 w, 2 G, 3 d", "rwr",
			link.Report{Taken: 3, Sent: 3, Held: 1500 * ms, Took: 3 * s}, ""},
		"waits, and nobody says a word": {p, "dwd", nil, "0 d, 1.5 w, 3 d", "rwr",
			link.Report{Taken: 3, Sent: 3, Held: 1500 * ms, Took: 3 * s, Unclear: 1}, ""},
		"waits twice": {p, "dwdwd", asked{2 * s: link.GoOn, 5 * s: link.GoOn},
			"0 d, 1.5 w, 2 G, 3 d, 4.5 w, 5 G, 6 d", "rwrwr",
			link.Report{Taken: 5, Sent: 5, Held: 3 * s, Took: 4500 * ms}, ""},
		"waits twice, and once nobody says a word": {p, "dwdwd", asked{2 * s: link.GoOn},
			"0 d, 1.5 w, 2 G, 3 d, 4.5 w, 6 d", "rwrwr",
			link.Report{Taken: 5, Sent: 5, Held: 3 * s, Took: 4500 * ms, Unclear: 1}, ""},
		"asked to go on where it does not wait": {p, "dmd", asked{2 * s: link.GoOn},
			"0 d, 1.5 m, 3 d", "r", link.Report{Taken: 3, Sent: 3, Took: 4500 * ms}, ""},
		"waits in a window": {window, "dmwmd", asked{2500 * ms: link.GoOn,
			3200 * ms: link.GoOn}, "0 d, 1.5 m, 1.5 w, 2.5 G, 3 m, 3 d, 3.2 G", "rwr",
			link.Report{Taken: 5, Sent: 5, Took: 4500 * ms, Unclear: 1}, ""},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			c2 := newScripted(t, each(1500*ms))
			l := link.Open(c2, c.protocol)
			defer l.Close()
			phases, last := "r", link.Running
			report, err := l.Run(t.Context(), lettered(c.pattern, 1), commanded(c.commands), func(st link.State) {
				if st.Phase != last {
					last = st.Phase
					phases += map[link.Phase]string{link.Running: "r", link.Holding: "o", link.Held: "h",
						link.Waiting: "w"}[last]
				}
			})
			var h *link.HaltError
			if errors.As(err, &h) {
				require.True(t, h.Sent)
				require.Equal(t, c.report.Taken+1, h.Line)
			} else {
				h = &link.HaltError{}
				require.NoError(t, err)
			}
			c2.end()
			require.Equal(t, c.why, h.Why)
			require.Equal(t, c.log, strings.Join(c2.log, ", "))
			require.Equal(t, c.phases, phases)
			require.Equal(t, c.report, report)
		})
	}
}

// A controller that does not answer is waited for as long as by hand: twice the time of the
// moves that it may still have to do since the last answer, and its own 2 s; an answer tells that
// a line was taken and not that it is done.
func TestPatienceByHand(t *testing.T) {
	p := link.Protocol{Acknowledge: "ok", Answer: 2 * s, Stop: []byte("S"), GoOn: []byte("G")}
	for name, c := range map[string]struct {
		window  int
		holds   int
		pattern string
		silent  int // from this line on
		log     string
	}{
		"of one line: 0 + 2·1 + 2":                       {0, 1, "dmd", 1, "0 d, 4 S"},
		"of the second: 1 + 2·2 + 2":                     {0, 1, "dmd", 2, "0 d, 1 m, 7 S"},
		"of one that holds none: 1 + 2·1 + 2":            {0, 0, "dmd", 2, "0 d, 1 m, 5 S"},
		"behind a stop: 2 + 2·2 + 2":                     {0, 1, "dwmm", 3, "0 d, 1 w, 1.5 G, 2 m, 8 S"},
		"behind one that was not waited at: 4 + 2·2 + 2": {0, 1, "dwmmm", 5, "0 d, 1 w, 2 m, 3 m, 4 m, 10 S"},
		"of one that holds three: 4 + 2·4 + 2":           {0, 3, "dmmmd", 5, "0 d, 1 m, 2 m, 3 m, 4 d, 14 S"},
		"of the first in a window: 0 + 2·1 + 2":          {4, 1, "dmmd", 1, "0 d, 4 S"},
		"of a window: 2 + 2·3 + 2":                       {4, 1, "dmmmmd", 4, "0 d, 1 m, 1 m, 2 m, 2 m, 10 S"},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			p.WindowBytes = c.window
			c2 := newScripted(t, func(s *scripted, n int, _ string) {
				if n < c.silent {
					s.after(time.Second, "ok")
				}
			})
			l := link.Open(c2, p)
			defer l.Close()
			ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
			defer cancel()
			commands := asked{}
			if c.silent == 3 {
				commands[1500*ms] = link.GoOn
			}
			_, err := l.Run(ctx, lettered(c.pattern, c.holds), commanded(commands), ignore)
			c2.end()
			require.Equal(t, c.log, strings.Join(c2.log, ", "))
			var h *link.HaltError
			require.ErrorAs(t, err, &h)
			require.Equal(t, link.Silent, h.Why)
			if c.window > 0 && c.silent == 1 {
				require.EqualError(t, h, "an answer is missing: one of lines 1 to 1 was lost, or its answer")
			}
		})
	}
}

// What comes in behind the last answer, by hand: one more within a tenth of a second is a
// doubt, later nobody listens, and chatter is none.
func TestBehindTheLastAnswer(t *testing.T) {
	for name, c := range map[string]struct {
		after time.Duration
		says  string
		why   link.Why
	}{
		"an answer":        {99 * ms, "ok", link.Confused},
		"one that is late": {101 * ms, "ok", ""},
		"chatter":          {50 * ms, "at rest", ""},
	} {
		onFakeClock(t, name, func(t *testing.T) {
			c2 := newScripted(t, func(s *scripted, n int, _ string) {
				s.after(time.Second, "ok")
				if n == 2 {
					s.after(time.Second+c.after, c.says)
				}
			})
			l := link.Open(c2, link.Protocol{Acknowledge: "ok", Answer: s})
			defer l.Close()
			_, err := l.Run(t.Context(), lettered("dd", 1), nil, ignore)
			var h *link.HaltError
			require.Equal(t, c.why != "", errors.As(err, &h))
			if h != nil {
				require.Equal(t, []any{c.why, "ok", 3}, []any{h.Why, h.Answer, h.Line})
				require.EqualError(t, h, `the controller answers what was not sent: "ok"`)
			}
		})
	}
}

// A link that ends: with the last answer in it all is well, else it is lost.
func TestEndsOfLinks(t *testing.T) {
	for name, c := range map[string]struct {
		answers int
		ok      bool
	}{"behind all answers": {2, true}, "before the last": {1, false}} {
		onFakeClock(t, name, func(t *testing.T) {
			c2 := newScripted(t, func(s *scripted, n int, _ string) {
				if n <= c.answers {
					s.after(time.Second, "ok")
				}
				if n == 2 {
					time.AfterFunc(1001*ms, s.end)
				}
			})
			l := link.Open(c2, link.Protocol{Acknowledge: "ok", Answer: 10 * s, Stop: []byte("S")})
			defer l.Close()
			report, err := l.Run(t.Context(), lettered("dd", 1), nil, ignore)
			require.Equal(t, c.answers, report.Taken)
			if c.ok {
				require.NoError(t, err)
				return
			}
			require.EqualError(t, err, "the link is lost: closed from the other side")
			require.Equal(t, "2.001 S", c2.log[len(c2.log)-1], "it may still be heard")
		})
	}
}
