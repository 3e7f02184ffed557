package code

import (
	"errors"
	"fmt"
	"image"
	"strings"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/datamatrix"
	"github.com/makiuchi-d/gozxing/oned"
	"github.com/makiuchi-d/gozxing/qrcode"
	goqr "github.com/piglig/go-qr"
)

// Read returns the value of the code of a kind in a picture, dark on light. It
// tries two ways, since each fails on some codes that others read: no reader gives
// another value than the code holds, for all correct what they read.
func Read(kind Kind, picture image.Image) (string, error) {
	if b := picture.Bounds(); b.Empty() {
		return "", fmt.Errorf("no %s in an empty picture", kind)
	}
	ways, err := readers(kind)
	if err != nil {
		return "", err
	}
	var failed error
	for _, way := range ways {
		var value string
		err := guarded(func() (err error) {
			value, err = way(picture)
			return err
		})
		if err == nil {
			return value, nil
		}
		failed = errors.Join(failed, err)
	}
	return "", failed
}

func readers(kind Kind) ([]func(image.Image) (string, error), error) {
	type way = func(image.Image) (string, error)
	switch kind {
	case DataMatrix:
		r := datamatrix.NewDataMatrixReader()
		return []way{find(r), sample(r)}, nil
	case QR:
		return []way{find(qrcode.NewQRCodeReader()), goqr.Decode}, nil
	case Code128:
		return []way{find(oned.NewCode128Reader())}, nil
	}
	_, err := encoderOf(kind)
	return nil, err
}

// find looks for the code, wherever it lies; sample takes the picture for the code
// alone, upright in its quiet zone.
func find(r gozxing.Reader) func(image.Image) (string, error) {
	return with(r, gozxing.DecodeHintType_TRY_HARDER)
}

func sample(r gozxing.Reader) func(image.Image) (string, error) {
	return with(r, gozxing.DecodeHintType_PURE_BARCODE)
}

func with(r gozxing.Reader, hint gozxing.DecodeHintType) func(image.Image) (string, error) {
	return func(picture image.Image) (string, error) {
		source := gozxing.NewLuminanceSourceFromImage(picture)
		bitmap, err := gozxing.NewBinaryBitmap(gozxing.NewGlobalHistgramBinarizer(source))
		if err != nil {
			return "", err
		}
		result, err := r.Decode(bitmap, map[gozxing.DecodeHintType]any{hint: true})
		if err != nil {
			return "", err
		}
		return textOf(result), nil
	}
}

func textOf(result *gozxing.Result) string {
	if result.GetBarcodeFormat() != gozxing.BarcodeFormat_DATA_MATRIX {
		return result.GetText()
	}
	segments, _ := result.GetResultMetadata()[gozxing.ResultMetadataType_BYTE_SEGMENTS].([][]byte)
	return fromLatin1(result.GetText(), segments)
}

// fromLatin1 makes text of what the library reads from a Data Matrix: bytes of
// Latin-1, but UTF-8 for those that stood in segments of whole bytes.
func fromLatin1(s string, segments [][]byte) string {
	var out strings.Builder
	latin1 := func(bytes string) {
		for i := range len(bytes) {
			out.WriteRune(rune(bytes[i]))
		}
	}
	for _, segment := range segments {
		var text strings.Builder
		for _, b := range segment {
			text.WriteRune(rune(b))
		}
		if before, after, ok := strings.Cut(s, text.String()); ok {
			latin1(before)
			out.WriteString(text.String())
			s = after
		}
	}
	latin1(s)
	return out.String()
}
