package density

import (
	"image"
	"image/color"

	"furrow/path"
	"furrow/raster/colour"
	"furrow/raster/grid"
)

// blend lays a colour over each pixel of img with the opacity of the layer,
// which is cut at 1, times most.
func blend(img *image.RGBA, l *Layer, c color.RGBA, most float64) {
	for i, v := range l.Value {
		if v > 0 {
			blendPixel(img.Pix[4*i:4*i+4:4*i+4], c, most*min(1, float64(v)))
		}
	}
}

func blendPixel(p []uint8, c color.RGBA, opacity float64) {
	m := colour.Mix(color.RGBA{p[0], p[1], p[2], 255}, c, opacity)
	p[0], p[1], p[2] = m.R, m.G, m.B
}

// shade returns a Cover that darkens by opacity where it covers: what is covered
// twice lets through the square of what is covered once.
func (l *Layer) shade(opacity float64) grid.Cover {
	k := float32(opacity)
	return func(y, x int, cover []float32) {
		row := l.Value[y*l.W+x:][:len(cover)]
		for i, c := range cover {
			row[i] += float32((1 - row[i]) * float32(k*c))
		}
	}
}

// markAll lays all strokes.
func markAll(prog path.Program, brush *grid.Brush, to grid.Cover) {
	for i := range prog.Strokes {
		markLine(brush, prog.PointsOf(i), to)
	}
}

// markLine lays a polyline, or a dot where it has no length.
func markLine(brush *grid.Brush, pts []path.Point, to grid.Cover) {
	if lengthOf(pts) == 0 && len(pts) > 0 {
		brush.Dot(pts[0], to)
		return
	}
	for j := 1; j < len(pts); j++ {
		brush.Mark(pts[j-1], pts[j], to)
	}
}
