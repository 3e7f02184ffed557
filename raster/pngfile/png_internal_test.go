package pngfile

import (
	"bytes"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The chunk stands behind the first bytes, in however many pieces they come.
func TestSplicerMindsNoPieces(t *testing.T) {
	for size := 1; size <= 12; size++ {
		var b bytes.Buffer
		s := &splicer{w: &b, at: 5, chunk: []byte("CHUNK")}
		for rest := "abcdefghijkl"; rest != ""; {
			n, err := s.Write([]byte(rest[:min(size, len(rest))]))
			require.NoError(t, err)
			require.Equal(t, min(size, len(rest)), n)
			rest = rest[n:]
		}
		require.Equal(t, "abcdeCHUNKfghijkl", b.String(), "%d at once", size)
		require.Equal(t, 1, strings.Count(b.String(), "CHUNK"))
	}
}

// A resolution is whole pixels a metre, of 31 bits (PNG specification, third edition,
// 7.1), with 1 for the metre.
func TestPhysicalSize(t *testing.T) {
	require.Equal(t, "\x00\x00\x27\x10\x00\x00\x27\x10\x01", string(physical(10)))
	require.Equal(t, "\x00\x00\x2e\x23\x00\x00\x2e\x23\x01", string(physical(300/25.4)), "11811.02")
	require.Equal(t, "\x7f\xff\xff\xff\x7f\xff\xff\xff\x01", string(physical(math.Inf(1))))
}
