package markvec

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"

	"furrow/emit/machine"
	"furrow/path"
)

// Reader returns the records of a list one at a time and refuses whatever the
// form does not allow. A list is proved whole only when Next has returned
// io.EOF: a player reads it once to the end before it moves anything.
type Reader struct {
	in        *bufio.Reader
	line      int
	crc       uint32
	fieldW    int32
	fieldH    int32
	corrected bool
	settings  []path.Setting
	scanner   []machine.Scanner
	inForce   bool   // a use has been read
	vectors   bool   // a vector has been read
	count     [3]int // J, M, D
	err       error
}

// A FormError says where a list breaks its form.
type FormError struct {
	Line int // from 1
	Rule Rule
	Msg  string
}

func (e *FormError) Error() string { return fmt.Sprintf("line %d: %s", e.Line, e.Msg) }

// NewReader reads the three head lines.
func NewReader(r io.Reader) (*Reader, error) {
	d := &Reader{in: bufio.NewReaderSize(r, bufSize)}
	if err := d.head(); err != nil {
		return nil, err
	}
	return d, nil
}

// Field returns width and height of the field in tenths of a micrometre.
func (d *Reader) Field() (w, h int) { return int(d.fieldW), int(d.fieldH) }

// Corrected reports that a lens correction is already in the coordinates.
func (d *Reader) Corrected() bool { return d.corrected }

// Setting returns setting n, of a Setting record or a Use record that has been
// read.
func (d *Reader) Setting(n uint16) (path.Setting, machine.Scanner) {
	return d.settings[n], d.scanner[n]
}

// Next returns the next record. The last is of kind End, after which the error
// is io.EOF. An error stays.
func (d *Reader) Next() (Record, error) {
	if d.err != nil {
		return Record{}, d.err
	}
	rec, err := d.next()
	if err != nil {
		d.err = err
		return Record{}, err
	}
	if rec.Op == End {
		d.err = io.EOF
	}
	return rec, nil
}

// fail says that a line does not have its form.
func (d *Reader) fail(format string, a ...any) error { return d.broken(RuleForm, format, a...) }

func (d *Reader) broken(rule Rule, format string, a ...any) error {
	return &FormError{d.line, rule, fmt.Sprintf(format, a...)}
}

// readLine returns the next line without its end, valid until the next call,
// and adds it to the CRC unless it is the last record.
func (d *Reader) readLine() ([]byte, error) {
	line, err := d.in.ReadSlice('\n')
	d.line++
	switch {
	case err == io.EOF && len(line) == 0:
		return nil, d.broken(RuleWhole, "the file ends without an end record")
	case err == io.EOF:
		return nil, d.broken(RuleWhole, "the file ends inside a line")
	case errors.Is(err, bufio.ErrBufferFull) || err == nil && len(line) > maxLine:
		return nil, d.fail("line is longer than %d characters", maxLine)
	case err != nil:
		return nil, fmt.Errorf("line %d: %w", d.line, err)
	}
	if !bytes.HasPrefix(line, endWord) {
		d.crc = crc32.Update(d.crc, crc32.IEEETable, line)
	}
	return line[:len(line)-1], nil
}

var endWord = []byte("end ")

func (d *Reader) head() error {
	line, err := d.readLine()
	if err != nil {
		return err
	}
	if string(line) != "markvec 1" {
		return d.fail("not a mark-vector list: the first line is not \"markvec 1\"")
	}
	if line, err = d.readLine(); err != nil {
		return err
	}
	s := scan{line}
	if !s.word("field") || !s.number(&d.fieldW, 1, maxNumber) || !s.number(&d.fieldH, 1, maxNumber) || !s.done() {
		return d.fail("want \"field W H\"")
	}
	if line, err = d.readLine(); err != nil {
		return err
	}
	s = scan{line}
	var corrected int32
	if !s.word("corrected") || !s.number(&corrected, 0, 1) || !s.done() {
		return d.fail("want \"corrected 0\" or \"corrected 1\"")
	}
	d.corrected = corrected == 1
	return nil
}

func (d *Reader) next() (Record, error) {
	line, err := d.readLine()
	if err != nil {
		return Record{}, err
	}
	if len(line) > 2 && line[1] == ' ' {
		switch line[0] {
		case 'M':
			return d.vector(Mark, line)
		case 'J':
			return d.vector(Jump, line)
		case 'D':
			return d.vector(Move, line)
		case 'G':
			return d.vector(Guide, line)
		case 'P':
			return d.timed(Dot, line)
		case 'W':
			return d.timed(Wait, line)
		}
	}
	return d.other(line)
}

// other reads the records that are rare.
func (d *Reader) other(line []byte) (Record, error) {
	s := scan{line}
	switch {
	case len(line) > 0 && line[0] == '#':
		return d.comment(line)
	case s.word("use"):
		return d.use(s)
	case s.word("setting"):
		return d.setting(s)
	case s.word("end"):
		return d.end(s)
	case string(line) == "hold":
		return Record{Op: Hold, Line: d.line}, nil
	}
	return Record{}, d.fail("unknown record %.20q", line)
}

func (d *Reader) vector(op Op, line []byte) (Record, error) {
	s := scan{line[1:]}
	rec := Record{Op: op, Line: d.line}
	if !s.number(&rec.X, -maxNumber, maxNumber) || !s.number(&rec.Y, -maxNumber, maxNumber) || !s.done() {
		return rec, d.fail("want \"%c X Y\" with whole numbers", line[0])
	}
	if 2*abs(rec.X) > int64(d.fieldW) || 2*abs(rec.Y) > int64(d.fieldH) {
		return rec, d.broken(RuleInField, "%s is outside the field", line)
	}
	if op != Guide {
		d.count[op-Jump]++
	}
	return rec, d.allowed(op)
}

func (d *Reader) timed(op Op, line []byte) (Record, error) {
	s := scan{line[1:]}
	rec := Record{Op: op, Line: d.line}
	if !s.number(&rec.T, 0, maxNumber) || !s.done() {
		return rec, d.fail("want \"%c T\" with a whole number of microseconds", line[0])
	}
	return rec, d.allowed(op)
}

// allowed checks what must have come before a vector.
func (d *Reader) allowed(op Op) error {
	if d.vectors || !op.vector() {
		return nil
	}
	if !d.inForce {
		return d.broken(RuleSequence, "a vector before the first use")
	}
	if op != Jump && op != Guide {
		return d.broken(RuleSequence, "the first vector is not a jump or a guide move")
	}
	d.vectors = true
	return nil
}

func (d *Reader) comment(line []byte) (Record, error) {
	for _, c := range line {
		if c < ' ' || c > '~' {
			return Record{}, d.broken(RuleComment, "a comment holds a character outside printable ASCII")
		}
	}
	text := bytes.TrimPrefix(line[1:], []byte(" "))
	return Record{Op: Comment, Line: d.line, Text: string(text)}, nil
}

func (d *Reader) use(s scan) (Record, error) {
	var n int32
	if !s.number(&n, 0, maxNumber) || !s.done() {
		return Record{}, d.fail("want \"use N\"")
	}
	if int(n) >= len(d.settings) {
		return Record{}, d.broken(RuleSequence, "use %d, but there are %d settings", n, len(d.settings))
	}
	d.inForce = true
	return Record{Op: Use, Line: d.line, N: uint16(n)}, nil
}

func (d *Reader) setting(s scan) (Record, error) {
	if d.vectors {
		return Record{}, d.broken(RuleSequence, "a setting after the first vector")
	}
	var n int32
	if !s.number(&n, 0, maxNumber) {
		return Record{}, d.fail("want \"setting N speed ...\"")
	}
	if int(n) != len(d.settings) || n > 0xffff {
		return Record{}, d.broken(RuleSequence, "setting %d where %d is due", n, len(d.settings))
	}
	var v [len(keys)]int64
	for i, k := range keys {
		var x int32
		if !s.key(k) || !s.number(&x, -maxNumber, maxNumber) {
			return Record{}, d.fail("setting: want key %q with a whole number", k)
		}
		v[i] = int64(x)
	}
	if !s.done() {
		return Record{}, d.fail("setting: more than its twelve keys")
	}
	if k, ok := validSetting(v); !ok {
		return Record{}, d.broken(RuleValues, "setting: %s is out of range", k)
	}
	setting, scanner := fromValues(v)
	d.settings, d.scanner = append(d.settings, setting), append(d.scanner, scanner)
	return Record{Op: Setting, Line: d.line, N: uint16(n)}, nil
}

func (d *Reader) end(s scan) (Record, error) {
	for i, name := range [...]string{"jumps", "marks", "beam-off moves"} {
		var n int32
		if !s.number(&n, 0, maxNumber) {
			return Record{}, d.fail("want \"end J M D CRC\"")
		}
		if int(n) != d.count[i] {
			return Record{}, d.broken(RuleWhole, "end counts %d %s, the list has %d", n, name, d.count[i])
		}
	}
	if want := fmt.Sprintf(" %08x", d.crc); string(s.rest) != want {
		return Record{}, d.broken(RuleWhole, "the CRC is%s, the end record says %q: the file is damaged", want, s.rest)
	}
	if _, err := d.in.ReadByte(); err != io.EOF {
		d.line++
		if err != nil {
			return Record{}, fmt.Errorf("line %d: %w", d.line, err)
		}
		return Record{}, d.broken(RuleWhole, "something follows the end record")
	}
	return Record{Op: End, Line: d.line}, nil
}

func abs(v int32) int64 { return max(int64(v), -int64(v)) }
