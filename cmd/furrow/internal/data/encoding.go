package data

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/htmlindex"
	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"
)

// candidates are the encodings that spreadsheets save text in, other than UTF-8.
var candidates = []string{
	"windows-1252", "windows-1250", "iso-8859-2", "macintosh", "ibm866", "windows-1251", "windows-1253",
}

// EncodingError is of text that is not UTF-8 while no other encoding is named. The
// bytes do not tell which it is; how the words come out does, to a person.
type EncodingError struct {
	File    string
	Row     int // of the first byte that is not UTF-8
	Reading []Reading
}

// Reading is the first words that are not plain ASCII as an encoding reads them.
type Reading struct {
	Encoding string
	Words    []string
}

func (e *EncodingError) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, row %d: the text is not UTF-8, and no encoding is named", e.File, e.Row)
	for _, r := range e.Reading {
		fmt.Fprintf(&b, "\n  %-14s %s", r.Encoding, strings.Join(r.Words, " | "))
	}
	return b.String()
}

// Hint is the remedy.
func (e *EncodingError) Hint() string {
	return fmt.Sprintf("name the encoding that reads right, as in encoding = %q, or save the file as UTF-8",
		e.Reading[0].Encoding)
}

// decode makes text of bytes.
func decode(name string, content []byte, named string) (string, error) {
	if named != "" && !strings.EqualFold(named, "utf-8") && !strings.EqualFold(named, "utf8") {
		return decodeAs(name, content, named)
	}
	content = bytes.TrimPrefix(content, []byte("\xef\xbb\xbf"))
	switch {
	case isUTF16(content):
		return "", fmt.Errorf(`%s is UTF-16: write encoding = "utf-16", or save it as UTF-8`, name)
	case !utf8.Valid(content):
		return "", newEncodingError(name, content)
	}
	return string(content), nil
}

func decodeAs(name string, content []byte, named string) (string, error) {
	enc, err := encodingOf(named)
	if err != nil {
		return "", err
	}
	text, err := enc.NewDecoder().Bytes(content)
	if err != nil {
		return "", fmt.Errorf("%s is not %s: %w", name, named, err)
	}
	return strings.TrimPrefix(string(text), "\ufeff"), nil
}

func encodingOf(named string) (encoding.Encoding, error) {
	if strings.EqualFold(named, "utf-16") {
		return unicode.UTF16(unicode.LittleEndian, unicode.UseBOM), nil
	}
	enc, err := htmlindex.Get(named)
	if err != nil || enc == encoding.Replacement {
		return nil, fmt.Errorf("%q is not an encoding that can be read: use utf-8, utf-16, %s", named, list(candidates))
	}
	return enc, nil
}

func newEncodingError(name string, content []byte) error {
	e := &EncodingError{File: name, Row: 1}
	valid := 0
	for valid < len(content) {
		r, n := utf8.DecodeRune(content[valid:])
		if r == utf8.RuneError && n == 1 {
			break
		}
		valid += n
	}
	e.Row += strings.Count(lineEnds(string(content[:valid])), "\n")
	words := foreign(content)
	for _, c := range candidates {
		enc, err := encodingOf(c)
		if err != nil {
			continue
		}
		r := Reading{Encoding: c, Words: read(words, enc)}
		if !slices.ContainsFunc(e.Reading, func(s Reading) bool { return slices.Equal(s.Words, r.Words) }) {
			e.Reading = append(e.Reading, r)
		}
	}
	return e
}

// foreign returns the first three different cells that hold a byte beyond ASCII.
func foreign(content []byte) (words [][]byte) {
	cells := bytes.FieldsFunc(content, func(r rune) bool { return strings.ContainsRune(",;\t\"\r\n", r) })
	for _, c := range cells {
		c = c[:min(len(c), 40)]
		if bytes.ContainsFunc(c, func(r rune) bool { return r >= utf8.RuneSelf }) &&
			!slices.ContainsFunc(words, func(w []byte) bool { return bytes.Equal(w, c) }) {
			words = append(words, c)
		}
		if len(words) == 3 {
			break
		}
	}
	return words
}

func read(words [][]byte, enc encoding.Encoding) (out []string) {
	for _, w := range words {
		text, _, err := transform.Bytes(enc.NewDecoder(), w)
		if err == nil {
			out = append(out, strings.TrimSpace(string(text)))
		}
	}
	return out
}
