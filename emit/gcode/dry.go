package gcode

import (
	"bytes"
	"errors"
	"hash/crc32"
	"regexp"

	"furrow/emit"
	"furrow/emit/machine"
)

// Dry returns a file with each of its powers 0, line for line: S, and Q of an output. Its
// closing comment is right again. The file is one that Read takes; the error says that it
// would mark all the same.
func Dry(file []byte, controller machine.GCode) ([]byte, error) {
	dry := make([]byte, 0, len(file))
	for line := range bytes.Lines(file) {
		if n, ok := closes(line); ok {
			old := bytes.TrimRight(line, "\r\n)")
			sum := closing(n, crc32.ChecksumIEEE(dry))
			line = append(append(bytes.Clone(line[:len(old)-len(sum)]), sum...), line[len(old):]...)
		} else {
			line = withoutPower(line)
		}
		dry = append(dry, line...)
	}
	return dry, marksNothing(dry, controller)
}

// ErrMarks says that a file has marks that cannot be taken out.
var ErrMarks = errors.New("a power in it cannot be set to 0")

// powerWord is a power in a line of code; a number may have spaces in it (RS274/NGC 3.3.2).
var powerWord = regexp.MustCompile(`([SsQq])[ \t]*[-+.0-9][-+.0-9 \t]*`)

func withoutPower(line []byte) []byte {
	code := line
	if i := bytes.IndexAny(line, "(;"); i >= 0 {
		code = line[:i]
	}
	if !bytes.ContainsAny(code, "SsQq") {
		return line
	}
	set := powerWord.ReplaceAllFunc(code, func(word []byte) []byte {
		space := word[len(bytes.TrimRight(word, " \t")):]
		return append([]byte{word[0], '0'}, space...)
	})
	return append(bytes.Clone(set), line[len(code):]...)
}

// marksNothing proves that a file keeps the beam off. It stands on the reader, and not on
// what was written here.
func marksNothing(file []byte, controller machine.GCode) error {
	m, err := Read(bytes.NewReader(file), controller)
	if err != nil {
		return err
	}
	for mv, err := range m.All() {
		if err != nil {
			return err
		}
		if mv.Kind == emit.Mark || mv.Kind == emit.Dot {
			return ErrMarks
		}
	}
	return nil
}
