package product

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func named(t *testing.T, dir, name, text string) string {
	t.Helper()
	name = filepath.Join(dir, name)
	require.NoError(t, os.MkdirAll(filepath.Dir(name), 0o755))
	require.NoError(t, os.WriteFile(name, []byte(text), 0o600))
	return name
}

func textOf(t *testing.T, dir, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return string(data)
}

// Files are equal byte by byte; one that is not there is an error, on either side.
func TestEqualFiles(t *testing.T) {
	dir := t.TempDir()
	a, b, same, longer := named(t, dir, "a", "12"), named(t, dir, "b", "13"), named(t, dir, "c", "12"),
		named(t, dir, "d", "123")
	for other, want := range map[string]bool{a: true, same: true, b: false, longer: false} {
		got, err := equal(a, other)
		require.NoError(t, err)
		require.Equal(t, want, got, other)
	}
	none := filepath.Join(dir, "none")
	_, err := equal(a, none)
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = equal(none, a)
	require.ErrorIs(t, err, os.ErrNotExist)
}

// Two folders change their places, on any system; where the second step fails, what was
// there is there again.
func TestExchangeInSteps(t *testing.T) {
	for _, exchanged := range []func(a, b string) error{exchangeInSteps, exchange} {
		dir := t.TempDir()
		named(t, dir, "new/x", "new")
		named(t, dir, "old/x", "old")
		at := func(s string) string { return filepath.Join(dir, s) }
		require.NoError(t, exchanged(at("new"), at("old")))
		require.Equal(t, "new", textOf(t, dir, "old/x"))
		require.Equal(t, "old", textOf(t, dir, "new/x"))
		require.Error(t, exchanged(at("none"), at("old")))
		require.Equal(t, "new", textOf(t, dir, "old/x"))
		require.Error(t, exchanged(at("new"), at("none")))
		entries, err := os.ReadDir(dir)
		require.NoError(t, err)
		require.Len(t, entries, 2)
	}
}

// A run that was killed between the two steps has left the earlier folder aside: the next
// one puts it back before it looks what is there.
func TestEarlierFolderComesBack(t *testing.T) {
	parent := t.TempDir()
	named(t, parent, ".furrow-tags-999999999-1.earlier/order.toml", "kept")
	named(t, parent, ".furrow-tags-999999999-1/order.toml", "half made")
	f, err := NewFolder(filepath.Join(parent, "tags"), "order.toml")
	require.NoError(t, err)
	require.True(t, f.old)
	require.Equal(t, "kept", textOf(t, parent, "tags/order.toml"))
	require.NoDirExists(t, filepath.Join(parent, ".furrow-tags-999999999-1"))
	require.NoError(t, os.RemoveAll(f.tmp))
}
