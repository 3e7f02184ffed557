package gcode

import (
	"bytes"
	"fmt"
	"hash/crc32"
)

// closing returns the text of the comment that closes a file of so many lines,
// its own and the end word's among them: it proves that the file is whole. crc is
// the CRC-32 (IEEE 802.3) of every byte before its line.
func closing(lines int, crc uint32) string { return fmt.Sprintf("whole %d lines crc %08x", lines, crc) }

// closer proves a file whole while it is read.
type closer struct {
	crc     uint32
	at      int  // line of the closing comment; 0 before it
	claimed int  // lines
	right   bool // the sum
}

// add takes a line with its end. It reports that the line is a closing comment,
// which has this form and no other.
func (c *closer) add(n int, line []byte) bool {
	if lines, ok := closes(line); ok && c.at == 0 {
		text := bytes.TrimRight(line, "\r\n)")
		c.at, c.claimed = n, lines
		c.right = bytes.HasSuffix(text, fmt.Appendf(nil, " %08x", c.crc))
		return true
	}
	c.crc = crc32.Update(c.crc, crc32.IEEETable, line)
	return false
}

// closes reports that a line is a closing comment, and how many lines it names.
func closes(line []byte) (lines int, ok bool) {
	if text, ok := bytes.CutPrefix(line, []byte("(whole ")); ok {
		return claims(line, text, "(%s)")
	}
	if text, ok := bytes.CutPrefix(line, []byte("; whole ")); ok {
		return claims(line, text, "; %s")
	}
	return 0, false
}

// claims reads what stands behind the first word, and compares the line with what a
// writer makes of it.
func claims(line, text []byte, form string) (lines int, ok bool) {
	var crc uint32
	if n, err := fmt.Sscanf(string(text), "%d lines crc %x", &lines, &crc); n != 2 || err != nil {
		return 0, false
	}
	got := bytes.TrimSuffix(bytes.TrimSuffix(line, []byte("\n")), []byte("\r"))
	return lines, string(got) == fmt.Sprintf(form, closing(lines, crc))
}
