package main

import (
	"bytes"
	"fmt"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// terminalPair returns the two ends of a terminal: what a program writes to
// terminal is read from master.
func terminalPair(t *testing.T) (master, terminal *os.File) {
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	require.NoError(t, err)
	t.Cleanup(func() { master.Close() })
	require.NoError(t, unix.IoctlSetPointerInt(int(master.Fd()), unix.TIOCSPTLCK, 0))
	n, err := unix.IoctlGetInt(int(master.Fd()), unix.TIOCGPTN)
	require.NoError(t, err)
	terminal, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", n), os.O_RDWR|unix.O_NOCTTY, 0)
	require.NoError(t, err)
	t.Cleanup(func() { terminal.Close() })
	return master, terminal
}

// A bar is shown to a person who has waited for a second, and to nobody else.
func TestProgressPastOneSecond(t *testing.T) {
	master, terminal := terminalPair(t)
	long, short := time.Now().Add(-2*time.Second), time.Now()

	a := &app{stderr: terminal}
	soon := &progress{a: a, name: "soon", start: short}
	soon.at(1, 10)
	require.Nil(t, soon.bar)

	late := &progress{a: a, name: "late", start: long}
	s := stepper{bar: late, total: 4}
	for range 6 { // more steps than were counted on
		s.next()
	}
	require.NotNil(t, late.bar)
	late.end()
	seen := make([]byte, 4096)
	n, err := master.Read(seen)
	require.NoError(t, err)
	require.Contains(t, string(seen[:n]), "late")
	require.NotContains(t, string(seen[:n]), "soon")

	piped := &bytes.Buffer{}
	unseen := &progress{a: &app{stderr: piped}, name: "unseen", start: long}
	unseen.at(1, 10)
	unseen.end()
	require.Zero(t, piped.Len())
}
