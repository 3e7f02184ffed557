package work

import (
	"fmt"

	"furrow/cmd/furrow/internal/words"
	"furrow/path"
)

// PageWarnings says which shapes the edge of the page cuts off.
func PageWarnings(file string, art path.Artwork, bareAbove float64) []Warning {
	var off, cut []path.Shape
	for _, s := range art.Shapes {
		r := s.Path.Bounds()
		switch {
		case r.Empty() || s.Bare(bareAbove):
		case disjoint(r, art.Page):
			off = append(off, s)
		case len(s.Clips) == 1 && words.PastSides(r, art.Page.Grow(s.Width)) != "":
			cut = append(cut, s) // with more clips it may be one of those
		}
	}
	return append(shapeWarnings(file, off, "lies off the page, and is not marked"),
		shapeWarnings(file, cut, "reaches past the edge of the page, and is cut off there")...)
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
	return Warning{File: file, Line: s.Source.Line, Element: SourceName(s.Source.Element, s.Source.ID), Message: message}
}

// SourceName words an element of the artwork.
func SourceName(element, id string) string {
	if id == "" {
		return element
	}
	return element + "#" + id
}
