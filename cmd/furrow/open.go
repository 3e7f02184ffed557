package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"furrow/cmd/furrow/internal/fault"
	"furrow/cmd/furrow/internal/order"
	"furrow/cmd/furrow/internal/proof"
	"furrow/cmd/furrow/internal/settings"
)

// isWritten reports that a file is for a controller and not artwork or a job.
func isWritten(name string) bool {
	for _, ext := range []string{".nc", ".gcode", ".mvl"} {
		if strings.HasSuffix(strings.ToLower(name), ext) {
			return true
		}
	}
	return false
}

// fileReader is a way to read a controller's file.
type fileReader func(name string, r io.ReaderAt, asked *settings.Machine) (proof.File, error)

// openChecked is a controller's file that has been read, and what closes it.
type openChecked struct {
	proof.File
	close func() error
}

// openWritten opens a controller's file and reads it with the profile of a name, ""
// for the one that the file names. The caller closes what it returns without an error.
func (a *app) openWritten(file, machineName string, read fileReader) (openChecked, error) {
	asked, err := findAsked(machineName)
	if err != nil {
		return openChecked{}, err
	}
	r, closeFile, err := a.openRandom(file)
	if err != nil {
		return openChecked{}, err
	}
	c, err := read(file, r, asked)
	if err == nil && c.Machine == nil {
		if kept, found := keptMachine(file); found {
			c, err = read(file, r, kept)
		}
	}
	if err != nil {
		closeFile()
		return openChecked{}, asKept(file, err)
	}
	return openChecked{c, closeFile}, nil
}

// asKept adds to the refusal of a file whose profile has changed since that its order
// keeps the profile as it was.
func asKept(file string, err error) error {
	var r *proof.Refusal
	if kept, found := keptMachine(file); found && errors.As(err, &r) && r.Changed() {
		r.Problems[0].Remedy += fmt.Sprintf("; the order keeps the profile as it was: --machine %s", kept.File)
	}
	return err
}

// keptMachine is the profile that an order's folder keeps, of a file in it.
func keptMachine(file string) (*settings.Machine, bool) {
	old, err := order.Open(filepath.Dir(file))
	if err != nil {
		return nil, false
	}
	in, ok := old.Input(order.Profile)
	if !ok {
		return nil, false
	}
	m, err := settings.FindMachine(old.Inside(in))
	return &m, err == nil
}

// openRandom opens a file, or keeps all of standard input in one without a name, for
// readers that go over it more than once.
func (a *app) openRandom(name string) (io.ReaderAt, func() error, error) {
	f, err := a.open(name)
	if err != nil {
		return nil, nil, err
	}
	if file, ok := f.(*os.File); ok {
		return file, file.Close, nil
	}
	if r, ok := f.(io.ReaderAt); ok {
		return r, f.Close, nil
	}
	kept, err := keep(f, mostInput)
	if err != nil {
		return nil, nil, fault.Usagef("%s: %w", name, err)
	}
	return kept, kept.discard, nil
}

// What standard input may hold: more than a thousand million bytes are no file for a
// controller, nor are a million without the end of a line.
const (
	mostInput = 1 << 30
	mostLine  = 1 << 20
)

// kept is a copy of a stream in a file of its own.
type kept struct{ *os.File }

func (k kept) discard() error { return errors.Join(k.Close(), os.Remove(k.Name())) }

// keep copies what is no longer than most.
func keep(r io.Reader, most int64) (kept, error) {
	file, err := os.CreateTemp("", "furrow-*")
	if err != nil {
		return kept{}, err
	}
	k := kept{file}
	n, err := io.CopyN(file, r, mostLine)
	if err == nil && !hasLine(file) {
		err = errors.New("a million bytes without the end of a line: this is no file for a controller")
	}
	if err == nil {
		var more int64
		more, err = io.CopyN(file, r, most-n+1)
		n += more
	}
	switch {
	case n > most:
		err = errors.New("it does not end: a thousand million bytes are more than any file for a controller has")
	case err == io.EOF:
		return k, nil
	}
	return kept{}, errors.Join(err, k.discard())
}

func hasLine(file *os.File) bool {
	start := make([]byte, mostLine)
	n, _ := file.ReadAt(start, 0)
	return bytes.IndexByte(start[:n], '\n') >= 0
}

// isWrittenInput reports that a file, or else what comes in, is for a controller: a list
// by its first word, G-code by its first character and the number behind it. What comes in can be read from its start
// by the next one who opens it.
func (a *app) isWrittenInput(name string) bool {
	if name != "-" {
		return isWritten(name)
	}
	in := bufio.NewReader(a.stdin)
	a.stdin = in
	start, _ := in.Peek(512)
	text := bytes.TrimSpace(bytes.TrimPrefix(start, []byte("\xef\xbb\xbf")))
	return bytes.HasPrefix(text, []byte("markvec ")) || codeStart.Match(text)
}

// codeStart is how G-code may begin: a comment, a percent sign, or a letter and a number.
var codeStart = regexp.MustCompile(`^([(;%/]|(?i:[GMNXYFS])\s*[-+.]?[0-9])`)
