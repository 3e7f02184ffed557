package svg

import (
	"fmt"
	"io"
	"io/fs"

	"furrow/path"
)

// Options say what to read. The zero value reads everything. The selectors are
// CSS selectors, as in "#logo", ".deep" or "g path"; a bare text in double
// quotes is the label of a layer, as in `"Layer 2"`.
type Options struct {
	Parts  []string // Shape.Part is 1 + the index of the last one that picks the element or one round it
	Only   []string // where there are any, only what one of them picks, with all inside
	Skip   []string // leaves out what one of them picks, with all inside
	Invert []string // sets Shape.Invert on what one of them picks, with all inside
	Places []string // an element that one of them picks is a Document.Places

	// Fonts are folders of .ttf, .otf and .ttc files, the first one first; their
	// fonts are known by the names inside. A text in a font that is not there is
	// set in the next family of its list or else in the embedded Go font, with a
	// warning.
	Fonts []fs.FS

	// Tolerance returns the greatest distance in mm of a stroke's outline from the
	// true one, for a page that is empty where the document names no size; nil
	// means DefaultTolerance. Artwork that will be enlarged needs it the smaller.
	Tolerance func(page path.Rect) float64
}

// DefaultTolerance is the finest at which curves are flattened later by default.
const DefaultTolerance = 0.002

// Document is what was read.
type Document struct {
	Artwork  path.Artwork
	Places   []Place   // of Options.Places, in paint order
	Warnings []Warning // in the sequence in which they were found, none twice
	Fonts    []Font    // that texts asked for, sorted
	Unpicked []string  // texts of Options that nothing in the document answers to
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
	Element string // name and id of the element, as in "path#star"; empty where it concerns the file
	Line    int    // 1-based, 0 when unknown
	NoFont  bool   // no font that was asked for is in any folder
}

func (w Warning) String() string { return place(w.Line, w.Element) + w.Message }

// Error is why a document cannot be read.
type Error struct {
	Message string
	Element string // name and id of the element; empty where it concerns the file
	Line    int    // 1-based, 0 when unknown
	Err     error  // what lies beneath, or nil
}

func (e *Error) Error() string { return place(e.Line, e.Element) + e.Message }

// Unwrap returns what lies beneath.
func (e *Error) Unwrap() error { return e.Err }

func place(line int, element string) string {
	s := ""
	if line > 0 {
		s = fmt.Sprintf("line %d: ", line)
	}
	if element != "" {
		s += "<" + element + ">: "
	}
	return s
}

// Read reads one SVG document, plain or gzipped. Errors of the document are of
// type *Error; those of r are returned as they are. A document that paints
// nothing has no shapes and is no error.
func Read(r io.Reader, opts Options) (Document, error) {
	text, err := decode(r)
	if err != nil {
		return Document{}, err
	}
	t, err := parseTree(text)
	if err != nil {
		return Document{}, err
	}
	w, err := newWalker(t, opts)
	if err != nil {
		return Document{}, err
	}
	if err := w.document(); err != nil {
		return Document{}, err
	}
	doc := Document{Artwork: w.art, Places: w.places, Fonts: w.fonts.asked(), Unpicked: w.pick.unused(t, &w.warnings)}
	if len(doc.Unpicked) > 0 {
		doc.Names = w.pick.names(t)
	}
	doc.Warnings = w.warnings.list
	return doc, nil
}
