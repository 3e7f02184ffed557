package emit

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"furrow/path"
)

// Blank is where the blank lies that a file was made for, and how far marks may run
// over its edge, mm. The zero value is that of a file that does not say. A round one
// is the ellipse that fits Rect.
type Blank struct {
	Rect  path.Rect
	Bleed float64
	Round bool
}

// Known reports that a file says where the blank lies.
func (b Blank) Known() bool { return b.Rect.W() > 0 && b.Rect.H() > 0 }

// Beyond tells how far points reach past the edge of a round blank and its bleed, mm, and
// which of them does most; 0 where none does. Of an oval it is measured on the ray from
// its middle, and the bleed is added to its half axes, so that it is told rather too far.
func (b Blank) Beyond(pts ...path.Point) (mm float64, at path.Point) {
	c, half := b.Rect.Centre(), path.Point{X: b.Rect.W()/2 + b.Bleed, Y: b.Rect.H()/2 + b.Bleed}
	for _, p := range pts {
		d := p.Sub(c)
		k := math.Hypot(d.X/half.X, d.Y/half.Y)
		if past := d.Len() * (1 - 1/k); k > 1 && past > mm {
			mm, at = past, p
		}
	}
	return mm, at
}

// roundWord begins the comment of a round blank.
const roundWord = "round "

// blankForm is how a file's comment says it, in numbers of at most three decimals.
const blankForm = "blank %s x %s mm at X%s Y%s, bleed %s mm"

// Comment is the comment of a file that ReadBlank reads; "" where nothing is known.
func (b Blank) Comment() string {
	if !b.Known() {
		return ""
	}
	r := b.Rect
	said := fmt.Sprintf(blankForm, micrometres(r.W()), micrometres(r.H()), micrometres(r.Min.X), micrometres(r.Min.Y),
		micrometres(b.Bleed))
	if b.Round {
		return roundWord + said
	}
	return said
}

// BlankComments are the comments of the blanks that are known.
func BlankComments(all []Blank) (comments []string) {
	for _, b := range all {
		if b.Known() {
			comments = append(comments, b.Comment())
		}
	}
	return comments
}

// micrometres writes mm with the three decimals that are not 0.
func micrometres(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*1000)/1000+0, 'f', -1, 64)
}

// ReadBlank adds the blank that a comment tells of, if it does.
func (h *Header) ReadBlank(comment string) {
	if b, ok := ReadBlank(comment); ok && len(h.Blanks) < mostBlanks {
		h.Blanks = append(h.Blanks, b)
	}
}

// mostBlanks bounds what a hostile file can ask to be kept: ten times the pockets of a fixture.
const mostBlanks = 10000

// ReadBlank reads a comment; ok is false where it says nothing of a blank.
func ReadBlank(comment string) (b Blank, ok bool) {
	comment, b.Round = strings.CutPrefix(strings.TrimSpace(comment), roundWord)
	var w, h, x, y float64
	form := strings.ReplaceAll(blankForm, "%s", "%g")
	n, err := fmt.Sscanf(comment, form, &w, &h, &x, &y, &b.Bleed)
	for _, v := range []float64{w, h, x, y, b.Bleed} {
		if math.IsNaN(v) || math.Abs(v) > 1e6 {
			return Blank{}, false
		}
	}
	b.Rect = path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + w, Y: y + h}}
	if err != nil || n != 5 || w <= 0 || h <= 0 || b.Bleed < 0 {
		return Blank{}, false
	}
	return b, true
}
