package svg

import (
	"io"
	"io/fs"

	"furrow/path"
	"furrow/path/pick"
)

// Options say what to read. The zero value reads everything. What picks may be a CSS
// selector too, as in "#logo, .deep" or "g path".
type Options struct {
	Pick pick.Options

	// Fonts are folders of .ttf, .otf and .ttc files, the first one first; their
	// fonts are known by the names inside. A text in a font that is not there is
	// set in the next family of its list or else in the embedded Go font, with a
	// warning.
	Fonts []fs.FS

	// FontsBefore is a folder whose fonts come before those of Fonts, whatever families and
	// styles these have; nil for none.
	FontsBefore fs.FS

	// Tolerance returns the greatest distance in mm of a stroke's outline from the
	// true one, for a page that is empty where the document names no size; nil
	// means DefaultTolerance. Artwork that will be enlarged needs it the smaller.
	Tolerance func(page path.Rect) float64
}

// DefaultTolerance is the finest at which curves are flattened later by default.
const DefaultTolerance = 0.002

// Error is why a document cannot be read.
type Error struct {
	Message string
	Element string // name and id of the element; empty where it concerns the file
	Line    int    // 1-based, 0 when unknown
	Err     error  // what lies beneath, or nil
}

func (e *Error) Error() string { return path.Where(e.Line, e.Element) + e.Message }

// Unwrap returns what lies beneath.
func (e *Error) Unwrap() error { return e.Err }

// Read reads one SVG document, plain or gzipped. Errors of the document are of
// type *Error; those of r are returned as they are. A document that paints
// nothing has no shapes and is no error.
func Read(r io.Reader, opts Options) (path.Document, error) {
	text, err := decode(r)
	if err != nil {
		return path.Document{}, err
	}
	t, err := parseTree(text)
	if err != nil {
		return path.Document{}, err
	}
	w, err := newWalker(t, opts)
	if err != nil {
		return path.Document{}, err
	}
	if err := w.document(); err != nil {
		return path.Document{}, err
	}
	doc := path.Document{Artwork: w.art, Places: w.places, Fonts: w.fontsAsked(), Texts: w.texts}
	if !w.sized {
		doc.NoSize = w.art.Page
	}
	w.picks(&doc)
	doc.Warnings = w.warnings.list
	return doc, nil
}
