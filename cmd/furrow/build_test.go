package main

import (
	"testing"

	"furrow/cmd/furrow/internal/value"
	"furrow/path"
	"furrow/path/svg"

	"github.com/stretchr/testify/assert"
)

// Artwork that will be enlarged is read the finer, so that its strokes are as
// smooth on the blank; where the file names no size it is read fine.
func TestStrokeTolerance(t *testing.T) {
	page := path.Rect{Max: path.Point{X: 60, Y: 90}}
	width := value.Length(600)
	b := &build{}
	assert.InEpsilon(t, svg.DefaultTolerance, b.strokeTolerance(page), 1e-9)
	b.Job.Artwork.Width = &width
	assert.InEpsilon(t, svg.DefaultTolerance/10, b.strokeTolerance(page), 1e-9)
	assert.InEpsilon(t, svg.DefaultTolerance/10, b.strokeTolerance(path.Rect{}), 1e-9)
}
