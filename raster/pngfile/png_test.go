package pngfile_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path/outside"
	"furrow/raster/pngfile"
)

// picture is a small image of many colours.
func picture(w, h int) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = uint8(i * 7)
		if i%4 == 3 {
			img.Pix[i] = 255
		}
	}
	return img
}

func TestEncodeKeepsPixelsAndSize(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, pngfile.Encode(&b, picture(40, 30), 300/25.4))
	got, err := png.Decode(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	for y := range 30 {
		for x := range 40 {
			require.Equal(t, picture(40, 30).At(x, y), got.At(x, y))
		}
	}
	// PNG specification, third edition, 11.3.4.3: pixels per metre in X and Y,
	// then 1 for the metre. 300 dpi is 11811 a metre.
	i := bytes.Index(b.Bytes(), []byte("pHYs"))
	require.Positive(t, i)
	assert.Equal(t, uint32(11811), binary.BigEndian.Uint32(b.Bytes()[i+4:]))
	assert.Equal(t, uint32(11811), binary.BigEndian.Uint32(b.Bytes()[i+8:]))
	assert.Equal(t, byte(1), b.Bytes()[i+12])
}

// pngcheck is Debian's.
func TestPngcheckAccepts(t *testing.T) {
	tool := outside.Program(t, "pngcheck")
	file := filepath.Join(t.TempDir(), "a.png")
	var b bytes.Buffer
	require.NoError(t, pngfile.Encode(&b, picture(300, 200), 20))
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o600))
	out, err := exec.Command(tool, "-v", file).CombinedOutput()
	require.NoError(t, err, string(out))
	assert.Contains(t, string(out), "20000x20000 pixels/meter")
	assert.Contains(t, string(out), "No errors detected")
}

type fullDisk struct{ room int }

var errFull = errors.New("no space left")

func (f *fullDisk) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestEncodeReportsTheFirstWriteError(t *testing.T) {
	for _, room := range []int{0, 20, 40, 500} {
		err := pngfile.Encode(&fullDisk{room}, picture(100, 100), 10)
		assert.ErrorIs(t, err, errFull, "room for %d bytes", room)
	}
}
