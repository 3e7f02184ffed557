package ngc

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

// Validate reads a whole file and returns what is wrong with it, at most limit
// errors. A file ends with M2 or M30, or stands between lines of a single "%";
// what follows is ignored, as section 3.5 has it. The error returned is that of
// reading.
func Validate(r io.Reader, limit int) ([]*Error, error) {
	v := fileValidator{limit: limit}
	sc := bufio.NewScanner(r)
	sc.Buffer(nil, 1<<20)
	for sc.Scan() && !v.done() {
		v.next(bytes.TrimSuffix(sc.Bytes(), []byte("\r")))
	}
	if err := sc.Err(); err != nil {
		return v.errs, err
	}
	if !v.prog.Ended && !v.closed && len(v.errs) < limit {
		v.errs = append(v.errs, &Error{v.n, "the file does not end with M2, M30 or %"})
	}
	return v.errs, nil
}

type fileValidator struct {
	errs           []*Error
	limit, n       int
	line           Line
	prog           Program
	opened, closed bool // by a line of "%"
	begun          bool
}

func (v *fileValidator) done() bool {
	return v.prog.Ended || v.closed || len(v.errs) >= v.limit
}

func (v *fileValidator) next(text []byte) {
	v.n++
	if trimmed := bytes.TrimSpace(text); len(trimmed) == 1 && trimmed[0] == '%' {
		v.percent()
		return
	}
	v.begun = v.begun || len(bytes.TrimSpace(text)) > 0
	err := v.line.Parse(text)
	if err == nil {
		err = v.prog.Check(&v.line)
	}
	v.note(err)
}

func (v *fileValidator) percent() {
	switch {
	case !v.begun && !v.opened:
		v.opened = true
	case v.opened:
		v.closed = true
	default:
		v.note(fail("%% inside a file that does not begin with one"))
	}
}

func (v *fileValidator) note(err error) {
	var e *Error
	if errors.As(err, &e) {
		v.errs = append(v.errs, &Error{v.n, e.Reason})
	}
}
