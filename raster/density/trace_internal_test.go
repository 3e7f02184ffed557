package density

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"furrow/path"
	"furrow/raster/grid"
)

// traced returns how often each pixel of 10 x 10 mm, ten a millimetre, is handed
// on whole by a stroke of 1 mm.
func traced(pts ...path.Point) *Layer {
	g := grid.New(path.Rect{Max: path.Point{X: 10, Y: 10}}, 10)
	l := newLayer(g)
	t := newTracer(g, sameBrush(g, 1))
	t.take(path.Stroke{}, pts)
	t.line(pts, l.add(1))
	return l
}

func (l *Layer) at(x, y float64) float64 {
	p := l.Pixel(path.Point{X: x, Y: y})
	return float64(l.Value[int(p.Y)*l.W+int(p.X)])
}

func TestAPolylineCoversAPlaceOnce(t *testing.T) {
	l := traced(path.Point{X: 2, Y: 2}, path.Point{X: 8, Y: 2}, path.Point{X: 8, Y: 8}, path.Point{X: 2, Y: 8},
		path.Point{X: 2, Y: 2})
	assert.Equal(t, 1.0, l.Max())
	for _, p := range [...]path.Point{{X: 5, Y: 2}, {X: 7.7, Y: 2.3}, {X: 8.2, Y: 8.2},
		{X: 1.8, Y: 1.8}, {X: 2, Y: 5}} {
		assert.InDelta(t, 1, l.at(p.X, p.Y), 0.01, "corners and sides are filled at %v", p)
	}
	assert.Zero(t, l.at(5, 5))
}

func TestATracerHandsOnLinesAndDots(t *testing.T) {
	assert.Equal(t, 1.0, traced(path.Point{X: 2, Y: 2}, path.Point{X: 8, Y: 2}).at(5, 2))
	assert.Equal(t, 1.0, traced(path.Point{X: 5, Y: 5}).at(5, 5))
	assert.Equal(t, 1.0, traced(path.Point{X: 5, Y: 5}, path.Point{X: 5, Y: 5}).at(5, 5))
	assert.Zero(t, traced().Max())
}
