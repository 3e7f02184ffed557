package product

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"testing"

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
