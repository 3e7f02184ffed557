package code_test

import (
	"math/bits"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"furrow/path/code"
)

// widths returns the bars and spaces of a Code 128 symbol, in modules.
func widths(s code.Symbol) string {
	cols, _ := s.Size()
	var out []byte
	run := byte('0')
	for x := range cols + 1 {
		if x > 0 && (x == cols || s.Dark(x, 0) != s.Dark(x-1, 0)) {
			out = append(out, run)
			run = '0'
		}
		run++
	}
	return string(out)
}

// ISO/IEC 15417: bars and spaces of the code words used here, from memory.
var code128 = map[int]string{
	17: "123221", 18: "223211", 19: "221132", 34: "131123", 35: "131321", 40: "231113", 41: "231311", 42: "112133",
	48: "313121", 55: "311321", 56: "331121", 68: "141221", 78: "241112", 99: "113141", 104: "211214", 106: "2331112",
}

func TestCode128CodeWords(t *testing.T) {
	for _, c := range []struct {
		value string
		words []int
	}{
		// Set B; the check of PJJ123C in it is 55 (computed by hand: 879 mod 103).
		{"PJJ123C", []int{104, 48, 42, 42, 17, 18, 19, 35, 55, 106}},
		// Two primers give the sum 1406 for this value from set A on; from set B on it
		// is one more, of which the check is 68.
		{"HI345678", []int{104, 40, 41, 99, 34, 56, 78, 68, 106}},
	} {
		want := ""
		for _, w := range c.words {
			want += code128[w]
		}
		assert.Equal(t, want, widths(encode(t, code.Code128, c.value)), c.value)
	}
}

// Text in pairs of letters and digits fits 18 x 18 modules in one of the two sets
// that pack three characters into two code words; in ASCII alone it needs 22 x 22
// (computed; another encoder gives the same).
func TestDataMatrixSizes(t *testing.T) {
	for value, want := range map[string]int{"123456": 10, "A1B2C3D4E5F6G7H8I9J0K1L2": 18} {
		cols, rows := encode(t, code.DataMatrix, value).Size()
		assert.Equal(t, [2]int{want, want}, [2]int{cols, rows}, value)
	}
}

// TestQRCodeWords reads the code words of a version 1 symbol by ISO/IEC 18004's
// rules, written out here: the format, the mask, the two-module columns. The data
// of 01234567 are the standard's example; its level is chosen by the encoder, so the
// words for correction are proven by what defines them, their syndromes.
func TestQRCodeWords(t *testing.T) {
	s := encode(t, code.QR, "01234567")
	cols, _ := s.Size()
	require.Equal(t, 21, cols)
	level, mask := qrFormat(s)
	data := map[int]int{0b01: 19, 0b00: 16, 0b11: 13, 0b10: 9}[level] // L, M, Q, H
	words := qrWords(s, mask)
	want := []int{0x10, 0x20, 0x0c, 0x56, 0x61, 0x80}
	for pad := 0xec; len(want) < data; pad ^= 0xec ^ 0x11 {
		want = append(want, pad)
	}
	assert.Equal(t, want, words[:data])
	for i := range 26 - data {
		assert.Zero(t, syndrome(words, i), "syndrome %d", i)
	}
}

// qrFormat reads the fifteen bits of the format beside the upper left finder.
func qrFormat(s code.Symbol) (level, mask int) {
	format := 0
	bit := func(x, y int) {
		format <<= 1
		if s.Dark(x, y) {
			format |= 1
		}
	}
	for _, x := range []int{0, 1, 2, 3, 4, 5, 7, 8} {
		bit(x, 8)
	}
	for _, y := range []int{7, 5, 4, 3, 2, 1, 0} {
		bit(8, y)
	}
	format ^= 0b101010000010010
	return format >> 13, format >> 10 & 7
}

func qrWords(s code.Symbol, mask int) []int {
	var words []int
	word, n := 0, 0
	up := true
	for right := 20; right > 0; right -= 2 {
		if right == 6 { // the timing column
			right--
		}
		for i := range 21 {
			y := i
			if up {
				y = 20 - i
			}
			for _, x := range []int{right, right - 1} {
				if qrFunction(x, y) {
					continue
				}
				word <<= 1
				if s.Dark(x, y) != qrMasked(mask, x, y) {
					word |= 1
				}
				if n++; n == 8 {
					words, word, n = append(words, word), 0, 0
				}
			}
		}
		up = !up
	}
	return words
}

// qrFunction reports the modules of version 1 that hold no data: finders with
// their separators and format, and timing.
func qrFunction(x, y int) bool {
	return x < 9 && (y < 9 || y > 12) || x > 12 && y < 9 || x == 6 || y == 6
}

func qrMasked(mask, x, y int) bool {
	return []int{
		(x + y) % 2, y % 2, x % 3, (x + y) % 3, (y/2 + x/3) % 2, x*y%2 + x*y%3, (x*y%2 + x*y%3) % 2,
		((x+y)%2 + x*y%3) % 2,
	}[mask] == 0
}

// syndrome is the value of the words, as a polynomial over GF(256) by 0x11D, at the
// power i of its root.
func syndrome(words []int, i int) int {
	root := 1
	for range i {
		root = times(root, 2)
	}
	sum := 0
	for _, w := range words {
		sum = times(sum, root) ^ w
	}
	return sum
}

func times(a, b int) int {
	p := 0
	for ; b > 0; b >>= 1 {
		if b&1 == 1 {
			p ^= a
		}
		if a <<= 1; bits.Len(uint(a)) > 8 {
			a ^= 0x11d
		}
	}
	return p
}

// The level of a QR code is raised where its size leaves room: of version 1, which holds
// 34 digits at level M, a single digit takes level H. Two bits beside the upper left
// square say the level, M 00 and H 10, laid over 10 (ISO/IEC 18004, from memory).
func TestQRLevels(t *testing.T) {
	for value, first := range map[string]bool{"1": false, strings.Repeat("1", 34): true} {
		s := encode(t, code.QR, value)
		cols, _ := s.Size()
		require.Equal(t, 21, cols)
		require.Equal(t, first, s.Dark(0, 8), value)
		require.False(t, s.Dark(1, 8), value)
	}
}

// Letters that are no ASCII have their encoding named, which takes 12 bits: version 1-M
// holds 14 bytes (ISO/IEC 18004, from memory), but of such letters 13 only.
func TestQRNamesItsEncoding(t *testing.T) {
	for value, modules := range map[string]int{"abcdefghijklmn": 21, "abcdefghijklmno": 25, "üüüüüü": 21,
		"üüüüüüü": 25} {
		cols, _ := encode(t, code.QR, value).Size()
		require.Equal(t, modules, cols, value)
	}
}
