package code

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// Kind is a kind of code.
type Kind string

// The kinds.
const (
	DataMatrix Kind = "data-matrix" // ISO/IEC 16022, ECC 200, square
	QR         Kind = "qr"          // ISO/IEC 18004, model 2
	Code128    Kind = "code-128"    // ISO/IEC 15417
)

// Kinds lists all kinds.
func Kinds() []Kind { return []Kind{DataMatrix, QR, Code128} }

// Symbol is a code as a grid of modules. The zero value has none.
type Symbol struct {
	Kind  Kind
	Value string

	cols, rows int
	dark       []bool // by row from the top down
}

// Size returns the number of modules across and down, without the quiet zone.
// Code 128 has one row, as high as its room.
func (s Symbol) Size() (cols, rows int) { return s.cols, s.rows }

// Dark reports whether the module of a column and a row, from the upper left, is
// dark. What lies round the symbol is light.
func (s Symbol) Dark(col, row int) bool {
	return col >= 0 && col < s.cols && row >= 0 && row < s.rows && s.dark[row*s.cols+col]
}

// quiet returns the modules that have to stay light beside the symbol, and above
// and below it (ISO/IEC 16022, 18004 and 15417, from memory). One module round a
// Data Matrix is too little for readers where it is marked on a dark blank.
func (s Symbol) quiet(light bool) (across, along int) {
	switch {
	case s.Kind == QR:
		return 4, 4
	case s.Kind == Code128:
		return 10, 0
	case light:
		return 2, 2
	}
	return 1, 1
}

// ValueError says why a kind of code cannot hold a value.
type ValueError struct {
	Kind   Kind
	Value  string
	Reason string
	Hint   string
}

func (e *ValueError) Error() string {
	return fmt.Sprintf("%s cannot hold %q: %s", e.Kind, shortened(e.Value), e.Reason)
}

func shortened(s string) string {
	if r := []rune(s); len(r) > 60 {
		return string(r[:60]) + "..."
	}
	return s
}

// Encode returns the smallest symbol of a value.
func Encode(kind Kind, value string) (Symbol, error) {
	encode, err := encoderOf(kind)
	if err != nil {
		return Symbol{}, err
	}
	if err := holds(kind, value); err != nil {
		return Symbol{}, err
	}
	s := Symbol{Kind: kind, Value: value}
	err = guarded(func() error { return encode(&s) })
	if err != nil {
		return Symbol{}, &ValueError{Kind: kind, Value: value, Reason: tooLong(kind, value, err)}
	}
	return s, nil
}

func encoderOf(kind Kind) (func(*Symbol) error, error) {
	switch kind {
	case DataMatrix:
		return encodeDataMatrix, nil
	case QR:
		return encodeQR, nil
	case Code128:
		return encodeCode128, nil
	}
	return nil, fmt.Errorf("%q is no kind of code: use %s, %s or %s", kind, DataMatrix, QR, Code128)
}

// most is how many characters fit the largest symbol of each kind, in its densest
// form; what the libraries refuse below that is too long as well.
var most = map[Kind]int{DataMatrix: 3116, QR: 7089, Code128: 80}

// tooLong says why a value that a kind could hold did not fit.
func tooLong(kind Kind, value string, err error) string {
	return fmt.Sprintf("%d characters are too many (%v)", utf8.RuneCountInString(value), err)
}

// holds refuses what a kind cannot say, before a library says something else.
func holds(kind Kind, value string) error {
	fail := func(reason, hint string) error {
		return &ValueError{Kind: kind, Value: value, Reason: reason, Hint: hint}
	}
	n := utf8.RuneCountInString(value)
	switch {
	case value == "":
		return fail("it is empty", "give it a value")
	case !utf8.ValidString(value):
		return fail("it is not text in UTF-8", "name the encoding of the data")
	case n > most[kind]:
		return fail(fmt.Sprintf("%d characters are too many: %d is the most", n, most[kind]), "shorten it")
	}
	last, set := map[Kind]rune{DataMatrix: 0xff, Code128: 0x7f, QR: utf8.MaxRune}[kind], "Latin-1"
	if kind == Code128 {
		set = "ASCII"
	}
	if i := strings.IndexFunc(value, func(r rune) bool { return r > last }); i >= 0 {
		r, _ := utf8.DecodeRuneInString(value[i:])
		return fail(fmt.Sprintf("%q (U+%04X) is not in %s", r, r, set), "use qr, which holds every letter")
	}
	return nil
}

// guarded runs what calls a library, and turns its panic into an error.
func guarded(run func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the library for codes failed: %v", p)
		}
	}()
	return run()
}
