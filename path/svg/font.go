package svg

import (
	"cmp"
	"fmt"
	"image/color"
	"io/fs"
	"path"
	"slices"
	"strings"

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
	files map[string][]fontFile // by family as folded by foldName
	faces map[faceKey]*face
}

type fontFile struct {
	dir          fs.FS
	name         string
	bold, italic bool
}

type faceKey struct {
	family       string
	bold, italic bool
}

// face is one font ready to shape text. It is the door to the canvas library.
type face struct {
	font *canvas.Font
	name string // of the family asked for; empty when nothing was found for it
}

const maxFontFiles = 20_000

// index lists the font files of all folders, by name: "DejaVuSans-Bold.ttf" is
// the bold of "DejaVu Sans".
func (f *fonts) index() {
	f.files = map[string][]fontFile{}
	count := 0
	for _, dir := range f.dirs {
		_ = fs.WalkDir(dir, ".", func(name string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() {
				return nil // what cannot be read has no fonts
			}
			if count++; count > maxFontFiles {
				return fs.SkipAll
			}
			switch ext := strings.ToLower(path.Ext(name)); ext {
			case ".ttf", ".otf":
				file := fontFile{dir: dir, name: name}
				family := file.style(strings.TrimSuffix(path.Base(name), path.Ext(name)))
				f.files[family] = append(f.files[family], file)
			}
			return nil
		})
	}
}

// style splits the name of a file into its style and the folded family.
func (f *fontFile) style(name string) (family string) {
	name = foldName(name)
	for _, word := range [...]string{"italic", "oblique", "bold", "regular", "book", "roman", "italic", "oblique"} {
		if rest, ok := strings.CutSuffix(name, word); ok && rest != "" {
			name = rest
			f.bold = f.bold || word == "bold"
			f.italic = f.italic || word == "italic" || word == "oblique"
		}
	}
	return name
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

// face returns the first family of a list that there is, or the embedded one.
func (f *fonts) face(s fontStyle) *face {
	key := faceKey{s.family, s.weight >= 600, s.italic}
	if made, ok := f.faces[key]; ok {
		return made
	}
	if f.faces == nil {
		f.faces = map[faceKey]*face{}
		f.index()
	}
	made := &face{}
	for family := range strings.SplitSeq(s.family, ",") {
		family = strings.Trim(strings.TrimSpace(family), `"'`)
		if font := f.load(foldName(family), key); font != nil {
			made = &face{font, family}
			break
		}
	}
	if made.font == nil {
		made.font = loadFont(embedded(key))
	}
	f.faces[key] = made
	return made
}

// asked lists the fonts that were looked for.
func (f *fonts) asked() []Font {
	var list []Font
	for key, face := range f.faces {
		list = append(list, Font{key.family, face.name})
	}
	slices.SortFunc(list, func(a, b Font) int { return cmp.Compare(a.Asked, b.Asked) })
	return slices.Compact(list)
}

// load returns the file of a family that comes nearest in style, nil when there
// is none.
func (f *fonts) load(family string, key faceKey) *canvas.Font {
	best, bestOff := -1, 99
	for i, file := range f.files[family] {
		off := 0
		if file.bold != key.bold {
			off += 2
		}
		if file.italic != key.italic {
			off++
		}
		if off < bestOff {
			best, bestOff = i, off
		}
	}
	if best < 0 {
		return nil
	}
	file := f.files[family][best]
	data, err := fs.ReadFile(file.dir, file.name)
	if err != nil {
		return nil
	}
	return loadFont(data)
}

// embedded is the Go family, whose licence allows it.
func embedded(key faceKey) []byte {
	switch {
	case key.bold && key.italic:
		return gobolditalic.TTF
	case key.bold:
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
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the font cannot be drawn: %v", r)
		}
	}()
	// Shaped at a fixed size, because hinting and rounding depend on it.
	const em = 1000 / 25.4 * 72 // points in 1000 mm
	ff := f.font.Face(em, color.Black)
	for _, g := range ff.Glyphs(text) {
		if g.ID == 0 {
			missing++
		}
	}
	p, width, err := ff.ToPath(text)
	if err != nil {
		return geom.Path{}, 0, missing, err
	}
	k := size / 1000
	return fromCanvas(p).Transform(geom.Scale(k, -k)), width * k, missing, nil
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
