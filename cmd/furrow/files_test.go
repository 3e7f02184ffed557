package main

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// A file that came while another of its name was being written is not lost:
// without --force the second one fails, whole, and leaves nothing behind.
func TestNoFileTakesThePlaceOfAnother(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tag.nc")
	writeMeanwhile := func(force bool) error {
		return output{path: file, force: force}.write(&app{}, func(w io.Writer) error {
			require.NoError(t, os.WriteFile(file, []byte("meanwhile"), 0o600))
			_, err := io.WriteString(w, "written")
			return err
		})
	}
	err := writeMeanwhile(false)
	var f *failure
	require.ErrorAs(t, err, &f)
	require.Equal(t, exitUsage, f.code)
	require.ErrorContains(t, err, "is already there")
	require.Equal(t, "meanwhile", string(read(t, file)))

	require.NoError(t, writeMeanwhile(true))
	require.Equal(t, "written", string(read(t, file)))
	left, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	require.Len(t, left, 1)
}
