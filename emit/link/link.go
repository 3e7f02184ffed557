package link

import (
	"bytes"
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"sync/atomic"
	"time"
	"unicode"
	"unicode/utf8"
)

// Link is an open connection to a controller. One goroutine reads it and one writes, so
// that neither a slow controller nor a silent one holds up a stop.
type Link struct {
	protocol  Protocol
	heard     chan string
	lost      chan struct{} // closed when nothing more can be heard
	why       error         // of that
	out       chan []byte
	written   chan error
	writing   bool
	listening atomic.Bool // what comes in while nobody listens is dropped
	closed    chan struct{}
	greeting  map[string]bool // what the controller said when the link was opened
}

// Open starts to listen. Whoever is done with the link calls Close and then closes rw.
func Open(rw io.ReadWriter, p Protocol) *Link {
	l := &Link{
		protocol: p, heard: make(chan string, 64), lost: make(chan struct{}),
		out: make(chan []byte, 1), written: make(chan error, 1), closed: make(chan struct{}),
		greeting: map[string]bool{},
	}
	l.listening.Store(true)
	go l.read(rw)
	go l.write(rw)
	return l
}

// Close ends what reads and what writes, once rw is closed too.
func (l *Link) Close() {
	close(l.out)
	close(l.closed)
}

// longestAnswer is more than a controller says in a line; the rest of it is dropped.
const longestAnswer = 1000

// read passes lines on, without the spaces at their ends, and no empty ones.
func (l *Link) read(r io.Reader) {
	defer close(l.lost)
	var line []byte
	buf := make([]byte, 4096)
	for {
		n, err := r.Read(buf)
		for _, c := range buf[:n] {
			if c != '\n' && c != '\r' {
				if len(line) < longestAnswer {
					line = append(line, c)
				}
				continue
			}
			text := string(bytes.TrimSpace(line))
			if line = line[:0]; text == "" || !l.listening.Load() {
				continue
			}
			select {
			case l.heard <- text:
			case <-l.closed:
				return
			}
		}
		if err != nil {
			l.why = err
			return
		}
	}
}

func (l *Link) write(w io.Writer) {
	for b := range l.out {
		l.written <- writeAll(w, b)
	}
}

// writeAll goes on where a port has taken a part.
func writeAll(w io.Writer, b []byte) error {
	for len(b) > 0 {
		n, err := w.Write(b)
		if err != nil {
			return err
		}
		if n == 0 {
			return io.ErrShortWrite
		}
		b = b[n:]
	}
	return nil
}

// send starts to write. Nothing else may be under way.
func (l *Link) send(b []byte) {
	l.out <- b
	l.writing = true
}

// The doubts that Wake has.
var (
	ErrMute    = errors.New("the controller says nothing, although it was asked where the head is")
	ErrGarbled = errors.New("what comes in is no text")
)

// RefusalError is what a controller answered that is not ready.
type RefusalError struct{ Answer string }

func (e *RefusalError) Error() string { return "the controller refuses: " + e.Answer }

// quiet is how long nothing must have come in for the controller to be done with what it
// says.
const quiet = 100 * time.Millisecond

// Wake sends what wakes the controller, waits until it is ready, and asks it where the
// head is. It returns what the controller has said; an error where that leaves a doubt.
func (l *Link) Wake(ctx context.Context, ready time.Duration) ([]string, error) {
	defer l.listening.Store(false)
	first, err := l.exchange(ctx, l.protocol.Wake, ready)
	if err != nil {
		return first, err
	}
	l.learnGreeting(first)
	if len(l.protocol.Ask) == 0 {
		return first, l.judge(first)
	}
	second, err := l.exchange(ctx, l.protocol.Ask, max(ready, 5*quiet))
	if err == nil && len(second) == 0 {
		err = ErrMute
	}
	if err == nil {
		err = l.judge(slices.Concat(first, second))
	}
	return slices.Concat(first, second), err
}

// judge finds a reason not to begin in what the controller has said.
func (l *Link) judge(lines []string) error {
	for _, s := range lines {
		if l.protocol.meaning(s) == refused {
			return &RefusalError{s}
		}
		if !utf8.ValidString(s) || strings.ContainsFunc(s, unicode.IsControl) {
			return ErrGarbled
		}
	}
	return nil
}

// learnGreeting keeps what the controller says once when it starts.
func (l *Link) learnGreeting(lines []string) {
	times := map[string]int{}
	for _, s := range lines {
		times[s]++
	}
	const least = 4 // characters, of what is more than a prompt
	for s, n := range times {
		l.greeting[s] = n == 1 && len(s) >= least && l.protocol.meaning(s) == said
	}
}

// exchange sends some bytes, if there are any, and gathers what comes in: for as long as
// it takes, and then until nothing more comes.
func (l *Link) exchange(ctx context.Context, b []byte, takes time.Duration) (lines []string, err error) {
	if len(b) > 0 {
		l.send(b)
	}
	until := time.Now().Add(takes)
	most := until.Add(20 * quiet)
	for {
		wait := max(time.Until(until), quiet)
		if time.Now().After(most) {
			return lines, nil // it never stops talking
		}
		select {
		case s := <-l.heard:
			lines = append(lines, s)
		case err := <-l.written:
			if l.writing = false; err != nil {
				return lines, err
			}
		case <-l.lost:
			return lines, l.gone()
		case <-ctx.Done():
			return lines, ctx.Err()
		case <-time.After(wait):
			if l.writing {
				return lines, errors.New("the controller takes nothing")
			}
			return lines, nil
		}
	}
}

// gone tells why nothing more is heard.
func (l *Link) gone() error {
	if errors.Is(l.why, io.EOF) {
		return errors.New("closed from the other side")
	}
	return l.why
}
