package main

import (
	"bytes"
	"io"
	"os"
	"strings"

	"furrow/cmd/furrow/internal/fault"
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
	if err != nil {
		closeFile()
		return openChecked{}, err
	}
	return openChecked{c, closeFile}, nil
}

// openRandom opens a file, or holds all of standard input, for readers that go
// over it more than once.
func (a *app) openRandom(name string) (io.ReaderAt, func() error, error) {
	f, err := a.open(name)
	if err != nil {
		return nil, nil, err
	}
	if file, ok := f.(*os.File); ok {
		return file, file.Close, nil
	}
	data, err := io.ReadAll(f)
	if err != nil {
		return nil, nil, fault.Usagef("%s: %w", name, err)
	}
	return bytes.NewReader(data), f.Close, nil
}
