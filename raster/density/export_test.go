package density

import (
	"furrow/path"
	"furrow/raster/grid"
)

// Density is Dose with lengths, mm, in place of energies: a pixel holds the length marked
// over it per area, which for rows is lines per millimetre.
func Density(prog path.Program, g grid.Grid, width float64) *Layer {
	return lay(prog, newLayer(g), nil, sameBrush(g, width), nil)
}
