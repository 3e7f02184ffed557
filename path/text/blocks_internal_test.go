package text

import (
	"bytes"
	"io"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is read in blocks is what the file holds, wherever and however much is asked for; of
// another file nothing of the first one is left.
func TestBlocksReadAsTheFileDoes(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	var b blocks
	for _, size := range []int{0, 1, 4095, 4096, 4097, 8192, 300_000} {
		data := make([]byte, size)
		for i := range data {
			data[i] = byte(r.Uint32())
		}
		file := bytes.NewReader(data)
		b.open(file)
		for range 2000 {
			at, n := r.Int64N(int64(size)+9000), r.IntN(9000)
			if r.IntN(2) == 0 {
				at, n = at/4096*4096, 1+r.IntN(2) // the first bytes of a block
			}
			got, want := make([]byte, n), make([]byte, n)
			gotN, gotErr := b.ReadAt(got, at)
			wantN, wantErr := file.ReadAt(want, at)
			require.Equal(t, wantN, gotN, "%d bytes at %d of %d", n, at, size)
			require.Equal(t, want, got)
			if n > 0 { // of nothing at the end either is right
				require.Equal(t, wantErr, gotErr, "%d bytes at %d of %d", n, at, size)
			}
		}
		_, err := b.ReadAt(make([]byte, 1), -1)
		require.Error(t, err)
	}
}

// Many small reads of a file are few of the system's.
func TestBlocksReadSeldom(t *testing.T) {
	file := &counted{ReaderAt: bytes.NewReader(make([]byte, 60_000))}
	var b blocks
	b.open(file)
	for range 10 {
		for at := int64(0); at < 60_000; at += 100 {
			_, err := b.ReadAt(make([]byte, 20), at)
			require.NoError(t, err)
		}
	}
	require.Equal(t, 15, file.reads)
}

type counted struct {
	io.ReaderAt
	reads int
}

func (c *counted) ReadAt(p []byte, at int64) (int, error) {
	c.reads++
	return c.ReaderAt.ReadAt(p, at)
}
