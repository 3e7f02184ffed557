package text

import (
	"fmt"
	"slices"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

// shaper turns letters into the glyphs of a font. It is the door to the library
// that does so.
type shaper struct {
	buffer   *harfbuzz.Buffer
	language language.Language
}

func newShaper() shaper { return shaper{harfbuzz.NewBuffer(), language.NewLanguage("en")} }

// piece is letters of one font, style, script and direction.
type piece struct {
	first, last int // letters, the last excluded
	face        *Face
	style       Style
	script      language.Script
	level       int8 // of embedding; odd runs right to left
}

// sign is one glyph of a piece, with lengths in parts of the em.
type sign struct {
	id              font.GID
	dx, dy, advance float64
	cluster         int // the first letter it stands for
}

// shape returns the signs of a piece from left to right. The library panics on
// some damaged fonts.
func (s *shaper) shape(letters []rune, p *piece) (signs []sign, err error) {
	defer func() {
		if r := recover(); r != nil {
			s.buffer = harfbuzz.NewBuffer()
			signs, err = nil, fmt.Errorf("the font %q cannot be drawn: %v", p.face.Family, r)
		}
	}()
	if d := p.face.drawn; d != nil {
		return d.shape(letters, p), nil
	}
	b := s.buffer
	b.Clear()
	b.Props = harfbuzz.SegmentProperties{Language: s.language, Script: p.script, Direction: harfbuzz.LeftToRight}
	if p.level%2 == 1 {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	b.AddRunes(letters, p.first, p.last-p.first)
	b.Shape(p.face.hb, p.style.features())
	k := 1 / (p.face.em * subunits)
	for i, g := range b.Info {
		at := b.Pos[i]
		signs = append(signs, sign{
			id: g.Glyph, cluster: g.Cluster,
			dx: float64(at.XOffset) * k, dy: float64(at.YOffset) * k, advance: float64(at.XAdvance) * k,
		})
	}
	return signs, nil
}

func (s Style) features() []harfbuzz.Feature {
	var list []harfbuzz.Feature
	set := func(tag string, value uint32) {
		list = append(list, harfbuzz.Feature{
			Tag: opentype.MustNewTag(tag), Value: value, Start: harfbuzz.FeatureGlobalStart,
			End: harfbuzz.FeatureGlobalEnd,
		})
	}
	if s.NoLigatures {
		set("liga", 0)
		set("clig", 0)
	}
	if s.NoKerning {
		set("kern", 0)
	}
	if s.SmallCaps {
		set("smcp", 1)
	}
	return list
}

// pieces cuts the letters of a line where font, style, script or direction change.
// lacking are the letters that no font has.
func (f *Fonts) pieces(letters []rune, styles []Style, levels []int8) (list []piece, lacking []rune) {
	scripts := scriptsOf(letters)
	var face *Face
	for i, r := range letters {
		if i == 0 || !sticks(r) || styles[i] != styles[i-1] || !face.has(r) {
			var ok bool
			if face, ok = f.faceFor(r, styles[i].wanted()); !ok && !invisible(r) && !slices.Contains(lacking, r) {
				lacking = append(lacking, r)
			}
		}
		p := piece{first: i, last: i + 1, face: face, style: styles[i], script: scripts[i], level: levels[i]}
		if n := len(list); n > 0 && list[n-1].like(p) {
			list[n-1].last = i + 1
			continue
		}
		list = append(list, p)
	}
	return list, lacking
}

func (p piece) like(q piece) bool {
	return p.face == q.face && p.style == q.style && p.script == q.script && p.level == q.level
}

// sticks reports a sign that belongs to the letter before it.
func sticks(r rune) bool { return unicode.Is(unicode.Mn, r) || unicode.Is(unicode.Cf, r) }

// invisible reports what shows nothing even where the font lacks it.
func invisible(r rune) bool { return unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) }

// scriptsOf returns the script of each letter; what several scripts share takes
// that of the letter before it, or else behind it.
func scriptsOf(letters []rune) []language.Script {
	shared := func(s language.Script) bool {
		return s == language.Common || s == language.Inherited || s == language.Unknown
	}
	scripts := make([]language.Script, len(letters))
	last, first := language.Latin, -1
	for i, r := range letters {
		s := language.LookupScript(r)
		if !shared(s) {
			if last = s; first < 0 {
				first = i
			}
		}
		scripts[i] = last
	}
	for i := range max(first, 0) {
		scripts[i] = scripts[first]
	}
	return scripts
}
