package hatch

import (
	"slices"

	"furrow/path"
)

// Boundary returns the edges of all that is marked of an artwork, whatever its
// part, as rings with the marked side on their left: outer edges
// counter-clockwise, holes clockwise. Rings touch at most at corners. Of the
// settings it uses Tolerance and BareAbove.
func Boundary(art path.Artwork, s Settings) ([][]path.Point, error) {
	parts := 1
	for i := range art.Shapes {
		parts = max(parts, art.Shapes[i].Part+1)
	}
	s.Parts = slices.Repeat([]Part{{Outline: Outline{When: Only}}}, parts)
	f, err := flatten(art, &s)
	if err != nil {
		return nil, err
	}
	return visible(f, func(*layer) bool { return true })
}
