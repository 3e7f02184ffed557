package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"furrow/cmd/furrow/internal/fault"
	"furrow/emit/link"

	"golang.org/x/term"
)

// terminal is the person who runs a file: what they type, and the screen that they read.
// It is theirs alone, in the foreground, until it is closed.
type terminal struct {
	screen *os.File
	in     int // file descriptor
	keys   chan byte
	ctx    context.Context // done when the program is to end
	ends   func()
	before *term.State // unless nil, to be put back
}

// openTerminal refuses where no person can be told and asked.
func openTerminal(a *app) (*terminal, error) {
	in, isFile := a.stdin.(*os.File)
	screen, shown := a.stderr.(*os.File)
	if !isFile || !shown || !term.IsTerminal(int(in.Fd())) || !fault.Terminal(screen) {
		return nil, fault.Usagef("a file is sent from a terminal, with a person who types START and watches the " +
			"machine").
			Hintf("run it by hand, without pipes, in the room of the machine")
	}
	if !foreground(int(in.Fd())) {
		return nil, fault.Usagef("a file is never sent from the background").Hintf("run it in the foreground, and stay")
	}
	t := &terminal{screen: screen, in: int(in.Fd()), keys: make(chan byte)}
	t.ctx, t.ends = signal.NotifyContext(context.Background(), append(endings, os.Interrupt, syscall.SIGTERM,
		syscall.SIGHUP)...)
	go t.read(in)
	return t, nil
}

// read passes on what is typed. It ends with the keyboard, and with the program.
func (t *terminal) read(in *os.File) {
	defer close(t.keys)
	var b [1]byte
	for {
		if n, err := in.Read(b[:]); err != nil || n == 0 {
			return
		}
		t.keys <- b[0]
	}
}

// asks shows a question and returns the line that is typed.
func (t *terminal) asks(question string) (string, error) {
	fmt.Fprint(t.screen, question)
	var line strings.Builder
	for {
		select {
		case b, open := <-t.keys:
			switch {
			case !open:
				return "", fault.Workf("nobody is at the keyboard")
			case b == '\n' || b == '\r':
				return strings.TrimSpace(line.String()), nil
			case line.Len() < 100:
				line.WriteByte(b)
			}
		case <-t.ctx.Done():
			return "", fault.Workf("interrupted")
		}
	}
}

// takeKeys lets each key come as it is typed, not by lines and not shown.
func (t *terminal) takeKeys() (err error) {
	t.before, err = term.MakeRaw(t.in)
	return err
}

// giveBack makes the terminal what it was.
func (t *terminal) giveBack() {
	if t.before != nil {
		term.Restore(t.in, t.before) // there is nothing to be done about it
		t.before = nil
	}
}

func (t *terminal) close() {
	t.giveBack()
	t.ends()
}

// The keys of a run. A control character would end the program elsewhere: here it stops
// the machine first.
const (
	keyHold  = ' '
	keyStop  = 'q'
	controlC = 0x03
	controlD = 0x04
	controlZ = 0x1a
	quit     = 0x1c
)

// commands turns keys into what they ask for. A keyboard that is gone asks for the stop.
func (t *terminal) commands(done <-chan struct{}) <-chan link.Command {
	out := make(chan link.Command)
	go func() {
		for {
			var b byte
			var open bool
			select {
			case b, open = <-t.keys:
			case <-done:
				return
			}
			c, known := commandOf(b, open)
			if !known {
				continue
			}
			select {
			case out <- c:
			case <-done:
				return
			}
			if !open {
				return
			}
		}
	}()
	return out
}

func commandOf(key byte, open bool) (c link.Command, known bool) {
	if !open {
		return link.Stop, true
	}
	switch key {
	case keyHold:
		return link.Hold, true
	case '\r', '\n':
		return link.GoOn, true
	case keyStop, 'Q', controlC, controlD, controlZ, quit:
		return link.Stop, true
	}
	return 0, false
}
