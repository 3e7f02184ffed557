package stroke

import (
	"strconv"
	"strings"

	"furrow/path"
)

// Combining marks, by their names in Unicode.
const (
	grave       = '\u0300'
	acute       = '\u0301'
	circumflex  = '\u0302'
	tilde       = '\u0303'
	macron      = '\u0304'
	breve       = '\u0306'
	dotAbove    = '\u0307'
	diaeresis   = '\u0308'
	ring        = '\u030a'
	doubleAcute = '\u030b'
	caron       = '\u030c'
	commaAbove  = '\u0312'
	commaBelow  = '\u0326'
	cedilla     = '\u0327'
	ogonek      = '\u0328'
)

// accents are drawn on the grid of the letters: those above from the middle of
// their foot, those below from the middle of the base line, the ogonek from the
// letter's foot.
var accents = map[rune][][]path.Point{
	grave:       drawn("1,0 -1.5,4"),
	acute:       drawn("-1,0 1.5,4"),
	circumflex:  drawn("-3,0 0,3.5 3,0"),
	tilde:       drawn("-3.5,0.5 -3,1.5 -2,2.3 -1,2.3 1,1 2,1 3,1.7 3.5,2.7"),
	macron:      drawn("-3,1.5 3,1.5"),
	breve:       drawn("-3,3.5 -2.5,1.7 -1,0.5 1,0.5 2.5,1.7 3,3.5"),
	dotAbove:    drawn("-1,1 0,0 1,1 0,2 -1,1"),
	diaeresis:   drawn("-4,1 -3,0 -2,1 -3,2 -4,1; 2,1 3,0 4,1 3,2 2,1"),
	ring:        drawn("0,0 -1.4,0.6 -2,2 -1.4,3.4 0,4 1.4,3.4 2,2 1.4,0.6 0,0"),
	doubleAcute: drawn("-2.5,0 -0.5,4; 1,0 3,4"),
	caron:       drawn("-3,3.5 0,0 3,3.5"),
	commaAbove:  drawn("0.5,3.5 -0.5,2.5 -0.5,1 0.5,0"),
	commaBelow:  drawn("0.5,-2 0.5,-3.5 -0.5,-5"),
	cedilla:     drawn("0,0 0,-1.5 1,-1.7 1.7,-2.5 1.7,-3.7 1,-4.5 -0.5,-4.7 -1.5,-4.3"),
	ogonek:      drawn("0,0 -1,-1 -1.5,-2.5 -1,-3.7 0,-4.2 1.3,-4"),
}

// drawn reads strokes on the grid: points with a space between, strokes with a
// semicolon.
func drawn(s string) [][]path.Point {
	var out [][]path.Point
	for stroke := range strings.SplitSeq(s, ";") {
		var pts []path.Point
		for point := range strings.FieldsSeq(stroke) {
			x, y, _ := strings.Cut(point, ",")
			pts = append(pts, path.Point{X: onGrid(x), Y: onGrid(y)})
		}
		out = append(out, pts)
	}
	return out
}

// onGrid reads a number of grid units; what cannot be read is 0, and a test says so.
func onGrid(s string) float64 {
	v, _ := strconv.ParseFloat(s, 64)
	return v * unit
}
