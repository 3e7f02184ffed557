package product

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
)

// draft is a file that nobody sees until it is whole: it is written beside its
// place under a hidden name, and then put there.
type draft struct {
	target  string
	replace bool // what is there by then
	tmp     *os.File
	asked   context.Context // ends when a person asks for the end
	stop    func()
}

var errInterrupted = errors.New("interrupted")

// newDraft begins a file. One that is there already through a link keeps the link.
func newDraft(path string, replace bool) (*draft, error) {
	target := path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		target = real
	}
	ctx, stop := UntilAsked()
	clearLeftDrafts(target)
	tmp, err := os.CreateTemp(filepath.Dir(target), fmt.Sprintf("%s%d-*", hidden(target), os.Getpid()))
	if err != nil {
		stop()
		return nil, cause(err)
	}
	return &draft{target: target, replace: replace, tmp: tmp, asked: ctx, stop: stop}, nil
}

// UntilAsked ends when a person asks for the end, or the system does.
func UntilAsked() (context.Context, func()) {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	context.AfterFunc(ctx, stop) // asked twice, the program ends at once
	return ctx, stop
}

// clearLeftDrafts removes what runs that were killed have left of a file. Their names end
// in the number of the process and a number of chance.
func clearLeftDrafts(target string) {
	for _, l := range leftBeside(target) {
		process, chance, _ := strings.Cut(strings.TrimPrefix(filepath.Base(l), hidden(target)), "-")
		pid, err := strconv.Atoi(process)
		if _, notOne := strconv.ParseUint(chance, 10, 64); err == nil && notOne == nil && !running(pid) {
			os.Remove(l)
		}
	}
}

func (d *draft) Write(p []byte) (int, error) {
	if d.asked.Err() != nil {
		return 0, errInterrupted
	}
	n, err := d.tmp.Write(p)
	return n, cause(err)
}

// drop leaves nothing behind of a draft, wherever it is.
func (d *draft) drop() {
	d.tmp.Close()           // fails, as it may, once closed
	os.Remove(d.tmp.Name()) // and once renamed
	d.stop()
}

// ready ends the writing: what is left is to put the file in its place.
func (d *draft) ready() error {
	err := d.tmp.Chmod(d.mode())
	if err == nil {
		err = d.tmp.Sync()
	}
	return cause(errors.Join(err, d.tmp.Close()))
}

func (d *draft) place() error {
	if d.asked.Err() != nil {
		return errInterrupted
	}
	if !d.replace {
		// Unlike a rename, a link takes the place of nothing that came meanwhile.
		if err := os.Link(d.tmp.Name(), d.target); err == nil || errors.Is(err, fs.ErrExist) {
			return cause(err)
		} // else the file system has no links
	}
	return cause(os.Rename(d.tmp.Name(), d.target))
}

// undo takes a file out of its place again, unless it has replaced another.
func (d *draft) undo() {
	if !d.replace {
		os.Remove(d.target)
	}
}

// mode is that of the file which is replaced.
func (d *draft) mode() fs.FileMode {
	if info, err := os.Stat(d.target); err == nil {
		return info.Mode().Perm()
	}
	return 0o644
}

// cause leaves out the hidden name, which tells a person nothing.
func cause(err error) error {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		return pe.Err
	case errors.As(err, &le):
		return le.Err
	}
	return err
}
