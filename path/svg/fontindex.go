package svg

import (
	"bytes"
	"encoding/binary"
	"io"
	"io/fs"
	"path"
	"strings"

	"github.com/tdewolff/font"
	"golang.org/x/image/font/sfnt"
)

// fontFile is one font in a file, which may be a collection of several.
type fontFile struct {
	dir    fs.FS
	name   string
	number int // of the file, of all that were looked at
	index  int // in a collection
	weight int // 100..900
	italic bool
}

const maxFontFiles = 20_000

// fontIndex finds fonts by their folded names.
type fontIndex map[string][]fontFile

// newFontIndex lists the fonts of all folders by what their name tables say.
func newFontIndex(dirs []fs.FS) fontIndex {
	x := fontIndex{}
	count := 0
	for _, dir := range dirs {
		_ = fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return nil // what cannot be read has no fonts
			}
			switch strings.ToLower(path.Ext(name)) {
			case ".ttf", ".otf", ".ttc", ".otc":
				if count++; count > maxFontFiles {
					return fs.SkipAll
				}
				x.file(dir, name, count)
			}
			return nil
		})
	}
	return x
}

// file adds the fonts of a file that can be read. The library panics on some
// damaged ones.
func (x fontIndex) file(dir fs.FS, name string, number int) {
	defer func() { _ = recover() }()
	f, err := dir.Open(name)
	if err != nil {
		return
	}
	defer f.Close()
	at, ok := f.(io.ReaderAt)
	if !ok {
		data, err := io.ReadAll(f)
		if err != nil {
			return
		}
		at = bytes.NewReader(data)
	}
	c, err := sfnt.ParseCollectionReaderAt(at)
	if err != nil {
		return
	}
	for i := range c.NumFonts() {
		if one, err := c.Font(i); err == nil {
			x.add(one, fontFile{dir: dir, name: name, number: number, index: i})
		}
	}
}

// add enters a font under its families, with the style that each of them knows it
// by, and under the names of this style alone: drawing programs write those as a
// family.
func (x fontIndex) add(f *sfnt.Font, file fontFile) {
	get := func(id sfnt.NameID) string {
		s, _ := f.Name(nil, id) // empty where it is missing
		return s
	}
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
}

// enter adds a font under a name, unless one of that style is there already: the
// first folder wins.
func (x fontIndex) enter(name string, file fontFile) {
	name = foldName(name)
	if name == "" {
		return
	}
	for _, f := range x[name] {
		if f.weight == file.weight && f.italic == file.italic {
			return
		}
	}
	x[name] = append(x[name], file)
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

// find returns the font of the first family of a list that there is, and that
// family as it was asked for.
func (x fontIndex) find(families string, weight int, italic bool) (file fontFile, family string, ok bool) {
	for family := range strings.SplitSeq(families, ",") {
		family = strings.TrimSpace(family)
		names := []string{strings.Trim(family, `"'`)}
		if kind, ok := generic[strings.ToLower(family)]; ok { // not in quotes
			names = kind
		}
		for _, n := range names {
			if files := x[foldName(n)]; len(files) > 0 {
				return nearest(files, weight, italic), n, true
			}
		}
	}
	return fontFile{}, "", false
}

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

// single returns one font of a collection as a file of its own: its table
// directory, pointing into the collection behind it (OpenType, "The font file").
// The canvas library refuses the last font of a collection.
func single(data []byte, index int) []byte {
	if !bytes.HasPrefix(data, []byte("ttcf")) || len(data) < 16+4*index {
		return data
	}
	at := int(binary.BigEndian.Uint32(data[12+4*index:]))
	if at+12 > len(data) {
		return data
	}
	size := 12 + 16*int(binary.BigEndian.Uint16(data[at+4:]))
	if at+size > len(data) {
		return data
	}
	out := append(bytes.Clone(data[at:at+size]), data...)
	for i := 12; i < size; i += 16 {
		offset := out[i+8:]
		binary.BigEndian.PutUint32(offset, binary.BigEndian.Uint32(offset)+uint32(size))
	}
	return out
}
