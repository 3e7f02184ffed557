package product

import (
	"io"
	"os"
	"path/filepath"
	"testing"

	"furrow/cmd/furrow/internal/fault"

	"github.com/stretchr/testify/require"
)

// A file that came while another of its name was being written is not lost:
// without --force the second one fails, whole, and leaves nothing behind.
func TestNoFileTakesThePlaceOfAnother(t *testing.T) {
	file := filepath.Join(t.TempDir(), "tag.nc")
	writeMeanwhile := func(force bool) error {
		return Output{Path: file, Force: force}.Write(io.Discard, func(w io.Writer) error {
			require.NoError(t, os.WriteFile(file, []byte("meanwhile"), 0o600))
			_, err := io.WriteString(w, "written")
			return err
		})
	}
	err := writeMeanwhile(false)
	var f *fault.Failure
	require.ErrorAs(t, err, &f)
	require.Equal(t, fault.CodeUsage, f.Code)
	require.ErrorContains(t, err, "is already there")
	require.Equal(t, "meanwhile", contents(t, file))

	require.NoError(t, writeMeanwhile(true))
	require.Equal(t, "written", contents(t, file))
	left, err := os.ReadDir(filepath.Dir(file))
	require.NoError(t, err)
	require.Len(t, left, 1)
}

func contents(t *testing.T, file string) string {
	t.Helper()
	data, err := os.ReadFile(file)
	require.NoError(t, err)
	return string(data)
}

// A new file can be read by all and written by its owner; one that is replaced keeps its mode.
func TestModesOfFiles(t *testing.T) {
	file := filepath.Join(t.TempDir(), "a")
	o := Output{Path: file, Force: true}
	for _, mode := range []os.FileMode{0o644, 0o600} {
		require.NoError(t, o.WriteBytes(nil, []byte("x")))
		info, err := os.Stat(file)
		require.NoError(t, err)
		require.Equal(t, mode, info.Mode().Perm())
		require.NoError(t, os.Chmod(file, 0o600))
	}
}
