package inspect

import (
	"testing"

	"furrow/path"
	"furrow/path/hatch"

	"github.com/stretchr/testify/require"
)

// Of very many edges areas are measured by fewer rows, and are right all the same: teeth
// as high as the page take half of it.
func TestAreaOfVeryManyEdges(t *testing.T) {
	const teeth, height = 16_000, 25.0
	var p path.Path
	p.MoveTo(path.Point{})
	for i := range teeth {
		x := 100 * float64(i) / teeth
		p.LineTo(path.Point{X: x + 50.0/teeth, Y: height})
		p.LineTo(path.Point{X: x + 100.0/teeth})
	}
	p.Close()
	art := path.Artwork{Shapes: []path.Shape{{Path: p, Paint: path.Paint{Opacity: 1}}}}
	var r Report
	require.NoError(t, r.area(art, make([]Group, 1), Options{MarkWidth: 0.02, BareAbove: hatch.DefaultBareAbove}))
	require.Equal(t, 500, r.Rows.NumRows(), "800 m up and down, crossed 16 million times")
	require.InEpsilon(t, 100*height/2, r.Marked, 1e-3)
}
