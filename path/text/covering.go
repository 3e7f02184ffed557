package text

import (
	"io/fs"

	"golang.org/x/image/font/sfnt"
)

// covering returns a font of the folders that has a letter: the first one's family
// in the style that is nearest. Those that come before all folders are the first.
func (x *index) covering(r rune, w wanted) (found, bool) {
	for _, f := range x.all {
		if !x.has(f, r) {
			continue
		}
		best := f
		if files := x.sameFolders(f)[foldName(f.family)]; len(files) > 0 {
			if one := nearest(files, w.weight, w.italic); x.has(one, r) {
				best = one
			}
		}
		return found{best, f.family}, true
	}
	return found{}, false
}

// has looks a letter up in a font, of which no more is read than that takes.
func (x *index) has(file fontFile, r rune) (has bool) {
	defer func() {
		if recover() != nil {
			has = false
		}
	}()
	key := fileKey{file.number, file.index}
	f, ok := x.kept[key]
	if !ok {
		f = file.names()
		x.kept[key] = f
	}
	if f == nil {
		return false
	}
	id, err := f.GlyphIndex(nil, r)
	return err == nil && id != 0
}

// names opens a font for its tables, not its outlines; nil where it cannot be read.
func (f fontFile) names() *sfnt.Font {
	if f.dir == nil {
		return nil // a font of the document is not offered to other families
	}
	c, err := sfnt.ParseCollectionReaderAt(reopened{f.dir, f.name})
	if err != nil {
		return nil
	}
	one, err := c.Font(f.index)
	if err != nil {
		return nil
	}
	return one
}

// reopened reads a file without holding it open.
type reopened struct {
	dir  fs.FS
	name string
}

func (r reopened) ReadAt(p []byte, off int64) (int, error) {
	f, err := r.dir.Open(r.name)
	if err != nil {
		return 0, err
	}
	defer f.Close()
	at, err := readerAt(f)
	if err != nil {
		return 0, err
	}
	return at.ReadAt(p, off)
}
