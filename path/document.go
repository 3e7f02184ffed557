package path

import "fmt"

// Document is artwork as it was read, of whatever format.
type Document struct {
	Artwork  Artwork
	Places   []Place   // that were asked for, in paint order
	Warnings []Warning // none twice
	Fonts    []Font    // that texts asked for, sorted
	Texts    int       // text elements that were set
	Unpicked []string  // what was to be picked and that nothing in the document answers to
	NoSize   Rect      // the page, where the file names no size and 96 of its units were taken for an inch
	Names    []string  // where there are any: ids as #a, classes as .b, layers and colours, by which to pick
}

// Font is a font that a text asked for.
type Font struct {
	Asked string `json:"asked"` // the list of families as written
	Used  string `json:"used"`  // the family that was found; empty for the built-in font
}

// Warning is something that was left out or drawn otherwise than asked.
type Warning struct {
	Message string
	Kind    Kind
	Element string // name and id of the element, as in "path#star"; empty where it concerns the file
	Line    int    // 1-based, 0 when unknown
	At      Rect   // of the page: where it may be seen, mm; the zero Rect where that is not known
}

// Kind is what a warning is about, as one sums them up.
type Kind string

// The kinds.
const (
	MissingFont Kind = "font"      // a text is set in the built-in font, since none asked for is at hand
	Lettering   Kind = "text"      // a text is set otherwise than asked
	Picture     Kind = "picture"   // is left out
	Effect      Kind = "effect"    // a filter or the like is not drawn
	Motion      Kind = "animation" // what moves is drawn as it stands
	Painting    Kind = "paint"     // a gradient or pattern is not drawn
	Reference   Kind = "reference" // something that is named is not in the file
	BadValue    Kind = "value"     // cannot be read
	PathData    Kind = "path data" // is drawn up to an error
	Element     Kind = "element"   // is left out
	OffPage     Kind = "page"      // lies off the page, or over its edge
	StyleSheet  Kind = "style"     // a rule or sheet is not read
	Placing     Kind = "place"     // something lies where it cannot be drawn
)

func (w Warning) String() string {
	s := Where(w.Line, w.Element) + w.Message
	if w.At != (Rect{}) {
		s += fmt.Sprintf("; %.1f x %.1f mm at %.1f, %.1f", w.At.W(), w.At.H(), w.At.Min.X, w.At.Min.Y)
	}
	return s
}

// Where words a place in a document for the front of a message; empty where nothing
// is known.
func Where(line int, element string) string {
	s := ""
	if line > 0 {
		s = fmt.Sprintf("line %d: ", line)
	}
	if element != "" {
		s += "<" + element + ">: "
	}
	return s
}
