package paper

import (
	"image/color"
	"strings"
	"sync"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// face is a size and weight of the letters.
type face struct {
	size  float64 // mm
	style canvas.FontStyle
	ink   color.RGBA
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
	return canvas.NewTextLine(family().Face(f.size*pointsPerMM, f.ink, f.style), s, canvas.Left)
}

// width returns that of a line, mm.
func (f face) width(s string) float64 { return f.text(s).Width }

// wrap breaks text into lines no wider than width mm, at spaces where it can.
func wrap(text string, f face, width float64) (lines []string) {
	for _, paragraph := range strings.Split(strings.TrimRight(text, "\n"), "\n") {
		words := strings.Fields(printable(paragraph))
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
	text = printable(text)
	if f.width(text) <= width {
		return text
	}
	r := []rune(text)
	for len(r) > 1 && f.width(string(r)+"\u2026") > width {
		r = r[:len(r)-1]
	}
	return string(r) + "\u2026"
}

// printable replaces controls and what the font has no glyph for.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r > '\u2fff' {
			return '\ufffd'
		}
		return r
	}, strings.ToValidUTF8(text, "\ufffd"))
}
