package work

import (
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/assert"
)

// How often a fill goes over its area: passes, times the angles, times two where it is
// crossed; contours have passes alone.
func TestFillingsByHand(t *testing.T) {
	for _, tt := range []struct {
		name string
		fill hatch.Group
		want int
	}{
		{"plain", hatch.Group{}, 1},
		{"passes", hatch.Group{Passes: 3}, 3},
		{"angles", hatch.Group{Passes: 3, Angles: []float64{0, 60}}, 6},
		{"crossed", hatch.Group{Cross: 90}, 2},
		{"crossed passes", hatch.Group{Passes: 3, Cross: 90, Angles: []float64{0, 30}}, 12},
		{"contours", hatch.Group{Contours: true}, 1},
		{"contour passes", hatch.Group{Contours: true, Passes: 3}, 3},
		{"contours have no angles", hatch.Group{Contours: true, Passes: 2, Cross: 90, Angles: []float64{0, 30}}, 2},
	} {
		assert.Equal(t, tt.want, Fillings(tt.fill), tt.name)
	}
}

// Turned by a quarter, a page keeps its lower-left corner on a gantry and its middle
// on a galvo: 30 x 10 mm from 5, 7 takes 10 x 30 mm from there, or about 20, 12.
func TestQuarterTurnKeepsThePlace(t *testing.T) {
	var shape path.Path
	shape.MoveTo(path.Point{X: 5, Y: 7})
	shape.LineTo(path.Point{X: 35, Y: 8})
	art := path.Artwork{
		Page:   path.Rect{Min: path.Point{X: 5, Y: 7}, Max: path.Point{X: 35, Y: 17}},
		Shapes: []path.Shape{{Path: shape}},
	}
	corner, middle := turnedPage(art, false), turnedPage(art, true)
	assert.Equal(t, path.Rect{Min: path.Point{X: 5, Y: 7}, Max: path.Point{X: 15, Y: 37}}, corner.Page)
	assert.Equal(t, path.Rect{Min: path.Point{X: 15, Y: -3}, Max: path.Point{X: 25, Y: 27}}, middle.Page)
	// counter-clockwise: what began at the lower left begins at the lower right
	assert.Equal(t, path.Point{X: 15, Y: 7}, corner.Shapes[0].Path.Points[0])
	assert.Equal(t, path.Point{X: 14, Y: 37}, corner.Shapes[0].Path.Points[1])
}
