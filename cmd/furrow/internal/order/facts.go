package order

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"regexp"

	"furrow/emit"
)

// sum is a SHA-256 in the making.
type sum struct{ hash.Hash }

func newSum() sum { return sum{sha256.New()} }

func (s sum) hex() string { return hex.EncodeToString(s.Sum(nil)) }

// facts reads a controller's file while it is written: how many lines it has, at
// which of them each part begins, and the check sum that it ends with.
type facts struct {
	sum   sum
	lines int
	notes []emit.Note // still to come
	first []int
	crc   string
	rest  []byte // of a line whose end is still to come
}

func newFacts(notes []emit.Note) *facts {
	return &facts{sum: newSum(), notes: notes, first: make([]int, 0, len(notes))}
}

// checkSum stands in the last lines of both formats.
var checkSum = regexp.MustCompile(`\b([0-9a-f]{8})\)?$`)

func (f *facts) Write(p []byte) (int, error) {
	n := len(p)
	f.sum.Write(p)
	for {
		i := bytes.IndexByte(p, '\n')
		if i < 0 {
			f.rest = append(f.rest, p...)
			return n, nil
		}
		if len(f.rest) > 0 {
			f.rest = append(f.rest, p[:i]...)
			f.line(f.rest)
			f.rest = f.rest[:0]
		} else {
			f.line(p[:i])
		}
		p = p[i+1:]
	}
}

// line takes a line of the file. What the file says before a part stands alone in a
// comment; the check sum stands in the last one, or behind a list's end.
func (f *facts) line(b []byte) {
	f.lines++
	i := bytes.IndexAny(b, "(;#")
	if i < 0 && !bytes.HasPrefix(b, []byte("end ")) {
		return
	}
	if len(f.notes) > 0 && i >= 0 && bytes.Equal(bytes.Trim(b[i:], "()#; "), []byte(f.notes[0].Text)) {
		f.first, f.notes = append(f.first, f.lines), f.notes[1:]
	}
	if m := checkSum.FindSubmatch(b); m != nil {
		f.crc = string(m[1])
	}
}

// firstLines returns the first line of each seat's part, 0 where it is not known.
func (f *facts) firstLines(runs []run) (all []int) {
	for i, r := range runs {
		line := 0
		if i < len(f.first) {
			line = f.first[i]
		}
		for range r.to - r.from {
			all = append(all, line)
		}
	}
	return all
}
