// Package undated takes the time of writing out of the PDF files that the canvas
// library makes, so that the same picture is the same bytes. The
// library puts it into the document and into the fonts inside.
package undated

import (
	"encoding/binary"
	"errors"
)

var errFont = errors.New("an embedded font cannot be read")

// font sets the date of change in an OpenType font to the date it was made, in
// place, and the sums that guard it (OpenType 1.9, table head and table
// directory).
func font(f []byte) error {
	const directory, record = 12, 16
	if len(f) < directory {
		return errFont
	}
	for i := range int(binary.BigEndian.Uint16(f[4:])) {
		at := directory + i*record
		if at+record > len(f) {
			return errFont
		}
		if string(f[at:at+4]) == "head" {
			return head(f, f[at:at+record])
		}
	}
	return errFont
}

// head changes the table head of font f, whose record in the directory is given.
func head(f, record []byte) error {
	const created, modified, adjustment, size = 20, 28, 8, 54
	from, n := int(binary.BigEndian.Uint32(record[8:])), int(binary.BigEndian.Uint32(record[12:]))
	if n < size || from+n > len(f) {
		return errFont
	}
	table := f[from : from+n]
	copy(table[modified:], table[created:created+8])
	clear(table[adjustment : adjustment+4])
	binary.BigEndian.PutUint32(record[4:], sum(table))
	binary.BigEndian.PutUint32(table[adjustment:], 0xB1B0AFBA-sum(f))
	return nil
}

// sum adds the big-endian words of b, as if it were padded with zeros.
func sum(b []byte) (s uint32) {
	for ; len(b) >= 4; b = b[4:] {
		s += binary.BigEndian.Uint32(b)
	}
	var last [4]byte
	copy(last[:], b)
	return s + binary.BigEndian.Uint32(last[:])
}
