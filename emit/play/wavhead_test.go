package play_test

import (
	"bytes"
	"encoding/binary"
	"math"
	"strings"
	"testing"

	"furrow/emit/play"

	"github.com/stretchr/testify/require"
)

// The head of a WAV file of 1,000 samples of four channels at 100 kHz, field by field:
// RIFF/WAVE's extensible format, whose sub-format for PCM is
// 00000001-0000-0010-8000-00aa00389b71 (from memory).
func TestWAVHeadByHand(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, play.WriteWAVHead(&b, 100_000, 1000))
	h := b.Bytes()
	require.Len(t, h, 68)
	u16 := func(at int) int { return int(binary.LittleEndian.Uint16(h[at:])) }
	u32 := func(at int) int { return int(binary.LittleEndian.Uint32(h[at:])) }
	require.Equal(t, "RIFF WAVEfmt  data", string(h[:4])+" "+string(h[8:16])+" "+string(h[60:64]))
	require.Equal(t, []int{8060, 40, 100_000, 800_000, 0, 8000}, []int{u32(4), u32(16), u32(24), u32(28),
		u32(40), u32(64)})
	require.Equal(t, []int{0xfffe, 4, 8, 16, 22, 16}, []int{u16(20), u16(22), u16(32), u16(34), u16(36), u16(38)})
	require.Equal(t, "\x01\x00\x00\x00\x00\x00\x10\x00\x80\x00\x00\xaa\x00\x38\x9b\x71", string(h[44:60]))
}

// A file may be as long as its head can say: 4 GB less the head, in whole samples.
func TestLongestWAV(t *testing.T) {
	most := int64(math.MaxUint32-60) / 8
	require.NoError(t, play.WriteWAVHead(new(bytes.Buffer), 1, most))
	require.NoError(t, play.WriteWAVHead(new(bytes.Buffer), 1, 0))
	for _, bad := range []int64{most + 1, -1} {
		require.ErrorContains(t, play.WriteWAVHead(new(bytes.Buffer), 1, bad), "ask for fewer")
	}
}

// A line never says -0.
func TestNoMinusZeroInCSV(t *testing.T) {
	var b strings.Builder
	c, err := play.NewCSV(&b, 10)
	require.NoError(t, err)
	zero := math.Copysign(0, -1)
	require.NoError(t, c.Write([]play.Sample{{X: zero, Y: zero}, {X: -1, Y: 2.5, Power: 0.5, Gate: true}}))
	require.Equal(t, "seconds,x_mm,y_mm,power_percent,gate\n"+
		"0.0000000,0.0000,0.0000,0.00,0\n0.1000000,-1.0000,2.5000,50.00,1\n", b.String())
}
