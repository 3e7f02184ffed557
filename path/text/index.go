package text

import (
	"bytes"
	"cmp"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"github.com/tdewolff/font"
	"golang.org/x/image/font/sfnt"
)

// fontFile is one font in a file, which may be a collection of several.
type fontFile struct {
	dir    fs.FS
	name   string
	data   []byte // in place of dir and name, or nil
	before bool   // of those that come before all folders
	drawn  *Drawn // in place of all that, or nil
	number int    // of the file, of all that were looked at; below 0 those in memory
	index  int    // in a collection
	weight int    // 100..900
	italic bool
	family string // its own name for that
}

// found is a font and the family by which it was found.
type found struct {
	fontFile
	family string
}

const maxFontFiles = 20_000

// index finds fonts by their folded names.
type index struct {
	own    map[string][]fontFile // of documents; a family that is here is not looked for elsewhere
	before map[string][]fontFile // that come before all folders
	byName map[string][]fontFile
	all    []fontFile // once each
	kept   map[fileKey]*sfnt.Font
	blocks blocks // of the file that is looked at
}

// newIndex lists the fonts of all folders by what their name tables say; own fonts
// come first, and then those of a folder that comes before the others, if there is one.
func newIndex(before fs.FS, dirs []fs.FS, own []ownFont) *index {
	x := &index{own: map[string][]fontFile{}, before: map[string][]fontFile{}, byName: map[string][]fontFile{},
		kept: map[fileKey]*sfnt.Font{}}
	for _, o := range own {
		x.embed(o)
	}
	if before != nil {
		dirs = slices.Insert(slices.Clone(dirs), 0, before)
	}
	count := 0
	for i, dir := range dirs {
		first := before != nil && i == 0
		_ = fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return nil // what cannot be read has no fonts
			}
			switch strings.ToLower(path.Ext(name)) {
			case ".ttf", ".otf", ".ttc", ".otc":
				if count++; count > maxFontFiles {
					return fs.SkipAll
				}
				x.file(fontFile{dir: dir, name: name, number: count, before: first})
			}
			return nil
		})
	}
	return x
}

func (x *index) embed(o ownFont) {
	name := foldName(o.family)
	x.own[name] = append(x.own[name], o.fontFile)
}

// file adds the fonts of a file that can be read. The library panics on some
// damaged ones.
func (x *index) file(file fontFile) {
	defer func() { _ = recover() }()
	f, err := file.dir.Open(file.name)
	if err != nil {
		return
	}
	defer f.Close()
	at, err := readerAt(f)
	if err != nil {
		return
	}
	x.blocks.open(at)
	c, err := sfnt.ParseCollectionReaderAt(&x.blocks)
	if err != nil {
		return
	}
	for i := range c.NumFonts() {
		if one, err := c.Font(i); err == nil {
			file.index = i
			x.add(one, file)
		}
	}
}

func readerAt(f fs.File) (io.ReaderAt, error) {
	if at, ok := f.(io.ReaderAt); ok {
		return at, nil
	}
	data, err := io.ReadAll(f)
	return bytes.NewReader(data), err
}

// add enters a font under its families, with the style that each of them knows it
// by, and under the names of this style alone: drawing programs write those as a
// family.
func (x *index) add(f *sfnt.Font, file fontFile) {
	get := func(id sfnt.NameID) string {
		s, _ := f.Name(nil, id) // empty where it is missing
		return s
	}
	file.weight = 400
	file.family = cmp.Or(get(sfnt.NameIDTypographicFamily), get(sfnt.NameIDFamily))
	for _, n := range [...][2]sfnt.NameID{
		{sfnt.NameIDTypographicFamily, sfnt.NameIDTypographicSubfamily}, {sfnt.NameIDFamily, sfnt.NameIDSubfamily},
	} {
		style := font.ParseStyle(get(n[1]))
		if style != font.UnknownStyle {
			file.weight, file.italic = 100*int(style.Weight()-font.Thin+1), style.Italic()
			x.enter(get(n[0]), file)
		}
	}
	x.enter(get(sfnt.NameIDFull), file)
	x.enter(get(sfnt.NameIDPostScript), file)
	x.all = append(x.all, file)
}

// enter adds a font under a name, unless one of that style is there already: the
// first folder wins.
func (x *index) enter(name string, file fontFile) {
	name = foldName(name)
	if name == "" {
		return
	}
	to := x.sameFolders(file)
	for _, f := range to[name] {
		if f.weight == file.weight && f.italic == file.italic {
			return
		}
	}
	to[name] = append(to[name], file)
}

// sameFolders are the names of a font of folders and of those beside it.
func (x *index) sameFolders(f fontFile) map[string][]fontFile {
	if f.before {
		return x.before
	}
	return x.byName
}

// generic are the families that CSS names by kind, in the order in which they are
// tried.
var generic = func() map[string][]string {
	g := font.DefaultGenericFonts()
	g["sans-serif"] = append(g["sans-serif"], "Liberation Sans", "Helvetica Neue", "Segoe UI")
	g["serif"] = append(g["serif"], "Liberation Serif", "Georgia")
	g["monospace"] = append(g["monospace"], "Liberation Mono", "Menlo", "Consolas")
	for alias, of := range map[string]string{
		"system-ui": "sans-serif", "ui-sans-serif": "sans-serif", "ui-rounded": "sans-serif",
		"ui-serif": "serif", "ui-monospace": "monospace",
	} {
		g[alias] = g[of]
	}
	return g
}()

// Generic reports a family that CSS names by kind, such as "serif".
func Generic(family string) bool { return generic[strings.ToLower(family)] != nil }

// SameName reports that two names of families mean the same font: case and all but
// letters and digits make no difference.
func SameName(a, b string) bool { return foldName(a) == foldName(b) }

// find returns the fonts of the families of a list that there are, and these
// families as they were asked for.
func (x *index) find(w wanted) (list []found) {
	if len(x.before) == 0 {
		return find(w, x.own, x.byName)
	}
	list = append(find(w, x.own, x.before), find(w, x.byName)...)
	return list[:min(len(list), maxStack)]
}

// find looks each family of a list up in the first of some maps that has it.
func find(w wanted, in ...map[string][]fontFile) (list []found) {
	for family := range strings.SplitSeq(w.families, ",") {
		family = strings.TrimSpace(family)
		names := []string{strings.Trim(family, `"'`)}
		if kind, ok := generic[strings.ToLower(family)]; ok { // not in quotes
			names = kind
		}
		for _, n := range names {
			files := firstOf(foldName(n), in)
			if len(files) > 0 && len(list) < maxStack {
				list = append(list, found{nearest(files, w.weight, w.italic), n})
			}
		}
	}
	return list
}

func firstOf(name string, in []map[string][]fontFile) []fontFile {
	for _, m := range in {
		if files := m[name]; len(files) > 0 {
			return files
		}
	}
	return nil
}

// maxStack bounds the fonts that one list leads to.
const maxStack = 32

// nearest chooses by style first and then by weight, as CSS Fonts 4, 5.2 does.
func nearest(files []fontFile, weight int, italic bool) fontFile {
	best, bestOff := files[0], 1<<20
	for _, f := range files {
		off := weightOff(f.weight, weight)
		if f.italic != italic {
			off += 1 << 16
		}
		if off < bestOff {
			best, bestOff = f, off
		}
	}
	return best
}

// weightOff is less for the weight that is taken first where want is missing: the
// lighter below 400, the bolder above 500, between them first what is up to 500.
func weightOff(have, want int) int {
	const later = 1000
	switch {
	case have >= want && (want > 500 || have <= 500 && want >= 400):
		return have - want
	case have <= want && want < 400:
		return want - have
	case have < want:
		return later + want - have
	}
	return 2*later + have - want
}

func foldName(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'A' && r <= 'Z':
			return r + 'a' - 'A'
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9', r > 127:
			return r
		}
		return -1
	}, s)
}
