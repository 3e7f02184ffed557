// Package pngfile writes PNG files that carry their physical resolution.
package pngfile

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/png"
	"io"
	"math"
)

// Encode writes img as a PNG of pxPerMM pixels a millimetre, so that it prints
// at true size (chunk pHYs of the PNG specification, third edition, 11.3.4.3).
func Encode(w io.Writer, img image.Image, pxPerMM float64) error {
	s := &splicer{w: w, at: afterIHDR, chunk: chunk("pHYs", physical(pxPerMM))}
	enc := png.Encoder{CompressionLevel: png.BestSpeed}
	return enc.Encode(s, img)
}

// afterIHDR is the length of the signature and the first chunk, which has a
// fixed size (PNG specification, 5.2 and 11.2.1).
const afterIHDR = 8 + 12 + 13

func physical(pxPerMM float64) []byte {
	b := make([]byte, 9)
	perMetre := uint32(math.Round(min(pxPerMM*1000, math.MaxInt32)))
	binary.BigEndian.PutUint32(b, perMetre)
	binary.BigEndian.PutUint32(b[4:], perMetre)
	b[8] = 1 // the unit is the metre
	return b
}

// chunk frames data: length, type, data, and a CRC of the last two.
func chunk(kind string, data []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	b = append(append(b, kind...), data...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// splicer puts one chunk into a stream after its first bytes.
type splicer struct {
	w     io.Writer
	at    int // bytes still to pass before the chunk; -1 once it is written
	chunk []byte
}

func (s *splicer) Write(p []byte) (int, error) {
	if s.at < 0 {
		return s.w.Write(p)
	}
	var b bytes.Buffer
	n := min(s.at, len(p))
	b.Write(p[:n])
	if s.at -= n; s.at == 0 {
		b.Write(s.chunk)
		s.at = -1
	}
	b.Write(p[n:])
	if _, err := s.w.Write(b.Bytes()); err != nil {
		return 0, err
	}
	return len(p), nil
}
