package stroke

import (
	_ "embed"
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"furrow/path"
)

//go:embed hershey-sans.svg
var hersheySans []byte

// Licence is what the font's makers ask to be passed on with it.
//
//go:embed LICENCE-hershey-sans.txt
var Licence string

// Font is letters as polylines.
type Font struct {
	glyphs map[rune]glyph
}

// glyph is a letter in units of the font: 1000 to its size, Y up, the base line at
// 0.
type glyph struct {
	advance float64
	strokes [][]path.Point
}

// Measures of the font, in its units: what its letters' grid is wide, the height of
// x, and how far right of their place all letters stand in the file.
const (
	unit    = 31.5
	xHeight = 14 * unit
	offset  = 3 * unit
	size    = 1000.0
)

// SingleLine returns the font.
func SingleLine() *Font { return singleLine() }

var singleLine = sync.OnceValue(func() *Font {
	f, err := parse(hersheySans)
	if err != nil {
		panic(err) // the embedded file, which a test reads
	}
	return f
})

func parse(data []byte) (*Font, error) {
	var file struct {
		Glyphs []struct {
			Letter  string  `xml:"unicode,attr"`
			Advance float64 `xml:"horiz-adv-x,attr"`
			D       string  `xml:"d,attr"`
		} `xml:"defs>font>glyph"`
	}
	if err := xml.Unmarshal(data, &file); err != nil {
		return nil, err
	}
	f := &Font{glyphs: map[rune]glyph{}}
	for _, g := range file.Glyphs {
		strokes, err := parsePath(g.D)
		if err != nil {
			return nil, fmt.Errorf("glyph %q: %w", g.Letter, err)
		}
		for _, r := range g.Letter {
			f.glyphs[r] = glyph{g.Advance, strokes}
		}
	}
	return f, nil
}

// parsePath reads the path data that the font is written in: M, L and C, absolute.
func parsePath(d string) ([][]path.Point, error) {
	var p path.Path
	for _, verb := range "MLC" {
		d = strings.ReplaceAll(d, string(verb), " "+string(verb)+" ")
	}
	words := strings.Fields(d)
	for len(words) > 0 {
		n := map[string]int{"M": 1, "L": 1, "C": 3}[words[0]]
		if n == 0 || len(words) < 1+2*n {
			return nil, fmt.Errorf("%q is not understood", words[0])
		}
		pts, err := points(words[1 : 1+2*n])
		if err != nil {
			return nil, err
		}
		switch words[0] {
		case "M":
			p.MoveTo(pts[0])
		case "L":
			p.LineTo(pts[0])
		default:
			p.CubeTo(pts[0], pts[1], pts[2])
		}
		words = words[1+2*n:]
	}
	var strokes [][]path.Point
	p.Flatten(unit/20, func(pts []path.Point, closed bool) { strokes = append(strokes, slices.Clone(pts)) })
	return strokes, nil
}

func points(words []string) ([]path.Point, error) {
	var pts []path.Point
	for i := 0; i < len(words); i += 2 {
		x, err := strconv.ParseFloat(words[i], 64)
		if err != nil {
			return nil, err
		}
		y, err := strconv.ParseFloat(words[i+1], 64)
		if err != nil {
			return nil, err
		}
		pts = append(pts, path.Point{X: x - offset, Y: y})
	}
	return pts, nil
}

func (g glyph) bounds() path.Rect {
	r := path.EmptyRect()
	for _, s := range g.strokes {
		r = r.Union(path.BoundsOf(s))
	}
	return r
}
