package paper

import (
	"image/color"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"

	"furrow/path/text"
)

// face is a size and weight of the letters.
type face struct {
	size   float64 // mm
	style  canvas.FontStyle
	ink    color.RGBA
	others *text.Fonts // for what the Go family lacks; nil for none
}

var (
	heading    = face{size: 6, style: canvas.FontBold, ink: ink}
	subheading = face{size: 4, style: canvas.FontBold, ink: ink}
	body       = face{size: 3.3, style: canvas.FontRegular, ink: ink}
	bold       = face{size: 3.3, style: canvas.FontBold, ink: ink}
	quiet      = face{size: 3.3, style: canvas.FontRegular, ink: grey}
	small      = face{size: 2.7, style: canvas.FontRegular, ink: grey}
)

// line returns the distance between lines, mm.
func (f face) line() float64 { return f.size * 1.4 }

// family is the Go font, which covers Latin, Greek and Cyrillic.
var family = sync.OnceValue(func() *canvas.FontFamily {
	f := canvas.NewFontFamily("Go")
	for style, file := range map[canvas.FontStyle][]byte{canvas.FontRegular: goregular.TTF,
		canvas.FontBold: gobold.TTF} {
		if err := f.LoadFont(file, 0, style); err != nil {
			panic(err) // embedded files, which every test meets
		}
	}
	return f
})

const pointsPerMM = 72 / 25.4

func (f face) text(s string) *canvas.Text {
	return canvas.NewTextLine(f.canvas(), s, canvas.Left)
}

func (f face) canvas() *canvas.FontFace { return family().Face(f.size*pointsPerMM, f.ink, f.style) }

// has reports that the Go family has every letter of a text.
func (f face) has(s string) bool {
	font := f.canvas().Font
	return !strings.ContainsFunc(s, func(r rune) bool { return font.GlyphIndex(r) == 0 })
}

// set sets a text that the Go family cannot: as one line of outlines, mm.
func (f face) set(s string) text.Line {
	l, err := f.others.Set(s, f.words())
	if err != nil {
		return text.Line{} // a font that cannot be drawn: printable has left it out
	}
	return l
}

// words is the style that such a text is set in.
func (f face) words() text.Style {
	w := text.Style{Families: "Go, sans-serif", Size: f.size}
	if f.style == canvas.FontBold {
		w.Weight = 700
	}
	return w
}

// width returns that of a line, mm.
func (f face) width(s string) float64 {
	if f.others == nil || f.has(s) {
		return f.text(s).Width
	}
	l := f.set(s)
	return l.Width
}

// wrap breaks text into lines no wider than width mm, at spaces where it can.
func wrap(text string, f face, width float64) (lines []string) {
	for _, paragraph := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		words := strings.Fields(f.printable(paragraph))
		line := strings.Join(words, " ")
		if f.width(line) <= width { // most are, and measuring takes long
			lines = append(lines, line)
			continue
		}
		line = ""
		for _, word := range words {
			for _, piece := range pieces(word, f, width) {
				switch next := strings.TrimSpace(line + " " + piece); {
				case line == "" || f.width(next) <= width:
					line = next
				default:
					lines, line = append(lines, line), piece
				}
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// pieces cuts a word that is wider than a line.
func pieces(word string, f face, width float64) (cut []string) {
	for f.width(word) > width {
		r := []rune(word)
		n := 1
		for n+1 < len(r) && f.width(string(r[:n+1])) <= width {
			n++
		}
		if n == len(r) {
			break
		}
		cut, word = append(cut, string(r[:n])), string(r[n:])
	}
	return append(cut, word)
}

// fit returns text that is cut at its end where it is wider than width mm.
func fit(text string, f face, width float64) string {
	text = f.printable(text)
	if f.width(text) <= width {
		return text
	}
	r := []rune(text)
	for len(r) > 1 && f.width(string(r)+"\u2026") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "\u2026"
}

// printable replaces controls and what no font has a glyph for.
func (f face) printable(text string) string {
	text = strings.ToValidUTF8(text, "\ufffd")
	lacking := f.lacking(text)
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || slices.Contains(lacking, r) {
			return '\ufffd'
		}
		return r
	}, text)
}

// lacking lists the letters of a text that cannot be printed.
func (f face) lacking(s string) []rune {
	switch {
	case f.has(s):
		return nil
	case f.others != nil:
		l, err := f.others.Set(s, f.words())
		if err == nil {
			return l.Lacking
		}
	}
	font := f.canvas().Font
	return slices.DeleteFunc([]rune(s), func(r rune) bool { return font.GlyphIndex(r) != 0 || unicode.Is(unicode.Cf, r) })
}
