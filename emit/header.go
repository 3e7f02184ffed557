package emit

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"furrow/path"
)

// Blank is where the blank lies that a file was made for, and how far marks may run
// over its edge, mm. The zero value is that of a file that does not say. A round one
// is the ellipse that fits Rect. One that lies aslant is turned about the middle of Rect.
type Blank struct {
	Rect  path.Rect
	Bleed float64
	Round bool
	Turn  float64 // degrees counter-clockwise
}

// Known reports that a file says where the blank lies.
func (b Blank) Known() bool { return b.Rect.W() > 0 && b.Rect.H() > 0 }

// Form returns the blank's form.
func (b Blank) Form() path.Form { return path.Form{Rect: b.Rect, Round: b.Round, Turn: b.Turn} }

// Allowed returns where marks may lie: the blank with its bleed, which is added to the half
// axes of an oval.
func (b Blank) Allowed() path.Form {
	f := b.Form()
	f.Rect = f.Rect.Grow(b.Bleed)
	return f
}

// Beyond tells how far points reach past the edge of a blank and its bleed, mm, and which
// of them does most, as Form.Beyond does.
func (b Blank) Beyond(pts ...path.Point) (mm float64, at path.Point) {
	return b.Allowed().Beyond(pts...)
}

// blankWord begins the comment of a blank, and roundWord that of a round one.
const (
	roundWord = "round "
	blankWord = "blank "
)

// blankForm and aslantForm are how a file's comment says it, in numbers of at most three
// decimals, and an angle of six. Of one that lies aslant it is the middle that is named.
const (
	blankForm  = "blank %s x %s mm at X%s Y%s, bleed %s mm"
	aslantForm = "blank %s x %s mm about X%s Y%s, turned by %s degrees, bleed %s mm"
)

// Comment is the comment of a file that ReadBlank reads; "" where nothing is known.
func (b Blank) Comment() string {
	if !b.Known() {
		return ""
	}
	r := b.Rect
	said := fmt.Sprintf(blankForm, micrometres(r.W()), micrometres(r.H()), micrometres(r.Min.X), micrometres(r.Min.Y),
		micrometres(b.Bleed))
	if c := r.Centre(); b.Turn != 0 {
		said = fmt.Sprintf(aslantForm, micrometres(r.W()), micrometres(r.H()), micrometres(c.X), micrometres(c.Y),
			decimals(b.Turn, 1e6), micrometres(b.Bleed))
	}
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
func micrometres(mm float64) string { return decimals(mm, 1000) }

// decimals writes v to whole parts of 1.
func decimals(v, parts float64) string {
	return strconv.FormatFloat(math.Round(v*parts)/parts+0, 'f', -1, 64)
}

// ReadBlank adds the blank that a comment tells of, if it does. Where that is longer than a
// line of the file the next comment goes on with it. What looks like one and is none counts as
// unread, until it is gone on with.
func (h *Header) ReadBlank(comment string) {
	comment = strings.TrimSpace(comment)
	b, ok := ReadBlank(comment)
	if !ok && h.begun != "" {
		if b, ok = ReadBlank(h.begun + " " + comment); ok && looksLikeBlank(h.begun) {
			h.Unread--
		}
	}
	switch h.begun = ""; {
	case ok && len(h.Blanks) < mostBlanks:
		h.Blanks = append(h.Blanks, b)
	case ok || looksLikeBlank(comment):
		h.Unread++
	}
	if !ok && strings.HasPrefix(strings.TrimPrefix(comment, roundWord), blankWord) {
		h.begun = comment
	}
}

// looksLikeBlank reports that a comment names a blank with a number and a unit, or with two
// numbers: a person's "blank side up" or "blank 3" does not.
func looksLikeBlank(comment string) bool {
	rest, named := strings.CutPrefix(strings.TrimPrefix(comment, roundWord), blankWord)
	return named && blankLooks.MatchString(rest)
}

// blankLooks is what stands behind the word.
var blankLooks = regexp.MustCompile(`(?i)^\s*([-+.\d]|nan|inf).*(mm|x\s*([-+.\d]|nan|inf))`)

// mostBlanks bounds what a hostile file can ask to be kept: ten times the pockets of a fixture.
const mostBlanks = 10000

// ReadBlank reads a comment; ok is false where it says nothing of a blank.
func ReadBlank(comment string) (b Blank, ok bool) {
	comment, b.Round = strings.CutPrefix(strings.TrimSpace(comment), roundWord)
	if !strings.HasPrefix(comment, blankWord) {
		return Blank{}, false
	}
	var w, h, x, y float64
	if n, err := scan(comment, blankForm, &w, &h, &x, &y, &b.Bleed); err != nil || n != 5 {
		if n, err := scan(comment, aslantForm, &w, &h, &x, &y, &b.Turn, &b.Bleed); err != nil || n != 6 {
			return Blank{}, false
		}
		x, y = x-w/2, y-h/2
	}
	for _, v := range []float64{w, h, x, y, b.Bleed, b.Turn} {
		if math.IsNaN(v) || math.Abs(v) > 1e6 {
			return Blank{}, false
		}
	}
	b.Rect = path.Rect{Min: path.Point{X: x, Y: y}, Max: path.Point{X: x + w, Y: y + h}}
	if w <= 0 || h <= 0 || b.Bleed < 0 {
		return Blank{}, false
	}
	return b, true
}

// scan reads the numbers of a comment of a form.
func scan(comment, form string, into ...any) (int, error) {
	return fmt.Sscanf(comment, strings.ReplaceAll(form, "%s", "%g"), into...)
}
