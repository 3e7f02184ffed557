package ngc

import (
	"fmt"
	"slices"
	"strconv"
)

// MaxLine is the most characters that a line may have (section 3.3).
const MaxLine = 256

// Error is what is wrong with a line.
type Error struct {
	Line   int // 1-based; 0 where one line stands alone
	Reason string
}

func (e *Error) Error() string {
	if e.Line == 0 {
		return e.Reason
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Reason)
}

func fail(format string, args ...any) error { return &Error{Reason: fmt.Sprintf(format, args...)} }

// Word is a letter, in upper case, with its number.
type Word struct {
	Letter byte
	Value  float64
}

// Line is one parsed line. Its slices are used again by the next Parse.
type Line struct {
	Deleted bool // it starts with "/"
	Number  int  // N word, or -1
	Words   []Word
	Comment []byte // the last one, without its parentheses; nil when there is none
	params  bool
	text    []byte
	pos     int
}

// Parse reads s, a line without its end. It judges only the grammar: see Check.
func (l *Line) Parse(s []byte) error {
	*l = Line{Number: -1, Words: l.Words[:0], text: s}
	if len(s) > MaxLine {
		return fail("%d characters, which is more than %d", len(s), MaxLine)
	}
	if l.peek() == '/' {
		l.Deleted = true
		l.pos++
	}
	if l.peek() == 'N' {
		if err := l.number(); err != nil {
			return err
		}
	}
	for {
		c := l.peek()
		if c == 0 && l.pos >= len(s) {
			return nil
		}
		if err := l.segment(c); err != nil {
			return err
		}
	}
}

// peek returns the next character that counts, in upper case, or 0 at the end.
func (l *Line) peek() byte {
	for l.pos < len(l.text) {
		c := l.text[l.pos]
		if c != ' ' && c != '\t' {
			if c >= 'a' && c <= 'z' {
				c -= 'a' - 'A'
			}
			return c
		}
		l.pos++
	}
	return 0
}

func (l *Line) number() error {
	l.pos++
	n, digits := l.digits(6)
	if digits == 0 || digits > 5 {
		return fail("a line number has one to five digits")
	}
	l.Number = n
	return nil
}

// digits reads at most limit digits.
func (l *Line) digits(limit int) (value, count int) {
	for count < limit {
		c := l.peek()
		if c < '0' || c > '9' {
			break
		}
		value = 10*value + int(c-'0')
		count++
		l.pos++
	}
	return value, count
}

func (l *Line) segment(c byte) error {
	switch {
	case c == '(':
		return l.comment()
	case c == '#':
		return l.parameter()
	case c == 'E' && !l.output():
		return fail("'E' without M67 before it: numbers have no exponent")
	case isWord[c]:
		l.pos++
		v, err := l.real(c)
		l.Words = append(l.Words, Word{c, v})
		return err
	case c == ';':
		return fail("a comment behind a semicolon is not part of RS274/NGC")
	default:
		return fail("%q cannot start a word", c)
	}
}

// isWord marks the letters of words; N only numbers lines, and E is of the extension.
var isWord = func() (is [256]bool) {
	for _, c := range []byte("ABCDEFGHIJKLMPQRSTXYZ") {
		is[c] = true
	}
	return is
}()

// output reports that the line has M67, which alone takes an E word.
func (l *Line) output() bool {
	return slices.Contains(l.Words, Word{'M', 67})
}

func (l *Line) comment() error {
	start := l.pos + 1
	for i := start; i < len(l.text); i++ {
		switch c := l.text[i]; {
		case c == ')':
			l.Comment = l.text[start:i]
			l.pos = i + 1
			return nil
		case c == '(':
			return fail("a comment inside a comment")
		case c != '\t' && (c < ' ' || c > '~'):
			return fail("a comment holds %q, which is not a printable character", c)
		}
	}
	return fail("a comment does not close on its line")
}

func (l *Line) parameter() error {
	l.pos++
	n, digits := l.digits(5)
	if digits == 0 || n < 1 || n > 5399 {
		return fail("a parameter number is 1 to 5399")
	}
	if l.peek() != '=' {
		return fail("no = behind parameter %d", n)
	}
	l.pos++
	l.params = true
	_, err := l.real('#')
	return err
}

// Params reports that the line sets a parameter.
func (l *Line) Params() bool { return l.params }

var pow10 = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15}

// real reads a number. Up to 15 digits it is one exact integer divided by one
// exact power of ten, so it is rounded correctly.
func (l *Line) real(letter byte) (float64, error) {
	sign, start := 1.0, l.pos
	switch l.peek() {
	case '-':
		sign = -1
		l.pos++
	case '+':
		l.pos++
	}
	mantissa, digits, decimals, point := int64(0), 0, 0, false
	for {
		c := l.peek()
		if c == '.' && !point {
			point = true
		} else if c >= '0' && c <= '9' {
			if digits++; digits <= 15 {
				mantissa = 10*mantissa + int64(c-'0')
			}
			if point {
				decimals++
			}
		} else {
			break
		}
		l.pos++
	}
	if digits == 0 {
		return 0, fail("no number behind %c", letter)
	}
	if digits > 15 {
		return l.long(start)
	}
	return sign * float64(mantissa) / pow10[decimals], nil
}

// long reads the number from start to here in the general way.
func (l *Line) long(start int) (float64, error) {
	var b []byte
	for _, c := range l.text[start:l.pos] {
		if c != ' ' && c != '\t' {
			b = append(b, c)
		}
	}
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		return 0, fail("%s is not a number", b)
	}
	return v, nil
}
