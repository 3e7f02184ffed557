package port_test

import (
	"net"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/port"
	"furrow/emit/machine"

	"github.com/stretchr/testify/require"
)

// TestMain keeps claims out of the tester's own settings.
func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "furrow-port-")
	if err != nil {
		panic(err)
	}
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "AppData", "home"} {
		os.Setenv(name, dir)
	}
	code := m.Run()
	os.RemoveAll(dir)
	os.Exit(code)
}

// A link is one process's until it is closed; another link is free, and so is one that could
// not be opened.
func TestLinkIsOneProcess(t *testing.T) {
	serve := func(c *net.TCPConn) { c.Close() }
	l := listening(t, serve)
	first, err := port.Open(l)
	require.NoError(t, err)
	_, err = port.Open(l)
	require.EqualError(t, err, l.TCP+": another furrow send has it")
	other, err := port.Open(listening(t, serve))
	require.NoError(t, err)
	require.NoError(t, other.Close())
	require.NoError(t, first.Close())
	again, err := port.Open(l) // its first is closed; the listener is there yet
	require.NoError(t, err)
	require.NoError(t, again.Close())
	gone := machine.Link{Port: filepath.Join(t.TempDir(), "none"), Baud: 9600}
	for range 2 {
		_, err = port.Open(gone)
		require.Error(t, err)
		require.NotContains(t, err.Error(), "another furrow send", "what failed claims nothing")
	}
}

// Where no claim can be laid the link is opened all the same.
func TestLinkWithoutSettings(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	for _, name := range []string{"HOME", "XDG_CONFIG_HOME", "AppData", "home"} {
		t.Setenv(name, file)
	}
	p, err := port.Open(listening(t, func(c *net.TCPConn) { c.Close() }))
	require.NoError(t, err)
	require.NoError(t, p.Close())
}
