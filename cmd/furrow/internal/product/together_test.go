package product

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func part(o Output, text string, err error) Part {
	return Part{o, func(w io.Writer) error {
		_, bad := io.WriteString(w, text)
		return errors.Join(bad, err)
	}}
}

// Of two products that appear together a failure of either leaves neither, and one that
// is to be replaced is as it was.
func TestTogetherOrNotAtAll(t *testing.T) {
	bad := errors.New("cannot be drawn")
	for _, replaced := range []bool{false, true} {
		dir := t.TempDir()
		file, picture := Output{filepath.Join(dir, "tag.nc"), replaced}, Output{filepath.Join(dir, "tag.png"), replaced}
		if replaced {
			require.NoError(t, os.WriteFile(file.Path, []byte("before"), 0o600))
		}
		require.ErrorIs(t, Together(io.Discard, part(file, "code", nil), part(picture, "pix", bad)), bad)
		require.ErrorIs(t, Together(io.Discard, part(file, "code", bad), part(picture, "pix", nil)), bad)
		left, err := os.ReadDir(dir)
		require.NoError(t, err)
		if replaced {
			require.Len(t, left, 1)
			require.Equal(t, "before", contents(t, file.Path))
		} else {
			require.Empty(t, left)
		}
		require.NoError(t, Together(io.Discard, part(file, "code", nil), part(picture, "pix", nil)))
		require.Equal(t, "code", contents(t, file.Path))
		require.Equal(t, "pix", contents(t, picture.Path))
	}
}

// Files and standard output go together too: the files appear, unless what goes to standard
// output fails.
func TestTogetherWithStandardOutput(t *testing.T) {
	file := Output{filepath.Join(t.TempDir(), "tag.nc"), false}
	bad := errors.New("cannot be drawn")
	var out strings.Builder
	require.ErrorIs(t, Together(&out, part(file, "code", nil), part(Output{Path: "-"}, "pix", bad)), bad)
	require.NoFileExists(t, file.Path)
	out.Reset()
	require.NoError(t, Together(&out, part(file, "code", nil), part(Output{Path: "-"}, "pix", nil)))
	require.Equal(t, "code", contents(t, file.Path))
	require.Equal(t, "pix", out.String())
}

// What is written, fails or cannot be begun leaves no file open and nothing waiting for a
// signal.
func TestNothingStaysOpen(t *testing.T) {
	dir := t.TempDir()
	before := runtime.NumGoroutine()
	open := func() int {
		all, _ := os.ReadDir("/proc/self/fd") // none but on Linux
		return len(all)
	}
	first := open()
	for i := range 5 {
		o := Output{filepath.Join(dir, fmt.Sprint(i)), false}
		require.NoError(t, Together(io.Discard, part(o, "code", nil)))
		require.Error(t, Together(io.Discard, part(Output{o.Path + "b", false}, "code", errors.New("bad"))))
		require.Error(t, Together(io.Discard, part(Output{filepath.Join(dir, "none", "x"), false}, "code", nil)))
		f, err := NewFolder(filepath.Join(dir, "folder"), "mark")
		require.NoError(t, err)
		require.NoError(t, f.Write("mark", func(io.Writer) error { return nil }))
		_, err = f.End(nil, nil)
		require.NoError(t, err)
	}
	require.Less(t, open(), first+3)
	require.Eventually(t, func() bool { return runtime.NumGoroutine() < before+3 }, time.Second, time.Millisecond)
}

// A file whose place is taken in the meantime takes the other one back.
func TestTogetherTakesTheFirstBack(t *testing.T) {
	dir := t.TempDir()
	file, picture := Output{filepath.Join(dir, "tag.nc"), false}, Output{filepath.Join(dir, "tag.png"), false}
	err := Together(io.Discard, part(file, "code", nil), Part{picture, func(io.Writer) error {
		return os.WriteFile(picture.Path, []byte("meanwhile"), 0o600)
	}})
	require.ErrorContains(t, err, "is already there")
	require.NoFileExists(t, file.Path)
	require.Equal(t, "meanwhile", contents(t, picture.Path))
}

// What a run that was killed has left beside a file goes with the next one of its name;
// what belongs to another file, or to a run that is still at work, stays.
func TestLeftDraftsGo(t *testing.T) {
	dir := t.TempDir()
	const none = 1 << 30 // more than any process has
	gone := fmt.Sprintf(".furrow-tag.nc-%d-123", none)
	stay := []string{
		fmt.Sprintf(".furrow-other.nc-%d-123", none), fmt.Sprintf(".furrow-tag.nc-%d-123", os.Getpid()),
		fmt.Sprintf(".furrow-tag.nc-%d-123-4", none), ".furrow-tag.nc-x-1",
		fmt.Sprintf(".furrow-tag.nc-%d-12a", none),
	}
	for _, name := range append(stay, gone) {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), nil, 0o600))
	}
	require.NoError(t, Output{Path: filepath.Join(dir, "tag.nc")}.WriteBytes(io.Discard, []byte("code")))
	require.NoFileExists(t, filepath.Join(dir, gone))
	for _, name := range stay {
		require.FileExists(t, filepath.Join(dir, name))
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, left, len(stay)+1)
}
