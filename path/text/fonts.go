package text

import (
	"cmp"
	"io/fs"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
)

// Style is what a text is set in. The zero value of all but Size is plain text in
// the system's serif.
type Style struct {
	Families    string  // as in CSS: a list separated by commas, generic ones unquoted
	Size        float64 // of the em
	Weight      int     // 100..900; 0 is 400
	Italic      bool
	Stretch     float64 // width in percent, of fonts that have such an axis; 0 is 100
	SmallCaps   bool
	NoLigatures bool
	NoKerning   bool
}

// initialFamily is what browsers set text in that names no family.
const initialFamily = "serif"

func (s Style) weight() int { return cmp.Or(s.Weight, 400) }

// wanted is what a style asks of a font.
type wanted struct {
	families string
	weight   int
	italic   bool
	stretch  float64
}

func (s Style) wanted() wanted {
	return wanted{families: cmp.Or(s.Families, initialFamily), weight: s.weight(), italic: s.Italic,
		stretch: cmp.Or(s.Stretch, 100)}
}

// Fonts finds fonts in folders, and keeps what was read of them. It is not for use
// by several goroutines at once.
type Fonts struct {
	dirs   []fs.FS
	before fs.FS // or nil
	own    []ownFont
	index  *index // nil until it is needed
	stacks map[wanted]*stack
	faces  map[faceKey]*Face
	read   map[fileKey]fontData
	others map[otherKey]*Face
	shaper shaper
	embeds int // asked for
}

// otherKey is a letter that the fonts of a list lack.
type otherKey struct {
	r      rune
	weight int
	italic bool
}

// NewFonts looks for fonts in folders of .ttf, .otf, .ttc and .otc files, whatever
// these are called; of two of one name and style the first folder's is taken. The
// folders are read when the first text is set.
func NewFonts(dirs ...fs.FS) *Fonts {
	return &Fonts{
		dirs: dirs, stacks: map[wanted]*stack{}, faces: map[faceKey]*Face{},
		read: map[fileKey]fontData{}, others: map[otherKey]*Face{}, shaper: newShaper(),
	}
}

// Before has the fonts of a folder come before those of all others, whatever families and
// styles these have: a text that was set from them before is set from them again. It is for
// before the first text is set.
func (f *Fonts) Before(dir fs.FS) { f.before = dir }

// stack is the fonts that a list of families leads to.
type stack struct {
	files []found
	faces []*Face // of the files, as far as they were opened
	first *Face
}

// Face returns the font that a text of a style is set in, as far as it has the
// letters.
func (f *Fonts) Face(s Style) *Face { return f.stack(s.wanted()).first }

func (f *Fonts) stack(w wanted) *stack {
	if k, ok := f.stacks[w]; ok {
		return k
	}
	if f.index == nil {
		f.index = newIndex(f.before, f.dirs, f.own)
	}
	k := &stack{files: f.index.find(w)}
	f.stacks[w] = k
	for i := range k.files {
		if k.first = f.of(k, i, w); k.first != nil {
			break
		}
	}
	if k.first == nil {
		k.first = f.embedded(w)
	}
	return k
}

// of returns the i-th font of a stack, or nil where it cannot be read.
func (f *Fonts) of(k *stack, i int, w wanted) *Face {
	for len(k.faces) <= i {
		file := k.files[len(k.faces)]
		k.faces = append(k.faces, f.face(file.fontFile, file.family, w))
	}
	return k.faces[i]
}

// faceFor returns the font for one letter of a text, and whether it has it.
func (f *Fonts) faceFor(r rune, w wanted) (*Face, bool) {
	if face := f.listed(r, w); face != nil {
		return face, true
	}
	if face := f.other(r, w); face != nil {
		return face, true
	}
	if face := f.embedded(w); face.has(r) {
		return face, true
	}
	return f.stack(w).first, false
}

// listed returns the font of a list that has a letter, or nil.
func (f *Fonts) listed(r rune, w wanted) *Face {
	k := f.stack(w)
	if k.first.has(r) {
		return k.first
	}
	for i := range k.files {
		if face := f.of(k, i, w); face != nil && face.has(r) {
			return face
		}
	}
	return nil
}

// maxOthers bounds the letters that are looked for in all fonts.
const maxOthers = 200

// other returns a font of the folders that has a letter, or nil.
func (f *Fonts) other(r rune, w wanted) *Face {
	key := otherKey{r, w.weight, w.italic}
	face, ok := f.others[key]
	if ok || len(f.others) >= maxOthers {
		return face
	}
	if file, ok := f.index.covering(r, w); ok {
		if one := f.face(file.fontFile, file.family, w); one != nil && one.has(r) {
			face = one
		}
	}
	f.others[key] = face
	return face
}

// embedded returns the Go family, whose licence allows it.
func (f *Fonts) embedded(w wanted) *Face {
	data, number := goregular.TTF, -1
	switch bold := w.weight >= 600; {
	case bold && w.italic:
		data, number = gobolditalic.TTF, -4
	case bold:
		data, number = gobold.TTF, -2
	case w.italic:
		data, number = goitalic.TTF, -3
	}
	file := fontFile{number: number, data: data, weight: w.weight, italic: w.italic}
	return f.face(file, "", w)
}
