package job

import (
	"cmp"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
)

// Fonts notes which files letters were set from, and says which come before those of all
// folders.
type Fonts struct {
	Kept fs.FS // such files; nil for none
	used []FontFile
}

// FontFile is a file with fonts that letters were set from, or looked for in.
type FontFile struct {
	Name string
	Data []byte
	Kept bool // it is one of those that come before all folders

	folder int // of those that were looked in
}

// Forget drops what was noted so far.
func (f *Fonts) Forget() {
	if f != nil {
		f.used = nil
	}
}

// Used returns the files, each once, in the sequence in which they are looked in.
func (f *Fonts) Used() []FontFile {
	slices.SortFunc(f.used, func(a, b FontFile) int {
		return cmp.Or(cmp.Compare(a.folder, b.folder), cmp.Compare(a.Name, b.Name))
	})
	return f.used
}

// First is the folder that comes before all others, nil for none.
func (f *Fonts) First() fs.FS {
	if f == nil || f.Kept == nil {
		return nil
	}
	return noted{FS: f.Kept, kept: true, to: f}
}

// Folders opens folders. What is read of their files whole, as a font is when a letter is
// set, is noted; not where f is nil.
func (f *Fonts) Folders(dirs ...string) (all []fs.FS) {
	for i, dir := range dirs {
		if f == nil {
			all = append(all, os.DirFS(dir))
		} else {
			all = append(all, noted{FS: os.DirFS(dir), dir: dir, folder: 1 + i, to: f})
		}
	}
	return all
}

// noted is a folder that notes which of its files are read.
type noted struct {
	fs.FS
	dir    string
	folder int
	kept   bool
	to     *Fonts
}

func (n noted) ReadFile(name string) ([]byte, error) {
	data, err := fs.ReadFile(n.FS, name)
	file := FontFile{Name: filepath.Join(n.dir, filepath.FromSlash(name)), Data: data, Kept: n.kept, folder: n.folder}
	same := func(u FontFile) bool { return u.Name == file.Name && u.folder == file.folder }
	if err == nil && !slices.ContainsFunc(n.to.used, same) {
		n.to.used = append(n.to.used, file)
	}
	return data, err
}
