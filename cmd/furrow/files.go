package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/pflag"
)

// output is where a product goes: a file that appears whole or not at all, or
// standard output.
type output struct {
	path  string
	force bool
}

func (o *output) flags(fs *pflag.FlagSet, what string) {
	fs.StringVarP(&o.path, "output", "o", "", "write "+what+" to `FILE`; - is standard output")
	fs.BoolVar(&o.force, "force", false, "overwrite the output if it is there")
}

func (o output) toStdout() bool { return o.path == "-" }

// besides returns where a summary goes: to standard error when the product itself
// goes to standard output. One asked for as JSON is not left out.
func (o output) besides(a *app, json bool) io.Writer {
	switch {
	case a.notes == io.Discard && !json:
		return io.Discard
	case o.toStdout():
		return a.stderr
	}
	return a.stdout
}

// check refuses, before any work, an output that could not or must not be
// written. inputs are the files read.
func (o output) check(inputs ...string) error {
	switch {
	case o.path == "":
		return usagef("no output file").hintf("add -o FILE, or -o - for standard output")
	case o.toStdout():
		return nil
	}
	if dir, err := os.Stat(filepath.Dir(o.path)); err != nil || !dir.IsDir() {
		return usagef("output folder %s does not exist", filepath.Dir(o.path)).hintf("make it first")
	}
	info, err := os.Stat(o.path)
	if errors.Is(err, fs.ErrNotExist) {
		return o.checkLink()
	}
	if err != nil {
		return usagef("output: %w", err)
	}
	for _, in := range inputs {
		if other, err := os.Stat(in); err == nil && os.SameFile(info, other) {
			return usagef("output %s is also the input", o.path).hintf("choose another name")
		}
	}
	switch {
	case info.IsDir():
		return usagef("output %s is a folder", o.path).hintf("name a file in it")
	case !info.Mode().IsRegular(): // the new file would take the place of the device
		return usagef("output %s is a device or pipe, not a file", o.path).hintf("write to it with -o - > %s", o.path)
	case !o.force:
		return o.alreadyThere()
	}
	return nil
}

func (o output) alreadyThere() *failure {
	return usagef("output %s is already there", o.path).hintf("add --force to overwrite it")
}

// checkLink refuses a link to nothing, in whose place the file would go.
func (o output) checkLink() error {
	if info, err := os.Lstat(o.path); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return usagef("output %s is a link to what is not there", o.path).hintf("remove the link, or name a file")
	}
	return nil
}

// fitsFormat refuses a name that stands for the format of the other kind of
// machine.
func (o output) fitsFormat(m *machineFile) error {
	name, list := strings.ToLower(o.path), ".mvl"
	switch {
	case m.Galvo != nil && isWritten(name) && !strings.HasSuffix(name, list):
		return usagef("%s is named as G-code, and %s is a galvo, whose file is a mark-vector list", o.path, m.ID).
			hintf("name it %s%s", strings.TrimSuffix(o.path, filepath.Ext(o.path)), list)
	case m.Gantry != nil && strings.HasSuffix(name, list):
		return usagef("%s is named as a mark-vector list, and %s is a gantry, whose file is G-code", o.path, m.ID).
			hintf("name it %s.nc", strings.TrimSuffix(o.path, filepath.Ext(o.path)))
	}
	return nil
}

// write hands fn a buffered writer and makes the product appear only when fn
// and every write succeeded.
func (o output) write(a *app, fn func(w io.Writer) error) error {
	if o.toStdout() {
		return writeBuffered(a.stdout, fn)
	}
	d, err := newDraft(o.path, o.force)
	if err == nil {
		err = d.end(writeBuffered(d, fn))
	}
	switch {
	case errors.Is(err, fs.ErrExist): // since check looked
		return o.alreadyThere()
	case err != nil:
		return fmt.Errorf("writing %s: %w", o.path, err)
	}
	return nil
}

func writeBuffered(w io.Writer, fn func(w io.Writer) error) error {
	b := bufio.NewWriterSize(w, 1<<16)
	if err := fn(b); err != nil {
		return err
	}
	return b.Flush()
}

// open returns the named input, standard input for -, and the name to show.
func (a *app) open(name string) (io.ReadCloser, error) {
	if name == "-" {
		return io.NopCloser(a.stdin), nil
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, unreadable(err)
	}
	if info, err := f.Stat(); err == nil && info.IsDir() {
		f.Close()
		return nil, usagef("%s is a folder", name).hintf("name a file in it")
	}
	return f, nil
}

func unreadable(err error) *failure {
	var pe *fs.PathError
	if errors.As(err, &pe) && errors.Is(err, fs.ErrNotExist) {
		return usagef("no file %s", pe.Path).hintf("check the name and the folder")
	}
	return usagef("%w", err)
}

// oneFile returns the single file argument.
func oneFile(args []string, what string) (string, error) {
	switch len(args) {
	case 1:
		return args[0], nil
	case 0:
		return "", usagef("no %s named", what)
	}
	f := usagef("one %s at a time, got %s", what, strings.Join(args, " "))
	for _, a := range args {
		if _, err := strconv.ParseFloat(a, 64); err == nil {
			return "", f.hintf("the value of a flag that may stand alone is joined by =, as in --cross=%s", a)
		}
	}
	return "", f
}

func (o output) writeBytes(a *app, data []byte) error {
	return o.write(a, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}
