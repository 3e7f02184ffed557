package code_test

import (
	"image"
	"image/color"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path/code"
)

// picture draws a symbol by its modules alone, with a quiet zone of 10 of them.
func picture(s code.Symbol, px int) *image.Gray {
	cols, rows := s.Size()
	high := px
	if rows == 1 {
		high = 40 * px
	}
	img := image.NewGray(image.Rect(0, 0, (cols+20)*px, rows*high+20*px))
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			row := (y - 10*px) / high
			if y < 10*px {
				row = -1
			}
			if !s.Dark(x/px-10, row) {
				img.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	return img
}

func encode(t *testing.T, kind code.Kind, value string) code.Symbol {
	t.Helper()
	s, err := code.Encode(kind, value)
	require.NoError(t, err)
	return s
}

// words are in five scripts, and in letters that two of the kinds can hold.
var words = map[string][]code.Kind{
	"0417":                     code.Kinds(),
	"Q-1 / acer 417":           code.Kinds(),
	"Tilia × europaea, Müller": {code.QR, code.DataMatrix},
	"Ã¼ÿÿÿÿÿÿÿÿÿÿÿÿÿÿ AB Ã¼": {code.QR, code.DataMatrix}, // bytes of Latin-1 that would be UTF-8 too
	"Ελιά 12":           {code.QR},
	"Липа мелколистная": {code.QR},
	"שקד מצוי":          {code.QR},
	"銀杏 417":            {code.QR},
	"غاف 417":           {code.QR},
}

func TestReadsWhatItWrites(t *testing.T) {
	for value, kinds := range words {
		for _, kind := range kinds {
			got, err := code.Read(kind, picture(encode(t, kind, value), 4))
			assert.NoError(t, err, "%s %q", kind, value)
			assert.Equal(t, value, got, kind)
		}
	}
}

// What a kind cannot hold is told with the letter: another letter, or the symbol
// for a function, would stand in the code.
func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		kind        code.Kind
		value, told string
	}{
		{code.Code128, "España", `'ñ' (U+00F1) is not in ASCII`}, // its writer takes ñ for function 1
		{code.Code128, "a\u00a0b", "U+00A0"},
		{code.DataMatrix, "Łódź", `'Ł' (U+0141) is not in Latin-1`},
		{code.DataMatrix, "5 €", `'€'`},
		{code.QR, "a\xffb", "UTF-8"},
		{code.QR, "", "empty"},
		{code.Code128, strings.Repeat("A", 81), "81 characters"},
		{code.DataMatrix, strings.Repeat("a", 2400), "2400 characters"},
		{code.QR, strings.Repeat("ü", 3000), "3000 characters"},
	} {
		_, err := code.Encode(c.kind, c.value)
		var wrong *code.ValueError
		require.ErrorAs(t, err, &wrong, "%s %q", c.kind, c.value)
		assert.ErrorContains(t, err, c.told)
	}
	_, err := code.Encode("morse", "x")
	assert.ErrorContains(t, err, "no kind of code")
}

// The most of the largest symbols, in digits: 3,116 (ISO/IEC 16022) and 7,089 (ISO/IEC
// 18004, of its lowest level), from memory. A QR code of level M holds 5,596. The
// library makes Data Matrix codes of up to 132 modules, 2,608 digits, without errors.
func TestMost(t *testing.T) {
	for _, c := range []struct {
		kind   code.Kind
		digits int
		told   string
	}{
		{code.DataMatrix, 2608, ""}, {code.DataMatrix, 3117, "3117 characters are too many: 3116 is the most"},
		{code.QR, 5596, ""}, {code.QR, 5597, "5597 characters are too many (go_qr: data"},
		{code.QR, 7089, "7089 characters are too many (go_qr: data"}, {code.QR, 7090, "too many: 7089 is the most"},
		{code.Code128, 80, ""}, {code.Code128, 81, "too many: 80 is the most"},
	} {
		s, err := code.Encode(c.kind, strings.Repeat("7", c.digits))
		if c.told != "" {
			assert.ErrorContains(t, err, c.told)
			continue
		}
		require.NoError(t, err, "%s %d", c.kind, c.digits)
		cols, _ := s.Size()
		assert.Equal(t, map[code.Kind]int{code.DataMatrix: 132, code.QR: 177, code.Code128: 35 + 11*40}[c.kind], cols)
	}
}

// A long value is shortened where it is told.
func TestErrorsAreShort(t *testing.T) {
	_, err := code.Encode(code.Code128, strings.Repeat("ü", 81))
	assert.ErrorContains(t, err, "\""+strings.Repeat("ü", 60)+"...\"")
	_, err = code.Encode(code.Code128, strings.Repeat("ü", 60))
	assert.ErrorContains(t, err, "\""+strings.Repeat("ü", 60)+"\"")
}

func TestReadRefusesWhatHoldsNoCode(t *testing.T) {
	for _, kind := range code.Kinds() {
		for _, r := range []image.Rectangle{{}, image.Rect(0, 0, 1, 1), image.Rect(0, 0, 60, 60)} {
			_, err := code.Read(kind, image.NewGray(r))
			assert.Error(t, err)
		}
	}
}

func FuzzEncode(f *testing.F) {
	for value := range words {
		f.Add(value)
	}
	f.Add("[)>\x1e05\x1dX\x1e\x04")
	f.Add("\x00\x1fAB~\\")
	f.Fuzz(func(t *testing.T, value string) {
		for _, kind := range code.Kinds() {
			s, err := code.Encode(kind, value)
			if err != nil {
				continue
			}
			got, err := code.Read(kind, picture(s, 4))
			if err != nil || got != value {
				t.Errorf("%s %q: read %q, %v", kind, value, got, err)
			}
		}
	})
}
