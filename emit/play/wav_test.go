package play_test

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/emit/clock"
	"furrow/emit/machine/byhand"
	"furrow/emit/play"
	"furrow/path"
	"furrow/path/outside"
)

// wav plays a random list into a file.
func wav(t *testing.T, rate int) (name string, all []play.Sample) {
	m := planned(t, byhand.Fibre(), program(rand.New(rand.NewPCG(7, 0)), 10))
	r, err := clock.Run(m, byhand.Fibre())
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, play.WriteWAVHead(&b, rate, play.Count(r.Total(), rate)))
	pcm := play.NewPCM(&b, m.Header.Field)
	_, err = play.Run(m, byhand.Fibre(), play.Options{Rate: rate}, func(s []play.Sample) error {
		all = append(all, s...)
		return pcm.Write(s)
	})
	require.NoError(t, err)
	name = filepath.Join(t.TempDir(), "a.wav")
	require.NoError(t, os.WriteFile(name, b.Bytes(), 0o600))
	return name, all
}

// An audio program reads the file as it was meant: its channels, rate and length,
// and the same numbers.
func TestWAVIsReadByOthers(t *testing.T) {
	sox := outside.Program(t, "sox")
	for _, rate := range []int{44_100, 48_000, 96_000, 100_000, 192_000} {
		name, all := wav(t, rate)
		info, err := exec.Command(sox, "--info", name).CombinedOutput()
		require.NoError(t, err, string(info))
		text := strings.Join(strings.Fields(string(info)), " ")
		assert.Contains(t, text, "Channels : 4")
		assert.Contains(t, text, "Precision : 16-bit")
		out, err := exec.Command(sox, "--info", "-s", name).Output()
		require.NoError(t, err)
		assert.Equal(t, len(all), atoi(t, strings.TrimSpace(string(out))))
		out, err = exec.Command(sox, "--info", "-r", name).Output()
		require.NoError(t, err)
		assert.Equal(t, rate, atoi(t, strings.TrimSpace(string(out))))

		raw, err := exec.Command(sox, "-D", name, "-t", "raw", "-e", "signed-integer", "-b", "16", "-L", "-").Output()
		require.NoError(t, err)
		require.Len(t, raw, 8*len(all))
		for i, s := range all {
			is := func(c int, want float64) bool {
				return math.Abs(float64(int16(binary.LittleEndian.Uint16(raw[8*i+2*c:])))-32767*want) <= 0.51
			}
			if !is(0, s.X/87.5) || !is(1, s.Y/87.5) || !is(2, s.Power) || is(3, 1) != s.Gate {
				require.Fail(t, "another sample", "%d: %v is %v", i, s, raw[8*i:8*i+8])
			}
		}
	}
}

func atoi(t *testing.T, s string) (n int) {
	for _, r := range s {
		require.True(t, r >= '0' && r <= '9', s)
		n = 10*n + int(r-'0')
	}
	return n
}

func TestWAVTooLarge(t *testing.T) {
	assert.Error(t, play.WriteWAVHead(io.Discard, 100_000, 1<<29))
	assert.Error(t, play.WriteWAVHead(io.Discard, 100_000, -1))
	assert.NoError(t, play.WriteWAVHead(io.Discard, 100_000, 30*60*100_000))
}

// What lies off the field is held at its edge, not wrapped round.
func TestPCMHolds(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, play.NewPCM(&b, path.Point{X: 100,
		Y: 100}).Write([]play.Sample{{X: 60, Y: -60, Power: 2, Gate: true}, {X: 25, Y: -50}}))
	assert.Equal(t, []byte{0xff, 0x7f, 0x01, 0x80, 0xff, 0x7f, 0xff, 0x7f, 0x00, 0x40, 0x01, 0x80, 0, 0,
		0, 0}, b.Bytes())
	b.Reset() // each way by its own: half of 50 mm and a quarter of 50
	require.NoError(t, play.NewPCM(&b, path.Point{X: 100, Y: 50}).Write([]play.Sample{{X: 25, Y: 6.25}}))
	assert.Equal(t, []byte{0x00, 0x40, 0x00, 0x20, 0, 0, 0, 0}, b.Bytes())
}

func TestCSV(t *testing.T) {
	var b strings.Builder
	c, err := play.NewCSV(&b, 100_000)
	require.NoError(t, err)
	require.NoError(t, c.Write([]play.Sample{{}, {X: 1.23456, Y: -2, Power: 0.5, Gate: true}}))
	assert.Equal(t, "seconds,x_mm,y_mm,power_percent,gate\n"+
		"0.0000000,0.0000,0.0000,0.00,0\n0.0000100,1.2346,-2.0000,50.00,1\n", b.String())
}

// BenchmarkPCM plays rows of 10 mm into 16-bit channels.
func BenchmarkPCM(b *testing.B) {
	block := make([]play.Sample, 8192)
	for i := range block {
		block[i] = play.Sample{X: float64(i) / 100, Y: 3, Power: 0.5, Gate: i%2 == 0}
	}
	p := play.NewPCM(io.Discard, path.Point{X: 175, Y: 175})
	for b.Loop() {
		p.Write(block)
	}
	b.ReportMetric(float64(b.N)*float64(len(block))/b.Elapsed().Seconds()/1e6, "Msamples/s")
}
