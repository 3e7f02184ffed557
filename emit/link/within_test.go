package link_test

import (
	"bytes"
	"io"
	"net"
	"testing"
	"testing/synctest"

	"furrow/emit/link/simulate"
)

// ending is a link whose controller tells, once it is closed, what it got and saw.
type ending interface {
	io.ReadWriteCloser
	end() (got string, saw simulate.Report)
}

// within is a controller in this process, for a fake clock: what waits takes no time, and
// how long it waited is exact.
type within struct {
	net.Conn
	got bytes.Buffer
	saw chan simulate.Report
}

// beginWithin starts one; only within synctest.Test.
func beginWithin(t *testing.T, c simulate.Controller) *within {
	near, far := net.Pipe()
	w := &within{Conn: near, saw: make(chan simulate.Report, 1)}
	go func() {
		defer far.Close()
		w.saw <- c.Run(far, &w.got)
	}()
	t.Cleanup(func() { near.Close() })
	return w
}

func (w *within) end() (got string, saw simulate.Report) {
	w.Close()
	saw = <-w.saw
	synctest.Wait() // for what came in last
	return w.got.String(), saw
}

// onFakeClock runs a part of a test in a bubble of its own.
func onFakeClock(t *testing.T, name string, f func(t *testing.T)) {
	t.Run(name, func(t *testing.T) { synctest.Test(t, f) })
}
