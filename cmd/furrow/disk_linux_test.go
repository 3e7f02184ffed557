package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestFullDisk writes to a file system too small for the file: one message, no
// partial file, and what was there before is untouched.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		if os.Getenv("FURROW_STRICT") != "" {
			t.Fatal(err)
		}
		t.Skip("mounting a small file system needs root: ", err)
	}
	defer syscall.Unmount(dir, 0)
	in := write(t, "panel.svg", panel)
	out := filepath.Join(dir, "panel.nc")
	require.NoError(t, os.WriteFile(out, []byte("before"), 0o644))

	var stdout, stderr bytes.Buffer
	code := run([]string{"hatch", in, "-o", out, "--force", "--machine", "example-co2", "--spacing", "400lpi", "--speed", "200", "--power", "30"},
		strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, exitWork, code)
	require.Contains(t, stderr.String(), "no space left")
	require.Equal(t, 1, strings.Count(stderr.String(), "\n"))
	require.Empty(t, stdout.String())

	names, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	hidden, err := filepath.Glob(filepath.Join(dir, ".*"))
	require.NoError(t, err)
	require.Equal(t, []string{out}, append(names, hidden...))
	before, err := os.ReadFile(out)
	require.NoError(t, err)
	require.Equal(t, "before", string(before))
}
