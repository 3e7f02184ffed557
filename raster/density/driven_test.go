package density_test

import (
	"testing"

	"furrow/path"
	"furrow/raster/density"

	"github.com/stretchr/testify/assert"
)

// What is driven is drawn as marks, at their width and bent as it is; what was wanted is a
// thin line over it, and seen beside it too.
func TestDrivenBesideWhatWasWanted(t *testing.T) {
	var p path.Program
	p.Settings = []path.Setting{{Name: "a"}}
	p.Append(path.Stroke{}, path.Point{X: -4, Y: 0.05}, path.Point{X: 4, Y: 0.05})
	for _, dark := range []bool{false, true} {
		o := density.Options{Show: density.ShowRows, MarkWidthMM: 1, Dark: dark,
			Driven: [][]path.Point{{{X: -4, Y: 1}, {X: -2, Y: 0}, {X: 2, Y: 0}}, {{X: 0, Y: -3}, {X: 0, Y: -3}}}}
		at := drawn(t, p, o)
		ground, wanted, mark := luma(at(0, 3)), luma(at(3, 0.05)), luma(at(0, 0.3))
		if dark {
			ground, wanted, mark = -ground, -wanted, -mark
		}
		assert.Greater(t, ground, mark)
		assert.Greater(t, mark, wanted)
		assert.Equal(t, at(0, 0.3), at(-3.8, 1), "the way from the jump")
		assert.Equal(t, at(0, 0.3), at(0, -3.2), "a dot")
		assert.Equal(t, at(3, 0.05), at(0, 0.05), "the line over the mark")
		assert.Equal(t, at(0, 3), at(3, 0.3), "nothing is marked where the mirrors did not get to")
	}
}
