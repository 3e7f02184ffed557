package code

import (
	"fmt"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/datamatrix/decoder"
	"github.com/makiuchi-d/gozxing/datamatrix/encoder"
	"github.com/makiuchi-d/gozxing/oned"
	goqr "github.com/piglig/go-qr"
)

func encodeDataMatrix(s *Symbol) error {
	hints := map[gozxing.EncodeHintType]any{
		gozxing.EncodeHintType_DATA_MATRIX_SHAPE: encoder.SymbolShapeHint_FORCE_SQUARE,
	}
	bits, err := datamatrix.NewDataMatrixWriter().Encode(s.Value, gozxing.BarcodeFormat_DATA_MATRIX, 0, 0, hints)
	if err != nil {
		return err
	}
	s.take(bits.GetWidth(), bits.GetHeight(), bits.Get)
	return provenDataMatrix(s.Value, bits)
}

// provenDataMatrix decodes the modules: the writer passes over errors of its own.
func provenDataMatrix(value string, bits *gozxing.BitMatrix) error {
	read, err := decoder.NewDecoder().Decode(bits)
	if err != nil {
		return err
	}
	if text := fromLatin1(read.GetText(), read.GetByteSegments()); text != value {
		return fmt.Errorf("it would be read as %q", shortened(text))
	}
	return nil
}

// encodeCode128 lets the library choose between the sets A, B and C.
func encodeCode128(s *Symbol) error {
	hints := map[gozxing.EncodeHintType]any{gozxing.EncodeHintType_MARGIN: 0}
	bits, err := oned.NewCode128Writer().Encode(s.Value, gozxing.BarcodeFormat_CODE_128, 0, 1, hints)
	if err != nil {
		return err
	}
	s.take(bits.GetWidth(), 1, bits.Get)
	return nil
}

// utf8ECI is the number that AIM's register of extended channel interpretations
// gives UTF-8. Without it a reader takes bytes for another set of letters.
const utf8ECI = 26

func encodeQR(s *Symbol) error {
	segments, err := qrSegments(s.Value)
	if err != nil {
		return err
	}
	// 15 % of a symbol of level M can be lost; more where the size leaves room.
	qr, err := goqr.EncodeSegments(segments, goqr.Medium, goqr.MinVersion, goqr.MaxVersion, -1, true)
	if err != nil {
		return err
	}
	s.take(qr.Size(), qr.Size(), qr.Module)
	return nil
}

func qrSegments(value string) ([]*goqr.QrSegment, error) {
	if ascii(value) {
		return segmentsOfASCII(value)
	}
	eci, err := goqr.MakeEci(utf8ECI)
	if err != nil {
		return nil, err
	}
	text, err := goqr.MakeBytes([]byte(value))
	return []*goqr.QrSegment{eci, text}, err
}

// segmentsOfASCII returns the segments that take the fewest bits. How many they are
// depends on the version, in three ranges of them, so one of each is tried, and then
// the largest. The library itself, given all versions, looks on without end for what
// does not fit version 27.
func segmentsOfASCII(value string) (segments []*goqr.QrSegment, err error) {
	for _, version := range []int{goqr.MinVersion, 10, 27, goqr.MaxVersion} {
		segments, err = goqr.MakeSegmentsOptimally(value, goqr.Medium, version, version)
		if err == nil {
			break
		}
	}
	return segments, err
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] > 0x7f {
			return false
		}
	}
	return true
}

func (s *Symbol) take(cols, rows int, dark func(x, y int) bool) {
	s.cols, s.rows, s.dark = cols, rows, make([]bool, 0, cols*rows)
	for y := range rows {
		for x := range cols {
			s.dark = append(s.dark, dark(x, y))
		}
	}
}
