//go:build unix

package product_test

import (
	"io"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/product"
)

// A person who asks for the end while a folder is made finds what was there before, and
// nothing under a hidden name beside it; a folder that is done listens no more. Not parallel:
// the whole process is asked.
func TestInterruptedFolder(t *testing.T) {
	parent := t.TempDir()
	dir := filepath.Join(parent, "tags")
	text := func(s string) func(io.Writer) error {
		return func(w io.Writer) error {
			_, err := io.WriteString(w, s)
			return err
		}
	}
	f, err := product.NewFolder(dir, "order.toml")
	require.NoError(t, err)
	require.NoError(t, f.Write("order.toml", text("first")))
	_, err = f.End(nil, nil)
	require.NoError(t, err)

	for _, sig := range []syscall.Signal{syscall.SIGINT, syscall.SIGTERM, syscall.SIGHUP} {
		for _, atEnd := range []bool{false, true} {
			f, err := product.NewFolder(dir, "order.toml")
			require.NoError(t, err)
			require.NoError(t, f.Write("order.toml", text("second")))
			require.NoError(t, syscall.Kill(os.Getpid(), sig))
			if atEnd {
				time.Sleep(50 * time.Millisecond)
			} else {
				require.Eventually(t, func() bool { err = f.Write("load", text("x")); return err != nil }, 5*time.Second,
					time.Millisecond)
			}
			_, err = f.End(err, nil)
			require.ErrorContains(t, err, "interrupted")
			entries, err := os.ReadDir(parent)
			require.NoError(t, err)
			require.Len(t, entries, 1, "%v", sig)
			got, err := os.ReadFile(filepath.Join(dir, "order.toml"))
			require.NoError(t, err)
			require.Equal(t, "first", string(got))
		}
	}
}
