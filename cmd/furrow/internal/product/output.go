package product

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"furrow/cmd/furrow/internal/fault"
)

// Output is where a product goes: a file that appears whole or not at all, or
// standard output.
type Output struct {
	Path  string
	Force bool
}

// ToStdout reports that the product goes to standard output.
func (o Output) ToStdout() bool { return o.Path == "-" }

// Named refuses an output without a name, to be told beside all else that is missing.
func (o Output) Named() error {
	if o.Path == "" {
		return fault.Usagef("no output file").Hintf("add -o FILE, or -o - for standard output")
	}
	return nil
}

// Check refuses, before any work, an output that could not or must not be
// written. inputs are the files read.
func (o Output) Check(inputs ...string) error {
	if o.Path == "" || o.ToStdout() {
		return o.Named()
	}
	if dir, err := os.Stat(filepath.Dir(o.Path)); err != nil || !dir.IsDir() {
		return fault.Usagef("output folder %s does not exist", filepath.Dir(o.Path)).Hintf("make it first")
	}
	info, err := os.Stat(o.Path)
	if errors.Is(err, fs.ErrNotExist) {
		return o.checkLink()
	}
	if err != nil {
		return fault.Usagef("output: %w", err)
	}
	for _, in := range inputs {
		if other, err := os.Stat(in); err == nil && os.SameFile(info, other) {
			return fault.Usagef("output %s is also the input", o.Path).Hintf("choose another name")
		}
	}
	switch {
	case info.IsDir():
		return fault.Usagef("output %s is a folder", o.Path).Hintf("name a file in it")
	case !info.Mode().IsRegular(): // the new file would take the place of the device
		return fault.Usagef("output %s is a device or pipe, not a file", o.Path).
			Hintf("write to it with -o - > %s", o.Path)
	case !o.Force:
		return o.alreadyThere()
	}
	return nil
}

func (o Output) alreadyThere() *fault.Failure {
	return fault.Usagef("output %s is already there", o.Path).Hintf("add --force to overwrite it")
}

// checkLink refuses, where nothing is found, a link to nothing, in whose place the file
// would go.
func (o Output) checkLink() error {
	if _, err := os.Lstat(o.Path); err == nil {
		return fault.Usagef("output %s is a link that leads nowhere", o.Path).Hintf("remove the link, or name a file")
	}
	return nil
}

// Write hands fn a buffered writer and makes the product appear only when fn
// and every write succeeded.
func (o Output) Write(stdout io.Writer, fn func(w io.Writer) error) error {
	return Together(stdout, Part{o, fn})
}

// Part is a product with what writes it.
type Part struct {
	Output
	Fn func(w io.Writer) error
}

// Together writes products that appear together: all of them, or none.
func Together(stdout io.Writer, parts ...Part) error {
	drafts := make([]*draft, len(parts))
	for i, p := range parts {
		if p.ToStdout() {
			continue // what has gone there cannot be taken back, so the files go first
		}
		d, err := newDraft(p.Path, p.Force)
		if err != nil {
			return p.failed(err)
		}
		defer d.drop()
		drafts[i] = d
		if err := WriteBuffered(d, p.Fn); err != nil {
			return p.failed(err)
		}
		if err := d.ready(); err != nil {
			return p.failed(err)
		}
	}
	for i, p := range parts {
		if drafts[i] == nil {
			if err := WriteBuffered(stdout, p.Fn); err != nil {
				return err
			}
		}
	}
	return placeAll(parts, drafts)
}

// placeAll puts all drafts in their places, or none of them.
func placeAll(parts []Part, drafts []*draft) error {
	for i, d := range drafts {
		if d == nil {
			continue
		}
		err := d.place()
		if err == nil {
			continue
		}
		for _, placed := range drafts[:i] {
			if placed != nil {
				placed.undo()
			}
		}
		return parts[i].failed(err)
	}
	return nil
}

// failed words what went wrong with a file.
func (o Output) failed(err error) error {
	if errors.Is(err, fs.ErrExist) { // since Check looked
		return o.alreadyThere()
	}
	return fmt.Errorf("writing %s: %w", o.Path, err)
}

// WriteBuffered hands fn a buffered writer to w.
func WriteBuffered(w io.Writer, fn func(w io.Writer) error) error {
	b := bufio.NewWriterSize(w, 1<<16)
	if err := fn(b); err != nil {
		return err
	}
	return b.Flush()
}

// WriteBytes writes a product that is there already.
func (o Output) WriteBytes(stdout io.Writer, data []byte) error {
	return o.Write(stdout, func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}
