package text

import (
	"bytes"
	"io/fs"

	"furrow/path"

	tdfont "github.com/tdewolff/font"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/go-text/typesetting/harfbuzz"
)

// Face is a font as a text is set in it.
type Face struct {
	Family string // by which it was found; empty for the Go font, which is built in
	Slant  bool   // it has no italic of its own, and its letters are slanted

	drawn  *Drawn // in place of face and hb, or nil
	face   *font.Face
	hb     *harfbuzz.Font
	em     float64
	glyphs map[glyphKey]path.Path
	points int  // of the outlines kept
	pixels bool // some letters are pictures
	weight int
	wide   bool // it has an axis of widths
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
	italic  bool
	family  string
}

// fontData is a font that was read.
type fontData struct {
	font *font.Font      // nil where it cannot be read
	axes map[string]bool // along which it varies, by tag
}

// face opens a font for a style, once; it returns nil where it cannot be read.
func (f *Fonts) face(file fontFile, family string, w wanted) *Face {
	key := faceKey{fileKey: fileKey{file.number, file.index}, weight: w.weight, stretch: w.stretch, italic: w.italic,
		family: family}
	if made, ok := f.faces[key]; ok {
		return made
	}
	var made *Face
	if file.drawn != nil {
		made = newDrawnFace(file.drawn, file, key)
	} else {
		made = newFace(f.open(file), file, key)
	}
	f.faces[key] = made
	return made
}

func newFace(of fontData, file fontFile, key faceKey) (made *Face) {
	defer func() {
		if recover() != nil {
			made = nil
		}
	}()
	if of.font == nil || of.font.Upem() == 0 {
		return nil
	}
	face := font.NewFace(of.font)
	var axes []font.Variation
	set := func(tag string, value float64) bool {
		if of.axes[tag] {
			axes = append(axes, font.Variation{Tag: opentype.MustNewTag(tag), Value: float32(value)})
		}
		return of.axes[tag]
	}
	em := of.font.Upem()
	made = &Face{Family: key.family, face: face, em: float64(em), weight: file.weight, glyphs: map[glyphKey]path.Path{}}
	if set("wght", float64(key.weight)) {
		made.weight = key.weight
	}
	made.wide = set("wdth", key.stretch)
	if key.italic && !file.italic {
		made.Slant = !set("ital", 1) && !set("slnt", -12)
	}
	face.SetVariations(axes)
	made.hb = harfbuzz.NewFont(face)
	made.hb.XScale, made.hb.YScale = int32(em)*subunits, int32(em)*subunits
	made.pixels = len(of.font.BitmapSizes()) > 0
	return made
}

// subunits is how finely the shaper reckons, in parts of a font's unit.
const subunits = 64

// open reads a font, once for all that lead to it.
func (f *Fonts) open(file fontFile) fontData {
	key := fileKey{file.number, file.index}
	if kept, ok := f.read[key]; ok {
		return kept
	}
	data := file.data
	if data == nil {
		data, _ = fs.ReadFile(file.dir, file.name) // what cannot be read is no font
	}
	kept := parse(data, file.index)
	f.read[key] = kept
	return kept
}

// parse reads a font of a file. The libraries panic on some.
func parse(data []byte, index int) (made fontData) {
	defer func() {
		if recover() != nil {
			made = fontData{}
		}
	}()
	if bytes.HasPrefix(data, []byte("wOF")) {
		var err error
		if data, err = tdfont.ToSFNT(data); err != nil {
			return fontData{}
		}
	}
	loaders, err := opentype.NewLoaders(bytes.NewReader(data))
	if err != nil || index >= len(loaders) {
		return fontData{}
	}
	of, err := font.NewFont(loaders[index])
	if err != nil {
		return fontData{}
	}
	return fontData{of, axesOf(loaders[index])}
}

// axesOf returns the tags of a variable font's axes (OpenType, fvar).
func axesOf(l *opentype.Loader) map[string]bool {
	raw, err := l.RawTable(opentype.MustNewTag("fvar"))
	if err != nil {
		return nil
	}
	table, _, err := tables.ParseFvar(raw)
	if err != nil {
		return nil
	}
	axes := map[string]bool{}
	for _, a := range table.FvarRecords.Axis {
		axes[a.Tag.String()] = true
	}
	return axes
}

// has reports that the font has a letter, and as an outline.
func (f *Face) has(r rune) bool {
	if f.drawn != nil {
		return f.drawn.has(r)
	}
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
	if f.drawn != nil {
		return f.drawn.glyph(id).Outline.Transform(m)
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
