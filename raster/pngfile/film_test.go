package pngfile_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"testing"

	"furrow/raster/pngfile"

	"github.com/stretchr/testify/require"
)

// piece is a chunk of a PNG file (PNG specification, third edition, section 5.3).
type piece struct {
	kind string
	data []byte
}

// pieces takes a file apart and checks each CRC.
func pieces(t *testing.T, file []byte) (all []piece) {
	t.Helper()
	require.Equal(t, "\x89PNG\r\n\x1a\n", string(file[:8]))
	for rest := file[8:]; len(rest) > 0; {
		n := int(binary.BigEndian.Uint32(rest))
		p := piece{string(rest[4:8]), rest[8 : 8+n]}
		require.Equal(t, crc32.ChecksumIEEE(rest[4:8+n]), binary.BigEndian.Uint32(rest[8+n:]), p.kind)
		all = append(all, p)
		rest = rest[12+n:]
	}
	return all
}

func shade(r image.Rectangle, index uint8) *image.Paletted {
	img := image.NewPaletted(r, color.Palette{color.Gray{0}, color.Gray{90}, color.NRGBA{200, 0, 0, 128}})
	for i := range img.Pix {
		img.Pix[i] = index
	}
	return img
}

// A film of three frames, the second of a part only, read by the words of the PNG
// specification (third edition, sections 11.3.2 and 13.5.3): acTL, and for each frame an
// fcTL with its place and time in milliseconds; the picture that viewers show that
// know no animation is the last.
func TestFilmByTheSpecification(t *testing.T) {
	whole, part := image.Rect(0, 0, 40, 30), image.Rect(5, 7, 25, 17)
	var b bytes.Buffer
	f := pngfile.NewFilm(&b, shade(whole, 1), 3, 10)
	require.NoError(t, f.Add(shade(whole, 0), 40))
	require.NoError(t, f.Add(shade(part, 1), 65535))
	require.NoError(t, f.Add(shade(whole, 2), 2000))
	require.NoError(t, f.Close())
	still, err := png.Decode(bytes.NewReader(b.Bytes()))
	require.NoError(t, err)
	require.Equal(t, whole, still.Bounds())
	r, _, _, _ := still.At(3, 3).RGBA()
	require.Equal(t, uint32(90), r>>8)

	all := pieces(t, b.Bytes())
	require.Equal(t, "IHDR", all[0].kind)
	require.Equal(t, "IEND", all[len(all)-1].kind)
	var controls [][]byte
	count, sequence := 0, uint32(0)
	kinds := map[string]int{}
	for _, p := range all {
		kinds[p.kind]++
		switch p.kind {
		case "acTL":
			require.Equal(t, "\x00\x00\x00\x03\x00\x00\x00\x00", string(p.data), "three frames, without end")
			require.Zero(t, kinds["IDAT"], "before the still")
			count = int(binary.BigEndian.Uint32(p.data))
		case "fcTL", "fdAT":
			require.Equal(t, sequence, binary.BigEndian.Uint32(p.data), "one after the other")
			sequence++
			if p.kind == "fcTL" {
				controls = append(controls, p.data[4:])
			}
		}
	}
	require.Equal(t, 3, count)
	require.Len(t, controls, 3)
	require.Equal(t, 1, kinds["pHYs"])
	require.Positive(t, kinds["tRNS"], "for the half clear colour")
	for i, want := range []struct {
		at image.Rectangle
		ms uint16
	}{{whole, 40}, {part, 65535}, {whole, 2000}} {
		n := func(k int) int { return int(binary.BigEndian.Uint32(controls[i][4*k:])) }
		require.Equal(t, want.at, image.Rect(n(2), n(3), n(2)+n(0), n(3)+n(1)), "frame %d", i)
		require.Equal(t, want.ms, binary.BigEndian.Uint16(controls[i][16:]))
		require.Equal(t, uint16(1000), binary.BigEndian.Uint16(controls[i][18:]))
		require.Equal(t, "\x00\x01", string(controls[i][20:]), "none disposed of, laid over what is there")
	}
}

func TestFilmRefusesFrames(t *testing.T) {
	whole := image.Rect(0, 0, 8, 8)
	add := func(frames int, adds ...func(*pngfile.Film) error) error {
		f := pngfile.NewFilm(&bytes.Buffer{}, shade(whole, 0), frames, 10)
		for _, a := range adds {
			if err := a(f); err != nil {
				return err
			}
		}
		return f.Close()
	}
	frame := func(r image.Rectangle, ms int) func(*pngfile.Film) error {
		return func(f *pngfile.Film) error { return f.Add(shade(r, 0), ms) }
	}
	require.NoError(t, add(1, frame(whole, 0)))
	require.NoError(t, add(2, frame(whole, 65535), frame(image.Rect(1, 1, 8, 8), 1)))
	for want, err := range map[string]error{
		"film ends 1 frames too early":                    add(2, frame(whole, 1)),
		"more frames than the film was begun with":        add(1, frame(whole, 1), frame(whole, 1)),
		"the first frame is (0,0)-(4,4), not (0,0)-(8,8)": add(1, frame(image.Rect(0, 0, 4, 4), 1)),
		"frame (4,4)-(9,8) does not lie in (0,0)-(8,8)":   add(2, frame(whole, 1), frame(image.Rect(4, 4, 9, 8), 1)),
		"frame (-1,4)-(4,8) does not lie in (0,0)-(8,8)":  add(2, frame(whole, 1), frame(image.Rect(-1, 4, 4, 8), 1)),
		"frame (4,4)-(4,8) does not lie in (0,0)-(8,8)":   add(2, frame(whole, 1), frame(image.Rect(4, 4, 4, 8), 1)),
		"a delay of -1 ms is out of range":                add(1, frame(whole, -1)),
		"a delay of 65536 ms is out of range":             add(1, frame(whole, 65536)),
		"png: invalid format: invalid image size: 0x0": pngfile.NewFilm(&bytes.Buffer{},
			shade(image.Rectangle{}, 0), 0, 10).Close(),
	} {
		require.EqualError(t, err, want)
	}
	require.EqualError(t, add(0, frame(whole, 1)), "more frames than the film was begun with")
}

// Wherever writing fails, the error comes back, and stays.
func TestFilmReturnsWriteErrors(t *testing.T) {
	whole := image.Rect(0, 0, 16, 16)
	write := func(w *fullDisk) error {
		f := pngfile.NewFilm(w, shade(whole, 0), 2, 10)
		for range 2 {
			_ = f.Add(shade(whole, 1), 10)
		}
		return f.Close()
	}
	w := &fullDisk{room: 1 << 20}
	require.NoError(t, write(w))
	size := 1<<20 - w.room
	for room := range size {
		require.ErrorIs(t, write(&fullDisk{room: room}), errFull, "%d of %d bytes", room, size)
	}
	for room := range 60 {
		require.ErrorIs(t, pngfile.Encode(&fullDisk{room: room}, shade(whole, 0), 10), errFull, "%d bytes", room)
	}
}
