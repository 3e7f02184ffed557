//go:build unix

package main

import (
	"crypto/sha256"
	"encoding/hex"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"furrow/cmd/furrow/internal/order"
	"furrow/path/outside"
)

// A process that makes an order, and makes it anew with other parts, is killed at
// random moments: its folder is always a whole order, of one kind or the other, whose
// files are those that its record names.
func TestKilledOrder(t *testing.T) {
	t.Parallel()
	kills := 8
	if outside.Strict() {
		kills = 200
	}
	dir := t.TempDir()
	program := filepath.Join(dir, "furrow") // TestMain runs the program under this name
	self, err := os.Executable()
	require.NoError(t, err)
	require.NoError(t, os.Symlink(self, program))
	out := filepath.Join(dir, "tags")
	make := func(quantity int) *exec.Cmd {
		return exec.Command(program, "order", orderJob(t, dir, "example-co2", quantity, 150), "-o", out, "-q")
	}
	start := time.Now()
	require.NoError(t, make(4).Run())
	whole := time.Since(start)
	seed := uint64(time.Now().UnixNano())
	r := rand.New(rand.NewPCG(seed, 0))
	for n := range kills {
		c := make(3 + n%2*4) // of one load, or of two
		require.NoError(t, c.Start())
		time.Sleep(time.Duration(r.Int64N(int64(whole) * 3 / 2)))
		c.Process.Kill() // it may have ended
		c.Wait()
		requireWhole(t, out, seed)
	}
	require.NoError(t, make(4).Run())
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	require.Len(t, entries, 4, "program, artwork, job and folder; nothing is left of what was killed")
}

func requireWhole(t *testing.T, dir string, seed uint64) {
	t.Helper()
	old, err := order.Open(dir)
	require.NoError(t, err, "seed %d", seed)
	require.NotEmpty(t, old.Outputs)
	for _, o := range old.Outputs {
		requireDigest(t, filepath.Join(dir, o.Name), o.SHA256, seed)
	}
	for _, in := range old.Inputs {
		requireDigest(t, old.Inside(in), in.SHA256, seed)
	}
}

func requireDigest(t *testing.T, name, want string, seed uint64) {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err, "seed %d", seed)
	sum := sha256.Sum256(data)
	require.Equal(t, want, hex.EncodeToString(sum[:]), "%s, seed %d", name, seed)
}
