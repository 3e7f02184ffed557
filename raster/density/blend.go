package density

import (
	"image"
	"image/color"

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
