package hatch

import (
	"slices"

	"furrow/path"
)

// Boundary returns the edges of all that is marked of an artwork, whatever its
// group, as rings with the marked side on their left: outer edges
// counter-clockwise, holes clockwise. Rings touch at most at corners. Of the
// settings it uses Tolerance and BareAbove.
func Boundary(art path.Artwork, s Settings) ([][]path.Point, error) {
	f, err := flattenAll(art, s)
	if err != nil {
		return nil, err
	}
	all, err := visible(f, func(*layer) bool { return true })
	return all.rings, err
}

// flattenAll is flatten for what concerns all groups alike.
func flattenAll(art path.Artwork, s Settings) (*flat, error) {
	groups := 1
	for i := range art.Shapes {
		groups = max(groups, art.Shapes[i].Group+1)
	}
	s.Groups = slices.Repeat([]Group{{Outline: Outline{When: Only}}}, groups)
	return flatten(art, &s)
}
