package text

import (
	"bytes"
	"io/fs"

	"furrow/path"

	tdfont "github.com/tdewolff/font"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
)

// Face is a font as a text is set in it.
type Face struct {
	Family string // by which it was found; empty for the Go font, which is built in
	Slant  bool   // it has no italic of its own, and its letters are slanted

	face   *font.Face
	hb     *harfbuzz.Font
	em     float64
	glyphs map[glyphKey]path.Path
	points int  // of the outlines kept
	pixels bool // some letters are pictures
}

// glyphKey is a letter of a font at a size.
type glyphKey struct {
	id   font.GID
	size float64
}

// fileKey is one font of one file.
type fileKey struct{ number, index int }

// faceKey is a font as a style sets it.
type faceKey struct {
	fileKey
	weight  int
	stretch float64
	slant   bool
	family  string
}

// fontData is a font that was read; nil where it cannot be.
type fontData struct{ font *font.Font }

// face opens a font for a style, once; it returns nil where it cannot be read.
func (f *Fonts) face(file fontFile, family string, w wanted) *Face {
	key := faceKey{fileKey{file.number, file.index}, w.weight, w.stretch, w.italic && !file.italic, family}
	if made, ok := f.faces[key]; ok {
		return made
	}
	made := newFace(f.open(file), key, w)
	f.faces[key] = made
	return made
}

func newFace(of *font.Font, key faceKey, w wanted) (made *Face) {
	defer func() {
		if recover() != nil {
			made = nil
		}
	}()
	if of == nil || of.Upem() == 0 {
		return nil
	}
	face := font.NewFace(of)
	face.SetVariations([]font.Variation{
		{Tag: opentype.MustNewTag("wght"), Value: float32(w.weight)},
		{Tag: opentype.MustNewTag("wdth"), Value: float32(w.stretch)},
	})
	made = &Face{Family: key.family, Slant: key.slant, face: face, hb: harfbuzz.NewFont(face), em: float64(of.Upem())}
	made.hb.XScale, made.hb.YScale = int32(of.Upem())*subunits, int32(of.Upem())*subunits
	made.pixels = len(of.BitmapSizes()) > 0
	made.glyphs = map[glyphKey]path.Path{}
	return made
}

// subunits is how finely the shaper reckons, in parts of a font's unit.
const subunits = 64

// open reads a font, once for all that lead to it; nil for one that cannot be read.
// The libraries panic on some.
func (f *Fonts) open(file fontFile) *font.Font {
	key := fileKey{file.number, file.index}
	if kept, ok := f.read[key]; ok {
		return kept.font
	}
	data := file.data
	if data == nil {
		data, _ = fs.ReadFile(file.dir, file.name) // what cannot be read is no font
	}
	kept := &fontData{font: parse(data, file.index)}
	f.read[key] = kept
	return kept.font
}

func parse(data []byte, index int) (made *font.Font) {
	defer func() {
		if recover() != nil {
			made = nil
		}
	}()
	if bytes.HasPrefix(data, []byte("wOF")) {
		var err error
		if data, err = tdfont.ToSFNT(data); err != nil {
			return nil
		}
	}
	loaders, err := opentype.NewLoaders(bytes.NewReader(data))
	if err != nil || index >= len(loaders) {
		return nil
	}
	made, err = font.NewFont(loaders[index])
	if err != nil {
		return nil
	}
	return made
}

// has reports that the font has a letter, and as an outline.
func (f *Face) has(r rune) bool {
	id, ok := f.face.NominalGlyph(r)
	if !ok || !f.pixels {
		return ok
	}
	g, picture := f.face.GlyphData(id).(font.GlyphBitmap)
	return !picture || g.Outline != nil
}

// maxKept bounds the points of outlines kept of a font.
const maxKept = 1 << 20

// glyph returns the outline of a letter from its own origin, Y up. It is shared.
func (f *Face) glyph(id font.GID, size float64) path.Path {
	key := glyphKey{id, size}
	if p, ok := f.glyphs[key]; ok {
		return p
	}
	p := f.outline(id, size/f.em)
	if f.points += len(p.Points); f.points <= maxKept {
		f.glyphs[key] = p
	}
	return p
}

// lean is how far a letter is slanted where the font has no italic: the tangent of
// the 11.3 degrees that fontconfig's rules give (90-synthetic.conf).
const lean = 0.2

func (f *Face) outline(id font.GID, k float64) path.Path {
	m := path.Scale(k, k)
	if f.Slant {
		m.C = k * lean
	}
	var segments []font.Segment
	switch g := f.face.GlyphData(id).(type) {
	case font.GlyphOutline:
		segments = g.Segments
	case font.GlyphSVG:
		segments = g.Outline.Segments
	case font.GlyphBitmap:
		if g.Outline != nil {
			segments = g.Outline.Segments
		}
	}
	return contours(segments).Transform(m)
}

// contours copies an outline, each contour closed.
func contours(segments []font.Segment) path.Path {
	var out path.Path
	at := func(p font.SegmentPoint) path.Point { return path.Point{X: float64(p.X), Y: float64(p.Y)} }
	for i, s := range segments {
		switch s.Op {
		case opentype.SegmentOpMoveTo:
			if i > 0 {
				out.Close()
			}
			out.MoveTo(at(s.Args[0]))
		case opentype.SegmentOpLineTo:
			out.LineTo(at(s.Args[0]))
		case opentype.SegmentOpQuadTo:
			out.QuadTo(at(s.Args[0]), at(s.Args[1]))
		case opentype.SegmentOpCubeTo:
			out.CubeTo(at(s.Args[0]), at(s.Args[1]), at(s.Args[2]))
		}
	}
	if len(segments) > 0 {
		out.Close()
	}
	return out
}
