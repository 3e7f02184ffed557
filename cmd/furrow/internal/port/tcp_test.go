package port_test

import (
	"bytes"
	"io"
	"net"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/port"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// listening takes one connection.
func listening(t *testing.T, serve func(*net.TCPConn)) machine.Link {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { l.Close() })
	go func() {
		if c, err := l.Accept(); err == nil {
			serve(c.(*net.TCPConn))
		}
	}()
	return machine.Link{TCP: l.Addr().String()}
}

// A connection carries what is written before it is closed, to its end, and waits until
// the other side is done with it.
func TestConnectionEndsWithoutLoss(t *testing.T) {
	const slow = 60 * time.Millisecond
	sent := bytes.Repeat([]byte("G1 X1\n"), 100_000)
	got := make(chan []byte, 1)
	p, err := port.Open(listening(t, func(c *net.TCPConn) {
		all, _ := io.ReadAll(c) // ends when the writer says so
		time.Sleep(slow)
		c.Write([]byte("ok\n")) // into a connection that is still there
		got <- all
		c.Close()
	}))
	require.NoError(t, err)
	_, err = p.Write(sent)
	require.NoError(t, err)
	start := time.Now()
	require.NoError(t, p.Close())
	require.GreaterOrEqual(t, time.Since(start), slow)
	require.Equal(t, sent, <-got)
	_, err = p.Write(sent)
	require.Error(t, err, "it is closed")
}

// A side that never ends is left after half a second.
func TestConnectionThatNeverEnds(t *testing.T) {
	done := make(chan bool)
	p, err := port.Open(listening(t, func(*net.TCPConn) { <-done }))
	require.NoError(t, err)
	start := time.Now()
	require.NoError(t, p.Close())
	took := time.Since(start)
	close(done)
	require.GreaterOrEqual(t, took, 450*time.Millisecond)
	require.Less(t, took, 5*time.Second)
}
