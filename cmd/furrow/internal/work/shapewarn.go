package work

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// PageWarnings says which shapes the edge of the page cuts off, and how far from it their
// other ends are.
func PageWarnings(file string, art path.Artwork, bareAbove float64) (all []Warning) {
	for _, s := range art.Shapes {
		r := s.Path.Bounds()
		message, lost := "", r.W()*r.H()
		switch past := words.PastSides(r, art.Page.Grow(s.Width)); {
		case r.Empty() || s.Bare(bareAbove):
			continue
		case disjoint(r, art.Page):
			message = "lies off the page, and is not marked"
		case len(s.Clips) == 1 && past != "": // with more clips it may be one of those
			on := r.Intersect(art.Page)
			message, lost = "reaches past the edge of the page, and is cut off there: "+past, lost-on.W()*on.H()
		default:
			continue
		}
		w := shapeWarning(file, s, message)
		w.Kind, w.AreaMM2 = path.OffPage, lost
		all = append(all, w)
	}
	return all
}

func disjoint(a, b path.Rect) bool {
	return a.Max.X <= b.Min.X || b.Max.X <= a.Min.X || a.Max.Y <= b.Min.Y || b.Max.Y <= a.Min.Y
}

// toldOneByOne is how many shapes are named before they are summed up.
const toldOneByOne = 5

// shapeWarnings says the same of a few shapes one by one, of many in one line.
func shapeWarnings(file string, shapes []path.Shape, message string) []Warning {
	if n := len(shapes); n > toldOneByOne {
		return []Warning{shapeWarning(file, shapes[0],
			fmt.Sprintf("%s; so with %s more", message, words.Plural(n-1, "shape")))}
	}
	var all []Warning
	for _, s := range shapes {
		all = append(all, shapeWarning(file, s, message))
	}
	return all
}

func shapeWarning(file string, s path.Shape, message string) Warning {
	return Warning{File: file, Line: s.Source.Line, Element: SourceName(s.Source.Element, s.Source.ID),
		Message: message}
}

// SourceName words an element of the artwork.
func SourceName(element, id string) string {
	if id == "" {
		return element
	}
	return element + "#" + id
}
