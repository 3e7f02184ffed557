package main

import (
	"bytes"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// On a terminal a long search shows a bar; an interrupt then ends the search, is
// said so, and the file is whole.
func TestInterruptOnTerminal(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	file := filepath.Join(dir, "tag.mvl")
	art := filepath.Join("demo", "tag.svg")
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self)
	cmd.Args = []string{"furrow", "hatch", art, "-o", file, "--machine", "example-fibre", "--effort", "best",
		"--spacing", "0.04mm", "--cross", "--speed", "800", "--power", "35", "--frequency", "30kHz"}
	master, terminal := terminalPair(t)
	cmd.Stdout, cmd.Stderr = terminal, terminal
	require.NoError(t, cmd.Start())
	require.NoError(t, terminal.Close())

	seen := make(chan string, 1)
	shown := readUntil(master, "sequence", seen)
	select {
	case <-seen:
	case <-time.After(time.Minute):
		t.Error("no bar")
	}
	require.NoError(t, cmd.Process.Signal(os.Interrupt))
	require.NoError(t, cmd.Wait())
	text := <-shown
	require.Contains(t, text, "interrupted: the sequence is the best found so far, every mark is in it")
	require.Contains(t, text, "over row by row")

	var out, errs bytes.Buffer
	require.Zero(t, run([]string{"check", file}, strings.NewReader(""), &out, &errs), errs.String())
}

// readUntil reads a screen to its end, which comes as text, and tells seen when
// a word has appeared.
func readUntil(screen io.Reader, word string, seen chan<- string) (text <-chan string) {
	all := make(chan string, 1)
	go func() {
		var b strings.Builder
		buf := make([]byte, 4096)
		told := false
		for {
			n, err := screen.Read(buf) // an error once the other side is closed
			b.Write(buf[:n])
			if !told && strings.Contains(b.String(), word) {
				told = true
				seen <- word
			}
			if err != nil {
				all <- b.String()
				return
			}
		}
	}()
	return all
}
