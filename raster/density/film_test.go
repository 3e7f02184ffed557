package density_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path"
	"furrow/path/outside"
	"furrow/raster/density"
)

func filmed(t *testing.T, p path.Program, seconds float64, size int) []byte {
	t.Helper()
	o := withFacts(p, density.Options{MarkWidthMM: 0.25, Blank: corner(60, 40), Size: size})
	var b bytes.Buffer
	require.NoError(t, density.EncodeFilm(&b, p, o, seconds))
	return b.Bytes()
}

// frame is one of an animated PNG, composed over those before, and how long it
// is shown.
type frame struct {
	img *image.RGBA
	ms  float64
}

// play composes the frames of an animated PNG as its specification says (PNG
// third edition, 11.3.6), leaving the pictures themselves to image/png.
func play(t *testing.T, file []byte) (frames []frame) {
	t.Helper()
	var head []byte // signature to the last chunk before the first frame
	var control, data []byte
	number := uint32(0)
	next := func(b []byte) []byte {
		require.Equal(t, number, binary.BigEndian.Uint32(b), "chunks are numbered from 0")
		number++
		return b[4:]
	}
	finish := func() {
		if data != nil {
			frames = append(frames, compose(t, frames, head, control, data))
			data = nil
		}
	}
	for at := 8; at < len(file); {
		n := int(binary.BigEndian.Uint32(file[at:]))
		kind, body := string(file[at+4:at+8]), file[at+8:at+8+n]
		require.Equal(t, crc32.ChecksumIEEE(file[at+4:at+8+n]), binary.BigEndian.Uint32(file[at+8+n:]))
		switch kind {
		case "fcTL":
			finish()
			control = next(body)
		case "IDAT":
			assert.Nil(t, control, "the still is no frame")
		case "fdAT":
			data = append(data, next(body)...)
		case "acTL":
			defer func(n uint32) { assert.Len(t, frames, int(n)) }(binary.BigEndian.Uint32(body))
		case "IEND":
			finish()
		case "pHYs":
		default:
			head = append(head, file[at:at+12+n]...)
		}
		at += 12 + n
	}
	return frames
}

func compose(t *testing.T, before []frame, head, control, data []byte) frame {
	t.Helper()
	word := func(i int) int { return int(binary.BigEndian.Uint32(control[i:])) }
	one := bytes.NewBufferString("\x89PNG\r\n\x1a\n")
	size := bytes.Clone(head)
	copy(size[8:16], control[:8]) // the frame's width and height
	binary.BigEndian.PutUint32(size[21:], crc32.ChecksumIEEE(size[4:21]))
	one.Write(size)
	one.Write(framed("IDAT", data))
	one.Write(framed("IEND", nil))
	img, err := png.Decode(one)
	require.NoError(t, err)
	var over *image.RGBA
	if len(before) == 0 {
		over = image.NewRGBA(image.Rect(0, 0, word(0), word(4)))
	} else {
		last := before[len(before)-1].img
		over = &image.RGBA{Pix: bytes.Clone(last.Pix), Stride: last.Stride, Rect: last.Rect}
	}
	draw.Draw(over, img.Bounds().Add(image.Pt(word(8), word(12))), img, image.Point{}, draw.Over)
	delay := float64(binary.BigEndian.Uint16(control[16:])) / float64(binary.BigEndian.Uint16(control[18:]))
	return frame{over, delay * 1000}
}

func framed(kind string, data []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// darkness sums how far the pixels are from white.
func darkness(img *image.RGBA) (sum float64) {
	for i := 0; i < len(img.Pix); i += 4 {
		sum += float64(255-img.Pix[i]) / 255
	}
	return sum
}

func TestFilmRunsInTheMachinesTime(t *testing.T) {
	p := hatched(40, 20, 0.25, 0)
	frames := play(t, filmed(t, p, 4, 500))
	require.Len(t, frames, 60)
	whole := 0.0
	for i, f := range frames {
		whole += f.ms
		if i > 0 {
			assert.GreaterOrEqual(t, darkness(f.img), darkness(frames[i-1].img), "frame %d", i)
		}
	}
	assert.InDelta(t, 4000+2000, whole, 100, "and the last is held for 2 s")
	// Rows of one length take the same time each: half the marks by half the time.
	first, last := darkness(frames[0].img), darkness(frames[59].img)
	assert.InEpsilon(t, 0.5, (darkness(frames[30].img)-first)/(last-first), 0.05)
}

// A viewer that knows no animation, as image/png, shows the finished part.
func TestStillOfAFilmIsItsEnd(t *testing.T) {
	film := filmed(t, emblem(), 1, 500)
	still, err := png.Decode(bytes.NewReader(film))
	require.NoError(t, err)
	frames := play(t, film)
	last := frames[len(frames)-1].img
	got := image.NewRGBA(still.Bounds())
	draw.Draw(got, got.Rect, still, image.Point{}, draw.Src)
	assert.True(t, bytes.Equal(last.Pix, got.Pix))
	assert.Greater(t, darkness(got), darkness(frames[0].img)+1000)
}

// The last frame is the whole job, as the picture of its rows shows it where they
// show one by one, but for the pixels where a stroke was cut in two, which each half covers in part, and
// the corners of outlines.
func TestFilmEndsWithTheWholeJob(t *testing.T) {
	p := emblem()
	frames := play(t, filmed(t, p, 1, 1100))
	o := withFacts(p, density.Options{Show: density.ShowRows, MarkWidthMM: 0.25, Blank: corner(60, 40), Size: 1100})
	pic, err := density.Picture(p, o)
	require.NoError(t, err)
	want, at := pic.Image(), pic.PlotAt()
	differ := 0
	got := frames[len(frames)-1].img
	for y := at.Y; y < at.Y+600; y++ {
		for x := at.X; x < at.X+900; x++ {
			d := math.Abs(float64(want.RGBAAt(x, y).R) - float64(got.RGBAAt(x, y).R))
			if d > 2 {
				differ++
			}
		}
	}
	assert.Less(t, differ, 600*900/50)
}

func TestFilmRefuses(t *testing.T) {
	p := emblem()
	good := withFacts(p, density.Options{})
	for _, seconds := range []float64{-1, 0.1, 1e9, math.NaN()} {
		assert.Error(t, density.EncodeFilm(io.Discard, p, good, seconds), "%g s", seconds)
	}
	assert.Error(t, density.EncodeFilm(io.Discard, p, density.Options{}, 8), "without times")
	fine := good
	fine.DPI = 2000
	assert.ErrorIs(t, density.EncodeFilm(io.Discard, p, fine, 8), density.ErrTooLarge)
	assert.ErrorIs(t, density.EncodeFilm(io.Discard, path.Program{}, density.Options{}, 8), density.ErrNothing)
	still := good
	still.Marking = make([]path.Marking, len(good.Marking))
	assert.Error(t, density.EncodeFilm(io.Discard, p, still, 8), "without any time")
}

func TestPngcheckAcceptsTheFilm(t *testing.T) {
	tool := outside.Program(t, "pngcheck")
	file := filepath.Join(t.TempDir(), "film.png")
	require.NoError(t, os.WriteFile(file, filmed(t, emblem(), 1, 500), 0o600))
	assert.Contains(t, run(t, tool, "-v", file), "No errors detected")
}
