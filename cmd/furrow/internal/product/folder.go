package product

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"furrow/cmd/furrow/internal/fault"
)

// Folder is files that appear together, whole or not at all: they are written
// beside their place, and the folder then takes the place of the one that was
// there. Files of the earlier folder that nobody here made stay in it.
type Folder struct {
	dir, tmp string
	mark     string // the file that tells a folder of this kind
	old      bool   // there is an earlier one
	written  []string
	asked    context.Context // ends when a person asks for the end
	stop     func()
}

// NotOurs says that a folder is there which holds something else.
type NotOurs struct{ Dir, Mark string }

func (e *NotOurs) Error() string {
	return fmt.Sprintf("folder %s is there and holds no %s", e.Dir, e.Mark)
}

// CheckFolder refuses, before any work, a folder that could not or must not be
// written: one whose own folder is not there, or that holds something else.
func CheckFolder(dir, mark string) error {
	if info, err := os.Stat(filepath.Dir(filepath.Clean(dir))); err != nil || !info.IsDir() {
		return fault.Usagef("folder %s does not exist", filepath.Dir(filepath.Clean(dir))).Hintf("make it first")
	}
	f := &Folder{dir: filepath.Clean(dir), mark: mark}
	return f.lookAtOld()
}

// NewFolder begins a folder. One that is there must be empty or hold mark.
func NewFolder(dir, mark string) (*Folder, error) {
	dir = filepath.Clean(dir)
	if real, err := filepath.EvalSymlinks(dir); err == nil {
		dir = real
	}
	f := &Folder{dir: dir, mark: mark}
	restore(dir)
	if err := f.lookAtOld(); err != nil {
		return nil, err
	}
	clearLeftFolders(dir)
	f.asked, f.stop = UntilAsked()
	tmp, err := os.MkdirTemp(filepath.Dir(dir), fmt.Sprintf("%s%d-", hidden(dir), os.Getpid()))
	if err != nil {
		f.stop()
		return nil, fmt.Errorf("making folder %s: %w", dir, cause(err))
	}
	f.tmp = tmp
	return f, os.Chmod(tmp, 0o755)
}

// hidden begins the names of folders and files in the making beside their place, which a
// run that was killed may leave behind.
// Of a long name it takes the start and a sum, so that there is room for the rest.
func hidden(dir string) string {
	const most = 100 // of the 255 bytes that file systems take
	base := filepath.Base(dir)
	if len(base) > most {
		base = fmt.Sprintf("%.64s~%08x", base, crc32.ChecksumIEEE([]byte(base)))
	}
	return ".furrow-" + base + "-"
}

// lookAtOld refuses a folder that must not be replaced.
func (f *Folder) lookAtOld() error {
	info, err := os.Stat(f.dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case !info.IsDir():
		return &NotOurs{f.dir, f.mark}
	}
	entries, err := os.ReadDir(f.dir)
	if err != nil {
		return err
	}
	f.old = true
	if _, err := os.Stat(filepath.Join(f.dir, f.mark)); err != nil && len(entries) > 0 {
		return &NotOurs{f.dir, f.mark}
	}
	return nil
}

// Write makes one file, by a name with / between its folders.
func (f *Folder) Write(name string, fn func(io.Writer) error) error {
	if f.asked.Err() != nil {
		return errInterrupted
	}
	full := filepath.Join(f.tmp, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(full), 0o755); err != nil {
		return err
	}
	file, err := os.Create(full)
	if err != nil {
		return err
	}
	err = WriteBuffered(file, fn)
	if err == nil {
		err = file.Sync()
	}
	f.written = append(f.written, name)
	return errors.Join(err, file.Close())
}

// Path returns where a file stands until the folder is in its place.
func (f *Folder) Path(name string) string { return filepath.Join(f.tmp, filepath.FromSlash(name)) }

// Changes says what a folder holds that the earlier one did not.
type Changes struct {
	Fresh                       bool // there was none
	Added, Altered, Same, Taken []string
}

// Any reports a difference.
func (c Changes) Any() bool { return len(c.Added)+len(c.Altered)+len(c.Taken) > 0 }

// End puts the folder in its place, unless err tells that it is not whole. ours
// names the files of the earlier folder that go where they were not written
// anew; all others stay.
func (f *Folder) End(err error, ours []string) (Changes, error) {
	if err != nil {
		return Changes{}, errors.Join(err, f.Drop())
	}
	c, err := f.compare(ours)
	if f.asked.Err() != nil {
		err = errInterrupted
	}
	if err == nil {
		err = f.adopt(append(slices.Clone(c.Taken), f.written...))
	}
	if err == nil {
		err = f.place()
	}
	if err != nil {
		return Changes{}, errors.Join(err, f.Drop())
	}
	f.stop()
	return c, nil
}

// Drop leaves everything as it was.
func (f *Folder) Drop() error {
	f.stop()
	return os.RemoveAll(f.tmp)
}

// compare tells what differs, and lets files that do not keep their age.
func (f *Folder) compare(ours []string) (c Changes, err error) {
	c.Fresh = !f.old
	slices.Sort(f.written)
	for _, name := range f.written {
		before, now := filepath.Join(f.dir, filepath.FromSlash(name)), f.Path(name)
		same, err := equal(before, now)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			c.Added = append(c.Added, name)
		case err != nil:
			return c, err
		case !same:
			c.Altered = append(c.Altered, name)
		default:
			c.Same = append(c.Same, name)
			if err := relink(before, now); err != nil {
				return c, err
			}
		}
	}
	for _, name := range ours {
		if _, err := os.Stat(filepath.Join(f.dir,
			filepath.FromSlash(name))); err == nil && !slices.Contains(f.written, name) {
			c.Taken = append(c.Taken, name)
		}
	}
	slices.Sort(c.Taken)
	return c, nil
}

// adopt takes over the files of the earlier folder, but for those named.
func (f *Folder) adopt(but []string) error {
	if !f.old {
		return nil
	}
	return filepath.WalkDir(f.dir, func(name string, e fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(f.dir, name)
		if err != nil || slices.Contains(but, filepath.ToSlash(rel)) {
			return err
		}
		to := filepath.Join(f.tmp, rel)
		if e.IsDir() {
			return likeFolder(e, to)
		}
		return link(name, to)
	})
}

// likeFolder makes a folder that others may look into as far as into an earlier one, and
// that can be filled.
func likeFolder(earlier fs.DirEntry, to string) error {
	info, err := earlier.Info()
	if err != nil {
		return err
	}
	return os.MkdirAll(to, info.Mode().Perm()|0o700)
}

// place exchanges the folders.
func (f *Folder) place() error {
	syncFolder(f.tmp)
	if !f.old {
		return os.Rename(f.tmp, f.dir)
	}
	if err := exchange(f.tmp, f.dir); err != nil {
		return err
	}
	syncFolder(filepath.Dir(f.dir))
	return os.RemoveAll(f.tmp) // which holds the earlier folder now
}

// relink puts the file that is there already in the place of its equal.
func relink(old, now string) error {
	if err := os.Remove(now); err != nil {
		return err
	}
	return link(old, now)
}

// link makes a file appear under a second name, or copies it where the file
// system has no links.
func link(from, to string) error {
	if err := os.Link(from, to); err == nil {
		return nil
	}
	info, err := os.Lstat(from)
	if err != nil {
		return err
	}
	if info.Mode()&fs.ModeSymlink != 0 {
		target, err := os.Readlink(from)
		if err != nil {
			return err
		}
		return os.Symlink(target, to)
	}
	data, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	return os.WriteFile(to, data, info.Mode().Perm())
}

// equal compares two files.
func equal(a, b string) (bool, error) {
	x, err := os.Stat(a)
	if err != nil {
		return false, err
	}
	y, err := os.Stat(b)
	if err != nil || x.Size() != y.Size() {
		return false, err
	}
	p, err := os.ReadFile(a)
	if err != nil {
		return false, err
	}
	q, err := os.ReadFile(b)
	return bytes.Equal(p, q), err
}

// syncFolder asks for the names in a folder to be on the disk; a system that
// cannot is no reason to stop.
func syncFolder(dir string) {
	if d, err := os.Open(dir); err == nil {
		d.Sync()
		d.Close()
	}
}

// LocalName reports that a name stays inside the folder.
func LocalName(name string) bool {
	return filepath.IsLocal(filepath.FromSlash(name)) && !strings.ContainsAny(name, `\:`)
}

// restore puts back the earlier folder of a run that was killed between the two
// steps of an exchange.
func restore(dir string) {
	if _, err := os.Lstat(dir); !errors.Is(err, fs.ErrNotExist) {
		return
	}
	for _, l := range leftBeside(dir) {
		if strings.HasSuffix(l, earlier) {
			os.Rename(l, dir)
			return
		}
	}
}

// clearLeftFolders removes what a killed run left beside the folder. The name
// holds the number of the process, which may still be at work.
func clearLeftFolders(dir string) {
	for _, l := range leftBeside(dir) {
		number, _, _ := strings.Cut(strings.TrimPrefix(filepath.Base(l), hidden(dir)), "-")
		if pid, err := strconv.Atoi(number); err == nil && !running(pid) {
			os.RemoveAll(l)
		}
	}
}

// leftBeside lists what is in the making beside a folder or file.
func leftBeside(dir string) (left []string) {
	entries, _ := os.ReadDir(filepath.Dir(dir))
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), hidden(dir)) {
			left = append(left, filepath.Join(filepath.Dir(dir), e.Name()))
		}
	}
	return left
}
