package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"furrow/cmd/furrow/internal/fault"
	"furrow/path/outside"

	"github.com/stretchr/testify/require"
)

// TestFullDisk writes to a file system too small for the file: one message, no
// partial file, and what was there before is untouched.
func TestFullDisk(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=64k"); err != nil {
		outside.Missing(t, "the right to mount a small file system")
	}
	defer syscall.Unmount(dir, 0)
	in := write(t, "panel.svg", panel)
	out := filepath.Join(dir, "panel.nc")
	require.NoError(t, os.WriteFile(out, []byte("before"), 0o644))

	var stdout, stderr bytes.Buffer
	code := run([]string{"hatch", in, "-o", out, "--force", "--machine", "example-co2", "--spacing",
		"400lpi", "--speed",
		"200", "--power", "30"},
		strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, fault.CodeWork, code)
	require.Contains(t, stderr.String(), "no space left")
	require.Equal(t, 2, strings.Count(stderr.String(), "\n"))
	require.Contains(t, stderr.String(), "hint: make room on the disk")
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

// An order that a disk has no room for leaves the folder that was there, and nothing
// beside it.
func TestOrderOnAFullDisk(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=320k"); err != nil {
		outside.Missing(t, "the right to mount a small file system")
	}
	defer syscall.Unmount(dir, 0)
	out := filepath.Join(dir, "tags")
	job := orderJob(t, t.TempDir(), "example-co2", 1, 150)
	furrow(t, "order", job, "-o", out, "-q")
	requireWhole(t, out, 0)
	before, err := os.ReadFile(filepath.Join(out, "order.toml"))
	require.NoError(t, err)

	var stdout, stderr bytes.Buffer
	finer := []string{"order", job, "-o", out, "-q", "--spacing", "0.05mm", "--quantity", "6"}
	require.Equal(t, fault.CodeWork, run(finer, strings.NewReader(""), &stdout, &stderr))
	require.Contains(t, stderr.String(), "no space left")
	after, err := os.ReadFile(filepath.Join(out, "order.toml"))
	require.NoError(t, err)
	require.Equal(t, string(before), string(after))
	requireWhole(t, out, 0)
	require.Len(t, filesIn(t, dir), 1)
}

// TestOutputIsNoFile names a pipe as the output: even --force does not put a
// file in the place of what is none, which would take a device away from the
// whole system.
func TestOutputIsNoFile(t *testing.T) {
	in := write(t, "panel.svg", panel)
	pipe := filepath.Join(t.TempDir(), "pipe")
	require.NoError(t, syscall.Mkfifo(pipe, 0o644))

	var stdout, stderr bytes.Buffer
	code := run([]string{"hatch", in, "-o", pipe, "--force", "--machine", "example-co2", "--spacing", "400lpi",
		"--speed", "200", "--power", "30"},
		strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, fault.CodeUsage, code)
	require.Contains(t, stderr.String(), "is a device or pipe")
	info, err := os.Lstat(pipe)
	require.NoError(t, err)
	require.NotZero(t, info.Mode()&os.ModeNamedPipe)
}

// TestEndlessSettingsFile reads a profile from a device that tells no size and
// never ends.
func TestEndlessSettingsFile(t *testing.T) {
	var stdout, stderr bytes.Buffer
	code := run([]string{"machines", "check", "/dev/zero"}, strings.NewReader(""), &stdout, &stderr)
	require.Equal(t, fault.CodeUsage, code)
	require.Contains(t, stderr.String(), "too many for a settings file")
}
