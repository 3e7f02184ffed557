package product

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A file appears under a second name, with its own bytes and mode; where the file system
// has no links across, as from a disk to memory, it is copied, and a link stays one.
func TestLinks(t *testing.T) {
	dirs := []string{t.TempDir()}
	if memory, err := os.MkdirTemp("/dev/shm", "furrow-test-"); err == nil {
		t.Cleanup(func() { os.RemoveAll(memory) })
		dirs = append(dirs, memory)
	}
	from := filepath.Join(t.TempDir(), "a")
	require.NoError(t, os.WriteFile(from, []byte("bytes"), 0o640))
	symbolic := filepath.Join(t.TempDir(), "s")
	require.NoError(t, os.Symlink("there", symbolic))
	for _, dir := range dirs {
		to := filepath.Join(dir, "b")
		require.NoError(t, link(from, to))
		data, err := os.ReadFile(to)
		require.NoError(t, err)
		require.Equal(t, "bytes", string(data))
		info, err := os.Stat(to)
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o640), info.Mode().Perm())
		require.NoError(t, link(symbolic, filepath.Join(dir, "t")))
		leads, err := os.Readlink(filepath.Join(dir, "t"))
		require.NoError(t, err)
		require.Equal(t, "there", leads)
		require.Error(t, link(filepath.Join(dir, "none"), filepath.Join(dir, "c")))
		require.NoError(t, relink(from, to))
		require.Error(t, relink(from, filepath.Join(dir, "none")))
	}
}

// What is made beside its place has a name that begins as its own does, whatever its length:
// up to 100 bytes all of it, else the first 64 and what tells it from others.
func TestNamesInTheMaking(t *testing.T) {
	hundred := strings.Repeat("a", 100)
	require.Equal(t, ".furrow-tags-", hidden("orders/tags"))
	require.Equal(t, ".furrow-"+hundred+"-", hidden(hundred))
	b, c := hidden(hundred+"b"), hidden(hundred+"c")
	require.NotEqual(t, b, c)
	for _, long := range []string{b, c} {
		require.True(t, strings.HasPrefix(long, ".furrow-"+hundred[:64]+"~"), long)
		require.Len(t, long, len(".furrow-")+64+len("~01234567-"))
	}
}
