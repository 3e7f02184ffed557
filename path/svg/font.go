package svg

import (
	"cmp"
	"fmt"
	"image/color"
	"io/fs"
	"slices"

	geom "furrow/path"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/gobolditalic"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"
)

// fonts finds and keeps the fonts of a document.
type fonts struct {
	dirs  []fs.FS
	index fontIndex // nil until it is needed
	faces map[faceKey]*face
	read  map[fontFile]*canvas.Font // by number and index alone
}

type faceKey struct {
	families string
	weight   int
	italic   bool
}

// face is one font ready to shape text. It is the door to the canvas library.
type face struct {
	font  *canvas.Font
	name  string // of the family found; empty when nothing was found
	kerns map[[2]rune]float64
	words map[string]*word
}

// word is a text as it is shaped at a size of 1, with Y down.
type word struct {
	outline geom.Path
	advance float64
	missing int // characters that the font lacks
}

// maxWords and maxWord bound the words kept of a font, and the bytes of each.
const (
	maxWords = 4096
	maxWord  = 64
)

// initialFamily is what browsers set text in that names no family.
const initialFamily = "serif"

// face returns the first family of a list that there is, or the embedded one.
func (f *fonts) face(s fontStyle) *face {
	key := faceKey{s.family, s.weight, s.italic}
	if made, ok := f.faces[key]; ok {
		return made
	}
	if f.faces == nil {
		f.faces = map[faceKey]*face{}
		f.index = newFontIndex(f.dirs)
		f.read = map[fontFile]*canvas.Font{}
	}
	made := f.load(key)
	if made.font == nil {
		made = &face{font: loadFont(embedded(key))}
	}
	made.kerns, made.words = map[[2]rune]float64{}, map[string]*word{}
	f.faces[key] = made
	return made
}

func (f *fonts) load(key faceKey) *face {
	file, family, ok := f.index.find(cmp.Or(key.families, initialFamily), key.weight, key.italic)
	if !ok {
		return &face{}
	}
	font := f.open(file)
	if font == nil {
		return &face{}
	}
	return &face{font: font, name: family}
}

// open reads a font, once for all lists of families that lead to it; it returns
// nil for one that cannot be read.
func (f *fonts) open(file fontFile) *canvas.Font {
	key := fontFile{number: file.number, index: file.index}
	font, ok := f.read[key]
	if !ok {
		if data, err := fs.ReadFile(file.dir, file.name); err == nil {
			font = loadFont(single(data, file.index))
		}
		f.read[key] = font
	}
	return font
}

// asked lists the fonts that were looked for.
func (f *fonts) asked() []Font {
	var list []Font
	for key, face := range f.faces {
		list = append(list, Font{key.families, face.name})
	}
	slices.SortFunc(list, func(a, b Font) int { return cmp.Or(cmp.Compare(a.Asked, b.Asked), cmp.Compare(a.Used, b.Used)) })
	return slices.Compact(list)
}

// embedded is the Go family, whose licence allows it.
func embedded(key faceKey) []byte {
	switch bold := key.weight >= 600; {
	case bold && key.italic:
		return gobolditalic.TTF
	case bold:
		return gobold.TTF
	case key.italic:
		return goitalic.TTF
	}
	return goregular.TTF
}

// loadFont returns nil for a font that cannot be read. The library panics on
// some.
func loadFont(data []byte) (font *canvas.Font) {
	defer func() {
		if recover() != nil {
			font = nil
		}
	}()
	font, err := canvas.LoadFont(data, 0, canvas.FontRegular)
	if err != nil {
		return nil
	}
	return font
}

// shape returns the outlines of text from 0,0 along X with Y down, its advance,
// and how many characters the font lacks, at a size in user units.
func (f *face) shape(text string, size float64) (out geom.Path, advance float64, missing int, err error) {
	if f.font == nil || size == 0 {
		return geom.Path{}, 0, 0, nil
	}
	w, ok := f.words[text]
	if !ok {
		if w, err = f.word(text); err != nil {
			return geom.Path{}, 0, 0, err
		}
		if len(f.words) < maxWords && len(text) <= maxWord {
			f.words[text] = w
		}
	}
	return w.outline.Transform(geom.Scale(size, size)), w.advance * size, w.missing, nil
}

func (f *face) word(text string) (w *word, err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the font cannot be drawn: %v", r)
		}
	}()
	w = &word{}
	ff := f.sized()
	for _, g := range ff.Glyphs(text) {
		if g.ID == 0 {
			w.missing++
		}
	}
	p, width, err := ff.ToPath(text)
	if err != nil {
		return nil, err
	}
	const k = 1.0 / 1000
	w.outline, w.advance = fromCanvas(p).Transform(geom.Scale(k, -k)), width*k
	return w, nil
}

// sized returns the font at 1000 mm: a fixed size, because hinting and rounding
// depend on it.
func (f *face) sized() *canvas.FontFace { return f.font.Face(1000/25.4*72, color.Black) }

// kern returns by how much two letters stand nearer to each other, or farther
// apart, than their advances say, at a size in user units. Letters that become
// one sign are not moved.
func (f *face) kern(a, b rune, size float64) (k float64) {
	if f.font == nil {
		return 0
	}
	pair := [2]rune{a, b}
	if k, ok := f.kerns[pair]; ok {
		return k * size
	}
	defer func() {
		if recover() != nil {
			k = 0
		}
		f.kerns[pair] = k
		k *= size
	}()
	ff := f.sized()
	if len(ff.Glyphs(string(pair[:]))) == 2 {
		k = (ff.TextWidth(string(pair[:])) - ff.TextWidth(string(a)) - ff.TextWidth(string(b))) / 1000
	}
	return k
}

// fromCanvas copies a path of lines and Bézier segments, which is all that
// fonts have.
func fromCanvas(p *canvas.Path) geom.Path {
	var out geom.Path
	for s := p.Scanner(); s.Scan(); {
		v := s.Values()
		at := func(i int) geom.Point { return geom.Point{X: v[i], Y: v[i+1]} }
		switch s.Cmd() {
		case canvas.MoveToCmd:
			out.MoveTo(at(0))
		case canvas.LineToCmd:
			out.LineTo(at(0))
		case canvas.QuadToCmd:
			out.QuadTo(at(0), at(2))
		case canvas.CubeToCmd:
			out.CubeTo(at(0), at(2), at(4))
		case canvas.CloseCmd:
			out.Close()
		}
	}
	return out
}
