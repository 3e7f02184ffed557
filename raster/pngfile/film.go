package pngfile

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
)

// Film writes an animated PNG (PNG specification, third edition, chunks acTL,
// fcTL and fdAT), one frame at a time. Each frame is laid over the one before,
// so it holds only what has changed, with a transparent colour for the rest.
// Programs that know no animation show the still, which is not one of the frames:
// no fcTL comes before its IDAT.
type Film struct {
	w       io.Writer
	frames  int // still to come
	started bool
	size    image.Point
	chunks  uint32 // numbered chunks so far
	err     error
}

// NewFilm starts a film of a number of frames, shown over and over, with a still
// of the same size and palette as the frames.
func NewFilm(w io.Writer, still *image.Paletted, frames int, pxPerMM float64) *Film {
	f := &Film{w: w, frames: frames, size: still.Rect.Size()}
	parts, err := split(still)
	if err != nil {
		f.err = err
		return f
	}
	f.begin(parts, pxPerMM)
	return f
}

// Add writes the next frame, shown for delay milliseconds. The first fills the
// size from 0,0; the others lie where their bounds say. All have the still's
// palette.
func (f *Film) Add(img *image.Paletted, delayMS int) error {
	if f.err != nil {
		return f.err
	}
	if f.err = f.check(img, delayMS); f.err != nil {
		return f.err
	}
	parts, err := split(img)
	if err != nil {
		f.err = err
		return err
	}
	f.numbered("fcTL", frameControl(img.Rect, delayMS))
	f.numbered("fdAT", parts["IDAT"])
	f.started = true
	f.frames--
	return f.err
}

// Close ends the film.
func (f *Film) Close() error {
	if f.err == nil && f.frames != 0 {
		f.err = fmt.Errorf("film ends %d frames too early", f.frames)
	}
	f.write(chunk("IEND", nil))
	return f.err
}

func (f *Film) check(img *image.Paletted, delayMS int) error {
	whole := image.Rectangle{Max: f.size}
	switch {
	case f.frames <= 0:
		return errors.New("more frames than the film was begun with")
	case img.Rect.Empty() || !img.Rect.In(whole):
		return fmt.Errorf("frame %v does not lie in %v", img.Rect, whole)
	case !f.started && img.Rect != whole:
		return fmt.Errorf("the first frame is %v, not %v", img.Rect, whole)
	case delayMS < 0 || delayMS > 0xffff:
		return fmt.Errorf("a delay of %d ms is out of range", delayMS)
	}
	return nil
}

// begin writes what comes before the first frame: the still, parted.
func (f *Film) begin(still map[string][]byte, pxPerMM float64) {
	f.write([]byte("\x89PNG\r\n\x1a\n"))
	f.write(chunk("IHDR", still["IHDR"]))
	f.write(chunk("pHYs", physical(pxPerMM)))
	plays := make([]byte, 8) // 0 plays: without end
	binary.BigEndian.PutUint32(plays, uint32(f.frames))
	f.write(chunk("acTL", plays))
	f.write(chunk("PLTE", still["PLTE"]))
	if t := still["tRNS"]; t != nil {
		f.write(chunk("tRNS", t))
	}
	f.write(chunk("IDAT", still["IDAT"]))
}

// numbered writes a chunk that begins with the next number.
func (f *Film) numbered(kind string, data []byte) {
	b := binary.BigEndian.AppendUint32(nil, f.chunks)
	f.chunks++
	f.write(chunk(kind, append(b, data...)))
}

func (f *Film) write(b []byte) {
	if f.err == nil {
		_, f.err = f.w.Write(b)
	}
}

// frameControl returns the body of fcTL behind its number: size, place, delay in
// thousandths of a second, no disposal, blending over what is there.
func frameControl(r image.Rectangle, delayMS int) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(r.Dx()))
	b = binary.BigEndian.AppendUint32(b, uint32(r.Dy()))
	b = binary.BigEndian.AppendUint32(b, uint32(r.Min.X))
	b = binary.BigEndian.AppendUint32(b, uint32(r.Min.Y))
	b = binary.BigEndian.AppendUint16(b, uint16(delayMS))
	b = binary.BigEndian.AppendUint16(b, 1000)
	return append(b, 0, 1)
}

// split encodes img on its own and returns the bodies of its chunks, those of
// one kind joined.
func split(img *image.Paletted) (map[string][]byte, error) {
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		return nil, err
	}
	parts := map[string][]byte{}
	for rest := b.Bytes()[8:]; len(rest) >= 12; {
		n := binary.BigEndian.Uint32(rest)
		kind := string(rest[4:8])
		parts[kind] = append(parts[kind], rest[8:8+n]...)
		rest = rest[12+n:]
	}
	return parts, nil
}
