//go:build unix

package main

import (
	"bufio"
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"furrow/cmd/furrow/internal/fault"

	"github.com/stretchr/testify/require"
)

// A person who ends the program while it writes finds nothing half done: no file,
// and none beside it under a hidden name.
func TestInterruptWhileWriting(t *testing.T) {
	t.Parallel()
	for _, sig := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		dir := t.TempDir()
		program := filepath.Join(dir, "furrow") // TestMain runs the program under this name
		self, err := os.Executable()
		require.NoError(t, err)
		require.NoError(t, os.Symlink(self, program))
		art := write(t, "panel.svg", panel)
		out := filepath.Join(dir, "out")
		require.NoError(t, os.Mkdir(out, 0o755))

		c := exec.Command(program, "preview", art, "--film", filepath.Join(out, "film.png"), "--film-seconds", "60",
			"--machine", "example-co2", "--spacing", "1mm", "--speed", "100", "--power", "40")
		var stderr bytes.Buffer
		c.Stderr = &stderr
		require.NoError(t, c.Start())
		require.Eventually(t, func() bool { return len(filesIn(t, out)) == 1 }, 30*time.Second, time.Millisecond)
		require.NoError(t, c.Process.Signal(sig))
		err = c.Wait()
		require.Equal(t, fault.CodeWork, exitCode(err), stderr.String())
		require.Contains(t, stderr.String(), "film.png: interrupted")
		require.Empty(t, filesIn(t, out))
	}
}

// The demo goes through many steps, and takes no further one when it is asked to end, be it
// between two of them.
func TestInterruptedDemo(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	program := filepath.Join(dir, "furrow")
	self, err := os.Executable()
	require.NoError(t, err)
	require.NoError(t, os.Symlink(self, program))
	c := exec.Command(program, "demo", filepath.Join(dir, "demo"))
	var stderr bytes.Buffer
	c.Stderr = &stderr
	stdout, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	told := bufio.NewReader(stdout)
	for line := ""; !strings.HasPrefix(line, "$ furrow hatch"); {
		line, err = told.ReadString('\n')
		require.NoError(t, err)
	}
	require.NoError(t, c.Process.Signal(syscall.SIGTERM))
	rest, _ := io.ReadAll(told)
	require.Equal(t, fault.CodeWork, exitCode(c.Wait()), stderr.String())
	require.Contains(t, stderr.String(), "interrupted")
	require.NotContains(t, string(rest), "$ furrow preview")
}

func filesIn(t *testing.T, dir string) []os.DirEntry {
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	return entries
}
