package path

import "fmt"

// Document is artwork as it was read, of whatever format.
type Document struct {
	Artwork  Artwork
	Places   []Place   // that were asked for, in paint order
	Warnings []Warning // none twice
	Fonts    []Font    // that texts asked for, sorted
	Unpicked []string  // what was to be picked and that nothing in the document answers to
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
}

// Kind is what a warning is about, where a reader of it may want to know.
type Kind string

// The kinds.
const (
	MissingFont Kind = "font" // a text is set in the built-in font, since none asked for is at hand
)

func (w Warning) String() string { return Where(w.Line, w.Element) + w.Message }

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
