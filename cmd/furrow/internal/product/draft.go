package product

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
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
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // asked twice, the program ends at once
	tmp, err := os.CreateTemp(filepath.Dir(target), ".furrow-*")
	if err != nil {
		stop()
		return nil, cause(err)
	}
	return &draft{target, replace, tmp, ctx, stop}, nil
}

func (d *draft) Write(p []byte) (int, error) {
	if d.asked.Err() != nil {
		return 0, errInterrupted
	}
	n, err := d.tmp.Write(p)
	return n, cause(err)
}

// end puts the file in its place, unless it could not be written, and leaves
// nothing beside it.
func (d *draft) end(err error) error {
	defer d.stop()
	defer os.Remove(d.tmp.Name()) // fails, as it may, once renamed
	if err != nil {
		d.tmp.Close()
		return err
	}
	return cause(d.place())
}

func (d *draft) place() error {
	err := d.tmp.Chmod(d.mode())
	if err == nil {
		err = d.tmp.Sync()
	}
	err = errors.Join(err, d.tmp.Close())
	switch {
	case err != nil:
		return err
	case d.asked.Err() != nil:
		return errInterrupted
	}
	if !d.replace {
		// Unlike a rename, a link takes the place of nothing that came meanwhile.
		if err := os.Link(d.tmp.Name(), d.target); err == nil || errors.Is(err, fs.ErrExist) {
			return err
		} // else the file system has no links
	}
	return os.Rename(d.tmp.Name(), d.target)
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
